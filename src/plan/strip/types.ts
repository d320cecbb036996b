/**
 * A strip: a test mark for the real vessel. Numbered bars run around it past the reach on both sides, row below row;
 * each row is a mark of its own, with its own settings or its own focus. Lengths mm, on the flat (plan/ink.ts).
 */
import type { Job, Settings } from "../../job/job.ts";

/**
 * What changes from mark to mark. `settings`: power and speed by turns; `power`, `speed`: that alone; `focus`: the lens height;
 * `ramp`: nothing, one mark on a flat coupon that is tilted; `squares`: the height of a flat coupon under the same square.
 */
export type Ladder = "settings" | "power" | "speed" | "focus" | "ramp" | "squares";

export interface Bar {
  /** From 1, left to right. */
  readonly number: number;
  /** Its middle, to the right of the crown line, around on the flat; on a ramp along the coupon from its middle. */
  readonly atMm: number;
  /** Around. */
  readonly widthMm: number;
}

export interface StripMark {
  /** From 1, the uppermost row first. */
  readonly number: number;
  /** δ that the mark is bent for: the focal plane below the crown line; on a coupon below its middle, where the axis meets it. */
  readonly belowCrownMm: number;
  readonly settings: Settings;
  /** Middle of its bars along the vessel, below the placement point. */
  readonly rowMm: number;
}

export interface Strip {
  readonly schema: "fallaway-strip-1";
  /** What its files are called. */
  readonly name: string;
  readonly ladder: Ladder;
  /** The job that it is for, with its settings; the coating may be left out for `squares` alone. */
  readonly job: Job;
  /** True where a calibration was in the job: its figures are no longer those before any reading. */
  readonly calibrated: boolean;
  /** Of all marks alike; none of `squares`. */
  readonly bars: readonly Bar[];
  /** Along the vessel. */
  readonly barHeightMm: number;
  readonly marks: readonly StripMark[];
  /** The mark whose settings the bars' numbers are marked with. */
  readonly numbersWith: number;
  /** `ramp`: how far the coupon is tilted, its right end down. */
  readonly tiltDeg?: number | undefined;
  /** `squares`: the square's side, as commanded. */
  readonly sideMm?: number | undefined;
}

/**
 * What was read of one mark; everything but the number only where it was looked for. A bar's number, or "none" where there is
 * no such bar.
 */
export interface Reading {
  /** The mark's number. */
  readonly mark: number;
  /** Row of the readings' file (from 1, without its head), for messages. */
  readonly row: number;
  /** First and last bar that is fully clear. */
  readonly clear?: readonly [number, number] | "none" | undefined;
  /** Between them, the first and the last bar that is not. */
  readonly gap?: readonly [number, number] | "none" | undefined;
  /** First and last bar with bare metal that has changed. */
  readonly metal?: readonly [number, number] | "none" | undefined;
  /** `ramp`: measured heights of the coupon's left and right end over the bed (at its first and last bar). */
  readonly endsMm?: readonly [number, number] | undefined;
  /** `squares`: measured sides, along the bed's x and y. */
  readonly sidesMm?: readonly [number, number] | undefined;
}

/** A strip and what was read of it. */
export interface ReadStrip {
  readonly strip: Strip;
  readonly readings: readonly Reading[];
}

/** On a flat coupon, not on the vessel. */
export const isCoupon = ({ ladder }: Pick<Strip, "ladder">): boolean =>
  ladder === "ramp" || ladder === "squares";
