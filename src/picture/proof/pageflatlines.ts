/** The lines of the flat drawing that are known: crown line, rim, base, handle, seam, joins; where, and how they are drawn. */
import type { Box } from "../../geometry/path.ts";
import { placeNear } from "../../plan/around.ts";
import { endsOf } from "../../plan/rim.ts";
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { line, NARROW, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { INK } from "../parts.ts";
import { fixed } from "../svg.ts";
import type { Fit } from "./pagefit.ts";
import { blockedLines } from "./pageflatareas.ts";
import { circleAt, isUpright, meridianAt } from "./pageflatcurves.ts";

export type LineName = "crown" | "rim" | "base" | "handle" | "seam" | "join" | "blocked";

/** A level line at b = at, or an upright one at a = at; mm on the flat. */
export interface KnownLine {
  readonly name: LineName;
  readonly level: boolean;
  readonly at: number;
  /** Where it runs if it is not straight (x y x y …), and how far that takes it about the ink, as other places like `at`. */
  readonly curve?: readonly number[];
  readonly also?: readonly number[];
}

/** The same on the page. */
export type DrawnLine = KnownLine;

/** All places that a line takes across its own way. */
export const placesOf = ({ at, also = [] }: KnownLine): readonly number[] => [at, ...also];

/** Handle and seam whichever way round is nearer to the ink; the joins between turns; what is near of blocked areas. */
export function knownLines(plan: Plan): KnownLine[] {
  const { job, ink, warp } = plan;
  const { box } = ink;
  const { belowRimMm, heightMm, handleDeg, seamDeg } = job.vessel;
  const list: KnownLine[] = [{ name: "crown", level: false, at: 0 }];
  const ends = endsOf(plan);
  if (belowRimMm !== undefined) {
    list.push(levelLine(plan, "rim", ends.rim));
    if (heightMm !== undefined) list.push(levelLine(plan, "base", ends.base));
  }
  for (const [name, deg] of [
    ["handle", handleDeg],
    ["seam", seamDeg],
  ] as const) {
    const at = deg === undefined ? null : placeNear(job, deg, (box.minX + box.maxX) / 2);
    if (at !== null) list.push(uprightLine(plan, name, at));
  }
  for (const { points } of plan.parting.cuts) {
    const curve = [...points];
    const xs = curve.filter((_, i) => i % 2 === 0);
    if (xs.length > 0) list.push({ name: "join", level: false, at: xs[0]!, curve });
  }
  return [...list, ...blockedLines(plan, warp.surface)];
}

/** Rim or base: `end` as ink is compared with it (plan/rim.ts). */
function levelLine({ warp: { surface }, ink: { box } }: Plan, name: "rim" | "base", end: number): KnownLine {
  const { chart, meridian } = surface;
  const m = chart.fidelity === "sight" ? meridian.arcAt(end) : end;
  const flat = new Float64Array(2);
  if (Number.isNaN(m) || !chart.from(0, m, flat)) return { name, level: true, at: end };
  const curve = circleAt(surface, m);
  if (!curve) return { name, level: true, at: flat[1]! };
  return { name, level: true, at: flat[1]!, curve, also: extremes(curve, 0, box.minX, box.maxX) };
}

/** A meridian whose place in the placement point's row is known. */
function uprightLine({ warp: { surface }, ink: { box } }: Plan, name: LineName, at: number): KnownLine {
  const place = new Float64Array(6);
  const { chart, meridian } = surface;
  if (isUpright(surface) || !chart.to(at, 0, place)) return { name, level: false, at };
  const over = 0.5 * (box.maxY - box.minY) + 40;
  const [from, to] = [Math.max(meridian.from, box.minY - over), Math.min(meridian.to, box.maxY + over)];
  const curve = meridianAt(surface, place[0]!, from, to);
  return curve
    ? { name, level: false, at, curve, also: extremes(curve, 1, box.minY, box.maxY) }
    : { name, level: false, at };
}

/** Least and most of a curve's other coordinate where `of` (0: x, 1: y) lies between two values. */
function extremes(curve: readonly number[], of: 0 | 1, from: number, to: number): number[] {
  const found: number[] = [];
  for (let i = 0; i < curve.length; i += 2)
    if (curve[i + of]! >= from && curve[i + of]! <= to) found.push(curve[i + 1 - of]!);
  return found.length > 0 ? [Math.min(...found), Math.max(...found)] : [];
}

/** Those that the page has room for; of a curve what lies there. */
export function linesOnPage(
  known: readonly KnownLine[],
  { reduction, originX, originY, room }: Fit,
): DrawnLine[] {
  const x = (a: number): number => originX + a / reduction;
  const y = (b: number): number => originY + b / reduction;
  return known.flatMap((one) => {
    const on = one.level ? y : x;
    const at = on(one.at);
    const [from, long] = one.level ? [room.y, room.height] : [room.x, room.width];
    if (!(at >= from - 1e-6 && at <= from + long + 1e-6)) return [];
    return [
      {
        ...one,
        at,
        ...(one.also ? { also: one.also.map(on) } : {}),
        ...(one.curve ? { curve: one.curve.map((v, i) => (i % 2 === 0 ? x(v) : y(v))) } : {}),
      },
    ];
  });
}

/** Everything that is drawn, without labels and dimensions. */
export function drawnBox(ink: Box, lines: readonly DrawnLine[]): Box {
  const levels = lines.filter((one) => one.level).flatMap(placesOf);
  const uprights = lines.filter((one) => !one.level).flatMap(placesOf);
  return {
    minX: Math.min(ink.minX, ...uprights),
    maxX: Math.max(ink.maxX, ...uprights),
    minY: Math.min(ink.minY, ...levels),
    maxY: Math.max(ink.maxY, ...levels),
  };
}

/** How far lines go past what they belong to. */
const PAST = 4;
const LABEL = 3.5;
/** From the end of an upright line up to its label, over which a leader may lean. */
const LEADER = 2.2;
/** What the upright lines and their labels take above the drawing. */
export const LABELS = PAST + LEADER + 1.2 * LABEL + 1;

/** ISO 128: long-dash dotted for the crown line, with double dots for a neighbour's part, dashed for what is behind. */
const dashes: Partial<Record<LineName, readonly number[]>> = {
  crown: [6, 0.8, 0.6, 0.8],
  handle: [6, 0.8, 0.6, 0.8, 0.6, 0.8],
  seam: [3, 0.9],
  join: [0.6, 0.8],
};
const labels: Partial<Record<LineName, string>> = {
  crown: "crown line",
  rim: "rim",
  base: "base",
  handle: "handle",
  seam: "seam",
  join: "join",
};

/** Level lines with the label at their right end, upright ones with it above; the crown line goes down to `crownTo`. */
export function lineItems(
  lines: readonly DrawnLine[],
  box: Box,
  crownTo: number,
  lettering: Lettering,
): PageItem[] {
  const named = lines.filter(({ name }) => labels[name] !== undefined);
  const middle = (box.minX + box.maxX) / 2;
  const left = Math.min(box.minX - PAST, middle - 20);
  const right = Math.max(box.maxX + PAST, middle + 20);
  const levels = named
    .filter((one) => one.level)
    .flatMap(({ name, at, curve }) => {
      const part = curve ? within(curve, { minX: left, maxX: right, minY: -1e6, maxY: 1e6 }) : null;
      const end = part ? part.at(-1)! : at;
      return [
        part ? curveItem(part, WIDE) : line(left, at, right, at, WIDE),
        text(labels[name]!, (part?.at(-2) ?? right) + 1.2, end + 0.36 * LABEL, LABEL),
      ];
    });
  const top = box.minY - PAST;
  const shown = { minX: -1e6, maxX: 1e6, minY: top, maxY: box.maxY + PAST };
  const uprights = named
    .filter((one) => !one.level)
    .map((one) => {
      const part = one.curve ? within(one.curve, shown) : null;
      return { ...one, part, at: part?.[0] ?? one.at, from: part?.[1] ?? top };
    })
    .sort((a, b) => a.at - b.at);
  const places = apart(uprights.map(({ name, at }) => [at, lettering.width(labels[name]!, LABEL) + 2]));
  return [
    ...levels,
    ...uprights.flatMap(({ name, at, part, from }, i) => [
      part
        ? curveItem(part, NARROW, dashes[name])
        : line(
            at,
            top,
            at,
            name === "crown" ? Math.max(box.maxY + PAST, crownTo) : shown.maxY,
            NARROW,
            dashes[name],
          ),
      ...(part && from > top ? [line(at, from, at, top, NARROW, dashes[name])] : []),
      line(at, top, places[i]!, top - LEADER),
      text(labels[name]!, places[i]!, top - LEADER - 0.8, LABEL, { anchor: "middle" }),
    ]),
  ];
}

/** The points of a curve that lie in a box; its ends are no farther from the box's than the curve's own steps. */
function within(curve: readonly number[], { minX, maxX, minY, maxY }: Box): readonly number[] | null {
  const part: number[] = [];
  for (let i = 0; i < curve.length; i += 2) {
    const [x, y] = [curve[i]!, curve[i + 1]!];
    if (x >= minX && x <= maxX && y >= minY && y <= maxY) part.push(x, y);
  }
  return part.length >= 4 ? part : null;
}

function curveItem(points: readonly number[], width: number, dash?: readonly number[]): PageItem {
  const d: string[] = [];
  for (let i = 0; i < points.length; i += 2) d.push(`${fixed(points[i]!, 4)} ${fixed(points[i + 1]!, 4)}`);
  return { kind: "path", d: `M${d.join("L")}`, fill: "none", stroke: INK, width, ...(dash ? { dash } : {}) };
}

/**
 * Middles of labels, each as near to its wanted place as goes without overlap, by pooling neighbours that would meet
 * (isotonic regression: R. E. Barlow et al., Statistical Inference under Order Restrictions, 1972).
 * `wanted`: place and width, by rising place.
 */
function apart(wanted: readonly (readonly [number, number])[]): number[] {
  let before = 0;
  const offsets = wanted.map(([, wide], i) => {
    if (i > 0) before += (wanted[i - 1]![1] + wide) / 2;
    return before;
  });
  const pools: { sum: number; n: number }[] = [];
  wanted.forEach(([at], i) => {
    let pool = { sum: at - offsets[i]!, n: 1 };
    for (let last = pools.at(-1); last && last.sum / last.n > pool.sum / pool.n; last = pools.at(-1)) {
      pool = { sum: pool.sum + last.sum, n: pool.n + last.n };
      pools.pop();
    }
    pools.push(pool);
  });
  return pools.flatMap(({ sum, n }) => Array<number>(n).fill(sum / n)).map((v, i) => v + offsets[i]!);
}
