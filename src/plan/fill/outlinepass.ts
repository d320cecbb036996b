/**
 * The outline pass: a line half a spot inside the ink's edge, so that the spot's own edge lies on it.
 *
 * The spot's footprint at (a, b) is {w : m(w) ≤ 1} with m(w) = (seen width of w / spot's radius there)², as in
 * thin/spot.ts; m is a quadratic form, known from three directions:
 *
 *   m₁₁ = m(1, 0)   m₂₂ = m(0, 1)   m₁₂ = (m(1, 1) − m₁₁ − m₂₂)/2
 *
 * Its inverse is what `insetBy` asks for. Exact to first order in the spot's size: the surface's bend under one spot is
 * left out. The spot's radius is its 1/e² one; a track may come out narrower or wider by its threshold. Filled shapes
 * alone: a centre line is its own outline.
 */
import type { Spot } from "../../beam/spot.ts";
import { contourLength } from "../../geometry/cubic.ts";
import type { Contour } from "../../geometry/path.ts";
import type { Job } from "../../job/job.ts";
import type { Reach } from "../../region/drawnin.ts";
import { insetBy, untrimmedBy } from "../../region/inset.ts";
import type { Warp } from "../../warp/warp.ts";
import { Bender } from "../bent.ts";
import type { InkShape } from "../ink.ts";
import { spotAcross } from "../thin/spot.ts";
import { nearestFirst } from "./nearest.ts";
import type { OutlinePass } from "./types.ts";

/** A footprint counts as no larger than this (mm): toward the horizon it grows without bounds. */
const LARGEST = 10;
/** The inset's tolerance is between these shares of the spot's radius at the waist, which is not known better. */
const FINEST = 0.005;
const COARSEST = 0.1;

/**
 * Every shape must lie where the warp has an image, and is taken for itself: what overlaps has all its outlines. The inset
 * keeps to `toleranceMm` on the flat, the bent line to the job's on the vessel.
 * Throws JobError `curve-not-fitted` as marks do, `outlines-too-dense` and `outlines-not-united`.
 */
export function outlinePass(
  shapes: readonly InkShape[],
  warp: Warp,
  spot: Spot,
  job: Pick<Job, "toleranceMm" | "axis">,
  toleranceMm: number,
): OutlinePass {
  const reach = spotOnFlat(warp, spot);
  const radius = spot.waistDiameterMm / 2;
  const within = Math.min(COARSEST * radius, Math.max(FINEST * radius, toleranceMm));
  const bender = new Bender(warp, job);
  const bent: Contour<"command">[] = [];
  let lostMm2 = 0;
  for (const shape of shapes) {
    if (shape.paint !== "fill") continue;
    const line = insetBy(shape.path, reach, within);
    lostMm2 += untrimmedBy(shape.path, line, reach, within);
    for (const contour of line.contours) bent.push(bender.bend(contour, shape).contour);
  }
  const ordered = nearestFirst(bent);
  let jumpLengthMm = 0;
  ordered.forEach(({ points: p }, i) => {
    const last = ordered[i - 1]?.points;
    if (last) jumpLengthMm += Math.hypot(p[0]! - last[0]!, p[1]! - last[1]!);
  });
  return {
    paths: ordered.map((contour) => ({ contours: [contour] })),
    lines: ordered.length,
    commandLengthMm: ordered.reduce((sum, contour) => sum + contourLength(contour), 0),
    jumpLengthMm,
    lostMm2,
  };
}

/** Half the spot as it lies on the flat, wherever the warp has an image. */
export const spotOnFlat =
  (warp: Warp, spot: Spot): Reach =>
  (a, b, out) => {
    const m = (da: number, db: number): number => {
      const { widthMm, spotMm } = spotAcross(warp, spot, a, b, da, db);
      return ((2 * widthMm) / spotMm) ** 2;
    };
    const [along, across] = [m(1, 0), m(0, 1)];
    const mixed = (m(1, 1) - along - across) / 2;
    const [xx, yy] = [along + LARGEST ** -2, across + LARGEST ** -2];
    const det = xx * yy - mixed * mixed;
    out[0] = yy / det;
    out[1] = -mixed / det;
    out[2] = xx / det;
  };
