/** Ink divided between turns along cut paths, before anything is mapped: cut after cut, left to right. */
import type { Problem } from "../../problem.ts";
import type { Effort } from "../../region/effort.ts";
import { type Ink, type InkShape, inkShape } from "../ink.ts";
import { type Border, borderOf, type ToFlat } from "./border.ts";
import type { CutPath } from "./cutpath.ts";
import { partFill } from "./partfill.ts";
import { partLines } from "./partline.ts";

export interface PartedInk {
  /** One list of shapes for each turn, left to right: one more than cuts. A list may be empty. */
  readonly turns: InkShape[][];
  /** Filled ink that two turns share, mm². */
  readonly overlapMm2: number;
  readonly problems: Problem[];
}

/**
 * `cuts` left to right in the plane of the way around, `toFlat` from there to the flat of the ink. Where a cut goes
 * through ink, the turns beside it overlap by `spotMm` (> 0); all other ink is in one turn and whole. Throws RangeError
 * for a cut that is nowhere on the flat, JobError where the ink cannot be divided.
 */
export function partInk(
  ink: Ink,
  cuts: readonly CutPath[],
  spotMm: number,
  toFlat: ToFlat,
  effort: Effort,
): PartedInk {
  if (!(spotMm > 0 && spotMm < Infinity)) throw new RangeError("the spot must be larger than nothing");
  const turns: InkShape[][] = [];
  const polygons = new Map<string, InkShape>();
  let overlapMm2 = 0;
  let rest: readonly InkShape[] = ink.shapes;
  for (const cut of cuts) {
    const border = borderOf(cut, toFlat, ink.box);
    if (!border) throw new RangeError("a cut between turns is nowhere on the flat");
    const [left, right]: [InkShape[], InkShape[]] = [[], []];
    for (const shape of rest) {
      const parts = part(shape, border, spotMm / 2, effort);
      if (parts.left) left.push(parts.left);
      if (parts.right) right.push(parts.right);
      overlapMm2 += parts.overlapMm2;
      if (parts.asPolygons) polygons.set(shape.id, shape);
    }
    turns.push(left);
    rest = right;
  }
  turns.push([...rest]);
  return { turns, overlapMm2, problems: [...polygons.values()].map(asPolygons) };
}

interface Parts {
  readonly left: InkShape | null;
  readonly right: InkShape | null;
  readonly overlapMm2: number;
  readonly asPolygons: boolean;
}

function part(shape: InkShape, border: Border, half: number, effort: Effort): Parts {
  const { box } = border;
  const whole = { overlapMm2: 0, asPolygons: false };
  if (shape.box.maxX < box.minX) return { left: shape, right: null, ...whole };
  if (shape.box.minX > box.maxX) return { left: null, right: shape, ...whole };
  const parts =
    shape.paint === "fill"
      ? partFill(shape.path, border, half, effort)
      : { ...partLines(shape.path, border, half), ...whole };
  const { left, right, overlapMm2, asPolygons } = parts;
  // What was not divided stays the very shape.
  if (right.contours.length === 0) return { left: shape, right: null, ...whole };
  if (left.contours.length === 0) return { left: null, right: shape, ...whole };
  return { left: inkShape(shape, left), right: inkShape(shape, right), overlapMm2, asPolygons };
}

const asPolygons = (shape: InkShape): Problem => ({
  code: "cut-as-polygon",
  severity: "caution",
  message: `"${shape.id}" was cut between two turns as polygons, not curves`,
  where: shape.where,
  hint: "unite its overlapping outlines in the drawing program for a smoother cut",
});
