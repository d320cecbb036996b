/**
 * What a heat map can show over the flat: falloff, dose, removal, the metal's margin. A layer is a number at each
 * point by the middle figures, a scale that it is coloured by, and words. Removal and margin count in
 * multiples of a threshold, on scales of equal ratios with 1 on them.
 */

import type { Job } from "../job/job.ts";
import { falloffAt, falloffOver } from "../plan/falloff.ts";
import { two } from "../plan/figures.ts";
import { coatingLabel, metalLabel } from "../plan/process/label.ts";
import { effect, type Met } from "../plan/process/process.ts";
import { spreadAt } from "../plan/process/spread.ts";
import type { Plan } from "../plan/types.ts";
import { type Grid, roundLevels } from "./isolines.ts";
import { plain } from "./ticks.ts";

export type LayerId = Job["layer"];
export const layerIds: readonly LayerId[] = ["falloff", "dose", "removal", "metal"];

export interface Levels {
  readonly levels: readonly number[];
  readonly words: (level: number) => string;
}

export interface Layer {
  readonly id: LayerId;
  /** Short title with unit, as beside a colour bar. */
  readonly title: string;
  /** The value at a point; 0 where the beam does not reach. */
  at(a: number, b: number): number;
  /** The same over a grid, row by row, where there is a quicker way than point by point. */
  over?(columns: Float64Array, rows: Float64Array): Float64Array;
  /** Place of a value on the scale, from 0 to 1; values beyond its ends lie at them. */
  place(value: number): number;
  /** Values worth a tick, with their words. */
  readonly ticks: readonly { readonly value: number; readonly words: string }[];
  /** Lines of equal value worth drawing over a grid of places on the flat. */
  levels(grid: Grid, apart: number): Levels;
  /** The range of the value in 90 % of the cases across the vessel at b = 0; null where it has none. */
  range(a: number): { readonly low: number; readonly high: number } | null;
  /** The value that a threshold lies at, on scales of multiples. */
  readonly threshold: 1 | null;
  /** The layer's numbers over the ink, in words. */
  readonly said: string;
}

/** Layers that the plan's job allows: dose needs settings, removal and metal a coating too. */
export function layerNames(plan: Pick<Plan, "forecast" | "job">): LayerId[] {
  if (!plan.forecast) return ["falloff"];
  return plan.job.coating ? [...layerIds] : ["falloff", "dose"];
}

/** Throws where the job has nothing to work the layer out of: ask `layerNames` first. */
export function layerOf(plan: Plan, id: LayerId): Layer {
  if (!layerNames(plan).includes(id)) throw new Error(`this job has no layer ${id}`);
  if (id === "falloff") return falloff(plan);
  return id === "dose" ? dose(plan) : multiples(plan, id);
}

/** Value at a point that the beam meets, 0 elsewhere. */
const over =
  (plan: Plan, of: (met: Met) => number) =>
  (a: number, b: number): number => {
    const met = plan.forecast?.met(a, b);
    return met ? of(met) : 0;
  };

function falloff(plan: Plan): Layer {
  const { min, max } = plan.falloff;
  return {
    id: "falloff",
    title: "relative fluence φ",
    at: (a, b) => falloffAt(plan.warp, plan.spot, a, b),
    over: (columns, rows) =>
      falloffOver(plan.warp, plan.spot, columns, rows, new Float64Array(columns.length * rows.length)),
    place: (value) => Math.min(1, Math.max(0, value)),
    ticks: [0, 0.2, 0.4, 0.6, 0.8, 1].map((value) => ({ value, words: value.toFixed(1) })),
    levels: (grid, apart) => {
      const { levels, decimals } = roundLevels(grid, apart);
      return { levels, words: (level) => level.toFixed(decimals) };
    },
    range: () => null,
    threshold: null,
    said:
      max > 0 ? `weakest ink φ = ${min.toFixed(2)}, strongest ${max.toFixed(2)}` : "no ink faces the lens",
  };
}

function dose(plan: Plan): Layer {
  const { process, cells } = plan.forecast!;
  // With lines laid closer together there is more than commanded.
  const most = cells.reduce(
    (sum, c) => Math.max(sum, process.dose(c.met)),
    Math.max(1e-9, process.commandDose * 1.02),
  );
  // A step of 1, 2 or 5 with four to eight of them on the scale.
  const step = series(most / 8, most / 3).at(-1)!;
  const top = Math.ceil(most / step) * step;
  const doses = cells.map((c) => process.dose(c.met));
  return {
    id: "dose",
    title: "areal dose (J/cm²)",
    at: over(plan, (met) => process.dose(met)),
    place: (value) => Math.min(1, Math.max(0, value / top)),
    ticks: Array.from({ length: Math.round(top / step) + 1 }, (_, i) => ({
      value: i * step,
      words: plain(i * step, 4),
    })),
    levels: (grid, apart) => {
      const unit = 10 ** Math.ceil(Math.log10(top));
      const { levels } = roundLevels({ ...grid, values: grid.values.map((v) => v / unit) }, apart);
      return { levels: levels.map((l) => Number((l * unit).toPrecision(6))), words: (l) => plain(l, 4) };
    },
    range: () => null,
    threshold: null,
    said:
      doses.length > 0
        ? `ink gets ${plain(Math.min(...doses), 1)} to ${plain(Math.max(...doses), 1)} J/cm² in all passes`
        : "no usable filled ink",
  };
}

/** Ends of the scales of equal ratios. */
const FEWEST = 0.1;
const MOST = 1000;

function multiples(plan: Plan, id: "removal" | "metal"): Layer {
  const { process, cells, outcome } = plan.forecast!;
  const key = id === "removal" ? ("cleared" as const) : ("margin" as const);
  const out = effect();
  const middle = process.worlds[0]!;
  const at = over(plan, (met) => process.at(met, middle, out)[key]);
  const values = cells.map((c) => process.at(c.met, middle, out)[key]);
  const clip = (v: number): number => Math.min(MOST, Math.max(FEWEST, v));
  const ends = series(clip(Math.min(1, ...values) / 2.5), clip(Math.max(1, ...values) * 2.5));
  const [low, high] = [ends[0]!, ends.at(-1)!];
  const place = (value: number): number =>
    value > low ? Math.min(1, Math.log(value / low) / Math.log(high / low)) : 0;
  const cell = id === "removal" ? outcome?.weakest : outcome?.strongest;
  const spread = cell && spreadAt(process, cell.met);
  const figure = id === "removal" ? spread?.removal?.cleared : spread?.metalMargin;
  const told = figure && `${short(figure.value)} (${short(figure.low)} to ${short(figure.high)})`;
  return {
    id,
    title: id === "removal" ? "removal ÷ thickness" : "fluence ÷ threshold",
    at,
    place,
    ticks: ends.map((value) => ({ value, words: short(value) })),
    levels: (grid, apart) => spaced(grid, ends, apart),
    range: (a) => {
      const met = plan.forecast!.met(a, 0);
      if (!met) return null;
      const here = spreadAt(process, met);
      return id === "removal" ? (here.removal?.cleared ?? null) : here.metalMargin;
    },
    threshold: 1,
    said:
      told === undefined
        ? "no usable filled ink"
        : id === "removal"
          ? `${coatingLabel(plan.job)}weakest ${told} coatings thick; 1 clears`
          : `${metalLabel(plan.job)}strongest ${told}; 1 is the limit`,
  };
}

/** 1, 2, 5 × 10ⁿ from the last that is at most `from` to the first that is at least `to`. */
function series(from: number, to: number): number[] {
  const list: number[] = [];
  for (let n = Math.floor(Math.log10(from)) - 1; n <= Math.ceil(Math.log10(to)) + 1; n++) {
    for (const k of [1, 2, 5]) list.push(Number((k * 10 ** n).toPrecision(1)));
  }
  const first = list.findLastIndex((v) => v <= from * (1 + 1e-9));
  const last = list.findIndex((v) => v >= to * (1 - 1e-9));
  return list.slice(Math.max(0, first), last + 1);
}

/** The series' values that lie in the grid; where they crowd its first row, only 1 and whole tens. */
function spaced(grid: Grid, candidates: readonly number[], apart: number): Levels {
  const words = short;
  const [min, max] = grid.values.reduce(([lo, hi], v) => [Math.min(lo, v), Math.max(hi, v)], [Infinity, 0]);
  const levels = candidates.filter((v) => v > min && v < max);
  const wide = (grid.x.at(-1)! - grid.x[0]!) / 2;
  if (levels.length * apart * 4 < wide) return { levels, words };
  return { levels: levels.filter((v) => Number.isInteger(Math.log10(v))), words };
}

const short = (v: number): string => (v >= 0.095 ? two(v) : v > 0 ? "< 0.1" : "0");

/** The layer's ticks at their places along a scale that runs upward; numbers that would run into others have no words. */
export function tickPlaces(
  layer: Layer,
  at: (place: number) => number,
  apart: number,
): { at: number; words: string | null }[] {
  let last = Infinity;
  return layer.ticks.map(({ value, words }) => {
    const y = at(layer.place(value));
    if (last - y < apart && value !== layer.threshold) return { at: y, words: null };
    last = y;
    return { at: y, words };
  });
}
