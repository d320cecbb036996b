/** A vessel's profile as it was measured: what the rows say, and which of them cannot be right. */
import type { Problem } from "../problem.ts";
import { implausible, leanDeg } from "./implausible.ts";
import type { Measure } from "./job.ts";
import { standingOff } from "./offcourse.ts";

/** One row as it was given, `row` from 1; `line` where it stands in a file. */
export interface MeasureAsked {
  readonly heightMm?: number | undefined;
  readonly diameterMm?: number | undefined;
  readonly circumferenceMm?: number | undefined;
  readonly row: number;
  readonly line?: number | undefined;
}

/** A measure that knows its row. */
export interface RowMeasure extends Measure {
  readonly row: number;
  readonly line?: number | undefined;
}

/** The same bounds as for any vessel (mm). */
const [LEAST, MOST] = [1, 2000];
/** A diameter and a circumference that differ by no more are the same diameter (mm; our own choice). */
const SAME_DIAMETER = 0.5;
/** Nearer rows are at the same height: no caliper tells them apart (mm; our own choice). */
const SAME_HEIGHT = 0.01;
/** Against the axis; a steeper part is a shoulder or a rim, on which the beam has no height (our own choice). */
const STEEPEST_DEG = 75;

/** The rows from base to rim, as far as they are good, and every row that is not. Errors: the rows are not to be used. */
export function readMeasures(asked: readonly MeasureAsked[]): { rows: Measure[]; problems: Problem[] } {
  const problems: Problem[] = [];
  const good: RowMeasure[] = [];
  if (asked.length < 3) {
    problems.push({
      code: "profile-short",
      severity: "error",
      message: `the profile has ${asked.length === 1 ? "one row" : `${asked.length} rows`}, three are needed`,
      hint: "measure more heights; where the wall is straight, two diameters are enough as --taper TOP,BOTTOM,HEIGHT",
    });
  }
  for (const row of asked) {
    const read = readRow(row);
    if ("code" in read) problems.push(read);
    else good.push(read);
  }
  const rows = falls(good) ? good.toReversed() : good;
  problems.push(...steps(good, rows !== good));
  if (problems.length === 0) problems.push(...implausible(rows), ...standingOff(rows));
  return { rows: rows.map(({ heightMm, diameterMm }) => ({ heightMm, diameterMm })), problems };
}

/** An error that names its row. */
const wrong = (
  { line }: { line?: number | undefined },
  code: string,
  message: string,
  hint: string,
): Problem => ({
  code,
  severity: "error",
  message,
  ...(line === undefined ? {} : { where: { line } }),
  hint,
});

function readRow(asked: MeasureAsked): RowMeasure | Problem {
  const { heightMm, diameterMm, circumferenceMm, row, line } = asked;
  const bad = (message: string, hint: string): Problem =>
    wrong(asked, "profile-number", `row ${row}: ${message}`, hint);
  if (heightMm === undefined) return bad("no height", "give each row a height in mm");
  if (!(heightMm >= 0 && heightMm <= MOST))
    return bad(`the height is ${heightMm}`, `measure from the base up, 0 to ${MOST} mm`);
  const around = circumferenceMm === undefined ? undefined : circumferenceMm / Math.PI;
  const across = diameterMm ?? around;
  if (across === undefined) return bad("no diameter", "give each row a diameter or a circumference in mm");
  for (const [what, value] of [
    ["diameter", diameterMm],
    ["circumference", circumferenceMm],
  ] as const) {
    const least = what === "diameter" ? 1 : Math.PI;
    if (value !== undefined && !(value >= LEAST * least && value <= MOST * least))
      return bad(
        `the ${what} is ${value}`,
        `give it in mm, ${Math.ceil(LEAST * least)} to ${Math.floor(MOST * least)}`,
      );
  }
  if (around !== undefined && Math.abs(across - around) > SAME_DIAMETER) {
    return wrong(
      asked,
      "profile-twice",
      `row ${row}: the diameter is ${across} mm, but the circumference makes it ${around.toFixed(2)} mm`,
      "measure both again, or leave one out",
    );
  }
  return { heightMm, diameterMm: across, row, ...(line === undefined ? {} : { line }) };
}

/** True where more rows go down than up. */
function falls(rows: readonly RowMeasure[]): boolean {
  let up = 0;
  for (let i = 1; i < rows.length; i++) up += Math.sign(rows[i]!.heightMm - rows[i - 1]!.heightMm);
  return up < 0;
}

/** Neighbours, in the order given, that are no wall: at one height, out of order, or too steep between them. */
function steps(rows: readonly RowMeasure[], falling: boolean): Problem[] {
  const problems: Problem[] = [];
  for (let i = 1; i < rows.length; i++) {
    const [before, row] = [rows[i - 1]!, rows[i]!];
    const rise = (row.heightMm - before.heightMm) * (falling ? -1 : 1);
    const lean = leanDeg(row.diameterMm - before.diameterMm, rise);
    if (Math.abs(rise) < SAME_HEIGHT) {
      problems.push(
        wrong(
          row,
          "profile-step",
          `step at row ${row.row}: the height ${row.heightMm} mm is that of row ${before.row} too`,
          "keep one of the two; measure a shoulder in more rows, each at a height of its own",
        ),
      );
    } else if (rise < 0) {
      problems.push(
        wrong(
          row,
          "profile-order",
          `row ${row.row}: the height goes from ${before.heightMm} to ${row.heightMm} mm, but the other rows ${falling ? "fall" : "rise"}`,
          "check the two heights, and list the rows from base to rim or from rim to base",
        ),
      );
    } else if (lean > STEEPEST_DEG) {
      problems.push(
        wrong(
          row,
          "profile-step",
          `step at row ${row.row}: from row ${before.row} the outline leans ${lean.toFixed(0)}° from the axis, more than ${STEEPEST_DEG}°`,
          "there is no height for the beam on it: measure the shoulder in more rows, or leave the rim or base out",
        ),
      );
    }
  }
  return problems;
}
