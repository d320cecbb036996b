/** The whole way around as a strip: x along the girth at the placement point, y along the outline, one scale both ways. */
import type { Plan } from "../../plan/types.ts";
import type { Inked } from "./crossings.ts";
import { type Place, type Run, unrolled } from "./unrolled.ts";

/** A turn's ink unrolled, without its witness mark. */
export interface DrawnTurn {
  readonly inks: readonly Inked[];
  readonly witness: readonly Run[];
  /** Leftmost and rightmost ink (radians). */
  readonly from: number;
  readonly to: number;
}

export interface Strip {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** Pixels per mm. */
  readonly scale: number;
  /** mm for a radian. */
  readonly radius: number;
  /** What is shown (radians, mm). */
  readonly fromTheta: number;
  readonly toTheta: number;
  readonly topM: number;
  readonly bottomM: number;
  readonly inkTop: number;
  readonly inkBottom: number;
  /** Along the outline; null where they are not known. */
  readonly rim: number | null;
  readonly base: number | null;
  x(theta: number): number;
  y(m: number): number;
}

export function drawnTurns({ turns, warp }: Plan): DrawnTurn[] {
  return turns.map(({ ink, angle }, i) => {
    // The witness mark of a seam is the last shape of the turn on its left.
    const marked = turns[i + 1] !== undefined && turns[i + 1]!.aimMm !== null;
    const shapes = marked ? ink.shapes.slice(0, -1) : ink.shapes;
    const inks = shapes.map(({ path, paint }) => ({
      filled: paint === "fill",
      runs: unrolled(warp.surface, path, angle),
    }));
    const [from, to] = spanOf(inks, ({ theta }) => theta) ?? [angle, angle];
    const witness = marked ? unrolled(warp.surface, ink.shapes.at(-1)!.path, angle) : [];
    return { inks, witness, from, to };
  });
}

function spanOf(inks: readonly Inked[], of: (place: Place) => number): [number, number] | null {
  let [from, to] = [Infinity, -Infinity];
  for (const { runs } of inks)
    for (const { places } of runs)
      for (const place of places) {
        const v = of(place);
        if (v < from) from = v;
        if (v > to) to = v;
      }
  return from <= to ? [from, to] : null;
}

/** Kept free around the ink (mm), and the strip's height (px). */
const AROUND = 8;
const ABOVE = 6;
const MOST = 620;
const LEAST = 170;

/** In a room so wide. The strip ends at the rim and the base where there is room for them. */
export function stripOf(
  plan: Plan,
  drawn: readonly DrawnTurn[],
  left: number,
  top: number,
  room: number,
): Strip {
  const { parting } = plan;
  const radius = parting.rhoMm;
  const inkFrom = Math.min(...drawn.map(({ from }) => from));
  const inkTo = Math.max(...drawn.map(({ to }) => to));
  const pad = Math.max(AROUND / radius, 0.05 * (inkTo - inkFrom));
  const [fromTheta, toTheta] = parting.closing
    ? [Math.min(-Math.PI, inkFrom), Math.max(Math.PI, inkTo)]
    : [inkFrom - pad, inkTo + pad];
  const [inkTop, inkBottom] = spanOf(
    drawn.flatMap(({ inks, witness }) => [...inks, { filled: true, runs: witness }]),
    ({ m }) => m,
  ) ?? [0, 0];
  const ends = endsOf(plan);
  const fitting = room / (radius * (toTheta - fromTheta));
  const scale = Math.min(fitting, MOST / (inkBottom - inkTop + 2 * ABOVE));
  const height = (to: number, from: number): number => (to - from) * scale;
  // What is near is shown, what is far would leave the ink no room.
  const higher = Math.min(inkTop - ABOVE, (ends.rim ?? Infinity) - 0.4 * ABOVE);
  const lower = Math.max(inkBottom + ABOVE, (ends.base ?? -Infinity) + 0.4 * ABOVE);
  let [topM, bottomM] = [inkTop - ABOVE, inkBottom + ABOVE];
  if (height(lower, topM) <= MOST) bottomM = lower;
  if (height(bottomM, higher) <= MOST) topM = higher;
  const more = Math.max(0, LEAST / scale - (bottomM - topM)) / 2;
  [topM, bottomM] = [topM - more, bottomM + more];
  const width = scale * radius * (toTheta - fromTheta);
  const x0 = left + (room - width) / 2;
  return {
    left: x0,
    top,
    width,
    height: height(bottomM, topM),
    scale,
    radius,
    fromTheta,
    toTheta,
    topM,
    bottomM,
    inkTop,
    inkBottom,
    ...ends,
    x: (theta) => x0 + (theta - fromTheta) * radius * scale,
    y: (m) => top + (m - topM) * scale,
  };
}

function endsOf({ job, warp }: Plan): Pick<Strip, "rim" | "base"> {
  const { heightMm, belowRimMm } = job.vessel;
  const known = (below: number | undefined): number | null => {
    if (below === undefined || belowRimMm === undefined) return null;
    const m = warp.surface.meridian.arcAt(below - belowRimMm);
    return Number.isNaN(m) ? null : m;
  };
  return { rim: known(0), base: known(heightMm) };
}

/** Places as points of the picture. */
export const placed = (strip: Strip, places: readonly Place[]): { x: number; y: number }[] =>
  places.map(({ theta, m }) => ({ x: strip.x(theta), y: strip.y(m) }));
