/**
 * Filled outlines as chords, and where a polyline is inside them: on the outlines themselves, not on a raster. Lengths
 * mm. A place along a polyline is a number: piece k at its parameter t is k + t.
 */
import { flattenInto } from "../../geometry/cubic.ts";
import { type Box, type Contour, type Path, pathBounds } from "../../geometry/path.ts";

/** One area by even-odd, bounded by chords x0 y0 x1 y1. */
export interface Patch {
  readonly path: Path<"flat">;
  readonly box: Box;
  readonly chords: Float64Array;
  /** The contour of the path that each chord is of. */
  readonly contour: Int32Array;
}

/** How closely chords follow a curve (mm): a twentieth of what the marking is held to. */
const CHORD = 1e-4;
/** Places closer than this share of a piece are one. */
const SAME = 1e-9;

/** null for a path without closed contours. */
export function patchOf(path: Path<"flat">): Patch | null {
  const box = pathBounds(path);
  const chords: number[] = [];
  const contour: number[] = [];
  path.contours.forEach((c, i) => {
    if (!c.closed) return;
    eachChord(c, (x0, y0, x1, y1) => {
      chords.push(x0, y0, x1, y1);
      contour.push(i);
    });
  });
  if (!box || chords.length === 0) return null;
  return { path, box, chords: Float64Array.from(chords), contour: Int32Array.from(contour) };
}

export function eachChord(
  { points: p, straight }: Contour<"flat">,
  put: (x0: number, y0: number, x1: number, y1: number) => void,
): void {
  let [x0, y0] = [p[0]!, p[1]!];
  for (let k = 0; k < straight.length; k++) {
    flattenInto(p, 6 * k, straight[k] === 1, CHORD, (x, y) => {
      put(x0, y0, x, y);
      x0 = x;
      y0 = y;
    });
  }
}

export const meets = (a: Box, b: Box): boolean =>
  a.minX <= b.maxX && a.maxX >= b.minX && a.minY <= b.maxY && a.maxY >= b.minY;

export const grown = (b: Box, by: number): Box => ({
  minX: b.minX - by,
  minY: b.minY - by,
  maxX: b.maxX + by,
  maxY: b.maxY + by,
});

export interface Crossings {
  /** As parameters of the piece, ascending, even in number. */
  readonly at: number[];
  /** Whether a chord's end lies on the line. */
  readonly touched: boolean;
}

/**
 * Where the line through a piece crosses a patch's chords. The whole line is asked, so that they are even in number
 * whatever lies on its ends; chords on the line count as lying to its right. `each` is told of every crossing.
 */
export function crossings(
  { chords: c, contour }: Patch,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  each?: (contour: number, t: number) => void,
): Crossings {
  const [dx, dy] = [x1 - x0, y1 - y0];
  const squared = dx * dx + dy * dy;
  const at: number[] = [];
  let touched = false;
  if (!(squared > 0)) return { at, touched };
  for (let i = 0; i < c.length; i += 4) {
    const [ax, ay, bx, by] = [c[i]! - x0, c[i + 1]! - y0, c[i + 2]! - x0, c[i + 3]! - y0];
    const a = dx * ay - dy * ax;
    const b = dx * by - dy * bx;
    if (a === 0) touched = true;
    if (a >= 0 === b >= 0) continue;
    const u = a / (a - b);
    const t = ((ax + u * (bx - ax)) * dx + (ay + u * (by - ay)) * dy) / squared;
    at.push(t);
    each?.(contour[i / 4]!, t);
  }
  return { at: at.sort((p, q) => p - q), touched };
}

/** The parts of a piece inside a patch and not only along its edge: pairs of t from and to. */
function insideOne(patch: Patch, x0: number, y0: number, x1: number, y1: number): [number, number][] {
  const { at, touched } = crossings(patch, x0, y0, x1, y1);
  const parts = pairs(at);
  if (!touched || parts.length === 0) return parts;
  // The other way round, chords on the line count as lying to its left: what is inside by both is inside.
  const other = pairs(
    crossings(patch, x1, y1, x0, y0)
      .at.map((t) => 1 - t)
      .reverse(),
  );
  return parts.flatMap(([from, to]) =>
    other.flatMap(([a, b]): [number, number][] => {
      const [lo, hi] = [Math.max(from, a), Math.min(to, b)];
      return hi > lo ? [[lo, hi]] : [];
    }),
  );
}

/** Cut to 0 … 1. */
function pairs(at: readonly number[]): [number, number][] {
  const parts: [number, number][] = [];
  for (let i = 0; i + 1 < at.length; i += 2) {
    const [from, to] = [Math.max(0, at[i]!), Math.min(1, at[i + 1]!)];
    if (to > from) parts.push([from, to]);
  }
  return parts;
}

/** The parts of a piece inside any of the patches, t from and to in turn, ascending and apart. */
export function insideOf(
  patches: readonly Patch[],
  x0: number,
  y0: number,
  x1: number,
  y1: number,
): number[] {
  const [minX, maxX] = x0 < x1 ? [x0, x1] : [x1, x0];
  const [minY, maxY] = y0 < y1 ? [y0, y1] : [y1, y0];
  const parts: [number, number][] = [];
  for (const patch of patches) {
    const { box } = patch;
    if (box.minX > maxX || box.maxX < minX || box.minY > maxY || box.maxY < minY) continue;
    for (const part of insideOne(patch, x0, y0, x1, y1)) parts.push(part);
  }
  parts.sort((p, q) => p[0] - q[0]);
  const joined: number[] = [];
  for (const [from, to] of parts) {
    if (joined.length > 0 && from <= joined.at(-1)! + SAME) {
      joined[joined.length - 1] = Math.max(to, joined.at(-1)!);
    } else joined.push(from, to);
  }
  return joined;
}

/** Length of a piece inside any of the patches. */
export function inkLength(patches: readonly Patch[], x0: number, y0: number, x1: number, y1: number): number {
  const parts = insideOf(patches, x0, y0, x1, y1);
  let sum = 0;
  for (let i = 0; i < parts.length; i += 2) sum += parts[i + 1]! - parts[i]!;
  return sum * Math.hypot(x1 - x0, y1 - y0);
}

/** The runs of a polyline inside the patches, each from one place to another; a run may go on over bends. */
export function runsInside(patches: readonly Patch[], points: ArrayLike<number>): [number, number][] {
  const runs: [number, number][] = [];
  for (let k = 0; 2 * k + 3 < points.length; k++) {
    const i = 2 * k;
    const parts = insideOf(patches, points[i]!, points[i + 1]!, points[i + 2]!, points[i + 3]!);
    for (let j = 0; j < parts.length; j += 2) {
      const [from, to] = [k + parts[j]!, k + parts[j + 1]!];
      const last = runs.at(-1);
      if (last && from - last[1] <= SAME) last[1] = to;
      else runs.push([from, to]);
    }
  }
  return runs;
}

/** The point at a place along a polyline. */
export function pointAt(points: ArrayLike<number>, place: number): [number, number] {
  const k = Math.min(Math.floor(place), points.length / 2 - 2);
  const t = place - k;
  const i = 2 * k;
  return [
    points[i]! + t * (points[i + 2]! - points[i]!),
    points[i + 1]! + t * (points[i + 3]! - points[i + 1]!),
  ];
}

/** Whether a point is inside a patch. */
export function covers({ box, chords: c }: Patch, x: number, y: number): boolean {
  if (x < box.minX || x > box.maxX || y < box.minY || y > box.maxY) return false;
  let inside = false;
  for (let i = 0; i < c.length; i += 4) {
    const [px, py, qx, qy] = [c[i]!, c[i + 1]!, c[i + 2]!, c[i + 3]!];
    if (py > y !== qy > y && x < px + ((y - py) / (qy - py)) * (qx - px)) inside = !inside;
  }
  return inside;
}

/** Whether a point is inside a closed polygon x0 y0 x1 y1 …, by even-odd. */
export function isIn(polygon: ArrayLike<number>, x: number, y: number): boolean {
  let inside = false;
  const n = polygon.length;
  let [px, py] = [polygon[n - 2]!, polygon[n - 1]!];
  for (let i = 0; i < n; i += 2) {
    const [qx, qy] = [polygon[i]!, polygon[i + 1]!];
    if (py > y !== qy > y && x < px + ((y - py) / (qy - py)) * (qx - px)) inside = !inside;
    px = qx;
    py = qy;
  }
  return inside;
}
