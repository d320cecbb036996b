/** Errors of the rooms below, which know no elements, with the element that they are about. */

import { isDrawable } from "../artwork/contours.ts";
import type { Painted, Stroke } from "../artwork/types.ts";
import { FitFailure } from "../fit/fit.ts";
import type { Path } from "../geometry/path.ts";
import { JobError, type Problem, type Where } from "../problem.ts";
import { strokeOutline } from "./strokes/outline.ts";

/** What `make` makes; a JobError without a place is thrown with this one. */
export function placed<T>(where: Where, make: () => T): T {
  try {
    return make();
  } catch (error) {
    if (!(error instanceof JobError) || error.problem.where) throw error;
    const { code, hint } = error.problem;
    throw new JobError(code, error.message, hint, where);
  }
}

/** Lines that reach further than this (mm) have no outline within any tolerance that would be of use. */
const farthest = 1e9;

/** A stroke's outline; null where none is found within the tolerance, or it reaches too far. */
export function outlineOrNull(path: Path<"page">, stroke: Stroke, toleranceMm: number): Path<"page"> | null {
  if (!path.contours.every((c) => c.points.every((v) => Math.abs(v) <= farthest))) return null;
  try {
    const outline = strokeOutline(path, stroke, toleranceMm);
    return isDrawable(outline) ? outline : null;
  } catch (error) {
    if (error instanceof FitFailure) return null;
    throw error;
  }
}

/** The outline of what an item paints; null, and told in `problems`, for a stroke that has none. */
export function outlineOf(item: Painted, toleranceMm: number, problems: Problem[]): Path<"page"> | null {
  const { stroke, path, where } = item;
  if (!stroke) return path;
  const outline = placed(where, () => outlineOrNull(path, stroke, toleranceMm));
  if (outline) return outline;
  problems.push({
    code: "stroke-not-outlined",
    severity: "error",
    message: "the outline of its stroke is not found within the tolerance: the stroke is left out",
    where,
    hint: "expand the stroke to an outline in the drawing program",
  });
  return null;
}
