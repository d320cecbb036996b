/** Ink that more than one shape covers: a station that fills every outline would mark it twice, or cancel it. */
import { areaPathsD, FillRule as ClipperRule, unionD } from "clipper2-ts";
import { segmentCount } from "../geometry/path.ts";
import type { Problem } from "../problem.ts";
import { CHORD, clipperRule, DECIMALS, polygons } from "./area.ts";
import type { Ink, InkShape } from "./ink.ts";

/** Above this many segments in shapes whose boxes overlap the areas are not compared, and that is said. */
const MOST_SEGMENTS = 20_000;
/** Overlaps smaller than this (mm²) are seams of the drawing. */
const SEAM = 0.01;

export function overlapProblems(ink: Ink): Problem[] {
  const shapes = meeting(ink.shapes.filter((s) => s.paint === "fill"));
  if (shapes?.length === 0) return [];
  const hint = "unite overlapping shapes in the drawing program";
  if (!shapes) {
    const message = "shapes may overlap, but are too many to be compared";
    return [{ code: "overlaps-not-compared", severity: "note", message, hint }];
  }
  const clean = shapes.map((s) => unionD(polygons(s.path, CHORD), [], clipperRule(s.rule), DECIMALS));
  const sum = clean.reduce((total, paths) => total + Math.abs(areaPathsD(paths)), 0);
  const twice = sum - Math.abs(areaPathsD(unionD(clean.flat(), [], ClipperRule.NonZero, DECIMALS)));
  if (twice < SEAM) return [];
  const message = `shapes overlap: ${twice < 10 ? twice.toPrecision(2) : twice.toFixed(0)} mm² would be marked more than once`;
  return [{ code: "ink-overlaps", severity: "caution", message, hint }];
}

/** Shapes whose box overlaps another's, found from left to right; null once they have too many segments. */
function meeting(shapes: readonly InkShape[]): InkShape[] | null {
  const order = [...shapes].sort((a, b) => a.box.minX - b.box.minX);
  const found = new Set<InkShape>();
  let segments = 0;
  const add = (shape: InkShape): void => {
    if (!found.has(shape)) segments += segmentCount(shape.path);
    found.add(shape);
  };
  let open: InkShape[] = [];
  for (const shape of order) {
    open = open.filter((o) => o.box.maxX > shape.box.minX);
    for (const o of open) {
      if (o.box.maxY > shape.box.minY && o.box.minY < shape.box.maxY) {
        add(o);
        add(shape);
      }
    }
    if (segments > MOST_SEGMENTS) return null;
    open.push(shape);
  }
  return [...found];
}
