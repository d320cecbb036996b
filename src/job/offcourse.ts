/**
 * Measured rows that stand off the smooth course of their neighbours: first those that jut out like a slip of the pen,
 * then, in what is left, each row against the cubic through the four rows nearest to it (Lagrange's form). One bad row
 * pulls at the courses of its neighbours too, so that the row is sought without which those around it lie best.
 */
import type { Problem } from "../problem.ts";
import type { RowMeasure } from "./measures.ts";
import { bendsBack, isRough, worstSlip } from "./slips.ts";

/** A row counts as off from here on (mm of diameter), and from so many times the median of all (our own choices). */
const OFF = 1;
const OFF_MEDIANS = 5;
/** More bad rows than this are told once the first are mended. */
const MOST = 10;
const NEAR = 4;

interface Found {
  readonly row: RowMeasure;
  readonly off: number;
  /** Another row that may be the wrong one instead. */
  readonly or?: { readonly row: RowMeasure; readonly off: number };
}

/** A caution for each such row. `rows` in strictly rising order; four and fewer say nothing about each other. */
export function standingOff(rows: readonly RowMeasure[]): Problem[] {
  const found: Found[] = [];
  let left = [...rows];
  const take = (next: (rows: readonly RowMeasure[]) => { at: number; found: Found } | null): void => {
    while (found.length < MOST) {
      const one = next(left);
      if (one === null) return;
      found.push(one.found);
      left = left.toSpliced(one.at, 1);
    }
  };
  if (!isRough(rows)) take(slipIn);
  take(offIn);
  return found.sort((a, b) => a.row.row - b.row.row).map(caution);
}

function slipIn(rows: readonly RowMeasure[]): { at: number; found: Found } | null {
  const slip = worstSlip(rows);
  if (slip === null) return null;
  const { at, off, or } = slip;
  const other = or === null ? {} : { or: { row: rows[or.at]!, off: or.off } };
  return { at, found: { row: rows[at]!, off, ...other } };
}

/** Five and fewer rows say nothing about each other. */
function offIn(rows: readonly RowMeasure[]): { at: number; found: Found } | null {
  const next = rows.length > NEAR + 1 ? worst(rows) : null;
  return next === null ? null : { at: next.at, found: { row: rows[next.at]!, off: next.off } };
}

const offWords = (off: number): string => `${Math.abs(off).toFixed(1)} mm ${off > 0 ? "more" : "less"}`;

function caution({ row: { row, line }, off, or }: Found): Problem {
  const instead = or === undefined ? "" : `, or that of row ${or.row.row} ${offWords(or.off)}`;
  const both = or === undefined ? `row ${row}` : `rows ${row} and ${or.row.row}`;
  return {
    code: "profile-off-course",
    severity: "caution",
    message: `row ${row}: the diameter is ${offWords(off)} than the rows around it make likely${instead}`,
    ...(line === undefined ? {} : { where: { line } }),
    hint: `measure ${both} again; where the wall does bend so, measure more rows there`,
  };
}

interface Off {
  /** How far the diameter stands off its neighbours' course. */
  readonly off: number;
  /** The same over what errors of 1 mm make of it: much at the ends, where the course goes on past its rows. */
  readonly weighed: number;
}

function worst(rows: readonly RowMeasure[]): { at: number; off: number } | null {
  const all = rows.map((_, i) => offOf(rows, i));
  const sorted = all.map(({ weighed }) => Math.abs(weighed)).sort((a, b) => a - b);
  const much = OFF_MEDIANS * sorted[sorted.length >> 1]!;
  // Between others it counts only where the wall bends there and back: a waist in few rows has corners too.
  const isOff = ({ off, weighed }: Off, i: number): boolean =>
    Math.abs(off) > OFF &&
    Math.abs(weighed) > much &&
    (i === 0 || i === rows.length - 1 || bendsBack(rows, i));
  let at = -1;
  for (const [i, one] of all.entries()) {
    if (isOff(one, i) && (at < 0 || Math.abs(one.weighed) > Math.abs(all[at]!.weighed))) at = i;
  }
  if (at < 0) return null;
  let [best, least] = [at, Infinity];
  for (let i = Math.max(0, at - NEAR); i <= Math.min(rows.length - 1, at + NEAR); i++) {
    if (!isOff(all[i]!, i)) continue;
    const without = restless(rows, i, at);
    if (without < least) [best, least] = [i, without];
  }
  return { at: best, off: all[best]!.off };
}

/** How much the rows around `at` stand off without row `skipped`. */
function restless(rows: readonly RowMeasure[], skipped: number, at: number): number {
  const [from, to] = [Math.max(0, at - 3 * NEAR), Math.min(rows.length, at + 3 * NEAR + 1)];
  const some = rows.slice(from, to).filter((row) => row !== rows[skipped]);
  if (some.length <= NEAR) return Infinity;
  return some.reduce((sum, _, i) => sum + Math.abs(offOf(some, i).weighed), 0);
}

/** Row i against the cubic through its nearest rows. */
function offOf(rows: readonly RowMeasure[], i: number): Off {
  const first = Math.min(Math.max(0, i - NEAR / 2), rows.length - 1 - NEAR);
  let [off, gain] = [rows[i]!.diameterMm, 1];
  for (let j = first; j <= first + NEAR; j++) {
    if (j === i) continue;
    let weight = 1;
    for (let k = first; k <= first + NEAR; k++) {
      if (k === i || k === j) continue;
      weight *= (rows[i]!.heightMm - rows[k]!.heightMm) / (rows[j]!.heightMm - rows[k]!.heightMm);
    }
    off -= weight * rows[j]!.diameterMm;
    gain += weight * weight;
  }
  return { off, weighed: off / Math.sqrt(gain) };
}
