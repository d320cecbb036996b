/**
 * The figures that people ask for, from the vector of what is not known: value and 90 % interval of each, by the normal
 * distribution about the answer carried through (the delta method), in the logarithm of what is positive and in 1/p of a pivot.
 */

import type { Matrix } from "ml-matrix";
import { peakFluence, pulseEnergy } from "../beam/pulse.ts";
import type { Pivot, Settings } from "../job/job.ts";
import type { Found } from "./estimate.ts";
import type { Estimate } from "./types.ts";
import { NINETY, pivotsBefore, type Unknowns } from "./unknowns.ts";

/** A figure is told where its interval is at most so much of what the profiles allow (our own choice). */
export const TOLD = 0.5;

export interface Figure {
  readonly name: string;
  readonly unit: string;
  /** In the scale where its distribution is taken as normal. */
  at(x: readonly number[]): number;
  /** From that scale. */
  back(value: number): number;
}

const ln = (name: string, unit: string, of: (x: readonly number[]) => number): Figure => ({
  name,
  unit,
  at: (x) => Math.log(of(x)),
  back: Math.exp,
});
const plain = (name: string, of: (x: readonly number[]) => number): Figure => ({
  name,
  unit: "mm",
  at: of,
  back: (v) => v,
});

/** `settings`: of the job, for the ratio; null where there are no readings of a coating. */
export function figuresOf(unknowns: Unknowns, settings: Settings | null): Figure[] {
  const list: Figure[] = [];
  const placed = unknowns.list.filter(({ name }) => /^(sideways|focusError)Mm/.test(name));
  for (const unknown of placed) {
    const i = unknowns.list.indexOf(unknown);
    list.push(plain(unknown.name, (x) => unknown.at(x[i]!)));
  }
  const { world } = unknowns;
  list.push(ln("spotUm", "µm", (x) => 2000 * world(x).waistRadiusMm));
  list.push(ln("rayleighMm", "mm", (x) => world(x).rayleighMm));
  if (settings) {
    const energyMj = pulseEnergy(settings.powerW, settings.frequencyKHz);
    list.push(
      ln("thresholdRatio", "1", (x) => {
        const { waistRadiusMm, coating } = world(x);
        return peakFluence(energyMj, waistRadiusMm, 1) / coating!.threshold;
      }),
      ln("thresholdJPerCm2", "J/cm²", (x) => world(x).coating!.threshold),
      ln("depthUm", "µm", (x) => 1000 * world(x).coating!.depthMm),
      ln("metalThresholdJPerCm2", "J/cm²", (x) => world(x).metal.threshold),
      ln("incubation", "1", (x) => world(x).metal.incubation),
    );
  }
  const sought = unknowns.list.filter(({ name }) => name.startsWith("pivot"));
  for (const pivot of sought) {
    const i = unknowns.list.indexOf(pivot);
    list.push({ name: pivot.name, unit: "mm", at: (x) => pivot.at(x[i]!), back: distance });
  }
  return list;
}

/** Of the job of the strips that tell of a coating. */
export function figuresFor({ unknowns, strips }: Pick<Found, "unknowns" | "strips">): Figure[] {
  const job = strips.find(({ strip }) => strip.ladder !== "squares")?.strip.job;
  return figuresOf(unknowns, job?.coating ? (job.settings ?? null) : null);
}

/** From 1/p. */
const distance = (v: number): number => (v > 0 ? 1 / v : Number.POSITIVE_INFINITY);

/** The pivots as the profile has them, where no readings tell of them. */
export const untoldPivots = (unknowns: Unknowns, pivotMm: readonly Pivot[]): [string, Estimate][] =>
  pivotsBefore(pivotMm)
    .filter(({ name }) => unknowns.list.every((one) => one.name !== name))
    .map(({ name, at }) => [
      name,
      estimateOf({ name, unit: "mm", at: ([z]) => at(z!), back: distance }, [0], at(1) - at(0)),
    ]);

const STEP = 1e-4;
/** ∂figure/∂x. */
export const gradientOf = (figure: Figure, x: readonly number[]): number[] =>
  x.map((_, j) => {
    const moved = (by: number): number => figure.at(x.map((v, i) => (i === j ? v + by : v)));
    return (moved(STEP) - moved(-STEP)) / (2 * STEP);
  });

/** gᵀ C h. */
export function spreadOf(g: readonly number[], c: Matrix, h: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < g.length; i++) for (let j = 0; j < h.length; j++) sum += g[i]! * c.get(i, j) * h[j]!;
  return sum;
}

/** `high` is null where nothing bounds it (a lens that may be telecentric). */
export function estimateOf(figure: Figure, x: readonly number[], sd: number): Estimate {
  const middle = figure.at(x);
  const [one, two] = [figure.back(middle - NINETY * sd), figure.back(middle + NINETY * sd)];
  const [low, high] = one < two ? [one, two] : [two, one];
  const value = figure.back(middle);
  const bounded = (v: number): number | null => (Number.isFinite(v) ? v : null);
  return { value: bounded(value) ?? low, low, high: bounded(high), unit: figure.unit };
}
