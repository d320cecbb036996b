/**
 * A cut on the flat: its path carried over from the plane of the way around, and lengthened at both ends along its
 * meridians until it parts everything there is. Lengths mm.
 */
import type { Box } from "../../geometry/path.ts";
import type { CutPath } from "./cutpath.ts";

/** (x, y) in the plane of the way around → (a, b) on the flat; null where the flat does not show the point. */
export type ToFlat = (x: number, y: number) => readonly [number, number] | null;

export interface Border {
  /** a₀ b₀ a₁ b₁ … from top to bottom. */
  readonly points: Float64Array;
  /** What lies left of it, as a closed polygon. */
  readonly left: Float64Array;
  readonly box: Box;
}

/** How closely the border follows the path's image (mm), and how often a piece is halved for it. */
const FOLLOWS = 1e-4;
const HALVINGS = 14;
/** From the end of a path back along its meridian, for its direction there (mm). */
const BACK = 0.01;
/** The border goes on beyond the ink by so much (mm). */
const BEYOND = 5;

/** A border that parts all within `box`, or null where the flat does not show the path at all. */
export function borderOf({ points: p }: CutPath, toFlat: ToFlat, box: Box): Border | null {
  const flat: number[] = [];
  for (let i = 0; i + 3 < p.length; i += 2) addPiece(flat, p[i]!, p[i + 1]!, p[i + 2]!, p[i + 3]!, toFlat);
  if (flat.length < 4) return null;
  const n = p.length;
  const up = direction(toFlat, p[0]!, p[1]!, -1);
  const down = direction(toFlat, p[n - 2]!, p[n - 1]!, 1);
  const [topA, topB] = [flat[0]!, flat[1]!];
  const [endA, endB] = flat.slice(-2) as [number, number];
  const points: number[] = [];
  const rise = Math.max(0, topB - (box.minY - BEYOND));
  const fall = Math.max(0, box.maxY + BEYOND - endB);
  if (rise > 0) points.push(topA - (rise * up[0]) / up[1], topB - rise);
  points.push(...flat);
  if (fall > 0) points.push(endA + (fall * down[0]) / down[1], endB + fall);
  const own = boxOf(points);
  const far = Math.min(own.minX, box.minX) - BEYOND;
  const left = Float64Array.from([...points, far, own.maxY, far, own.minY]);
  return { points: Float64Array.from(points), left, box: own };
}

function addPiece(flat: number[], x0: number, y0: number, x1: number, y1: number, toFlat: ToFlat): void {
  const at = (t: number): readonly [number, number] | null =>
    toFlat(t === 1 ? x1 : x0 + t * (x1 - x0), t === 1 ? y1 : y0 + t * (y1 - y0));
  let [from, to] = [0, 1];
  if (!at(0) && !at(1)) return;
  if (!at(0)) from = edge(at, 1, 0);
  if (!at(1)) to = edge(at, 0, 1);
  const first = at(from);
  if (first && (flat.at(-2) !== first[0] || flat.at(-1) !== first[1])) flat.push(...first);
  follow(flat, at, from, to, HALVINGS);
}

/** The last parameter that the flat shows on the way from one that it shows to one that it does not. */
function edge(at: (t: number) => unknown, shown: number, hidden: number): number {
  let [a, b] = [shown, hidden];
  for (let i = 0; i < 50; i++) {
    const middle = (a + b) / 2;
    if (at(middle)) a = middle;
    else b = middle;
  }
  return a;
}

/** Pushes the images after the one at t0 up to the one at t1. */
function follow(
  flat: number[],
  at: (t: number) => readonly [number, number] | null,
  t0: number,
  t1: number,
  halvings: number,
): void {
  const [p, q] = [at(t0), at(t1)];
  if (!p || !q) return;
  const bent = [1 / 4, 1 / 2, 3 / 4].some((s) => {
    const r = at(t0 + s * (t1 - t0));
    return r !== null && fromLine(p, q, r) > FOLLOWS / 2;
  });
  if (bent && halvings > 0) {
    const middle = (t0 + t1) / 2;
    follow(flat, at, t0, middle, halvings - 1);
    follow(flat, at, middle, t1, halvings - 1);
  } else flat.push(...q);
}

type Pair = readonly [number, number];

function fromLine(p: Pair, q: Pair, r: Pair): number {
  const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
  const length = Math.hypot(dx, dy);
  if (!(length > 0)) return Math.hypot(r[0] - p[0], r[1] - p[1]);
  return Math.abs(dx * (r[1] - p[1]) - dy * (r[0] - p[0])) / length;
}

/** Of a meridian's image at a path's end, away from the path; straight on where it is not shown or lies level. */
function direction(toFlat: ToFlat, x: number, y: number, outward: 1 | -1): Pair {
  const [end, back] = [toFlat(x, y), toFlat(x, y - outward * BACK)];
  if (!end || !back || Math.abs(end[1] - back[1]) < BACK / 10) return [0, outward];
  return [end[0] - back[0], end[1] - back[1]];
}

function boxOf(points: readonly number[]): Box {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (let i = 0; i < points.length; i += 2) {
    box.minX = Math.min(box.minX, points[i]!);
    box.maxX = Math.max(box.maxX, points[i]!);
    box.minY = Math.min(box.minY, points[i + 1]!);
    box.maxY = Math.max(box.maxY, points[i + 1]!);
  }
  return box;
}

/** The part of a closed polygon within a box (Sutherland & Hodgman 1974); parts may be joined along the box's edge. */
export function clipped(polygon: Float64Array, box: Box): number[] {
  let points = Array.from(polygon);
  for (const [axis, at, sign] of [
    [0, box.minX, 1],
    [0, box.maxX, -1],
    [1, box.minY, 1],
    [1, box.maxY, -1],
  ] as const) {
    const next: number[] = [];
    const n = points.length;
    for (let i = 0; i < n; i += 2) {
      const j = (i + 2) % n;
      const [p, q] = [sign * (points[i + axis]! - at), sign * (points[j + axis]! - at)];
      if (p >= 0) next.push(points[i]!, points[i + 1]!);
      if (p >= 0 === q >= 0) continue;
      const t = p / (p - q);
      const put = [
        points[i]! + t * (points[j]! - points[i]!),
        points[i + 1]! + t * (points[j + 1]! - points[i + 1]!),
      ];
      put[axis] = at;
      next.push(put[0]!, put[1]!);
    }
    points = next;
  }
  return points;
}
