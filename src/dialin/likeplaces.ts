/**
 * Where one row of a strip meets what another row meets. On a vessel that is the same all along rows are alike; on others the
 * same bar lies at another drop and leans otherwise from row to row. What a place is like is told by its depth below the focal
 * plane and by the cosine of the beam's incidence, both as the job has the vessel: the place where the other row has the same depth
 * and the place where it has the same cosine, and all between.
 */
import { bracketRoot } from "../geometry/roots.ts";
import { surfaceOf } from "../plan/body.ts";
import type { Met } from "../plan/process/process.ts";
import { leftOf, rightOf } from "../plan/strip/edges.ts";
import { meetsOf } from "../plan/strip/meets.ts";
import { isCoupon, type Strip, type StripMark } from "../plan/strip/types.ts";

/** From and to (mm around) in the first mark's row, for a place in the second's; null where nothing there is like it. */
export type LikePlaces = (a: number) => readonly [number, number] | null;

/** Millimetres, relative above 1. */
const TOLERANCE = 1e-6;
/** Depths that are the same: a thousandth of a Rayleigh range of any lens for this work (mm). */
const SAME_MM = 0.01;
const SAME_COS = 1e-4;

/** True where every row meets the same, bar by bar. */
export const rowsAlike = (strip: Strip): boolean => isCoupon(strip) || surfaceOf(strip.job).alikeAlong;

export function likePlaces(strip: Strip, here: StripMark, there: StripMark): LikePlaces {
  if (here.rowMm === there.rowMm || rowsAlike(strip)) return (a) => [a, a];
  const asMeant = { sidewaysMm: 0, focusErrorMm: 0 };
  const [ours, theirs] = [meetsOf(strip, here, asMeant), meetsOf(strip, there, asMeant)];
  const crown = { ours: ours(0), theirs: theirs(0) };
  const ends = [leftOf(strip.bars[0]!), rightOf(strip.bars.at(-1)!)] as const;
  return (a) => {
    const met = theirs(a);
    if (!met || !crown.ours || !crown.theirs) return null;
    const end = a < 0 ? ends[0] : ends[1];
    const at = (of: (met: Met) => number, same: number): number | null => {
      const off = (x: number): number => {
        const m = ours(x);
        return m ? of(m) - of(met) : Number.NaN;
      };
      return Math.abs(off(a)) <= same ? a : bracketRoot(off, 0, end, TOLERANCE);
    };
    const [depth, lean] = [
      at(({ defocus }) => defocus, SAME_MM),
      at(({ cosIncidence }) => cosIncidence, SAME_COS),
    ];
    if (depth === null || lean === null) return null;
    return [Math.min(depth, lean, a), Math.max(depth, lean, a)];
  };
}
