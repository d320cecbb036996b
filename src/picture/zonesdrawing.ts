/**
 * The zones as a drawing to open beside the artwork: flat and true to size, one user unit = 1 mm, (0, 0) where
 * the crown line meets the placement point. Only paths, in groups that can be switched off one by one: ink,
 * one group for each zone, thin-line and thin-gap, reach, crown-line, ruler, key, title.
 */
import type { Box } from "../geometry/path.ts";
import type { ThinKind } from "../plan/thin/thin.ts";
import type { Plan } from "../plan/types.ts";
import { type DrawnZone, zoneStyles } from "./colours.ts";
import { aroundWords, jobWords, reachWords, reasonWords, settingsWords } from "./jobwords.ts";
import type { Lettering, TextPlace } from "./lettering.ts";
import { pathData, roundedPath } from "./marks.ts";
import { outcomeAreas } from "./outcomeareas.ts";
import { ringData, segmentsData, tag } from "./svg.ts";
import { thinKeySvg, thinKinds, thinSvg, thinWords } from "./thinplaces.ts";
import { plain, roundStep, ticks, tickText } from "./ticks.ts";
import { hatchLines, type Rings, zoneAreas } from "./zoneareas.ts";
import { boxRing, zoneKeyItems } from "./zonekey.ts";
import { wordPlace } from "./zonewords.ts";

const INK = "#888888";
const LINE = "#1a1a1a";
const DECIMALS = 4;

/** The drawing's measures (mm), all from its own size so that words stay in proportion. */
interface Sheet {
  /** What is hatched: ink and reach with a border. `page` adds the head and the ruler; the key comes below it. */
  readonly body: Box;
  readonly page: Box;
  readonly type: number;
  readonly hair: number;
  readonly hatch: number;
  /** Lines below the title: the job, and the gravest reason in bold. */
  readonly lines: readonly { readonly words: string; readonly bold: boolean }[];
}

/** Draws the zones over the ink; `title` is the artwork's name. */
export function zonesSvg(plan: Plan, lettering: Lettering, title: string): string {
  const sheet = sheetOf(plan, lettering);
  const areas = new Map<DrawnZone, Rings>([
    ...zoneAreas(plan, sheet.body),
    ...outcomeAreas(plan, sheet.body, ["residue", "metal"]),
  ]);
  const key = keyRows(keyEntries(plan, [...areas.keys()], sheet), sheet, lettering);
  const name = freeNames(plan);
  const group = (id: string, content: string): string =>
    content === "" ? "" : tag("g", { id: name(id) }, content);
  const { minX, minY, maxX } = sheet.page;
  const maxY = sheet.page.maxY + Math.ceil(KEY_ROW * sheet.type * key.length * 10) / 10;
  const [width, height] = [maxX - minX, maxY - minY];
  const groups = [
    group("ink", inkPaths(plan)),
    group("reach", reachSvg(plan, sheet, lettering)),
    group("crown-line", crownSvg(sheet, lettering)),
    group(
      "zones",
      [...areas]
        .map(([zone, rings]) => group(`zone-${zone}`, zoneSvg(zone, rings, sheet, lettering)))
        .join(""),
    ),
    ...thinKinds.map((kind) => group(`thin-${kind}`, thinPlacesSvg(plan, kind, sheet))),
    group("ruler", rulerSvg(plan, sheet, lettering)),
    group("key", keySvg(key, sheet, lettering)),
    group("title", titleSvg(plan, sheet, lettering, title)),
  ].filter((part) => part !== "");
  const root = tag(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      width: `${plain(width, DECIMALS)}mm`,
      height: `${plain(height, DECIMALS)}mm`,
      viewBox: [minX, minY, width, height].map((v) => Number(v.toFixed(DECIMALS))).join(" "),
    },
    `\n${groups.join("\n")}\n`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n${root}\n`;
}

function sheetOf(plan: Plan, lettering: Lettering): Sheet {
  const { box } = plan.ink;
  const half = Math.min(plan.reach.aroundMm / 2, plan.warp.surface.halfWidth);
  const wide = Math.max(box.maxX, half) - Math.min(box.minX, -half);
  const type = Math.min(6, Math.max(1.6, wide / 36));
  const pad = 2.4 * type;
  const tenth = (v: number, round: (v: number) => number): number => round(v * 10) / 10;
  const body = {
    minX: tenth(Math.min(box.minX, -half) - pad, Math.floor),
    maxX: tenth(Math.max(box.maxX, half) + pad, Math.ceil),
    minY: tenth(Math.min(box.minY, 0) - pad, Math.floor),
    maxY: tenth(Math.max(box.maxY, 0) + pad, Math.ceil),
  };
  const room = body.maxX - body.minX;
  const told = (words: readonly string[], bold: boolean, most: number) =>
    words.flatMap((one) =>
      lettering
        .lines(one, room, type, bold ? "bold" : "regular", most)
        .map((line) => ({ words: line, bold })),
    );
  const lines = [
    ...told([[...jobWords(plan), ...settingsWords(plan)].join("  ·  ")], false, 3),
    ...told(reasonWords(plan, 2), true, 2),
  ];
  const page = {
    minX: tenth(body.minX - type, Math.floor),
    maxX: tenth(body.maxX + type, Math.ceil),
    minY: tenth(body.minY - (5.8 + 1.4 * lines.length) * type, Math.floor),
    maxY: tenth(body.maxY + 4.4 * type, Math.ceil),
  };
  return { body, page, type, hair: type / 18, hatch: type * 0.8, lines };
}

/** Group names that no shape of the artwork has taken. */
function freeNames(plan: Plan): (id: string) => string {
  const taken = new Set(plan.ink.shapes.map((shape) => shape.id));
  return (id) => {
    let free = id;
    for (let n = 2; taken.has(free); n++) free = `${id}-${n}`;
    taken.add(free);
    return free;
  };
}

const inkPaths = (plan: Plan): string =>
  plan.ink.shapes
    .map((shape) =>
      tag("path", {
        id: shape.id,
        ...(shape.paint === "fill" ? { fill: INK } : { fill: "none", stroke: INK, "stroke-width": 0.1 }),
        d: pathData(roundedPath(shape.path, DECIMALS)),
      }),
    )
    .join("\n");

const stroke = (d: string, width: number, dash = ""): string =>
  tag(
    "path",
    { d, fill: "none", stroke: LINE, "stroke-width": width, ...(dash ? { "stroke-dasharray": dash } : {}) },
    "",
    DECIMALS,
  );

function words(lettering: Lettering, text: string, place: TextPlace, rim = 0): string {
  const d = lettering.path(text, { ...place, decimals: DECIMALS });
  if (d === "") return "";
  const halo = { d, fill: "#ffffff", stroke: "#ffffff", "stroke-width": rim, "stroke-linejoin": "round" };
  return (rim > 0 ? tag("path", halo) : "") + tag("path", { d, fill: LINE });
}

/** Shade, hatch, outline and words of one zone. */
const zoneSvg = (zone: DrawnZone, rings: Rings, sheet: Sheet, lettering: Lettering): string =>
  zoneFill(zone, rings, sheet) +
  rings.map((ring) => zoneWord(zoneStyles[zone].word, ring, rings, sheet, lettering)).join("");

function zoneFill(zone: DrawnZone, rings: Rings, sheet: Sheet, closer = 1): string {
  const style = zoneStyles[zone];
  const outline = rings.map((ring) => ringData(ring, true, DECIMALS)).join("");
  const lines = style.hatch.map((angle) =>
    segmentsData(hatchLines(rings, angle, (sheet.hatch * style.gap) / closer), DECIMALS),
  );
  const shade = {
    d: outline,
    fill: style.shade,
    "fill-opacity": style.shadeOpacity,
    "fill-rule": "evenodd",
  };
  return tag("path", shade) + stroke(lines.join(""), sheet.hair) + stroke(outline, 2 * sheet.hair);
}

/** The zone's word inside one of its pieces; left out where it has no room, for the key names it too. */
function zoneWord(
  word: string,
  ring: Rings[number],
  rings: Rings,
  { type, body }: Sheet,
  lettering: Lettering,
): string {
  const long = lettering.width(word, type, "bold") + type;
  const place = wordPlace(ring, rings, { long, size: type, low: body.maxY - type });
  const style = { size: type, anchor: "middle", weight: "bold" } as const;
  return place ? words(lettering, word, { ...style, ...place }, type / 2) : "";
}

function reachSvg(plan: Plan, sheet: Sheet, lettering: Lettering): string {
  const { body, type } = sheet;
  const half = Math.min(plan.reach.aroundMm / 2, plan.warp.surface.halfWidth);
  const top = body.minY - 2.6 * type;
  const text = reachWords(plan);
  const long = lettering.width(text, type) / 2 + type / 2;
  const y = top + 0.5 * type;
  const beside = long > half - type;
  const bar = beside
    ? [[-half, y, half, y]]
    : [
        [-half, y, -long, y],
        [long, y, half, y],
      ];
  const place = beside
    ? { x: half + type / 2, y: y + 0.36 * type, size: type }
    : { x: 0, y: y + 0.36 * type, size: type, anchor: "middle" as const };
  const sides = [-half, half].map((x) => [x, top, x, body.maxY]);
  return (
    stroke(
      segmentsData(sides, DECIMALS),
      2.4 * sheet.hair,
      `${plain(0.6 * type, 2)} ${plain(0.4 * type, 2)}`,
    ) +
    stroke(segmentsData(bar, DECIMALS), sheet.hair) +
    words(lettering, text, place)
  );
}

/** The crown line, dash-dot, and a cross at the placement point. */
function crownSvg(sheet: Sheet, lettering: Lettering): string {
  const { body, type, hair } = sheet;
  const arm = 0.8 * type;
  const dash = [0.9, 0.3, 0.15, 0.3].map((part) => plain(part * type, 2)).join(" ");
  const cross = [
    [-arm, 0, arm, 0],
    [0, -arm, 0, arm],
  ];
  return (
    stroke(segmentsData([[0, body.minY - 0.3 * type, 0, body.maxY]], DECIMALS), 1.4 * hair, dash) +
    stroke(segmentsData(cross, DECIMALS), 3 * hair) +
    words(
      lettering,
      "crown line",
      { x: 0, y: body.minY - 0.5 * type, size: type, anchor: "middle" },
      type / 2,
    )
  );
}

/** Millimetres around, below the drawing. */
function rulerSvg(plan: Plan, sheet: Sheet, lettering: Lettering): string {
  const { body, type, hair } = sheet;
  const step = Math.max(10, roundStep(3.2 * type));
  const y = body.maxY + 0.6 * type;
  const fine = ticks(body.minX, body.maxX, step / 10).map((a) => {
    const k = Math.round((10 * a) / step);
    const long = k % 10 === 0 ? 0.9 : k % 5 === 0 ? 0.65 : 0.4;
    return [a, y, a, y + long * type];
  });
  const numbers = ticks(body.minX, body.maxX, step).map((a) =>
    words(lettering, tickText(a, step), { x: a, y: y + 1.9 * type, size: type, anchor: "middle" }),
  );
  const title = { x: (body.minX + body.maxX) / 2, y: y + 3.2 * type, size: type, anchor: "middle" as const };
  return (
    stroke(segmentsData([[body.minX, y, body.maxX, y], ...fine], DECIMALS), hair) +
    numbers.join("") +
    words(lettering, aroundWords(plan), title)
  );
}

/** Height of a row of the key, in type sizes. */
const KEY_ROW = 2;

/** One entry of the key: its sample in a box at (x, y), and its words. */
interface KeyEntry {
  readonly words: string;
  sample(x: number, y: number): string;
}

function keyEntries(plan: Plan, shown: readonly DrawnZone[], sheet: Sheet): KeyEntry[] {
  const { type, hair } = sheet;
  const zones = zoneKeyItems(plan, shown).map((item) => ({
    words: item.words,
    // Close enough for some lines in the small box.
    sample: (x: number, y: number) =>
      zoneFill(item.zone, [boxRing(x, y, 2 * type, 1.2 * type)], sheet, 1.6 * zoneStyles[item.zone].gap),
  }));
  const thin = thinKinds.flatMap((kind) => {
    const words = thinWords(plan, kind);
    if (words === null) return [];
    const sample = (x: number, y: number): string =>
      thinKeySvg(kind, { minX: x, minY: y, maxX: x + 2 * type, maxY: y + 1.2 * type }, hair);
    return [{ words, sample }];
  });
  return [...zones, ...thin];
}

function thinPlacesSvg(plan: Plan, kind: ThinKind, { type, hair }: Sheet): string {
  const thin = plan.thin[kind];
  return thin.places === 0 ? "" : thinSvg(thin, kind, type, hair, plan.thin.stepMm);
}

/** The key's items on as many rows as the page's width needs. */
function keyRows(items: readonly KeyEntry[], sheet: Sheet, lettering: Lettering): KeyEntry[][] {
  const rows: KeyEntry[][] = [];
  let used = Infinity;
  for (const item of items) {
    const wide = keyWidth(item, sheet, lettering);
    if (used + wide > sheet.body.maxX - sheet.body.minX) {
      rows.push([]);
      used = 0;
    }
    rows.at(-1)!.push(item);
    used += wide;
  }
  return rows;
}

const keyWidth = (item: KeyEntry, { type }: Sheet, lettering: Lettering): number =>
  4 * type + lettering.width(item.words, type);

function keySvg(rows: readonly KeyEntry[][], sheet: Sheet, lettering: Lettering): string {
  const { body, page, type } = sheet;
  let svg = "";
  rows.forEach((row, i) => {
    let x = body.minX;
    const y = page.maxY + KEY_ROW * type * i;
    for (const item of row) {
      svg += item.sample(x, y);
      svg += words(lettering, item.words, { x: x + 2.5 * type, y: y + 0.97 * type, size: type });
      x += keyWidth(item, sheet, lettering);
    }
  });
  return svg;
}

function titleSvg(plan: Plan, sheet: Sheet, lettering: Lettering, title: string): string {
  const { page, body, type } = sheet;
  const size = 1.5 * type;
  const right = lettering.width(plan.verdict, size, "bold");
  const room = body.maxX - body.minX - right - size;
  const y = page.minY + 2 * type;
  return (
    words(lettering, lettering.fitted(title, room, size, "bold"), { x: body.minX, y, size, weight: "bold" }) +
    words(lettering, plan.verdict, { x: body.maxX, y, size, anchor: "end", weight: "bold" }) +
    sheet.lines
      .map(({ words: line, bold }, i) =>
        words(lettering, line, {
          x: body.minX,
          y: y + (1.6 + 1.4 * i) * type,
          size: type,
          weight: bold ? "bold" : "regular",
        }),
      )
      .join("")
  );
}
