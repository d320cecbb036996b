/** The lines of the flat drawing that are known: crown line, rim, base, handle, seam; where, and how they are drawn. */
import type { Box } from "../../geometry/path.ts";
import { placeNear } from "../../plan/around.ts";
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { line, NARROW, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import type { Fit } from "./pagefit.ts";

export type LineName = "crown" | "rim" | "base" | "handle" | "seam";

/** A level line at b = at, or an upright one at a = at; mm on the flat. */
export interface KnownLine {
  readonly name: LineName;
  readonly level: boolean;
  readonly at: number;
}

/** The same on the page. */
export type DrawnLine = KnownLine;

/** Handle and seam whichever way round is nearer to the ink. */
export function knownLines({ job, ink: { box } }: Plan): KnownLine[] {
  const { belowRimMm, heightMm, handleDeg, seamDeg } = job.vessel;
  const list: KnownLine[] = [{ name: "crown", level: false, at: 0 }];
  if (belowRimMm !== undefined) {
    list.push({ name: "rim", level: true, at: -belowRimMm });
    if (heightMm !== undefined) list.push({ name: "base", level: true, at: heightMm - belowRimMm });
  }
  for (const [name, deg] of [
    ["handle", handleDeg],
    ["seam", seamDeg],
  ] as const) {
    const at = deg === undefined ? null : placeNear(job, deg, (box.minX + box.maxX) / 2);
    if (at !== null) list.push({ name, level: false, at });
  }
  return list;
}

/** Those that the page has room for. */
export function linesOnPage(
  known: readonly KnownLine[],
  { reduction, originX, originY, room }: Fit,
): DrawnLine[] {
  return known.flatMap((one) => {
    const at = (one.level ? originY : originX) + one.at / reduction;
    const [from, long] = one.level ? [room.y, room.height] : [room.x, room.width];
    return at >= from - 1e-6 && at <= from + long + 1e-6 ? [{ ...one, at }] : [];
  });
}

/** Everything that is drawn, without labels and dimensions. */
export function drawnBox(ink: Box, lines: readonly DrawnLine[]): Box {
  const levels = lines.filter((one) => one.level).map((one) => one.at);
  const uprights = lines.filter((one) => !one.level).map((one) => one.at);
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
const dashes: Record<LineName, readonly number[] | undefined> = {
  crown: [6, 0.8, 0.6, 0.8],
  rim: undefined,
  base: undefined,
  handle: [6, 0.8, 0.6, 0.8, 0.6, 0.8],
  seam: [3, 0.9],
};
const labels: Record<LineName, string> = {
  crown: "crown line",
  rim: "rim",
  base: "base",
  handle: "handle",
  seam: "seam",
};

/** Level lines with the label at their right end, upright ones with it above; the crown line goes down to `crownTo`. */
export function lineItems(
  lines: readonly DrawnLine[],
  box: Box,
  crownTo: number,
  lettering: Lettering,
): PageItem[] {
  const middle = (box.minX + box.maxX) / 2;
  const left = Math.min(box.minX - PAST, middle - 20);
  const right = Math.max(box.maxX + PAST, middle + 20);
  const levels = lines
    .filter((one) => one.level)
    .flatMap(({ name, at }) => [
      line(left, at, right, at, WIDE),
      text(labels[name], right + 1.2, at + 0.36 * LABEL, LABEL),
    ]);
  const top = box.minY - PAST;
  const uprights = lines.filter((one) => !one.level).sort((a, b) => a.at - b.at);
  const places = apart(uprights.map(({ name, at }) => [at, lettering.width(labels[name], LABEL) + 2]));
  return [
    ...levels,
    ...uprights.flatMap(({ name, at }, i) => [
      line(
        at,
        top,
        at,
        name === "crown" ? Math.max(box.maxY + PAST, crownTo) : box.maxY + PAST,
        NARROW,
        dashes[name],
      ),
      line(at, top, places[i]!, top - LEADER),
      text(labels[name], places[i]!, top - LEADER - 0.8, LABEL, { anchor: "middle" }),
    ]),
  ];
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
