/** Figures over all possible worlds: the middle one, and what 90 % of the drawn ones lie between. */
import type { Figure } from "../../job/job.ts";
import { type Effect, effect, type Met, type Outcome, outcomeOf, type Process } from "./process.ts";

/** Everything at one point, each figure with its range; removal is null without a coating. */
export interface PointSpread {
  readonly fluence: Figure;
  readonly radiusMm: Figure;
  /** Pulses within one footprint, of one pass. */
  readonly pulsesPerPass: Figure;
  readonly doseJPerCm2: number;
  readonly removal: {
    readonly perPassUm: Figure;
    readonly allUm: Figure;
    /** All passes, in thicknesses of the coating. */
    readonly cleared: Figure;
    readonly chance: Readonly<Record<Outcome, number>>;
  } | null;
  readonly metalMargin: Figure;
}

const TAIL = 0.05;

/** Value and the 5th and 95th percentile of the rest; the value is the first number. */
export function spreadOf(numbers: Float64Array): Figure {
  const value = numbers[0]!;
  const sorted = numbers.slice(1).sort();
  const at = (p: number): number => sorted[Math.round(p * (sorted.length - 1))] ?? value;
  return { value, low: Math.min(value, at(TAIL)), high: Math.max(value, at(1 - TAIL)) };
}

const scaled = ({ value, low, high }: Figure, k: number): Figure => ({
  value: value * k,
  low: low * k,
  high: high * k,
});

/** The spread at a point with cos i > 0. */
export function spreadAt(process: Process, met: Met): PointSpread {
  const { worlds, settings } = process;
  const numbers = (): Float64Array => new Float64Array(worlds.length);
  const all: Record<keyof Effect, Float64Array> = {
    radiusMm: numbers(),
    fluence: numbers(),
    pulses: numbers(),
    depthMm: numbers(),
    cleared: numbers(),
    margin: numbers(),
  };
  const keys = Object.keys(all) as (keyof Effect)[];
  const chance = { residue: 0, metal: 0, clean: 0 };
  const out = effect();
  worlds.forEach((world, i) => {
    process.at(met, world, out);
    for (const key of keys) all[key][i] = out[key];
    if (i > 0) chance[outcomeOf(out)] += 1 / (worlds.length - 1);
  });
  const depthUm = scaled(spreadOf(all.depthMm), 1000);
  return {
    fluence: spreadOf(all.fluence),
    radiusMm: spreadOf(all.radiusMm),
    pulsesPerPass: scaled(spreadOf(all.pulses), 1 / settings.passes),
    doseJPerCm2: process.dose(met),
    removal: worlds[0]!.coating
      ? {
          perPassUm: scaled(depthUm, 1 / settings.passes),
          allUm: depthUm,
          cleared: spreadOf(all.cleared),
          chance,
        }
      : null,
    metalMargin: spreadOf(all.margin),
  };
}
