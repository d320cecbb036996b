/** Polygons and boxes in groups that keep apart: no box of one group meets a box of another. */
import type { Path64, Paths64 } from "clipper2-ts";
import { SHEAR } from "./grid.ts";

/** More bands than this at a time are taken for one. */
const mostBands = 20_000;

/** Touching intervals of y as one, on the line that sweeps along x; what ended before it is dropped when met. */
interface Band {
  lo: number;
  hi: number;
  /** Where the last of its boxes ends. */
  end: number;
  readonly group: number[];
}

/** Groups of polygons by their indices; see `separate`. */
export function separatePolygons(paths: Paths64): number[][] {
  if (paths.length === 1) return [[0]];
  const boxes = new Float64Array(4 * paths.length);
  paths.forEach((path, i) => {
    boxOf(path, boxes, 4 * i);
  });
  return separate(boxes);
}

/**
 * Indices of boxes (four numbers each: minX, minY, maxX, maxY) by group, each in its order; groups by their first.
 * Boxes that touch are together; some that do not may be.
 */
export function separate(boxes: Float64Array): number[][] {
  const order = Array.from({ length: boxes.length / 4 }, (_, i) => i);
  order.sort((a, b) => boxes[4 * a]! - boxes[4 * b]!);
  const groups = new Set<number[]>();
  // Bands from low to high; none meets another.
  const bands: Band[] = [];
  let most = 1000;
  for (const i of order) {
    const x = boxes[4 * i]!;
    const [lo, end, hi] = [boxes[4 * i + 1]!, boxes[4 * i + 2]!, boxes[4 * i + 3]!];
    const from = firstUpTo(bands, lo);
    let to = from;
    let band: Band = { lo, hi, end, group: [i] };
    while (to < bands.length && bands[to]!.lo <= hi) {
      const met = bands[to++]!;
      if (met.end >= x) band = joined(band, met, groups);
    }
    groups.add(band.group);
    bands.splice(from, to - from, band);
    if (bands.length <= most) continue;
    const alive = bands.filter((b) => b.end >= x);
    const kept = alive.length > mostBands ? [alive.reduce((a, b) => joined(a, b, groups))] : alive;
    bands.length = 0;
    for (const b of kept) bands.push(b);
    most = Math.min(mostBands, Math.max(1000, 2 * bands.length));
  }
  return [...groups].map((group) => group.sort((a, b) => a - b)).sort((a, b) => a[0]! - b[0]!);
}

/** The first band that reaches up to y. */
function firstUpTo(bands: readonly Band[], y: number): number {
  let [lo, hi] = [0, bands.length];
  while (lo < hi) {
    const middle = (lo + hi) >> 1;
    if (bands[middle]!.hi < y) lo = middle + 1;
    else hi = middle;
  }
  return lo;
}

/** Two bands as one: the smaller group goes into the larger. */
function joined(a: Band, b: Band, groups: Set<number[]>): Band {
  const [less, more] = a.group.length < b.group.length ? [a, b] : [b, a];
  for (const i of less.group) more.group.push(i);
  groups.delete(less.group);
  return {
    lo: Math.min(a.lo, b.lo),
    hi: Math.max(a.hi, b.hi),
    end: Math.max(a.end, b.end),
    group: more.group,
  };
}

function boxOf(path: Path64, out: Float64Array, at: number): void {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y: sheared } of path) {
    const y = sheared - SHEAR * x;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  out[at] = minX;
  out[at + 1] = minY;
  out[at + 2] = maxX;
  out[at + 3] = maxY;
}
