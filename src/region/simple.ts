/** Whether an outline crosses or touches itself nowhere. */
import { Cells } from "./crowd/cells.ts";
import { Crossings } from "./crowd/crossings.ts";
import { Edges } from "./crowd/edges.ts";
import { Outlines } from "./crowd/outlines.ts";

/** In outlines of more edges not all pairs are looked at. */
const mostEdges = 64;
/** Cells that edges pass through on average, and pairs in them for each: more are not looked at. */
const mostInCells = 16;
const mostPairs = 64;

/**
 * Whether the polygon of the vertices `from` to before `to`, whole numbers below 2^25, is simple for certain: no two of
 * its edges meet but next ones at their corner. The sides of points to lines are exact. Where there are many edges,
 * false as well where some come within two steps of each other.
 */
export function isSimple(x: Int32Array, y: Int32Array, from: number, to: number): boolean {
  const n = to - from;
  if (n < 3) return false;
  if (isStar(x, y, from, to)) return true;
  if (n > mostEdges) return crossesNowhere(x, y, from, to);
  for (let a = from; a < to; a++) {
    const b = a + 1 < to ? a + 1 : from;
    const ax = x[a]!;
    const ay = y[a]!;
    const ux = x[b]! - ax;
    const uy = y[b]! - ay;
    const left = Math.min(ax, x[b]!);
    const right = Math.max(ax, x[b]!);
    const low = Math.min(ay, y[b]!);
    const high = Math.max(ay, y[b]!);
    for (let c = a + 1; c < to; c++) {
      const d = c + 1 < to ? c + 1 : from;
      const apart =
        (x[c]! < left && x[d]! < left) ||
        (x[c]! > right && x[d]! > right) ||
        (y[c]! < low && y[d]! < low) ||
        (y[c]! > high && y[d]! > high);
      if (apart) continue;
      const sideC = ux * (y[c]! - ay) - uy * (x[c]! - ax);
      const sideD = ux * (y[d]! - ay) - uy * (x[d]! - ax);
      const vx = x[d]! - x[c]!;
      const vy = y[d]! - y[c]!;
      if (c === b || d === a) {
        // Next to each other: they meet elsewhere only where one goes back along the other.
        if (sideC === 0 && sideD === 0 && ux * vx + uy * vy <= 0) return false;
      } else if (sideC * sideD <= 0) {
        const sideA = vx * (ay - y[c]!) - vy * (ax - x[c]!);
        const sideB = vx * (y[b]! - y[c]!) - vy * (x[b]! - x[c]!);
        if (sideA * sideB <= 0) return false;
      }
    }
  }
  return true;
}

/** By the cells of a grid: the outline grown outward and inward by up to a step. */
function crossesNowhere(x: Int32Array, y: Int32Array, from: number, to: number): boolean {
  const outline = new Outlines(to - from);
  outline.begin();
  for (let k = from; k < to; k++) outline.put(x[k]!, y[k]!, 0);
  const isClear = (): boolean => {
    const edges = new Edges(outline);
    const cells = new Cells(edges, mostInCells * edges.length);
    if (!cells.complete || cells.pairs() > mostPairs * edges.length) return false;
    return new Crossings(edges, cells, () => {}).length === 0;
  };
  if (!isClear()) return false;
  outline.reverse();
  return isClear();
}

/** Whether every edge goes around the vertices' middle in the same sense, and all of them once. */
function isStar(x: Int32Array, y: Int32Array, from: number, to: number): boolean {
  let sumX = 0;
  let sumY = 0;
  for (let k = from; k < to; k++) {
    sumX += x[k]!;
    sumY += y[k]!;
  }
  const mx = Math.round(sumX / (to - from));
  const my = Math.round(sumY / (to - from));
  let ux = x[to - 1]! - mx;
  let uy = y[to - 1]! - my;
  let sense = 0;
  let halves = 0;
  for (let k = from; k < to; k++) {
    const vx = x[k]! - mx;
    const vy = y[k]! - my;
    const cross = ux * vy - uy * vx;
    if (cross === 0 || cross * sense < 0) return false;
    sense = cross;
    if (uy < 0 !== vy < 0) halves++;
    ux = vx;
    uy = vy;
  }
  return halves === 2;
}
