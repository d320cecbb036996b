/**
 * Area of a path by its fill rule. Contours that do not meet are measured exactly on their curves (Green's
 * theorem), each counted as clipper2-ts finds it on polygons: as an outline or as a hole. Where contours meet,
 * clipper's polygon area stands; it is good to CHORD times the length of the outline.
 */
import {
  areaPathsD,
  FillRule as ClipperRule,
  type PathD,
  type PathsD,
  type PointD,
  unionD,
} from "clipper2-ts";
import type { FillRule } from "../artwork/types.ts";
import { flattenInto } from "../geometry/cubic.ts";
import { type Path, type Space, signedArea } from "../geometry/path.ts";

/** How far a chord of the polygons may lie from its curve (mm). */
export const CHORD = 0.005;
/** Polygons whose areas differ by no more than this share (and so many mm²) are the same but for rounding. */
const ALIKE = 1e-4;
/** Decimals that clipper keeps of millimetres. */
export const DECIMALS = 5;

export const clipperRule = (rule: FillRule): ClipperRule =>
  rule === "evenodd" ? ClipperRule.EvenOdd : ClipperRule.NonZero;

/** mm², never negative. */
export function fillArea(path: Path<Space>, rule: FillRule): number {
  const exact = path.contours.map((c) => Math.abs(signedArea(c)));
  if (path.contours.length === 1 && isConvex(path.contours[0]!.points)) return exact[0]!;
  const flat = polygons(path, CHORD);
  if (flat.length === 1 && isSimple(flat[0]!)) return exact[0]!;
  const resolved = unionD(flat, [], clipperRule(rule), DECIMALS);
  const area = Math.abs(areaPathsD(resolved));
  if (flat.length === 1) {
    // One contour that meets itself: what its polygon loses of the signed area, the union loses too.
    return Math.max(0, area + exact[0]! - Math.abs(areaPathsD(flat)));
  }
  const bySize = (a: number, b: number): number => Math.abs(a) - Math.abs(b);
  const found = resolved.map((p) => areaPathsD([p])).sort(bySize);
  const given = flat.map((p, i) => ({ flat: Math.abs(areaPathsD([p])), exact: exact[i]! }));
  given.sort((a, b) => bySize(a.flat, b.flat));
  const apart =
    found.length === given.length &&
    found.every((f, i) => Math.abs(Math.abs(f) - given[i]!.flat) <= ALIKE * (given[i]!.flat + 1));
  if (!apart) return area;
  return Math.abs(found.reduce((sum, f, i) => sum + Math.sign(f) * given[i]!.exact, 0));
}

/** True where points and arms turn one way only, and once around: such a contour cannot meet itself. */
function isConvex(p: Float64Array): boolean {
  const n = p.length;
  if (p[0] !== p[n - 2] || p[1] !== p[n - 1]) return false;
  let x = 0;
  let y = 0;
  let side = 0;
  let rises = 0;
  let rising = 0;
  // Twice past the start, so that the corner there is seen and every rise is counted.
  for (let i = 2; i < n + 2; i += 2) {
    const j = i < n ? i : i - n + 2;
    const dx = p[j]! - p[j - 2]!;
    const dy = p[j + 1]! - p[j - 1]!;
    if (dx === 0 && dy === 0) continue;
    const cross = x * dy - y * dx;
    if (cross * side < -1e-12 || (cross === 0 && x * dx + y * dy < 0)) return false;
    if (side === 0 && Math.abs(cross) > 1e-12) side = Math.sign(cross);
    // A convex outline goes up once and down once: each change of dy's sign counts.
    if (dy !== 0 && Math.sign(dy) !== rising) {
      rising = Math.sign(dy);
      rises++;
    }
    x = dx;
    y = dy;
  }
  return rises <= 3;
}

/**
 * True where no two edges of a polygon meet but neighbours at their common point. Edges are taken from left to
 * right and compared with those that begin before they end.
 */
function isSimple(polygon: PathD): boolean {
  const n = polygon.length - 1;
  const order = Array.from({ length: n }, (_, i) => i);
  const left = order.map((i) => Math.min(polygon[i]!.x, polygon[i + 1]!.x));
  order.sort((i, j) => left[i]! - left[j]!);
  for (let k = 0; k < n; k++) {
    const i = order[k]!;
    const a = polygon[i]!;
    const b = polygon[i + 1]!;
    const right = Math.max(a.x, b.x);
    const low = Math.min(a.y, b.y);
    const high = Math.max(a.y, b.y);
    for (let m = k + 1; m < n; m++) {
      const j = order[m]!;
      if (left[j]! > right) break;
      const c = polygon[j]!;
      const d = polygon[j + 1]!;
      if (Math.max(c.y, d.y) < low || Math.min(c.y, d.y) > high) continue;
      const apart = Math.abs(i - j);
      if (apart === 1 || apart === n - 1) continue;
      if (side(a, b, c) * side(a, b, d) <= 0 && side(c, d, a) * side(c, d, b) <= 0) return false;
    }
  }
  return true;
}

const side = (a: PointD, b: PointD, p: PointD): number =>
  (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);

/** Each contour as a polygon within `tolerance` (mm) of its curves. */
export function polygons(path: Path<Space>, tolerance: number): PathsD {
  return path.contours.map((c) => {
    const polygon = [{ x: c.points[0]!, y: c.points[1]! }];
    for (let k = 0; k < c.straight.length; k++) {
      flattenInto(c.points, 6 * k, c.straight[k] === 1, tolerance, (x, y) => polygon.push({ x, y }));
    }
    return polygon;
  });
}
