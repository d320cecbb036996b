/** One outline bent into the command plane, within the job's tolerance and turned for the bed. */
import { type Certified, CertifiedFitter } from "../fit/certified.ts";
import { FitFailure } from "../fit/fit.ts";
import type { Contour } from "../geometry/path.ts";
import type { Job } from "../job/job.ts";
import { JobError } from "../problem.ts";
import type { Face } from "../vessel/surface.ts";
import { mapContour, type Warp } from "../warp/warp.ts";
import type { InkShape } from "./ink.ts";

export class Bender {
  readonly #fitter: CertifiedFitter;
  readonly #warp: Warp<Face>;
  readonly #axis: Job["axis"];

  constructor(warp: Warp<Face>, { toleranceMm, axis }: Pick<Job, "toleranceMm" | "axis">) {
    this.#fitter = new CertifiedFitter(toleranceMm);
    this.#warp = warp;
    this.#axis = axis;
  }

  /**
   * All of the contour must lie where the warp has an image. Throws JobError `curve-not-fitted` where no
   * curve is certified.
   */
  bend(contour: Contour<"flat">, { id, where }: Pick<InkShape, "id" | "where">): Certified<"command"> {
    try {
      const fitted = this.#fitter.fit(mapContour(contour, this.#warp));
      return this.#axis === "y" ? fitted : { ...fitted, contour: turned(fitted.contour) };
    } catch (error) {
      if (!(error instanceof FitFailure)) throw error;
      throw new JobError(
        "curve-not-fitted",
        `no curve within the tolerance is found for an outline of “${id}”`,
        "simplify the outline in the drawing program, or give a larger --tolerance",
        where,
      );
    }
  }
}

/** A quarter turn clockwise: the vessel's top, up on the page, points to the bed's +x. Exact on rounded numbers. */
function turned(c: Contour<"command">): Contour<"command"> {
  const points = new Float64Array(c.points.length);
  for (let i = 0; i < points.length; i += 2) {
    points[i] = 0 - c.points[i + 1]!;
    points[i + 1] = c.points[i]!;
  }
  return { ...c, points };
}
