/** Two strips marked, read and fitted on machines and coats that nobody knows, over and over. */

import { peakFluence, pulseEnergy } from "../../src/beam/pulse.ts";
import { focusedSpot } from "../../src/beam/spot.ts";
import { checkTogether } from "../../src/dialin/contradictions.ts";
import { toldBy } from "../../src/dialin/dialin.ts";
import { findIn } from "../../src/dialin/estimate.ts";
import type { Estimates } from "../../src/dialin/types.ts";
import type { Job } from "../../src/job/job.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import type { ReadStrip } from "../../src/plan/strip/types.ts";
import { seeded } from "../support/pulses.ts";
import { readBySimulation } from "./simulated.ts";
import { drawTruth, type Truth } from "./truth.ts";

export interface Trial {
  readonly truth: Truth;
  readonly strips: readonly ReadStrip[];
  readonly estimates: Estimates;
  readonly unresolved: readonly string[];
}

/** Marks whose clearing stops inside the strip on a side at least. */
const ended = ({ strip, readings }: ReadStrip): number =>
  readings.filter(
    ({ clear }) =>
      clear && clear !== "none" && (clear[0] > strip.bars[0]!.number || clear[1] < strip.bars.at(-1)!.number),
  ).length;

/** A coat with which so many marks of the first strip tell nothing is marked with other settings. */
const ENOUGH = 3;

/** A strip of settings, a fit, a strip of focus laid out for what it tells, and both fitted together. */
export function trialOf(job: Job, seed: number): Trial {
  const rng = seeded(seed);
  for (;;) {
    const truth = drawTruth(job, rng);
    const one = stripOf(job, { ladder: "settings" });
    const first: ReadStrip = { strip: one, readings: readBySimulation(one, truth, rng) };
    if (ended(first) < ENOUGH) continue;
    const other = stripOf(aimed(job, first), { ladder: "focus" });
    const second: ReadStrip = {
      strip: { ...other, job: one.job },
      readings: readBySimulation(other, truth, rng),
    };
    const strips = [first, second];
    for (const strip of strips) checkTogether(strip);
    const { estimates, unresolved } = toldBy(findIn(strips));
    return { truth, strips, estimates, unresolved };
  }
}

/** The job with the figures that a first strip tells. */
function aimed(job: Job, first: ReadStrip): Job {
  const { estimates } = toldBy(findIn([first]));
  const known = (name: string) => {
    const { value } = estimates[name]!;
    return { value, low: value, high: value };
  };
  return {
    ...job,
    coating: { ...job.coating!, thresholdJPerCm2: known("thresholdJPerCm2"), depthUm: known("depthUm") },
    lens: { ...job.lens, spot: { diameterUm: known("spotUm"), rayleighMm: known("rayleighMm") } },
  };
}

/** What the estimates should say. */
export function truthOf(job: Job, truth: Truth): Record<string, number> {
  const { m2, beamDiameterMm } = truth;
  const spot = focusedSpot(
    { wavelengthNm: job.source.wavelengthNm, m2, beamDiameterMm },
    job.lens.focalLengthMm,
  );
  const { powerW, frequencyKHz } = job.settings!;
  const fluence = peakFluence(pulseEnergy(powerW, frequencyKHz), spot.waistDiameterMm / 2, 1);
  return {
    sidewaysMm: truth.sidewaysMm,
    focusErrorMm: truth.focusErrorMm,
    spotUm: 1000 * spot.waistDiameterMm,
    rayleighMm: spot.rayleighMm,
    thresholdRatio: fluence / truth.thresholdJPerCm2,
    thresholdJPerCm2: truth.thresholdJPerCm2,
    depthUm: (truth.depthUm * job.coating!.thicknessUm.value) / truth.thicknessUm,
    metalThresholdJPerCm2: truth.metalThresholdJPerCm2,
  };
}
