/** What would become of the ink if the vessel were levelled: its crown line level where the artwork is placed. */
import type { Job } from "../job/job.ts";
import { surfaceOf } from "./body.ts";
import { fits } from "./changes.ts";
import type { InkPoints } from "./inkpoints.ts";
import { stationOf } from "./station.ts";

export interface Levelling {
  /** How far the rim would have to be raised (positive) or lowered from how it lies (degrees). */
  readonly byDeg: number;
  /** True where all ink is then within every limit and not so as it lies. */
  readonly helps: boolean;
}

/** `points`: of the ink as it lies at `tilt`; `usable`: whether all of it fits so. */
export function levellingOf(job: Job, points: InkPoints, tilt: number, usable: boolean): Levelling | null {
  const level: Job = { ...job, pose: "levelled" };
  const surface = surfaceOf(level);
  const byDeg = ((surface.tilt - tilt) * 180) / Math.PI;
  if (Math.abs(byDeg) < 1e-6) return null;
  if (usable) return { byDeg, helps: false };
  return { byDeg, helps: fits(surface, stationOf(level, job.lens), points, job.focus).usable };
}
