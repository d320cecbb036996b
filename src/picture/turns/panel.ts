/**
 * The strip itself: the ink turn by turn, what of it is beyond the limits of its turn, blocked areas, cuts, crown lines,
 * witness marks, rim and base.
 */
import type { Plan } from "../../plan/types.ts";
import { type Zone, zoneNames } from "../../plan/zones.ts";
import { zoneStyles } from "../colours.ts";
import type { Lettering } from "../lettering.ts";
import { DASH_DOT, INK, line, SMALL, text } from "../parts.ts";
import { ringData, tag } from "../svg.ts";
import { tintOf } from "./bands.ts";
import { blockedBoxes, blockedNames, blockedSvg } from "./blockedareas.ts";
import { type Crossing, crossings } from "./crossings.ts";
import { CUT, CUT_INK, RING, ringSvg, witnessMark, zonePaint } from "./signs.ts";
import { type DrawnTurn, placed, type Strip } from "./strip.ts";
import { type Run, unrolled, unrolledPoints } from "./unrolled.ts";

/** Turns' ink alternates between two greys. */
const INKS = ["#2b2b2b", "#6d6d6d"] as const;
const OUTSIDE = "#7a7a7a";

export interface Panel {
  readonly svg: string;
  /** Zones that are drawn, mildest first. */
  readonly zones: readonly Zone[];
  /** Names of the blocked areas that do not show. */
  readonly unseen: readonly string[];
  /** Places at which cuts go through ink. */
  readonly crossed: number;
}

/** `edge`: how far right words may go. */
export function turnsPanel(
  plan: Plan,
  drawn: readonly DrawnTurn[],
  strip: Strip,
  edge: number,
  lettering: Lettering,
): Panel {
  const beyond = beyondInk(plan, strip);
  const areas = blockedBoxes(plan.limits.blocked ?? [], strip);
  const blocked = areas.map(({ boxes }, i) => blockedSvg(i + 1, boxes)).join("");
  const cuts = plan.parting.cuts.map(({ points }) => unrolledPoints(plan.warp.surface, points));
  const inks = plan.ink.shapes.map(({ path, paint }) => ({
    filled: paint === "fill",
    runs: cuts.length > 0 ? unrolled(plan.warp.surface, path, 0) : [],
  }));
  const rings = cuts.map((cut) => crossings(cut, inks, strip.radius, (2 * RING) / strip.scale));
  const { left, top, width, height } = strip;
  const frame = { x: left, y: top, width, height };
  const inside = [
    outside(plan, strip),
    ...plan.turns.map(({ index }, i) => column(index, drawn[i]!, strip)),
    blocked,
    // Under the ink: over it they would look like cuts.
    ...plan.turns.map(({ angle }) => {
      const x = strip.x(angle);
      return line(x, top, x, top + height, INK, 1.5, DASH_DOT);
    }),
    ...plan.turns.map(({ index }, i) => inkOf(index, drawn[i]!, strip, plan)),
    ...beyond.values(),
    ...cuts.map((cut, i) => cutSvg(i + 1, placed(strip, cut))),
    ...drawn.map(({ witness }) => witnessSvg(witness, strip)),
    ...rings.map((list, i) => ringsSvg(i + 1, list, strip)),
    ...areas.map(({ name, boxes }) => blockedNames(name, boxes, lettering)),
  ];
  const svg = [
    tag("clipPath", { id: "strip" }, tag("rect", frame)),
    tag("g", { "clip-path": "url(#strip)" }, inside.join("")),
    tag("rect", { ...frame, fill: "none", stroke: INK, "stroke-width": 1.5 }),
    endsSvg(strip, edge, lettering),
  ].join("");
  const zones = zoneNames.filter((zone) => beyond.has(zone) || (zone === "blocked" && blocked !== ""));
  const unseen = areas.filter(({ boxes }) => boxes.length === 0).map(({ name }) => name);
  return { svg, zones, unseen, crossed: rings.reduce((sum, list) => sum + list.length, 0) };
}

const column = (index: number, { from, to }: DrawnTurn, { x, top, height }: Strip): string =>
  tag("rect", {
    x: x(from),
    y: top,
    width: x(to) - x(from),
    height,
    fill: tintOf(index),
    "fill-opacity": 0.35,
  });

const runsData = (runs: readonly Run[], strip: Strip): string =>
  runs.map(({ places, closed }) => ringData(placed(strip, places), closed)).join("");

/** What lies past the vessel's ends. */
function outside(plan: Plan, { rim, base, left, top, width, height, y }: Strip): string {
  const bar = (from: number, to: number): string =>
    to > from ? tag("rect", { x: left, y: from, width, height: to - from, fill: "#e4e4e4" }) : "";
  const { meridian } = plan.warp.surface;
  const ends = [rim ?? meridian.from, base ?? meridian.to] as const;
  return [
    Number.isFinite(ends[0]) ? bar(top, Math.min(top + height, y(ends[0]))) : "",
    Number.isFinite(ends[1]) ? bar(Math.max(top, y(ends[1])), top + height) : "",
  ].join("");
}

function inkOf(index: number, { inks }: DrawnTurn, strip: Strip, { spot }: Plan): string {
  const shade = INKS[(index + 1) % 2]!;
  const width = Math.max(2, spot.waistDiameterMm * strip.scale);
  const paths = inks.map(({ filled, runs }) => {
    const d = runsData(runs, strip);
    if (d === "") return "";
    return filled
      ? tag("path", { d, fill: shade })
      : tag("path", { d, fill: "none", stroke: shade, "stroke-width": width });
  });
  return tag("g", { id: `ink-${index}` }, paths.join(""));
}

/** Ink beyond the limits, by zone: on white, so that shade and hatch show. */
function beyondInk({ turns, warp }: Plan, strip: Strip): Map<Zone, string> {
  const found = new Map<Zone, string>();
  for (const zone of zoneNames) {
    if (zone === "usable") continue;
    const shapes = turns.flatMap(({ pieces, angle }) =>
      (pieces.get(zone) ?? []).map(({ path, paint }) => ({
        paint,
        runs: unrolled(warp.surface, path, angle),
      })),
    );
    if (shapes.length === 0) continue;
    const parts = shapes.map(({ paint, runs }) => {
      const d = runsData(runs, strip);
      if (d === "") return "";
      if (paint !== "fill")
        return tag("path", { d, fill: "none", stroke: zoneStyles[zone].shade, "stroke-width": 4 });
      const rings = runs.map(({ places }) => placed(strip, places));
      return zonePaint(zone, d, rings);
    });
    found.set(zone, tag("g", { id: `beyond-${zone}` }, parts.join("")));
  }
  return found;
}

function cutSvg(number: number, points: { x: number; y: number }[]): string {
  const d = ringData(points, false);
  if (d === "") return "";
  const common = { d, fill: "none", "stroke-linejoin": "round" };
  return tag(
    "g",
    { id: `cut-${number}` },
    tag("path", { ...common, stroke: CUT_INK, "stroke-width": 2.5, "stroke-dasharray": CUT }),
  );
}
const ringsSvg = (number: number, list: readonly Crossing[], { x, y }: Strip): string =>
  list.length === 0
    ? ""
    : tag("g", { id: `crossings-${number}` }, list.map(({ theta, m }) => ringSvg(x(theta), y(m))).join(""));

function witnessSvg(runs: readonly Run[], strip: Strip): string {
  const points = runs.flatMap(({ places }) => placed(strip, places));
  if (points.length === 0) return "";
  const xs = points.map((p) => p.x);
  const ys = points.map((p) => p.y);
  return witnessMark((Math.min(...xs) + Math.max(...xs)) / 2, Math.min(...ys), Math.max(...ys));
}

/** Rim and base as lines with their names; how far off they are where they do not show, beside a narrow strip. */
function endsSvg(strip: Strip, edge: number, lettering: Lettering): string {
  const { rim, base, left, top, width, height, topM, bottomM, inkTop, inkBottom, y } = strip;
  const right = left + width;
  const far = (words: string, at: number): string => {
    const beside = right + 14 + lettering.width(words, SMALL) <= edge;
    const place = beside ? ({ x: right + 14 } as const) : ({ x: right - 12, anchor: "end" } as const);
    return text(lettering, words, { ...place, y: at, size: SMALL }, { fill: OUTSIDE, halo: 5 });
  };
  const end = (name: string, m: number | null): string => {
    if (m === null) return "";
    if (m < topM) return far(`${name} ${(inkTop - m).toFixed(1)} mm above the ink`, top + 28);
    if (m > bottomM) return far(`${name} ${(m - inkBottom).toFixed(1)} mm below the ink`, top + height - 10);
    const place = {
      x: right - 12,
      y: y(m) + (name === "rim" ? 28 : -10),
      size: SMALL,
      anchor: "end",
    } as const;
    return line(left, y(m), right, y(m), INK, 3) + text(lettering, name, place, { halo: 5 });
  };
  return tag("g", { id: "ends" }, end("rim", rim) + end("base", base));
}
