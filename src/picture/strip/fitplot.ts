/**
 * A fit as a picture: for each strip its marks row by row, what the figures say of where clearing begins and ends (bands), what
 * was read (brackets), and beside each row how far the two are apart, in standard deviations of a reading.
 */
import type { DialIn, Residual } from "../../dialin/types.ts";
import { barPitch } from "../../plan/strip/edges.ts";
import type { ReadStrip, Strip, StripMark } from "../../plan/strip/types.ts";
import { viridisHex } from "../colours.ts";
import type { Lettering } from "../lettering.ts";
import { line, text } from "../page/items.ts";
import type { Page, PageItem } from "../page/page.ts";
import { fixed } from "../svg.ts";

const WIDTH = 260;
const MARGIN = 8;
/** Where the bars' axis begins and ends, and that of the residuals (mm). */
const FROM = 62;
const TO = 204;
const OFF_FROM = 214;
const OFF_TO = 252;
/** Standard deviations shown to each side. */
const MOST_OFF = 4;
const ROW = 7;
const SIZE = 2.9;
const SMALL = 2.5;
const CLEAR = viridisHex(205);
const GREY = "#e4e4e4";
const METAL = viridisHex(40);

export function fitPage(found: DialIn, title: string, letters: Lettering): Page {
  const items: PageItem[] = [text(`What the readings of ${title} tell`, MARGIN, 9, 4.2, { weight: "bold" })];
  let y = 15;
  for (const read of found.strips) {
    const panel =
      read.strip.ladder === "squares" ? squaresPanel(read, found, y) : barsPanel(read, found, y, letters);
    items.push(...panel.items);
    y += panel.height + 6;
  }
  items.push(...key(y));
  return { widthMm: WIDTH, heightMm: y + 9, items: [paper(y + 9), ...items] };
}

const paper = (height: number): PageItem => ({
  kind: "path",
  d: `M0 0H${WIDTH}V${fixed(height, 2)}H0Z`,
  fill: "#ffffff",
});

interface Panel {
  readonly items: readonly PageItem[];
  readonly height: number;
}

const box = (x1: number, y: number, x2: number, height: number, fill: string): PageItem => ({
  kind: "path",
  d: `M${fixed(x1, 3)} ${fixed(y, 3)}H${fixed(x2, 3)}V${fixed(y + height, 3)}H${fixed(x1, 3)}Z`,
  fill,
});

function barsPanel({ strip, readings }: ReadStrip, found: DialIn, top: number, letters: Lettering): Panel {
  const { bars } = strip;
  const [first, last] = [bars[0]!.number - 0.5, bars.at(-1)!.number + 0.5];
  const at = (bar: number): number =>
    FROM + ((Math.min(last, Math.max(first, bar)) - first) / (last - first)) * (TO - FROM);
  const items: PageItem[] = [
    text(`Strip ${strip.name}`, MARGIN, top + 4, SIZE + 0.3, { weight: "bold" }),
    text("off, in errors of a reading", (OFF_FROM + OFF_TO) / 2, top + 4, SMALL, { anchor: "middle" }),
  ];
  const head = top + 7;
  const bottom = head + readings.length * ROW;
  items.push(...offAxis(head, bottom));
  readings.forEach((reading, i) => {
    const mark = strip.marks.find(({ number }) => number === reading.mark)!;
    const y = head + i * ROW;
    const mine = found.residuals.filter(
      (r) => r.strip === strip.name && r.mark === mark.number && r.row === reading.row,
    );
    items.push(
      text(letters.fitted(rowWords(strip, mark), FROM - MARGIN - 3, SMALL), MARGIN, y + 0.65 * ROW, SMALL),
    );
    items.push(box(FROM, y + 0.6, TO, ROW - 1.2, GREY), ...bands(mine, at, y), ...brackets(mine, at, y));
    items.push(...dots(mine, y));
  });
  items.push(...barAxis(strip, at, bottom), ...crown(found, strip, at, head, bottom));
  return { items, height: bottom + 9 - top };
}

/** As "mark 3: 13.3 W, 225 mm/s, focus 5.1 mm". */
export function rowWords({ ladder }: Strip, { number, settings, belowCrownMm }: StripMark): string {
  const focus = ladder === "focus" ? `, focus ${belowCrownMm} mm` : "";
  return `mark ${number}: ${settings.powerW} W, ${settings.speedMmS} mm/s${focus}`;
}

type At = (bar: number) => number;
const of = (list: readonly Residual[], what: string): Residual | undefined =>
  list.find((r) => r.what === what);
const predicted = (r: Residual | undefined): number | null =>
  r && r.predicted !== "none" ? r.predicted : null;
const wasRead = (r: Residual | undefined): number | null => (r && r.read !== "none" ? r.read : null);

/** What the figures say: cleared, not cleared in between, metal. */
function bands(list: readonly Residual[], at: At, y: number): PageItem[] {
  const span = (name: string): [number, number] | null => {
    const [from, to] = [predicted(of(list, `first ${name}`)), predicted(of(list, `last ${name}`))];
    return from === null || to === null ? null : [from, to];
  };
  const [clear, gap, metal] = [span("clear"), span("gap"), span("metal")];
  return [
    ...(clear ? [box(at(clear[0] - 0.5), y + 0.6, at(clear[1] + 0.5), ROW - 1.2, CLEAR)] : []),
    ...(gap ? [box(at(gap[0] - 0.5), y + 0.6, at(gap[1] + 0.5), ROW - 1.2, GREY)] : []),
    ...(metal ? [box(at(metal[0] - 0.5), y + ROW - 2.6, at(metal[1] + 0.5), 1.2, METAL)] : []),
  ];
}

/** What was read, as brackets whose flat sides face what they hold. */
function brackets(list: readonly Residual[], at: At, y: number): PageItem[] {
  const bracket = (x: number, way: 1 | -1, top: number, height: number, width: number): PageItem => ({
    kind: "path",
    d: `M${fixed(x + way * 1.4, 3)} ${fixed(top, 3)}H${fixed(x, 3)}V${fixed(top + height, 3)}H${fixed(x + way * 1.4, 3)}`,
    stroke: "#000000",
    width,
  });
  return list.flatMap((r): PageItem[] => {
    const bar = wasRead(r);
    if (bar === null) return [];
    const first = r.what.startsWith("first");
    const x = at(first ? bar - 0.5 : bar + 0.5);
    const way = first ? 1 : -1;
    if (r.what.endsWith("clear")) return [bracket(x, way, y + 0.3, ROW - 0.6, 0.45)];
    if (r.what.endsWith("gap")) return [bracket(x, way, y + 1.6, ROW - 3.2, 0.25)];
    return r.what.endsWith("metal") ? [bracket(x, way, y + ROW - 3, 2, 0.25)] : [];
  });
}

const offX = (off: number): number =>
  OFF_FROM +
  ((Math.max(-MOST_OFF, Math.min(MOST_OFF, off)) + MOST_OFF) / (2 * MOST_OFF)) * (OFF_TO - OFF_FROM);

function offAxis(head: number, bottom: number): PageItem[] {
  return [
    box(offX(-2), head, offX(2), bottom - head, GREY),
    line(offX(0), head, offX(0), bottom, 0.15),
    ...[-4, -2, 0, 2, 4].map((v) => text(String(v), offX(v), bottom + 3.4, SMALL, { anchor: "middle" })),
  ];
}

function dots(list: readonly Residual[], y: number): PageItem[] {
  const told = list.filter((r) => r.off !== 0);
  return told.map((r, i) => {
    const [x, cy] = [offX(r.off), y + 1.2 + (i * (ROW - 2.4)) / Math.max(1, told.length - 1)];
    return box(x - 0.5, cy - 0.5, x + 0.5, 1, Math.abs(r.off) > 2 ? "#9c2f1c" : "#000000");
  });
}

function barAxis({ bars }: Strip, at: At, bottom: number): PageItem[] {
  const ticks = bars.filter(({ number }) => number % 10 === 0 || number === 1);
  return [
    line(FROM, bottom, TO, bottom, 0.2),
    ...ticks.flatMap(({ number, atMm }) => [
      line(at(number), bottom, at(number), bottom + 1, 0.2),
      text(String(number), at(number), bottom + 3.6, SMALL, { anchor: "middle" }),
      text(`${Math.round(atMm)}`, at(number), bottom + 6.6, SMALL, { anchor: "middle", fill: "#666666" }),
    ]),
    text("bar", FROM - 3, bottom + 3.6, SMALL, { anchor: "end" }),
    text("mm from the crown line", FROM - 3, bottom + 6.6, SMALL, { anchor: "end", fill: "#666666" }),
  ];
}

/** Where the optical axis met the vessel. */
function crown(found: DialIn, strip: Strip, at: At, head: number, bottom: number): PageItem[] {
  const { sidewaysMm } = found.estimates;
  const own = found.estimates[`sidewaysMm:${strip.name}`] ?? sidewaysMm;
  const middle = strip.bars.find(({ atMm }) => atMm === 0);
  if (!own || !middle || strip.ladder === "ramp") return [];
  const zero = at(middle.number);
  return [
    line(zero, head, zero, bottom, 0.15),
    line(
      at(middle.number - own.value / barPitch(strip.bars)),
      head,
      at(middle.number - own.value / barPitch(strip.bars)),
      bottom,
      0.3,
      [1, 1],
    ),
  ];
}

function squaresPanel({ strip, readings }: ReadStrip, found: DialIn, top: number): Panel {
  const rows = readings.map((reading, i): PageItem[] => {
    const y = top + 8 + i * ROW;
    const mark = strip.marks.find(({ number }) => number === reading.mark)!;
    const mine = found.residuals.filter((r) => r.strip === strip.name && r.mark === mark.number);
    const said = mine.map(
      (r) => `${r.what}: read ${wasRead(r)?.toFixed(1)} mm, fitted ${predicted(r)?.toFixed(2)} mm`,
    );
    return [
      text(
        `mark ${mark.number}: ${0 - mark.belowCrownMm} mm below the focal plane`,
        MARGIN,
        y + 0.65 * ROW,
        SMALL,
      ),
      text(said.join("; "), FROM + 12, y + 0.65 * ROW, SMALL),
      ...dots(mine, y),
    ];
  });
  const bottom = top + 8 + readings.length * ROW;
  return {
    items: [
      text(`Strip ${strip.name}: squares of ${strip.sideMm} mm`, MARGIN, top + 4, SIZE + 0.3, {
        weight: "bold",
      }),
      ...offAxis(top + 7, bottom),
      ...rows.flat(),
    ],
    height: bottom + 6 - top,
  };
}

function key(y: number): PageItem[] {
  const sample = (x: number, fill: string): PageItem => box(x, y, x + 5, 2.6, fill);
  const word = (x: number, words: string): PageItem => text(words, x, y + 2.3, SMALL);
  return [
    sample(MARGIN, CLEAR),
    word(MARGIN + 6.5, "fitted: fully clear"),
    sample(MARGIN + 40, METAL),
    word(MARGIN + 46.5, "fitted: metal changed"),
    word(MARGIN + 82, "[ ]  read: wide clear, narrow not clear in between, at the foot metal"),
    word(MARGIN + 172, "dashed: where the optical axis met the vessel"),
  ];
}
