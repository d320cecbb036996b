/**
 * Best focus (model §8): the δ that makes the smallest relative fluence over the ink as large as it can be,
 * with all ink inside the usable depth where some δ allows that. Each point's φ(δ) has one hump, so their
 * minimum has one too and golden section finds it.
 *
 * Where no δ reaches all ink, δ is as deep as the ink nearest the crown allows: that leaves the widest strip
 * around the crown line usable, where chasing the far edge would lose the middle as well; on a surface that is not the
 * same along its axis the δ with the most of the ink's points in depth. Ink that begins within a twentieth of the depth below the crown counts as beginning on it, so that the crown stays usable.
 */
import type { Spot } from "../beam/spot.ts";
import { maximise } from "../geometry/roots.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Job } from "../job/job.ts";
import type { Surface } from "../vessel/surface.ts";
import { Warp } from "../warp/warp.ts";
import { falloffRange } from "./falloff.ts";
import type { InkPoints } from "./inkpoints.ts";

/** Share of the usable depth within which ink begins on the crown (our own choice). */
const NEAR_CROWN = 0.05;
/** How far the samples' drops may be from the ink's own (mm). */
const BESIDE = 0.005;
/** A drop that is no drop (mm). */
const ON_CROWN = 0.001;

/** Smallest and largest drop over the points that face the lens (mm). */
export function dropRange(surface: Surface, points: InkPoints): { least: number; most: number } {
  const out = new Float64Array(12);
  let least = Infinity;
  let most = -Infinity;
  for (let i = 0; i < points.length; i += 2) {
    if (!surface.covers(points[i]!, points[i + 1]!)) continue;
    surface.at(points[i]!, points[i + 1]!, out);
    if (!(out[11]! > 0)) continue;
    least = Math.min(least, out[2]!);
    most = Math.max(most, out[2]!);
  }
  // An outline that crosses the crown line is sampled beside it, never quite on it.
  return least <= most ? { least: Math.abs(least) < ON_CROWN ? 0 : least, most } : { least: 0, most: 0 };
}

/** δ below the crown (mm) for the ink's points. */
export function bestFocus(
  surface: Surface,
  head: Omit<ScanHead, "belowCrown">,
  spot: Spot,
  usableDepthMm: number,
  points: InkPoints,
): number {
  const { least, most } = dropRange(surface, points);
  // Elsewhere than on a surface alike along its axis the deepest ink is looked at beside its very place.
  const slack = surface.alikeAlong ? 0 : BESIDE;
  const lowest = most - usableDepthMm + slack;
  const deepest = least + usableDepthMm - slack;
  if (lowest >= deepest) {
    if (!surface.alikeAlong) return mostUsable(surface, points, usableDepthMm, least);
    return least < NEAR_CROWN * usableDepthMm ? usableDepthMm : deepest;
  }
  const smallest = (belowCrown: number) =>
    falloffRange(new Warp(surface, { ...head, belowCrown }), spot, points).min;
  // Outside the ink's own drops both crown and edge only get worse.
  return maximise(smallest, Math.max(lowest, least), Math.min(deepest, Math.max(most, least)), 1e-7);
}

/** Cells of a grid over the points that each count once: outlines crowd, the area does not. */
const CELLS = 40;

/** The δ with the most of the points within the depth; of equals the highest. */
function mostUsable(surface: Surface, points: InkPoints, usableDepthMm: number, least: number): number {
  const at = new Float64Array(12);
  let [minA, minB, size] = [Infinity, Infinity, 0];
  for (let i = 0; i < points.length; i += 2) {
    minA = Math.min(minA, points[i]!);
    minB = Math.min(minB, points[i + 1]!);
  }
  for (let i = 0; i < points.length; i += 2) size = Math.max(size, points[i]! - minA, points[i + 1]! - minB);
  const cells = new Map<number, number>();
  for (let i = 0; i < points.length; i += 2) {
    const [a, b] = [points[i]!, points[i + 1]!];
    if (!surface.covers(a, b)) continue;
    surface.at(a, b, at);
    if (!(at[11]! > 0)) continue;
    cells.set(
      Math.floor((CELLS * (a - minA)) / size) * 2 * CELLS + Math.floor((CELLS * (b - minB)) / size),
      at[2]!,
    );
  }
  const drops = [...cells.values()].sort((p, q) => p - q);
  let [best, from, last] = [0, drops[0] ?? 0, 0];
  drops.forEach((drop, first) => {
    while (last < drops.length && drops[last]! <= drop + 2 * usableDepthMm) last++;
    if (last - first > best) [best, from] = [last - first, drop];
  });
  // What begins as good as there begins there: the crown is not given up for a hair.
  const [first = from] = drops;
  return (from - first <= NEAR_CROWN * usableDepthMm ? Math.min(first, least) : from) + usableDepthMm;
}

/** δ that a job asks for; `best` is worked out only where it is. */
export const wantedFocus = (focus: Job["focus"], best: () => number): number =>
  focus === "best" ? best() : focus === "crown" ? 0 : focus;
