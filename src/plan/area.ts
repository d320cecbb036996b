/**
 * Area of a path by its fill rule. Contours that clipper2-ts finds to be free of overlaps are measured exactly
 * on their curves (Green's theorem); others on polygons whose chords stay within `FINE` of the curve.
 */
import { areaPathsD, FillRule as ClipperRule, type PathsD, unionD } from "clipper2-ts";
import type { FillRule } from "../artwork/types.ts";
import { flattenInto } from "../geometry/cubic.ts";
import { type Path, type Space, signedArea } from "../geometry/path.ts";

const COARSE = 0.02;
const FINE = 0.001;
/** Decimals that clipper keeps of millimetres. */
export const DECIMALS = 5;

export const clipperRule = (rule: FillRule): ClipperRule =>
  rule === "evenodd" ? ClipperRule.EvenOdd : ClipperRule.NonZero;

/** mm², never negative. */
export function fillArea(path: Path<Space>, rule: FillRule): number {
  const signed = path.contours.reduce((sum, c) => sum + signedArea(c), 0);
  const coarse = polygons(path, COARSE);
  const flat = Math.abs(areaPathsD(coarse));
  const resolved = areaPathsD(unionD(coarse, [], clipperRule(rule), DECIMALS));
  if (Math.abs(resolved - flat) <= 1e-6 * Math.max(resolved, 1)) return Math.abs(signed);
  return Math.abs(areaPathsD(unionD(polygons(path, FINE), [], clipperRule(rule), DECIMALS)));
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
