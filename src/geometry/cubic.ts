/**
 * Cubic Béziers packed as eight numbers x0 y0 x1 y1 x2 y2 x3 y3 at an offset of a larger array.
 *
 * B(t) = (1−t)³P0 + 3(1−t)²t P1 + 3(1−t)t² P2 + t³P3, t in [0, 1].
 */
import { gauss8 } from "./quadrature.ts";

/** Writes x, y, dx/dt, dy/dt into out[0..3]. */
export function evalCubic(p: Float64Array, i: number, t: number, out: Float64Array): void {
  const s = 1 - t;
  const x0 = p[i] as number,
    y0 = p[i + 1] as number;
  const x1 = p[i + 2] as number,
    y1 = p[i + 3] as number;
  const x2 = p[i + 4] as number,
    y2 = p[i + 5] as number;
  const x3 = p[i + 6] as number,
    y3 = p[i + 7] as number;
  const ax = s * x0 + t * x1,
    ay = s * y0 + t * y1;
  const bx = s * x1 + t * x2,
    by = s * y1 + t * y2;
  const cx = s * x2 + t * x3,
    cy = s * y2 + t * y3;
  const dx = s * ax + t * bx,
    dy = s * ay + t * by;
  const ex = s * bx + t * cx,
    ey = s * by + t * cy;
  // The ends are returned as given, so that joined segments stay joined and closed contours stay closed.
  out[0] = t === 0 ? x0 : t === 1 ? x3 : s * dx + t * ex;
  out[1] = t === 0 ? y0 : t === 1 ? y3 : s * dy + t * ey;
  out[2] = 3 * (ex - dx);
  out[3] = 3 * (ey - dy);
}

/** One segment's share of the signed area ½∮(x dy − y dx). */
export function areaTerm(p: Float64Array, i: number): number {
  const x0 = p[i] as number,
    y0 = p[i + 1] as number;
  const x1 = (p[i + 2] as number) - x0,
    y1 = (p[i + 3] as number) - y0;
  const x2 = (p[i + 4] as number) - x0,
    y2 = (p[i + 5] as number) - y0;
  const x3 = (p[i + 6] as number) - x0,
    y3 = (p[i + 7] as number) - y0;
  // Relative to P0, then the triangle from the origin to the chord.
  const bulge = (3 * (x1 * y2 - x2 * y1) + 3 * (x1 * y3 - x3 * y1) + 6 * (x2 * y3 - x3 * y2)) / 20;
  return bulge + (x0 * y3 - x3 * y0) / 2;
}

type Bounds = { minX: number; minY: number; maxX: number; maxY: number };

/** Grows a box by every segment of packed contour points (tight: by the extrema, not by the arms). */
export function cubicBounds(p: Float64Array, box: Bounds): void {
  const n = p.length;
  let { minX, minY, maxX, maxY } = box;
  for (let i = 0; i < n; i += 6) {
    const x = p[i]!;
    const y = p[i + 1]!;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  box.minX = minX;
  box.minY = minY;
  box.maxX = maxX;
  box.maxY = maxY;
  for (let i = 0; i + 7 < n; i += 6) {
    // Where the ends of its arms lie in the box, so does the segment.
    const inside =
      p[i + 2]! >= box.minX &&
      p[i + 2]! <= box.maxX &&
      p[i + 4]! >= box.minX &&
      p[i + 4]! <= box.maxX &&
      p[i + 3]! >= box.minY &&
      p[i + 3]! <= box.maxY &&
      p[i + 5]! >= box.minY &&
      p[i + 5]! <= box.maxY;
    if (!inside) growByExtrema(p, i, box);
  }
}

/** Grows a box by the points of a segment where it runs upright or level: the roots of its derivatives. */
function growByExtrema(p: Float64Array, i: number, box: Bounds): void {
  for (let axis = 0; axis < 2; axis++) {
    const p0 = p[i + axis]!;
    const p1 = p[i + axis + 2]!;
    const p2 = p[i + axis + 4]!;
    const p3 = p[i + axis + 6]!;
    const a = p3 - 3 * p2 + 3 * p1 - p0;
    const b = 2 * (p2 - 2 * p1 + p0);
    const c = p1 - p0;
    const root = Math.sqrt(Math.max(0, b * b - 4 * a * c));
    const q = -(b + (b < 0 ? -root : root)) / 2;
    for (const t of [q / a, c / q]) {
      if (!(t > 0 && t < 1)) continue;
      const s = 1 - t;
      const v = s * s * s * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t * t * t * p3;
      if (axis === 0) {
        box.minX = Math.min(box.minX, v);
        box.maxX = Math.max(box.maxX, v);
      } else {
        box.minY = Math.min(box.minY, v);
        box.maxY = Math.max(box.maxY, v);
      }
    }
  }
}

/** Length of a contour's curves, 8-point Gauss quadrature on each segment. */
export function contourLength(contour: {
  readonly points: Float64Array;
  readonly straight: Uint8Array;
}): number {
  const p = contour.points;
  const out = new Float64Array(4);
  let length = 0;
  for (let k = 0; k < contour.straight.length; k++) {
    const i = 6 * k;
    if (contour.straight[k]) {
      length += Math.hypot(
        (p[i + 6] as number) - (p[i] as number),
        (p[i + 7] as number) - (p[i + 1] as number),
      );
      continue;
    }
    for (let g = 0; g < 8; g++) {
      evalCubic(p, i, gauss8.nodes[g] as number, out);
      length += (gauss8.weights[g] as number) * Math.hypot(out[2] as number, out[3] as number);
    }
  }
  return length;
}

/**
 * Chords of equal steps in t such that no point of a curve lies further than `tolerance` from its chord:
 * n² ≥ max|B″| / (8·tolerance), with |B″| ≤ 6·max|Pᵢ − 2Pᵢ₊₁ + Pᵢ₊₂|. The same for the reversed curve.
 */
export function flattenSteps(p: Float64Array, i: number, tolerance: number): number {
  const ax = (p[i] as number) - 2 * (p[i + 2] as number) + (p[i + 4] as number);
  const ay = (p[i + 1] as number) - 2 * (p[i + 3] as number) + (p[i + 5] as number);
  const bx = (p[i + 2] as number) - 2 * (p[i + 4] as number) + (p[i + 6] as number);
  const by = (p[i + 3] as number) - 2 * (p[i + 5] as number) + (p[i + 7] as number);
  const bend = Math.sqrt(Math.max(ax * ax + ay * ay, bx * bx + by * by));
  return Math.max(1, Math.ceil(Math.sqrt((6 * bend) / (8 * tolerance)) - 1e-9));
}

/** Pushes the polygon of one segment, its first point left out: chords within `tolerance` of the curve. */
export function flattenInto(
  p: Float64Array,
  i: number,
  straight: boolean,
  tolerance: number,
  push: (x: number, y: number) => void,
): void {
  const x3 = p[i + 6] as number,
    y3 = p[i + 7] as number;
  if (!straight) {
    const n = flattenSteps(p, i, tolerance);
    const out = new Float64Array(4);
    for (let k = 1; k < n; k++) {
      evalCubic(p, i, k / n, out);
      push(out[0] as number, out[1] as number);
    }
  }
  push(x3, y3);
}

/**
 * Pushes points along a contour, its first one included: curves by chords within `tolerance`, straight pieces by steps of
 * at most `step` (Infinity: their ends alone), for whoever looks at them where straight lines bend.
 */
export function walkContour(
  { points: p, straight }: { readonly points: Float64Array; readonly straight: Uint8Array },
  tolerance: number,
  step: number,
  push: (x: number, y: number) => void,
): void {
  push(p[0] as number, p[1] as number);
  for (let k = 0; k < straight.length; k++) {
    const i = 6 * k;
    if (!straight[k]) {
      flattenInto(p, i, false, tolerance, push);
      continue;
    }
    const [x, y] = [p[i] as number, p[i + 1] as number];
    const [dx, dy] = [(p[i + 6] as number) - x, (p[i + 7] as number) - y];
    const n = Math.max(1, Math.ceil(Math.hypot(dx, dy) / step));
    for (let j = 1; j < n; j++) push(x + (dx * j) / n, y + (dy * j) / n);
    push(p[i + 6] as number, p[i + 7] as number);
  }
}

/** The part of a cubic between two parameters, as eight numbers in `out`; by blossoming, exact up to rounding. */
export function subCubic(
  p: Float64Array,
  i: number,
  t0: number,
  t1: number,
  out = new Float64Array(8),
): Float64Array {
  for (let k = i; k < i + 2; k++) {
    out[k - i] = t0 === 0 ? p[k]! : blossom(p, k, t0, t0, t0);
    out[k - i + 2] = blossom(p, k, t0, t0, t1);
    out[k - i + 4] = blossom(p, k, t0, t1, t1);
    out[k - i + 6] = t1 === 1 ? p[k + 6]! : blossom(p, k, t1, t1, t1);
  }
  return out;
}

/** One coordinate of a cubic's polar form. */
function blossom(p: Float64Array, k: number, u: number, v: number, w: number): number {
  const a = p[k]! + (p[k + 2]! - p[k]!) * u;
  const b = p[k + 2]! + (p[k + 4]! - p[k + 2]!) * u;
  const c = p[k + 4]! + (p[k + 6]! - p[k + 4]!) * u;
  const d = a + (b - a) * v;
  const e = b + (c - b) * v;
  return d + (e - d) * w;
}
