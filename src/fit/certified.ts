/** Fit, round, certify; fitted again with less of the tolerance where the certificate says it was too much. */
import type { MappedCurve } from "../geometry/curve.ts";
import type { Contour, Space } from "../geometry/path.ts";
import { Certifier } from "./certify.ts";
import { FitFailure, Fitter } from "./fit.ts";

export interface Certified<S extends Space> {
  readonly contour: Contour<S>;
  /** Largest offset from the curve, certified on the rounded numbers, in units of the source (mm). */
  readonly errorMm: number;
}

/**
 * Decimals of the image's mm so that rounding takes at most half of the tolerance even where the scale is
 * as small as it gets (0.1): four, and more only for tolerances of 0.001 mm and below.
 */
export const decimalsFor = (tolerance: number): number =>
  Math.max(4, Math.ceil(-Math.log10(0.07 * tolerance)));

/** Each try is given this share of the one before. */
const LESS = 0.85;
const TRIES = 24;
/** From here on every piece is fitted by itself. */
const JOINED_TRIES = 6;

export class CertifiedFitter {
  readonly #fitter = new Fitter();
  readonly #certifier = new Certifier();
  readonly #tolerance: number;
  readonly #unit: number;

  /** `tolerance` in units of the source (mm); answers are rounded to `decimals` of the image's mm. */
  constructor(tolerance: number, decimals = decimalsFor(tolerance)) {
    this.#tolerance = tolerance;
    this.#unit = 10 ** decimals;
  }

  /** Throws FitFailure where no try is certified within the tolerance. */
  fit<S extends Space>(curve: MappedCurve<S>): Certified<S> {
    // Rounding moves a point by at most half a diagonal of the grid.
    const slack = Math.SQRT1_2 / this.#unit;
    let tolerance = this.#tolerance;
    for (let pass = 0; pass < TRIES; pass++) {
      const { contour, breaks } = this.#fitter.fit(curve, { tolerance, slack, join: pass < JOINED_TRIES });
      const rounded = this.#round(contour);
      const errorMm = this.#certifier.certify(curve, rounded, breaks, 0.5 * this.#tolerance);
      if (errorMm <= this.#tolerance) return { contour: rounded, errorMm };
      tolerance *= LESS;
    }
    throw new FitFailure(`no fit within ${this.#tolerance} mm was certified`);
  }

  /** Rounded once, here; a closed contour still ends on its first point, since equal numbers round alike. */
  #round<S extends Space>(contour: Contour<S>): Contour<S> {
    const unit = this.#unit;
    // + 0 turns −0 into 0.
    return { ...contour, points: contour.points.map((v) => Math.round(v * unit) / unit + 0) };
  }
}
