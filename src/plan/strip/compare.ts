/** The strips that a calibration comes from, as the job's own figures predict them, against what was read of them. */
import type { Job } from "../../job/job.ts";
import { worldsOf } from "../process/worlds.ts";
import { type Lay, meetsOf } from "./meets.ts";
import { edgeIn, predictedOf, readOf, type What, whats } from "./predict.ts";
import type { Reading, ReadStrip, Strip } from "./types.ts";

export interface Compared {
  readonly strip: string;
  readonly mark: number;
  readonly what: What | "side x" | "side y";
  /** A bar, or a length (mm) of a square's side. */
  readonly read: number | "none";
  readonly predicted: number | "none";
}

/** How a strip lay, by its name. */
export type Placed = Pick<Lay, "sidewaysMm" | "focusErrorMm"> & { readonly strip: string };

/** By the middle figures of the job; each strip as it lay. */
export function comparedIn(strips: readonly ReadStrip[], placed: readonly Placed[], job: Job): Compared[] {
  const [world] = worldsOf(job, 0);
  const { pivotMm } = job.lens;
  return strips.flatMap(({ strip, readings }) => {
    const at = placed.find((one) => one.strip === strip.name);
    return readings.flatMap((reading): Compared[] => {
      const mark = strip.marks.find(({ number }) => number === reading.mark);
      if (!mark) return [];
      const of = { strip: strip.name, mark: mark.number };
      if (strip.ladder === "squares") return sidesOf(strip, reading, mark.belowCrownMm, pivotMm, of);
      const lay: Lay = {
        sidewaysMm: at?.sidewaysMm ?? 0,
        focusErrorMm: at?.focusErrorMm ?? 0,
        pivotMm,
        ...(reading.endsMm ? { tilt: tiltOf(strip, reading.endsMm) } : {}),
      };
      const predicted = predictedOf(strip, mark, meetsOf(strip, mark, lay), world!);
      return whats.flatMap((what) => {
        const read = readOf(reading, what);
        return read === undefined
          ? []
          : [{ ...of, what, read, predicted: edgeIn(strip.bars, predicted, what) }];
      });
    });
  });
}

/** A commanded side grows by 1 + d/p at d below the focal plane. */
export const grownSide = (sideMm: number, belowCrownMm: number, pivot: Job["lens"]["pivotMm"][0]): number =>
  sideMm * (pivot === "telecentric" ? 1 : 1 - belowCrownMm / pivot);

function sidesOf(
  { sideMm }: Strip,
  { sidesMm }: Reading,
  belowCrownMm: number,
  pivotMm: Job["lens"]["pivotMm"],
  of: Pick<Compared, "strip" | "mark">,
): Compared[] {
  return (sidesMm ?? []).map((read, axis) => ({
    ...of,
    what: axis === 0 ? "side x" : "side y",
    read,
    predicted: grownSide(sideMm!, belowCrownMm, pivotMm[axis as 0 | 1]),
  }));
}

/** From the heights of both ends of a coupon, at its first and its last bar (radians; its right end down). */
export function tiltOf({ bars }: Strip, [left, right]: readonly [number, number]): number {
  const apart = bars.at(-1)!.atMm - bars[0]!.atMm;
  return Math.asin(Math.max(-1, Math.min(1, (left - right) / apart)));
}

/** Half the spread that a careful reading allows, in bars: what is nearer than this agrees (our own choice). */
const AGREES = 1;

/** How many of the readings in bars agree. */
export function agreement(list: readonly Compared[]): { readonly of: number; readonly agree: number } {
  const bars = list.filter(({ what }) => !what.startsWith("side"));
  const agree = bars.filter(({ read, predicted }) =>
    read === "none" || predicted === "none" ? read === predicted : Math.abs(read - predicted) <= AGREES,
  );
  return { of: bars.length, agree: agree.length };
}
