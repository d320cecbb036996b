/**
 * Possible worlds: what source, coating and metal may really be like, drawn from the ranges of their figures.
 *
 * Half of the draws of a figure lie below its value and half above, thinning out to its low and high end on a straight
 * line in the logarithm: the value is the median. Figures are taken as independent of each other, and as the same all
 * over one vessel. The draws are the points of the additive
 * recurrence R_d, evenly spread and the same in every run (M. Roberts, "The unreasonable effectiveness of
 * quasirandom sequences", 2018; from memory): u_j(n) = frac(½ + n/g^j), g the root of g^(d+1) = g + 1.
 * World 0 is that of the middle figures. A measured spot stands in place of what it would be worked out from; figures that a
 * calibration holds are drawn together instead (joint.ts), each from its own coordinate of the same points.
 */
import { focusedSpot } from "../../beam/spot.ts";
import type { Figure, Job } from "../../job/job.ts";
import { drawnTogether } from "./joint.ts";

export interface World {
  /** w₀ (mm, 1/e² radius) and z_R (mm). */
  readonly waistRadiusMm: number;
  readonly rayleighMm: number;
  /** T and δ_c in mm, F_c in J/cm²; null without a coating in the job. */
  readonly coating: {
    readonly thicknessMm: number;
    readonly depthMm: number;
    readonly threshold: number;
  } | null;
  /** F_m(1) in J/cm², and S. */
  readonly metal: { readonly threshold: number; readonly incubation: number };
}

/** Drawn worlds; with the middle one there is one more. */
export const DRAWS = 512;

/** The middle world and DRAWS drawn ones. */
export function worldsOf(
  job: Pick<Job, "source" | "lens" | "coating" | "metal" | "calibration">,
  draws = DRAWS,
): World[] {
  const { source, lens, coating, metal, calibration } = job;
  const { spot: measured } = lens;
  const figures = [
    ...(measured ? [measured.diameterUm, measured.rayleighMm] : [source.m2, source.beamDiameterMm]),
    metal.thresholdJPerCm2,
    metal.incubation,
    ...(coating ? [coating.thicknessUm, coating.depthUm, coating.thresholdJPerCm2] : []),
  ];
  const world = (v: readonly number[]): World => {
    const beam = { wavelengthNm: source.wavelengthNm, m2: v[0]!, beamDiameterMm: v[1]! };
    const spot = measured
      ? { waistDiameterMm: v[0]! / 1000, rayleighMm: v[1]! }
      : focusedSpot(beam, lens.focalLengthMm);
    return {
      waistRadiusMm: spot.waistDiameterMm / 2,
      rayleighMm: spot.rayleighMm,
      metal: { threshold: v[2]!, incubation: Math.min(1, v[3]!) },
      coating: coating ? { thicknessMm: v[4]! / 1000, depthMm: v[5]! / 1000, threshold: v[6]! } : null,
    };
  };
  const g = golden(figures.length);
  const points = Array.from({ length: draws }, (_, n) =>
    figures.map((_, j) => (0.5 + (n + 1) / g ** (j + 1)) % 1),
  );
  const apart = points.map((u) => figures.map((f, j) => quantile(f, u[j]!)));
  const drawn = drawnTogether(apart, points, figures, places, calibration).map(world);
  return [world(figures.map((f) => f.value)), ...drawn];
}

/** Where in the list of figures those are that may err together. */
const places = {
  spotUm: 0,
  rayleighMm: 1,
  metalThresholdJPerCm2: 2,
  incubation: 3,
  depthUm: 5,
  thresholdJPerCm2: 6,
} as const;

/** The root of g^(d+1) = g + 1, by its own iteration. */
function golden(dimensions: number): number {
  let g = 1.5;
  for (let i = 0; i < 60; i++) g = (1 + g) ** (1 / (dimensions + 1));
  return g;
}

/** Inverse of the distribution function: at 0 the low end, at ½ the value, at 1 the high end. */
export function quantile({ low, value, high }: Figure, u: number): number {
  const far = u < 0.5 ? Math.log(value / low) : Math.log(high / value);
  const way = 1 - Math.sqrt(1 - Math.abs(2 * u - 1));
  return value * Math.exp((u < 0.5 ? -1 : 1) * far * way);
}
