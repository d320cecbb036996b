/**
 * A true machine, coat and lay for tests of what readings tell: numbers nobody at the station knows.
 *
 * A figure of a profile is drawn with its value as the median, and a normal deviate of the logarithm on each side whose
 * 90 % interval ends at the low and the high end; what falls outside is drawn again, as a profile's range is all there is.
 */
import type { Figure, Job, Pivot } from "../../src/job/job.ts";

export interface Truth {
  /** The crown line right of the optical axis (mm). */
  readonly sidewaysMm: number;
  /** The focal plane below where it was set (mm). */
  readonly focusErrorMm: number;
  readonly m2: number;
  readonly beamDiameterMm: number;
  readonly thresholdJPerCm2: number;
  readonly depthUm: number;
  readonly thicknessUm: number;
  /** Of one pulse. */
  readonly metalThresholdJPerCm2: number;
  readonly incubation: number;
  /** Along the bed's x and y. */
  readonly pivotMm: readonly [Pivot, Pivot];
}

/** 95 % of a normal distribution lie below so many standard deviations. */
const NINETY = 1.6449;
/** A cup in a jig and a lens set by a rule are off by no more (our own choice). mm. */
const SIDEWAYS_MM = 2;
const FOCUS_MM = 1.5;

/** A normal deviate of mean 0 and variance 1 (Box and Muller, Ann. Math. Stat. 29, 610, 1958). */
export const normal = (rng: () => number): number =>
  Math.sqrt(-2 * Math.log(1 - rng())) * Math.cos(2 * Math.PI * rng());

export function drawFigure({ low, value, high }: Figure, rng: () => number): number {
  for (;;) {
    const z = normal(rng) / NINETY;
    const drawn = value * Math.exp(z < 0 ? z * Math.log(value / low) : z * Math.log(high / value));
    if (drawn >= low && drawn <= high) return drawn;
  }
}

/** `pivotShare`: how far the bend of the beam, 1/p, may be off from the job's, as a share; evenly. */
export function drawTruth(job: Job, rng: () => number, pivotShare = 0): Truth {
  const { source, coating, metal, lens } = job;
  if (!coating) throw new RangeError("a truth is of a coat");
  const within = (most: number): number => most * (2 * rng() - 1);
  const pivot = (p: Pivot): Pivot => (p === "telecentric" ? p : p / (1 + within(pivotShare)));
  return {
    sidewaysMm: within(SIDEWAYS_MM),
    focusErrorMm: within(FOCUS_MM),
    m2: drawFigure(source.m2, rng),
    beamDiameterMm: drawFigure(source.beamDiameterMm, rng),
    thresholdJPerCm2: drawFigure(coating.thresholdJPerCm2, rng),
    depthUm: drawFigure(coating.depthUm, rng),
    thicknessUm: drawFigure(coating.thicknessUm, rng),
    metalThresholdJPerCm2: drawFigure(metal.thresholdJPerCm2, rng),
    incubation: drawFigure(metal.incubation, rng),
    pivotMm: [pivot(lens.pivotMm[0]), pivot(lens.pivotMm[1])],
  };
}

/** As the job's profiles have it, and everything where it was meant to be. */
export function middleTruth(job: Job): Truth {
  const { source, coating, metal, lens } = job;
  if (!coating) throw new RangeError("a truth is of a coat");
  return {
    sidewaysMm: 0,
    focusErrorMm: 0,
    m2: source.m2.value,
    beamDiameterMm: source.beamDiameterMm.value,
    thresholdJPerCm2: coating.thresholdJPerCm2.value,
    depthUm: coating.depthUm.value,
    thicknessUm: coating.thicknessUm.value,
    metalThresholdJPerCm2: metal.thresholdJPerCm2.value,
    incubation: metal.incubation.value,
    pivotMm: lens.pivotMm,
  };
}
