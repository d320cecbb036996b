/**
 * Best focus (model §8): the δ that makes the smallest relative fluence over the ink as large as it can be,
 * with all ink inside the usable depth where some δ allows that. Each point's φ(δ) has one hump, so their
 * minimum has one too and golden section finds it.
 *
 * Where no δ reaches all ink, δ is as deep as the ink nearest the crown allows: that leaves the widest strip
 * around the crown line usable, where chasing the far edge would lose the middle as well. Ink that begins
 * within a twentieth of the depth below the crown counts as beginning on it, so that the crown stays usable.
 */
import type { Spot } from "../beam/spot.ts";
import { evalCubic } from "../geometry/cubic.ts";
import { maximise } from "../geometry/roots.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Surface } from "../vessel/surface.ts";
import { Warp } from "../warp/warp.ts";
import { falloffRange } from "./falloff.ts";
import type { Ink } from "./ink.ts";

/** Flat points a₀ b₀ a₁ b₁ … on the ink's outlines that decide focus and falloff. */
export type InkPoints = Float64Array;

const BINS = 1024;
const NEAR_CROWN = 0.05;
const ON_CROWN = 0.001;

/**
 * Outlines sampled at least once in each of 1024 columns they cross; of each column the points furthest left,
 * right, up and down are kept. φ falls with |b|, so its least value over an area is met on the outline.
 */
export function inkPoints(ink: Ink): InkPoints {
  const { minX, maxX } = ink.box;
  const width = Math.max(maxX - minX, 1e-9);
  const columns = Array.from({ length: BINS }, () => null as Float64Array | null);
  const out = new Float64Array(4);
  const keep = (a: number, b: number): void => {
    const i = Math.min(BINS - 1, Math.max(0, Math.floor(((a - minX) / width) * BINS)));
    const c = columns[i] ?? Float64Array.of(a, b, a, b, a, b, a, b);
    columns[i] = c;
    const put = (at: number): void => {
      c[at] = a;
      c[at + 1] = b;
    };
    if (a < c[0]!) put(0);
    if (a > c[2]!) put(2);
    if (b < c[5]!) put(4);
    if (b > c[7]!) put(6);
  };
  for (const shape of ink.shapes) {
    for (const c of shape.path.contours) {
      for (let k = 0; k < c.straight.length; k++) {
        const i = 6 * k;
        const p = c.points;
        const wide =
          Math.max(p[i]!, p[i + 2]!, p[i + 4]!, p[i + 6]!) - Math.min(p[i]!, p[i + 2]!, p[i + 4]!, p[i + 6]!);
        const n = Math.ceil((wide / width) * BINS) + (c.straight[k] ? 1 : 4);
        for (let j = 0; j <= n; j++) {
          evalCubic(p, i, j / n, out);
          keep(out[0]!, out[1]!);
        }
      }
    }
  }
  const points: number[] = [];
  for (const c of columns) if (c) points.push(...c);
  return Float64Array.from(points);
}

/** Smallest and largest drop over the points that face the lens (mm). */
export function dropRange(surface: Surface, points: InkPoints): { least: number; most: number } {
  const out = new Float64Array(12);
  let least = Infinity;
  let most = 0;
  for (let i = 0; i < points.length; i += 2) {
    if (!(Math.abs(points[i]!) < surface.halfWidth)) continue;
    surface.at(points[i]!, points[i + 1]!, out);
    if (!(out[11]! > 0)) continue;
    least = Math.min(least, out[2]!);
    most = Math.max(most, out[2]!);
  }
  // An outline that crosses the crown line is sampled beside it, never quite on it.
  return least <= most ? { least: least < ON_CROWN ? 0 : least, most } : { least: 0, most: 0 };
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
  const lowest = most - usableDepthMm;
  const deepest = least + usableDepthMm;
  if (lowest >= deepest) return least < NEAR_CROWN * usableDepthMm ? usableDepthMm : deepest;
  const smallest = (belowCrown: number) =>
    falloffRange(new Warp(surface, { ...head, belowCrown }), spot, points).min;
  // Outside the ink's own drops both crown and edge only get worse.
  return maximise(smallest, Math.max(lowest, least), Math.min(deepest, Math.max(most, least)), 1e-7);
}
