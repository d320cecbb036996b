/** A fill without the rest of the plan: ink as it lies on the flat, all of it usable, focus as given. */
import type { Spot } from "../../../src/beam/spot.ts";
import type { Path } from "../../../src/geometry/path.ts";
import type { Job, JobFile } from "../../../src/job/job.ts";
import { surfaceOf } from "../../../src/plan/body.ts";
import { fillOf } from "../../../src/plan/fill/fill.ts";
import type { Fill } from "../../../src/plan/fill/types.ts";
import { type Cell, cellsOf } from "../../../src/plan/process/cells.ts";
import { stationOf } from "../../../src/plan/station.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { inkOf } from "../../support/shapes.ts";
import { jobOf } from "../process-helpers.ts";

/** 20 W in weak pulses, two crossed sets. */
export const weak = { powerW: 20, speedMmS: 1000, frequencyKHz: 200, pitchMm: 0.04, anglesDeg: [90, 0] };
/** A cup of 80 mm without and with a coating. */
export const bare: JobFile = { vessel: { diameterMm: 80 }, source: { id: "fibre-60" }, settings: weak };
export const coated: JobFile = { ...bare, coating: { id: "powder-black" } };

export interface Filled {
  readonly job: Job;
  readonly fill: Fill;
  readonly warp: Warp;
  readonly spot: Spot;
  readonly cells: readonly Cell[];
}

/** `turns`: the ink of each; `belowCrownMm`: the focal plane. Even fill where nothing else is said. */
export function filled(options: JobFile, turns: readonly Path<"flat">[], belowCrownMm: number): Filled {
  const job = jobOf({ ...options, fill: { lines: "even", ...options.fill } });
  const surface = surfaceOf(job);
  const { base, spot } = stationOf(job, job.lens);
  const warp = new Warp(surface, { ...base, belowCrown: belowCrownMm });
  const inks = turns.map((path) => inkOf([path]).shapes);
  const cells = cellsOf(inks.flat(), warp);
  const fill = fillOf(
    job,
    warp,
    spot,
    inks.map((shapes) => ({ pieces: new Map([["usable", shapes]]) })),
    cells,
  );
  if (!fill) throw new Error("no fill");
  return { job, fill, warp, spot, cells };
}
