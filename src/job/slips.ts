/**
 * A slip of the pen in one row of a coarse table: a diameter that juts out past both of its neighbours, so that the
 * wall turns there and back. With the slopes of the wall between the rows, k, and the rows up to two away, row i is one
 * where leaving it out takes a good part of
 *
 *   V = Σ |kⱼ₊₁ − kⱼ|
 *
 * (the total variation of the slope), the jut goes with it, and the wall as it runs on one side does not lead there. A
 * waist or bulge in three rows or more is still one without its foremost row.
 */
import type { RowMeasure } from "./measures.ts";

export interface Slip {
  /** Which of the rows, from 0, and how far its diameter stands off its neighbours' chord (mm). */
  readonly at: number;
  readonly off: number;
  /** A neighbour that explains the turn nearly as well: null where there is none. */
  readonly or: { readonly at: number; readonly off: number } | null;
}

/** mm of diameter off the chord, and past the nearer neighbour; part of V, part of the jut (all our own choices). */
const OFF = 2;
const PAST = 1.5;
const SAVED = 0.3;
const LEFT = 0.2;
/** How far past the course of the wall on one side, in parts of the jut. */
const BEYOND = 0.75;
/** A bend back is one of so much of the bend. */
const BACK = 0.25;
/** A neighbour that saves so much of what the slip saves may be the wrong one instead. */
const NEARLY = 0.55;
/** Fewer rows say nothing about each other. */
const FEWEST = 5;

/** The row that most looks like a slip. `rows` in strictly rising order. */
export function worstSlip(rows: readonly RowMeasure[]): Slip | null {
  const all = slips(rows);
  const best = all.reduce<Jut | null>((most, one) => (most && most.saved >= one.saved ? most : one), null);
  if (best === null) return null;
  const or = all.find(
    ({ at, off, saved }) => Math.abs(at - best.at) === 1 && off * best.off < 0 && saved > NEARLY * best.saved,
  );
  return { at: best.at, off: best.off, or: or ? { at: or.at, off: or.off } : null };
}

/** True where so many rows jut that the table is rough throughout. */
export const isRough = (rows: readonly RowMeasure[]): boolean => slips(rows).length > 2 + rows.length / 3;

/** True where the wall bends one way at a row and back at both of its neighbours, as at a corner it does not. */
export function bendsBack(rows: readonly RowMeasure[], at: number): boolean {
  const bend = bendAt(rows, at);
  return [at - 1, at + 1]
    .filter((i) => i > 0 && i < rows.length - 1)
    .every((i) => -bendAt(rows, i) * Math.sign(bend) > BACK * Math.abs(bend));
}

const bendAt = (rows: readonly RowMeasure[], at: number): number =>
  slope(rows[at]!, rows[at + 1]!) - slope(rows[at - 1]!, rows[at]!);

/** V of the rows around one, and what leaving that one out takes from it. */
function savingAt(rows: readonly RowMeasure[], at: number): { whole: number; saved: number } {
  const first = Math.max(0, at - 2);
  const near = rows.slice(first, at + 3);
  const whole = variation(near);
  return { whole, saved: whole - variation(near.toSpliced(at - first, 1)) };
}

interface Jut {
  readonly at: number;
  readonly off: number;
  /** What of V leaving the row out takes. */
  readonly saved: number;
}

function slips(rows: readonly RowMeasure[]): Jut[] {
  if (rows.length < FEWEST) return [];
  return rows.slice(1, -1).flatMap((_, i) => jutAt(rows, i + 1) ?? []);
}

function jutAt(rows: readonly RowMeasure[], at: number): Jut | null {
  const [before, row, after] = [rows[at - 1]!, rows[at]!, rows[at + 1]!];
  const way = Math.sign(row.diameterMm - before.diameterMm);
  const past = Math.min(
    way * (row.diameterMm - before.diameterMm),
    way * (row.diameterMm - after.diameterMm),
  );
  const off = row.diameterMm - onLine(before, after, row.heightMm);
  if (!(past >= PAST && Math.abs(off) > OFF)) return null;
  const { whole, saved } = savingAt(rows, at);
  if (!(saved > SAVED * whole && jutLeft(rows, at, way) < LEFT)) return null;
  const courses = [
    ...(at > 1 ? [onLine(rows[at - 2]!, before, row.heightMm)] : []),
    ...(at + 2 < rows.length ? [onLine(after, rows[at + 2]!, row.heightMm)] : []),
  ];
  const beyond = Math.max(...courses.map((course) => way * (row.diameterMm - course)));
  return beyond >= BEYOND * past ? { at, off, saved } : null;
}

/** The diameter at a height on the straight line through two rows, which may lie beyond them. */
const onLine = (p: RowMeasure, q: RowMeasure, heightMm: number): number =>
  p.diameterMm + slope(p, q) * (heightMm - p.heightMm);

const slope = (p: RowMeasure, q: RowMeasure): number =>
  (q.diameterMm - p.diameterMm) / (q.heightMm - p.heightMm);

function variation(rows: readonly RowMeasure[]): number {
  const slopes = rows.slice(1).map((row, i) => slope(rows[i]!, row));
  return slopes.slice(1).reduce((sum, one, i) => sum + Math.abs(one - slopes[i]!), 0);
}

/** What of the height of the jut over its feet either side stays without the row, as a part of it. */
function jutLeft(rows: readonly RowMeasure[], at: number, way: number): number {
  const jut = (some: readonly RowMeasure[]): number[] => some.map(({ diameterMm }) => way * diameterMm);
  const [left, right] = [jut(rows.slice(Math.max(0, at - 2), at)), jut(rows.slice(at + 1, at + 3))];
  const [low, high] = [Math.min(...left), Math.min(...right)];
  const foot = Math.max(low, high);
  const between = [...left.slice(left.lastIndexOf(low)), ...right.slice(0, right.indexOf(high) + 1)];
  return (Math.max(...between) - foot) / (way * rows[at]!.diameterMm - foot);
}
