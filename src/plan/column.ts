/**
 * The column that carries the scan head: can the focal plane be set where the job wants it?
 *
 *   needed = working distance + height of the crown above the bed − δ
 *
 * heights of the lens reference above the bed; the crown stands so far above the vessel's lowest line (a cylinder's diameter), and that
 * the rest's height above the bed. All mm.
 */
import type { Job } from "../job/job.ts";

export interface Column {
  /** Height of the lens reference above the bed that the focus asks for. */
  readonly neededMm: number;
  /** Largest height that the column has; null where it is not known. */
  readonly travelMm: number | null;
  /** What is missing; 0 where the column is tall enough, null where its travel is not known. */
  readonly shortMm: number | null;
  readonly crownHeightMm: number;
}

export function columnOf(
  { travelMm, restHeightMm }: Job["column"],
  workingDistanceMm: number,
  standsMm: number,
  belowCrownMm: number,
): Column {
  const crownHeightMm = restHeightMm + standsMm;
  const neededMm = workingDistanceMm + crownHeightMm - belowCrownMm;
  return {
    neededMm,
    travelMm: travelMm ?? null,
    shortMm: travelMm === undefined ? null : Math.max(0, neededMm - travelMm),
    crownHeightMm,
  };
}

/** The highest that the focal plane can be set, δ below the crown: the head at its stop. −∞ where nothing is known. */
export const shallowestFocus = (column: Job["column"], workingDistanceMm: number, standsMm: number): number =>
  // What the focus on the crown asks for too much.
  columnOf(column, workingDistanceMm, standsMm, 0).neededMm - (column.travelMm ?? Infinity);

/** The column for the focus that is wanted, with what becomes of the ink where it is too short: the plan is for the stop. */
export interface ColumnFit extends Column {
  /** With the head run to its stop, as planned; null where the column is tall enough or not known. */
  readonly atStop: {
    /** The focal plane below the crown (mm): δ and what the column is short by. */
    readonly belowCrownMm: number;
    /** What defocus remains: of the crown line (above the focal plane, negative) and of the ink's lowest point. */
    readonly crownDefocusMm: number;
    readonly edgeDefocusMm: number;
    /** True where all ink is still within the limits there. */
    readonly usable: boolean;
    /** Weakest over strongest relative fluence of the ink there. */
    readonly falloffRatio: number;
  } | null;
}
