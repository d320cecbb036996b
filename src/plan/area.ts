/**
 * Area of a path by its fill rule. A single contour that does not meet itself, and contours that clipper2-ts
 * finds free of overlaps, are measured exactly on their curves (Green's theorem). Where contours overlap, the area that clipper
 * finds on polygons stands, put right by what the polygons lose of the signed area (first order in CHORD).
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
const CHORD = 0.005;
/** Decimals that clipper keeps of millimetres. */
export const DECIMALS = 5;

export const clipperRule = (rule: FillRule): ClipperRule =>
  rule === "evenodd" ? ClipperRule.EvenOdd : ClipperRule.NonZero;

/** mm², never negative. */
export function fillArea(path: Path<Space>, rule: FillRule): number {
  const signed = path.contours.reduce((sum, c) => sum + signedArea(c), 0);
  const flat = polygons(path, CHORD);
  if (flat.length === 1 && isSimple(flat[0]!)) return Math.abs(signed);
  const signedFlat = Math.abs(areaPathsD(flat));
  const resolved = areaPathsD(unionD(flat, [], clipperRule(rule), DECIMALS));
  if (Math.abs(resolved - signedFlat) <= 1e-6 * Math.max(resolved, 1)) return Math.abs(signed);
  return Math.max(0, resolved + Math.abs(signed) - signedFlat);
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
