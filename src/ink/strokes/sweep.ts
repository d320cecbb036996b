/**
 * A piece bent more tightly than half the width. The stroke is the union of its normals' segments (SVG 2, 13.5);
 * beyond the centre of curvature these cross, so the side there is no outline of it. On the outer side of the bend
 * the half strip is bounded by the side's curve; on the inner one it is swept: what lies between two normals near
 * each other is a quadrilateral, or two triangles where they cross.
 */

import { reversed } from "../../geometry/path.ts";
import { JobError } from "../../problem.ts";
import type { Nib } from "./corners.ts";
import { jetOf, type Piece } from "./piece.ts";
import { Pencil } from "./sheet.ts";
import type { Sides, Span } from "./sides.ts";

/** Sides of the outer half are cut where the piece has turned by this much (radians), so that they fit easily. */
const share = 1;
/** Each step reaches over its neighbours by this share of theirs, so that no slit is left between them. */
const over = 0.05;
/** Steps in t are not cut below this. */
const shortest = 1e-12;
/** One bend is not swept in more steps than this. */
const mostSteps = 100_000;

/**
 * Steps such that between two normals nothing leaves their polygon by more than the tolerance. Throws JobError
 * `too-many-segments`.
 */
function stepsOf(piece: Piece, inner: number, { h, tolerance }: Nib): { ts: number[]; turned: number[] } {
  // Turning by δ about a point at most h away leaves the chord by at most h δ²/8.
  const most = Math.min(0.4, Math.sqrt((8 * 0.4 * tolerance) / h));
  const ts = [0];
  const turned = [0];
  const split = (t0: number, t1: number, a: Float64Array, b: Float64Array): void => {
    const angle = Math.abs(Math.atan2(a[2]! * b[3]! - a[3]! * b[2]!, a[2]! * b[2]! + a[3]! * b[3]!));
    const half = (t0 + t1) / 2;
    const m = new Float64Array(6);
    jetOf(piece, half, m);
    if (ts.length > mostSteps) {
      throw new JobError(
        "too-many-segments",
        `a bend of a stroke takes more than ${mostSteps} steps`,
        "simplify the line, or expand it to an outline in the drawing program",
      );
    }
    if (t1 - t0 > shortest && (angle > most || strays(a, m, b, inner, tolerance))) {
      split(t0, half, a, m);
      split(half, t1, m, b);
      return;
    }
    ts.push(t1);
    turned.push(turned[turned.length - 1]! + angle);
  };
  const a = new Float64Array(6);
  const b = new Float64Array(6);
  jetOf(piece, 0, a);
  jetOf(piece, 1, b);
  split(0, 1, a, b);
  return { ts, turned };
}

/** Whether the far end of the middle normal is too far from the chord of the other two's. */
function strays(
  a: Float64Array,
  m: Float64Array,
  b: Float64Array,
  inner: number,
  tolerance: number,
): boolean {
  const ax = a[0]! - a[3]! * inner;
  const ay = a[1]! + a[2]! * inner;
  const cx = b[0]! - b[3]! * inner - ax;
  const cy = b[1]! + b[2]! * inner - ay;
  const px = m[0]! - m[3]! * inner - ax;
  const py = m[1]! + m[2]! * inner - ay;
  const length2 = cx * cx + cy * cy;
  const t = length2 > 0 ? Math.max(0, Math.min(1, (px * cx + py * cy) / length2)) : 0;
  return Math.hypot(px - t * cx, py - t * cy) > 0.4 * tolerance;
}

export function sweep(piece: Piece, nib: Nib, sides: Sides): void {
  const { sheet, h } = nib;
  // The centre of curvature is on the side of +N where the curvature is positive.
  const inner = piece.tight * h;
  const { ts, turned } = stepsOf(piece, inner, nib);
  outerHalf(piece, -inner, ts, turned, nib, sides);
  const normals = ts.map((t) => normal(piece, t, inner));
  const steps = normals.slice(1).map((b, k) => between(normals[k]!, b));
  const last = steps.length;
  for (let k = 0; k < last; ) {
    const begun = k;
    const { way, crosses } = steps[k]!;
    do k++;
    while (k < last && steps[k]!.way === way && steps[k]!.crosses === crosses);
    run(normals.slice(begun, k + 1), steps.slice(begun, k), sheet);
    if (k === last) break;
    // Laid over the seam to the next run, so that rounding leaves no slit.
    const a = normal(piece, ts[k]! - over * (ts[k]! - ts[k - 1]!), inner);
    const b = normal(piece, ts[k]! + over * (ts[k + 1]! - ts[k]!), inner);
    run([a, b], [between(a, b)], sheet);
  }
}

/** From the line itself, the exact cubic, to its side at distance s. */
function outerHalf(
  piece: Piece,
  s: number,
  ts: number[],
  turned: number[],
  { sheet }: Nib,
  sides: Sides,
): void {
  const spans: Span[] = [];
  let begun = 0;
  for (let k = 1; k < ts.length; k++) {
    if (k + 1 < ts.length && turned[k + 1]! - turned[begun]! <= share) continue;
    spans.push({ piece, t0: ts[begun]!, t1: ts[k]! });
    begun = k;
  }
  const side = sides.fit(spans, s, false);
  const c = piece.c;
  if (s < 0) {
    new Pencil(sheet, c[6]!, c[7]!).cubic(c[4]!, c[5]!, c[2]!, c[3]!, c[0]!, c[1]!).along(side).close();
  } else {
    new Pencil(sheet, c[0]!, c[1]!)
      .cubic(c[2]!, c[3]!, c[4]!, c[5]!, c[6]!, c[7]!)
      .along(reversed(side))
      .close();
  }
}

/** The two ends of a normal's segment: inside the outer half, and at the inner side. */
type Normal = readonly [ax: number, ay: number, ex: number, ey: number];

function normal(piece: Piece, t: number, inner: number): Normal {
  const jet = new Float64Array(6);
  jetOf(piece, t, jet);
  const nx = -jet[3]! * inner;
  const ny = jet[2]! * inner;
  return [jet[0]! - nx / 2, jet[1]! - ny / 2, jet[0]! + nx, jet[1]! + ny];
}

/** What lies between two normals: which way its near end is turned, and where they cross, if they do. */
interface Step {
  readonly way: number;
  readonly crosses: boolean;
  readonly x: number;
  readonly y: number;
}

function between([ax, ay, ex, ey]: Normal, [bx, by, fx, fy]: Normal): Step {
  const ux = ex - ax;
  const uy = ey - ay;
  const vx = fx - bx;
  const vy = fy - by;
  const det = ux * vy - uy * vx;
  const u = ((bx - ax) * vy - (by - ay) * vx) / det;
  const v = ((bx - ax) * uy - (by - ay) * ux) / det;
  const crosses = u > 0 && u < 1 && v > 0 && v < 1;
  const x = ax + u * ux;
  const y = ay + u * uy;
  const [px, py] = crosses ? [x, y] : [fx, fy];
  return { way: Math.sign((bx - ax) * (py - ay) - (px - ax) * (by - ay)), crosses, x, y };
}

/**
 * Steps of one kind as one polygon, or as two that meet along the normals' crossings (their evolute). The windings
 * of the steps add up to those of the polygon, so that it is nowhere turned against itself.
 */
function run(normals: readonly Normal[], steps: readonly Step[], sheet: Nib["sheet"]): void {
  const near = normals.flatMap((n) => n.slice(0, 2));
  const farBack = normals.toReversed().flatMap((n) => n.slice(2));
  if (!steps[0]!.crosses) {
    polygon(sheet, [...near, ...farBack]);
    return;
  }
  const crossings = steps.flatMap(({ x, y }) => [x, y]);
  const crossingsBack = steps.toReversed().flatMap(({ x, y }) => [x, y]);
  polygon(sheet, [...near, ...crossingsBack]);
  polygon(sheet, [...farBack, ...crossings]);
}

/** Adds a polygon, turned to be positive. */
function polygon(sheet: Nib["sheet"], p: readonly number[]): void {
  const n = p.length;
  let area = 0;
  for (let i = 0; i < n; i += 2) {
    const j = (i + 2) % n;
    area += (p[i]! - p[0]!) * (p[j + 1]! - p[1]!) - (p[j]! - p[0]!) * (p[i + 1]! - p[1]!);
  }
  if (area === 0) return;
  const order = area > 0 ? 2 : n - 2;
  const pencil = new Pencil(sheet, p[0]!, p[1]!);
  for (let m = 1, i = order; m < n / 2; m++, i = (i + order) % n) pencil.line(p[i]!, p[i + 1]!);
  pencil.close();
}
