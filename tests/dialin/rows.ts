/** Strips laid out by hand, and rows of readings of them, for tests. */
import { checkReadings, type RawReading } from "../../src/dialin/readings.ts";
import type { JobFile } from "../../src/job/job.ts";
import type { Reading, Strip } from "../../src/plan/strip/types.ts";
import { JobError, type Problem } from "../../src/problem.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";
import { handStrip } from "./simulated.ts";

export const asked: JobFile = {
  vessel,
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  settings: { ...usual, powerPercent: undefined, powerW: 27 } as never,
};
export const job = jobOf(asked);
/** 71 bars 1 mm apart, bar 36 on the crown line; marks 1 to 4: 20 W at 500 and 1000 mm/s, 40 W at 500 and 1000 mm/s. */
export const strip = handStrip(job, [20, 40], [500, 1000]);
export const ramp: Strip = { ...strip, ladder: "ramp", tiltDeg: 20 };
const { bars: _, ...rest } = handStrip(job, [20], [500], [0, -20]);
export const squares: Strip = { ...rest, ladder: "squares", bars: [], sideMm: 100 };

export type Row = Omit<RawReading, "row">;
export const check = (of: Strip, ...rows: Row[]): Reading[] =>
  checkReadings(
    of,
    rows.map((row, i) => ({ row: i + 1, ...row })),
  );
export function problemOf(run: () => unknown): Problem {
  try {
    run();
  } catch (error) {
    if (error instanceof JobError) return error.problem;
    throw error;
  }
  throw new Error("nothing was refused");
}
export const clear = (
  mark: number,
  firstClear: number | "none",
  lastClear: number | "none",
  more = {},
): Row => ({
  ...{ mark, firstClear, lastClear },
  ...more,
});
