/**
 * Whether a row was read with left and right changed over. A vessel e to the right has what is clear around e, in every row to
 * the same side whatever it is set to: fluence and pulses are even about where the vessel stood. How far the middle of what is clear
 * lies off may differ from row to row, the more the farther out its edges are; its side may not.
 */
import { barPitch } from "../plan/strip/edges.ts";
import type { Reading, Strip } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";

/**
 * Bars that the sum of both edges must lie off, on either side, to be told from none. Rounding to whole bars adds less than 1, an
 * edge seen half a bar off on each end 1 more: a vessel that stood in the middle reads as 2 at most. Our own choice.
 */
const ASKEW = 3;

/** A vessel off to one side makes what is clear reach no more than so many times as far there (our own choice). */
const LOPSIDED = 2;

/** Throws JobError `readings-contradict`, naming the row. */
export function checkSides(strip: Strip, readings: readonly Reading[]): void {
  // A coupon's row lies where it is in focus, and the lean of the beam draws wide rows and narrow ones apart.
  if (strip.ladder === "ramp") return;
  const rows = readings.flatMap((reading) => {
    const sum = sumOf(strip, reading);
    return sum !== null && Math.abs(sum) > ASKEW ? [{ reading, sum }] : [];
  });
  const left = rows.filter(({ sum }) => sum < 0);
  const right = rows.filter(({ sum }) => sum > 0);
  const [few, many] = left.length <= right.length ? [left, right] : [right, left];
  const [one, other] = [few[0], many[0]];
  if (!one || !other) return;
  const [before, after] = one.reading.row < other.reading.row ? [one, other] : [other, one];
  const lies = ({ sum }: typeof one): string =>
    `${(Math.abs(sum) / 2).toFixed(1)} bars to the ${sum < 0 ? "left" : "right"} of the crown line`;
  const { row, mark } = one.reading;
  const where = `the middle of what is clear lies ${lies(one)}`;
  throw new JobError(
    "readings-contradict",
    few.length < many.length
      ? `row ${row}: mark ${mark} reads as if left and right were swapped: ${where}, that of row ${other.reading.row} ${lies(other)}`
      : `rows ${before.reading.row} and ${after.reading.row}: one reads as if left and right were swapped: the middle of what is clear lies ${lies(before)} in the first, ${lies(after)} in the second`,
    "bars count from the left, seen from the lens with the rim up: read that row again",
  );
}

/** Twice how far the middle of what is clear lies to the right of the crown line, in bars; null where an end was not seen. */
function sumOf({ bars }: Strip, { clear }: Reading): number | null {
  if (clear === undefined || clear === "none") return null;
  const [first, last] = clear.map((bar) => bars.findIndex(({ number }) => number === bar)) as [
    number,
    number,
  ];
  // Next to the strip's end, or to bars left out, the edge may lie anywhere farther out.
  const ends = (i: number, next: number): boolean =>
    bars[i + next] !== undefined && bars[i + next]!.number === bars[i]!.number + next;
  if (!ends(first, -1) || !ends(last, 1)) return null;
  const [left, right] = [-bars[first]!.atMm, bars[last]!.atMm];
  // Near what just clears it may be a sliver on one side alone, which says nothing of the middle.
  if (!(left > 0 && right > 0 && left < LOPSIDED * right && right < LOPSIDED * left)) return null;
  return (right - left) / barPitch(bars);
}
