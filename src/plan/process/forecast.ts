/** What the settings will do to the usable ink, as far as the profiles' ranges let it be said. */
import type { Job } from "../../job/job.ts";
import type { Warp } from "../../warp/warp.ts";
import type { InkShape } from "../ink.ts";
import type { Mark } from "../types.ts";
import { type Cell, cellsOf } from "./cells.ts";
import { type InkOutcome, outcomeOver } from "./outcome.ts";
import { type Process, processOf } from "./process.ts";
import { type PointSpread, spreadAt } from "./spread.ts";
import { type MarkingTime, markingTime } from "./time.ts";
import { type Powers, type SafeWindow, safeWindows } from "./window.ts";

export interface Forecast {
  readonly process: Process;
  /** At best focus and normal incidence, J = 1. */
  readonly inFocus: PointSpread;
  readonly cells: readonly Cell[];
  /** Null without a coating in the job, or without usable filled ink. */
  readonly outcome: InkOutcome | null;
  /** Safe windows for one pass and more; empty where there is no outcome. */
  readonly windows: readonly SafeWindow[];
  readonly time: MarkingTime;
}

/** From a tenth of the source's power (below it few are steady; from memory) to all that its pulses may carry. */
function powersOf({ source }: Job, { settings }: Process): Powers {
  const { meanPowerW, maxPulseEnergyMj } = source;
  return {
    leastW: 0.1 * (meanPowerW ?? 0),
    mostW: Math.min(meanPowerW ?? Infinity, maxPulseEnergyMj * settings.frequencyKHz),
  };
}

/** Null where the job has no settings. `usable`, `marks`: the usable ink on the flat and in the file. */
export function forecastOf(
  job: Job,
  warp: Warp,
  usable: readonly InkShape[],
  marks: readonly Mark[],
): Forecast | null {
  const process = processOf(job);
  if (!process) return null;
  const cells = cellsOf(usable, warp);
  const known = job.coating !== undefined && cells.length > 0;
  return {
    process,
    inFocus: spreadAt(process, { defocus: 0, slant: 1, cosIncidence: 1, areaRatio: 1 }),
    cells,
    outcome: known ? outcomeOver(process, cells) : null,
    windows: known ? safeWindows(process, cells, powersOf(job, process)) : [],
    time: markingTime(marks, process.settings, job.axis),
  };
}

/** The number of passes that most likely leaves all ink clean, fewer where it makes no odds; null where none does. */
export function bestWindow(windows: readonly SafeWindow[]): SafeWindow | null {
  const open = windows.filter((w) => w.bestW !== null);
  const most = Math.max(0, ...open.map((w) => w.chance));
  return open.find((w) => w.chance >= most - 0.02) ?? null;
}
