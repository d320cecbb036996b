/** What would become of the ink if the vessel were levelled: its crown line level where the artwork is placed. */
import type { Job } from "../job/job.ts";
import { bedOf, surfaceOf } from "./body.ts";
import { fits } from "./fits.ts";
import type { InkPoints } from "./inkpoints.ts";
import { type Station, stationOf } from "./station.ts";

export interface Levelling {
  /** How far the rim would have to be raised (positive) or lowered from how it lies (degrees). */
  readonly byDeg: number;
  /** True where all ink is then within every limit and not so as it lies. */
  readonly helps: boolean;
}

/** `station` and `points`: of the ink as it lies at `tilt`; `usable`: whether all of it fits so. */
export function levellingOf(
  job: Job,
  { limits }: Station,
  points: InkPoints,
  tilt: number,
  usable: boolean,
): Levelling | null {
  const level: Job = { ...job, pose: "levelled" };
  const surface = surfaceOf(level);
  const byDeg = ((surface.tilt - tilt) * 180) / Math.PI;
  if (Math.abs(byDeg) < 1e-6) return null;
  if (usable) return { byDeg, helps: false };
  const station = stationOf(level, job.lens, bedOf(level, surface));
  return { byDeg, helps: fits(surface, { ...station, limits }, points, job.focus).usable };
}
