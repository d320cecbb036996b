/**
 * Area of a path by its fill rule. A single convex contour, and contours that clipper2-ts finds to be free of
 * overlaps, are measured exactly on their curves (Green's theorem). Where contours overlap, the area that clipper
 * finds on polygons stands, put right by what the polygons lose of the signed area (first order in CHORD).
 */
import { areaPathsD, FillRule as ClipperRule, type PathsD, unionD } from "clipper2-ts";
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
  if (path.contours.length === 1 && isConvex(path.contours[0]!.points)) return Math.abs(signed);
  const flat = polygons(path, CHORD);
  const signedFlat = Math.abs(areaPathsD(flat));
  const resolved = areaPathsD(unionD(flat, [], clipperRule(rule), DECIMALS));
  if (Math.abs(resolved - signedFlat) <= 1e-6 * Math.max(resolved, 1)) return Math.abs(signed);
  return Math.max(0, resolved + Math.abs(signed) - signedFlat);
}

/** True where the arms and points turn one way only, once around: the curve then cannot meet itself. */
function isConvex(p: Float64Array): boolean {
  let turning = 0;
  let side = 0;
  let x = 0;
  let y = 0;
  const n = p.length;
  // Twice round the corner at the start.
  for (let i = 2; i < n + 2; i += 2) {
    const j = i < n ? i : i - n + 2;
    const dx = p[j]! - p[j - 2]!;
    const dy = p[j + 1]! - p[j - 1]!;
    if (dx === 0 && dy === 0) continue;
    const cross = x * dy - y * dx;
    if ((x !== 0 || y !== 0) && Math.abs(cross) > 1e-12) {
      if (side * cross < 0) return false;
      side = Math.sign(cross);
    }
    if (x !== 0 || y !== 0) turning += Math.atan2(cross, x * dx + y * dy);
    x = dx;
    y = dy;
  }
  return p[0] === p[n - 2] && p[1] === p[n - 1] && Math.abs(turning) < 6.3;
}

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
