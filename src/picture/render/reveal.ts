/**
 * How much of the coating stays on the ink, by the prediction: 0 where it clears, 1 where nothing comes off.
 *
 * With settings and a coating: 1 − z/T by the middle figures, z the mean depth removed and T the thickness.
 * Without: the job is taken as set so that a place with FADE of the strongest ink's relative fluence just clears, and
 * less than that leaves coat in proportion. Where the beam does not reach (hidden, off the field) all of it stays.
 */

import { falloffAt } from "../../plan/falloff.ts";
import { FADE } from "../../plan/fits.ts";
import { effect, type Process } from "../../plan/process/process.ts";
import type { Plan } from "../../plan/types.ts";

const COLUMNS = 384;
const ROWS = 96;

/** Share of the coat's thickness that stays at a flat point; right within the ink's box. */
export type Remaining = (a: number, b: number) => number;

export const nothingRemains: Remaining = () => 0;

/** The prediction on a grid over the ink's box, straight in between; of several turns the one that marks a place. */
export function remainingOf(plan: Plan): Remaining {
  const { box } = plan.ink;
  const at = inTurns(plan, pointwise(plan));
  const [wide, high] = [(box.maxX - box.minX) / COLUMNS || 1, (box.maxY - box.minY) / ROWS || 1];
  const across = COLUMNS + 1;
  const grid = new Float64Array(across * (ROWS + 1));
  for (let j = 0; j <= ROWS; j++)
    for (let i = 0; i < across; i++) grid[j * across + i] = at(box.minX + wide * i, box.minY + high * j);
  return (a, b) => {
    const x = Math.min(COLUMNS, Math.max(0, (a - box.minX) / wide));
    const y = Math.min(ROWS, Math.max(0, (b - box.minY) / high));
    const [i, j] = [Math.min(COLUMNS - 1, Math.floor(x)), Math.min(ROWS - 1, Math.floor(y))];
    const k = j * across + i;
    const top = grid[k]! + (x - i) * (grid[k + 1]! - grid[k]!);
    const low = grid[k + across]! + (x - i) * (grid[k + across + 1]! - grid[k + across]!);
    return top + (y - j) * (low - top);
  };
}

/** From the whole flat to that of the turn that has ink there: the nearest turn, the clearest where several have. */
function inTurns({ turns, warp: { surface } }: Plan, local: Remaining): Remaining {
  if (turns.every(({ angle }) => angle === 0)) return local;
  const { chart } = surface;
  const [place, flat] = [new Float64Array(6), new Float64Array(2)];
  const spans = turns.map(({ points, angle }) => {
    let [from, to] = [Infinity, -Infinity];
    for (let i = 0; i < points.length; i += 2) {
      if (!chart.to(points[i]!, points[i + 1]!, place)) continue;
      from = Math.min(from, place[0]! + angle);
      to = Math.max(to, place[0]! + angle);
    }
    return { from, to, angle };
  });
  return (a, b) => {
    if (!chart.to(a, b, place)) return 1;
    const [theta, m] = [place[0]!, place[1]!];
    const away = spans.map(({ from, to }) => Math.max(0, from - theta, theta - to));
    const nearest = Math.min(...away);
    return spans.reduce((least, { angle }, i) => {
      if (away[i]! > nearest || !chart.from(theta - angle, m, flat)) return least;
      return Math.min(least, local(flat[0]!, flat[1]!));
    }, 1);
  };
}

function pointwise(plan: Plan): Remaining {
  const { warp, spot, falloff } = plan;
  const half = warp.head.field / 2;
  const out = effect();
  const process = processShown(plan);
  return (a, b) => {
    const met = warp.meeting(a, b);
    if (typeof met === "string" || Math.abs(met.u) > half || Math.abs(met.v) > half) return 1;
    const laid = process && plan.forecast!.met(a, b);
    const cleared = laid
      ? process.at(laid, process.worlds[0]!, out).cleared
      : falloffAt(warp, spot, a, b) / (FADE * falloff.max);
    return Math.min(1, Math.max(0, 1 - cleared));
  };
}

/** The process that the picture comes from; null where settings or coating are missing. */
export const processShown = ({ job, forecast }: Plan): Process | null =>
  job.coating && forecast ? forecast.process : null;

/** e-folds of hiding in a coat's whole thickness: a tenth of it hides a quarter (our own choice). */
const HIDING = 3;

/** How much of the metal a rest of the coat hides: none at 0, all at 1. */
export const veil = (remaining: number): number =>
  (1 - Math.exp(-HIDING * remaining)) / (1 - Math.exp(-HIDING));
