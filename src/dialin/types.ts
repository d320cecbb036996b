/** What readings of strips tell of a machine, a coating and how the vessel lay. */

import type { ReadStrip } from "../plan/strip/types.ts";
import type { Problem } from "../problem.ts";

/** With the 90 % interval; `high` is null where nothing bounds it. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number | null;
  /** "mm", "µm", "J/cm²" or "1". */
  readonly unit: string;
}

/**
 * sidewaysMm, focusErrorMm (of each strip on a vessel; of the second and more with the strip's name after a colon), spotUm
 * (1/e² diameter of the waist), rayleighMm, thresholdRatio (peak fluence in focus over the coating's threshold, at the job's
 * settings), thresholdJPerCm2, depthUm, metalThresholdJPerCm2, incubation (S), pivotXMm, pivotYMm.
 */
export type Estimates = Readonly<Record<string, Estimate>>;

/** One thing that was read, against what the estimates say of it. */
export interface Residual {
  readonly strip: string;
  readonly mark: number;
  readonly row: number;
  /** "first clear", "last clear", "first gap", "last gap", "first metal", "last metal", "side x", "side y". */
  readonly what: string;
  /** A bar's number, or a length (mm) where `unit` is "mm". */
  readonly read: number | "none";
  /** The same as the estimates have it: between bars as a fraction; "none" where there is no such bar. */
  readonly predicted: number | "none";
  readonly unit: "bar" | "mm";
  /** (read − predicted) in standard deviations of a reading. */
  readonly off: number;
}

/** What another strip would bring. */
export interface Suggestion {
  /** Names of what the readings cannot tell and that strip could. */
  readonly names: readonly string[];
  /** As "--ladder focus". */
  readonly option: string;
}

export interface DialIn {
  readonly estimates: Estimates;
  /** Names whose interval is not much narrower than what the profiles allow. */
  readonly unresolved: readonly string[];
  readonly suggestions: readonly Suggestion[];
  readonly residuals: readonly Residual[];
  /** √(mean of off²). */
  readonly rms: number;
  readonly problems: readonly Problem[];
  /** Of the figures that a job takes over, in this order: names, logarithms' correlation. */
  readonly correlation: { readonly names: readonly string[]; readonly rows: readonly (readonly number[])[] };
  readonly strips: readonly ReadStrip[];
}
