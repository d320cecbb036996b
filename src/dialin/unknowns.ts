/**
 * What is not known before the readings, as one vector: each figure counted in standard deviations of what the profiles allow.
 *
 * A profile's range is taken as its 90 % interval, the value as its median, each side a half of a normal distribution of the
 * logarithm; a figure without a range is known. Where the crown line stood and how far the focal plane was off are about 0.
 * The pivots are sought by 1/p, so that a telecentric lens is a number like any other.
 */

import { focusedSpot } from "../beam/spot.ts";
import type { Coating, Figure, Pivot } from "../job/job.ts";
import type { World } from "../plan/process/worlds.ts";
import type { Lay } from "../plan/strip/meets.ts";
import type { Strip } from "../plan/strip/types.ts";
import { isCoupon } from "../plan/strip/types.ts";

/** 95 % of a normal distribution lie below so many standard deviations. */
export const NINETY = 1.6448536269514722;

/** Before any reading (our own choice): a cup in a jig, a lens height set by a rule. Standard deviations, mm. */
const SIDEWAYS_MM = 3;
const FOCUS_MM = 3;
/** Of 1/p about the profile's, as a share, and for a telecentric lens in 1/mm (our own choice: generic lenses differ so much). */
const PIVOT = 0.15;
const TELECENTRIC = 1 / 4000;
/** How well a head's field is scaled (our own choice). */
const SCALE = 0.02;

export interface Unknown {
  readonly name: string;
  /** The figure itself, z standard deviations from its middle. */
  at(z: number): number;
}

/** All of them in the order of the vector. */
export interface Unknowns {
  readonly list: readonly Unknown[];
  world(x: readonly number[]): World;
  lay(x: readonly number[], strip: number): Lay;
  /** Along the bed's x and y. */
  pivots(x: readonly number[]): readonly [Pivot, Pivot];
  /** How much larger the head draws than it is told, in its focal plane. */
  scale(x: readonly number[]): number;
}

const logNormal = (name: string, { value, low, high }: Figure): Unknown | null => {
  const [down, up] = [Math.log(value / low) / NINETY, Math.log(high / value) / NINETY];
  if (down === 0 && up === 0) return null;
  return { name, at: (z) => value * Math.exp(z * (z < 0 ? down : up)) };
};
const normal = (name: string, middle: number, sd: number): Unknown => ({ name, at: (z) => middle + z * sd });

/** 1/p of both pivots before any reading. */
export const pivotsBefore = (pivotMm: readonly Pivot[]): Unknown[] =>
  pivotMm.map((p, i) => {
    const middle = p === "telecentric" ? 0 : 1 / p;
    return normal(i === 0 ? "pivotXMm" : "pivotYMm", middle, middle * PIVOT || TELECENTRIC);
  });

/** Of several strips the first one on a vessel, whose figures have the plain names. */
export const mainStrip = (strips: readonly Strip[]): Strip =>
  strips.find((strip) => !isCoupon(strip)) ??
  strips.find((strip) => strip.ladder !== "squares") ??
  strips[0]!;

/** Readings feel δ_c/T alone: the coat is taken as thick as its middle figure, and the constant as known so much less. */
function perThickness({ depthUm, thicknessUm }: Pick<Coating, "depthUm" | "thicknessUm">): Figure {
  const { value, low, high } = depthUm;
  const thin = Math.log(thicknessUm.value / thicknessUm.low);
  const thick = Math.log(thicknessUm.high / thicknessUm.value);
  return {
    value,
    low: value * Math.exp(-Math.hypot(Math.log(value / low), thick)),
    high: value * Math.exp(Math.hypot(Math.log(high / value), thin)),
  };
}

/** Of strips of one machine, coating and metal; the first one's job says which. */
export function unknownsOf(strips: readonly Strip[]): Unknowns {
  const { source, lens, coating, metal } = strips[0]!.job;
  const { spot } = lens;
  const list: Unknown[] = [];
  const from = (made: Unknown | null, known: number): ((x: readonly number[]) => number) => {
    if (!made) return () => known;
    const i = list.push(made) - 1;
    return (x) => made.at(x[i]!);
  };
  const figure = (name: string, f: Figure): ((x: readonly number[]) => number) =>
    from(logNormal(name, f), f.value);
  const beam = spot
    ? { diameterUm: figure("spotUm", spot.diameterUm), rayleighMm: figure("rayleighMm", spot.rayleighMm) }
    : null;
  const m2 = spot ? null : figure("m2", source.m2);
  const across = spot ? null : figure("beamDiameterMm", source.beamDiameterMm);
  const threshold = coating ? figure("thresholdJPerCm2", coating.thresholdJPerCm2) : null;
  const depth = coating ? figure("depthUm", perThickness(coating)) : null;
  const bare = figure("metalThresholdJPerCm2", metal.thresholdJPerCm2);
  const incubation = figure("incubation", metal.incubation);
  // Bars hardly feel the pivots: only squares tell of them.
  const squares = strips.some((strip) => strip.ladder === "squares");
  const bend = pivotsBefore(lens.pivotMm).map((pivot) => from(squares ? pivot : null, pivot.at(0)));
  const scale = squares ? from(normal("fieldScale", 1, SCALE), 1) : () => 1;
  const main = strips.indexOf(mainStrip(strips));
  const lays = strips.map((strip, i) => {
    const end = i === main ? "" : `:${strip.name}`;
    if (strip.ladder === "squares") return null;
    const sideways = isCoupon(strip) ? () => 0 : from(normal(`sidewaysMm${end}`, 0, SIDEWAYS_MM), 0);
    return { sideways, focus: from(normal(`focusErrorMm${end}`, 0, FOCUS_MM), 0) };
  });
  const pivots = (x: readonly number[]): [Pivot, Pivot] => {
    const [px, py] = bend.map((of) => of(x)).map((c): Pivot => (c > 1e-9 ? 1 / c : "telecentric"));
    return [px!, py!];
  };
  return {
    list,
    world(x) {
      const focused = beam
        ? { waistDiameterMm: beam.diameterUm(x) / 1000, rayleighMm: beam.rayleighMm(x) }
        : focusedSpot(
            { wavelengthNm: source.wavelengthNm, m2: m2!(x), beamDiameterMm: across!(x) },
            lens.focalLengthMm,
          );
      return {
        waistRadiusMm: focused.waistDiameterMm / 2,
        rayleighMm: focused.rayleighMm,
        metal: { threshold: bare(x), incubation: Math.min(1, incubation(x)) },
        coating: coating
          ? {
              threshold: threshold!(x),
              depthMm: depth!(x) / 1000,
              thicknessMm: coating.thicknessUm.value / 1000,
            }
          : null,
      };
    },
    lay(x, strip) {
      const lay = lays[strip];
      return {
        sidewaysMm: lay ? lay.sideways(x) : 0,
        focusErrorMm: lay ? lay.focus(x) : 0,
        pivotMm: pivots(x),
      };
    },
    pivots,
    scale,
  };
}
