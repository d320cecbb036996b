/**
 * Measured rows that stand off the smooth course of their neighbours: each row against the cubic through the four rows
 * nearest to it (Lagrange's form). One bad row pulls at the courses of its neighbours too, so that the row is sought
 * without which those around it lie best.
 */
import type { Problem } from "../problem.ts";
import type { RowMeasure } from "./measures.ts";

/** A row counts as off from here on (mm of diameter), and from so many times the median of all (our own choices). */
const OFF = 1;
const OFF_MEDIANS = 5;
/** More bad rows than this are told once the first are mended. */
const MOST = 10;
const NEAR = 4;

/** A caution for each such row. `rows` in strictly rising order; five and fewer say nothing about each other. */
export function standingOff(rows: readonly RowMeasure[]): Problem[] {
  const found: { row: RowMeasure; off: number }[] = [];
  let left = [...rows];
  while (found.length < MOST && left.length > NEAR + 1) {
    const next = worst(left);
    if (next === null) break;
    found.push({ row: left[next.at]!, off: next.off });
    left = left.toSpliced(next.at, 1);
  }
  return found.sort((a, b) => a.row.row - b.row.row).map(({ row, off }) => caution(row, off));
}

function caution({ row, line }: RowMeasure, off: number): Problem {
  return {
    code: "profile-off-course",
    severity: "caution",
    message: `row ${row}: the diameter is ${Math.abs(off).toFixed(1)} mm ${off > 0 ? "more" : "less"} than the rows around it make likely`,
    ...(line === undefined ? {} : { where: { line } }),
    hint: `measure row ${row} again; where the wall does bend so, measure more rows there`,
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
  const isOff = ({ off, weighed }: Off): boolean => Math.abs(off) > OFF && Math.abs(weighed) > much;
  let at = -1;
  for (const [i, one] of all.entries()) {
    if (isOff(one) && (at < 0 || Math.abs(one.weighed) > Math.abs(all[at]!.weighed))) at = i;
  }
  if (at < 0) return null;
  let [best, least] = [at, Infinity];
  for (let i = Math.max(0, at - NEAR); i <= Math.min(rows.length - 1, at + NEAR); i++) {
    if (!isOff(all[i]!)) continue;
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
