/** What the settings will do to the usable ink, as far as the profiles' ranges let it be said. */
import type { Job } from "../../job/job.ts";
import type { Warp } from "../../warp/warp.ts";
import type { Fill } from "../fill/types.ts";
import type { Mark } from "../types.ts";
import type { Cell } from "./cells.ts";
import { type InkOutcome, outcomeOver } from "./outcome.ts";
import { type Met, type Process, processOf } from "./process.ts";
import { type PointSpread, spreadAt } from "./spread.ts";
import { type MarkingTime, markingTime } from "./time.ts";
import { type Powers, type SafeWindow, safeWindows } from "./window.ts";

export interface Forecast {
  readonly process: Process;
  /** At best focus and normal incidence, J = 1. */
  readonly inFocus: PointSpread;
  readonly cells: readonly Cell[];
  /** What the process meets at a point of the flat, J that of the lines that are laid there; null where the beam has no image. */
  met(a: number, b: number): Met | null;
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

/**
 * Null where the job has no settings. `inked`: cells of the usable ink; `marks`: what is marked of it, as in the file; `fill`:
 * the lines that are laid, null where the station fills.
 */
export function forecastOf(
  job: Job,
  warp: Warp,
  inked: readonly Cell[],
  marks: readonly Mark[],
  fill: Fill | null,
): Forecast | null {
  const process = processOf(job);
  if (!process) return null;
  const metAt = fill?.metAt;
  const cells = metAt
    ? inked.map((cell) => {
        const [here, there] = [metAt(cell.met, cell.a, cell.b), metAt(cell.met, -cell.a, cell.b)];
        return { ...cell, met: { ...here, areaRatio: (here.areaRatio + there.areaRatio) / 2 } };
      })
    : inked;
  const known = job.coating !== undefined && cells.length > 0;
  return {
    process,
    inFocus: spreadAt(process, { defocus: 0, slant: 1, cosIncidence: 1, areaRatio: 1 }),
    cells,
    met(a, b) {
      const met = warp.meeting(a, b);
      if (typeof met === "string") return null;
      return metAt ? metAt(met, a, b) : met;
    },
    outcome: known ? outcomeOver(process, cells) : null,
    windows: known ? safeWindows(process, cells, powersOf(job, process)) : [],
    time: timeOf(job, marks, fill),
  };
}

function timeOf(job: Job, marks: readonly Mark[], fill: Fill | null): MarkingTime {
  const settings = job.settings!;
  if (fill?.asked.lines) return timeWithLines(job, marks, fill);
  const bands = fill?.asked.bandsBy === "speed" ? fill.bands?.bands : undefined;
  if (!bands || !fill?.asked.bands) return markingTime(marks, settings, job.axis);
  // Each band at its own speed.
  const each = bands.map(({ speedFactor }, k) => {
    const own = fill.turns.flatMap((turn) => turn.bands?.[k] ?? []);
    return markingTime(own, { ...settings, speedMmS: settings.speedMmS * (speedFactor ?? 1) }, job.axis);
  });
  const sum = (of: (time: MarkingTime) => number): number => each.reduce((all, time) => all + of(time), 0);
  return {
    seconds: sum((time) => time.seconds),
    sets: settings.anglesDeg.map((angleDeg, i) => ({
      angleDeg,
      lines: sum(({ sets }) => sets[i]!.lines),
      markLengthMm: sum(({ sets }) => sets[i]!.markLengthMm),
      jumpLengthMm: sum(({ sets }) => sets[i]!.jumpLengthMm),
    })),
    lineDelayMs: each[0]!.lineDelayMs,
    stride: Math.max(...each.map((time) => time.stride)),
  };
}

/** The time of lines that are laid, and of centre lines with the first set. */
function timeWithLines(job: Job, marks: readonly Mark[], fill: Fill): MarkingTime {
  const single = marks.filter((m) => m.paint !== "fill");
  const { seconds, sets, ...rest } = markingTime(single, job.settings!, job.axis);
  return {
    ...rest,
    seconds: seconds + (fill.seconds ?? 0),
    sets: fill.sets.map(({ angleDeg, lines, commandLengthMm, jumpLengthMm }, i) => ({
      angleDeg,
      lines: lines + (sets[i]?.lines ?? 0),
      markLengthMm: commandLengthMm + (sets[i]?.markLengthMm ?? 0),
      jumpLengthMm: jumpLengthMm + (sets[i]?.jumpLengthMm ?? 0),
    })),
  };
}

/** The number of passes that most likely leaves all ink clean, fewer where it makes no odds; null where none does. */
export function bestWindow(windows: readonly SafeWindow[]): SafeWindow | null {
  const open = windows.filter((w) => w.bestW !== null);
  const most = Math.max(0, ...open.map((w) => w.chance));
  return open.find((w) => w.chance >= most - 0.02) ?? null;
}
