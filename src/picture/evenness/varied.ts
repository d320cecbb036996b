/** What each kind varies across the vessel: the pitch of its lines along the axis, or the factor of its bands. */
import { isAlong, Lying } from "../../plan/fill/lie.ts";
import type { Bands, Fill, LaidSet } from "../../plan/fill/types.ts";
import type { Warp } from "../../warp/warp.ts";
import { runsOf } from "./runs.ts";
import { isAskedFor } from "./words.ts";

/** A value at a (mm from the crown line). */
export interface Value {
  readonly a: number;
  readonly value: number;
}

/** Rows no further apart than this many largest pitches have ink between them. */
const GAP = 1.5;

/** Distance of neighbouring lines on the vessel, in the middle between them; broken where there is no ink. */
export function pitchCurves(set: LaidSet, warp: Warp): Value[][] {
  const rows = rowsOf(set);
  const lying = new Lying(warp, set.angleDeg);
  const values = rows.slice(1).map((q, i): Value | null => {
    const p = rows[i]!;
    const a = (p.a + q.a) / 2;
    const { area, stretch } = lying.at(a, (p.b + q.b) / 2);
    const value = ((q.a - p.a) * area) / stretch;
    return value > 0 && value <= GAP * set.pitchMaxMm ? { a, value } : null;
  });
  return runsOf(values);
}

/** Each row once: its a, and the middle of its first line. */
function rowsOf({ laid: { ends } }: LaidSet): { a: number; b: number }[] {
  const rows = new Map<number, number>();
  for (let i = 0; i < ends.length; i += 4) {
    // Lines of a row differ by rounding only.
    const a = Math.round(((ends[i]! + ends[i + 2]!) / 2) * 1e7) / 1e7;
    if (!rows.has(a)) rows.set(a, (ends[i + 1]! + ends[i + 3]!) / 2);
  }
  return [...rows].map(([a, b]) => ({ a, b })).sort((p, q) => p.a - q.a);
}

/** The evened set of a turn whose pitch is to be drawn; undefined where none is laid. */
export const evenedSet = (fill: Fill, turnIndex: number): LaidSet | undefined =>
  isAskedFor(fill, "even")
    ? fill.turns[turnIndex]?.sets.find((set) => isAlong(set.angleDeg) && set.lines > 1)
    : undefined;

/** The bands' factor at b, at so many places across; broken where a band has none. */
export function factorCurves(
  bands: Bands,
  [from, to]: readonly [number, number],
  b: number,
  steps: number,
): Value[][] {
  const values = Array.from({ length: steps + 1 }, (_, i): Value | null => {
    const a = from + ((to - from) * i) / steps;
    const value = bands.factorAt(a, b);
    return value > 0 && value < Infinity ? { a, value } : null;
  });
  return runsOf(values);
}
