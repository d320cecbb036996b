/**
 * The safe window of the power: from where all ink clears to where bare metal comes to harm. For a number of passes
 *
 *   clears from   the least power at which z ≥ T everywhere on the usable ink
 *   spares up to  the largest power at which no bare metal is at risk anywhere on it
 *
 * Depth and margin both grow with the power, so that each is one root; where the first lies above the second no power
 * does both by these figures. Which power most likely leaves all ink clean is found by trying: those of two digits
 * about the window. Speed, frequency, pitch and angles stay as they are.
 */
import { bracketRoot } from "../../geometry/roots.ts";
import type { Figure } from "../../job/job.ts";
import type { Cell } from "./cells.ts";
import { effect, type Met, type Process } from "./process.ts";
import { spreadOf } from "./spread.ts";
import type { World } from "./worlds.ts";

export interface SafeWindow {
  readonly passes: number;
  readonly clearsFromW: Figure;
  readonly sparesUpToW: Figure;
  /** The power (two digits) that leaves all ink clean in most of the worlds; null where none does in any. */
  readonly bestW: number | null;
  /** In how many. */
  readonly chance: number;
}

/** Powers that a source gives steadily (W). */
export interface Powers {
  readonly leastW: number;
  readonly mostW: number;
}

/** Powers looked at (W). */
const LEAST = 1e-3;
const MOST = 1e5;
/** Points and worlds that stand for all; the middle figures are asked at every cell. */
const POINTS = 24;
const WORLDS = 128;

/** The window at so many passes. `cells` must not be empty; `powers` are those worth a try. */
export function safeWindow(
  process: Process,
  cells: readonly Cell[],
  passes: number,
  powers: Powers,
): SafeWindow {
  const mets = fewOf(process, cells);
  const worlds = process.worlds.filter((_, i) => i <= WORLDS);
  const from = new Float64Array(worlds.length);
  const upTo = new Float64Array(worlds.length);
  const everywhere = cells.map((cell) => cell.met);
  worlds.forEach((world, i) => {
    const asked = i === 0 ? everywhere : mets;
    const worst = (power: number) => worstAt(process.under({ passes, powerW: power }), asked, world);
    from[i] = rising((power) => Math.log(Math.max(worst(power).cleared, 1e-9)));
    upTo[i] = rising((power) => {
      const { cleared, margin } = worst(power);
      // Before the coating is gone anywhere nothing can come to harm.
      return cleared === 0 && margin < 0 ? -1 : Math.log(Math.max(margin, 1e-9));
    });
  });
  const clearsFromW = spreadOf(from);
  const sparesUpToW = spreadOf(upTo);
  const best = bestPower(process, mets, passes, clearsFromW, sparesUpToW, powers);
  return { passes, clearsFromW, sparesUpToW, ...best };
}

/** Powers tried. */
const TRIED = 15;

function bestPower(
  process: Process,
  mets: readonly Met[],
  passes: number,
  clears: Figure,
  spares: Figure,
  powers: Powers,
): { bestW: number | null; chance: number } {
  const { leastW, mostW } = powers;
  const from = Math.max(leastW, Math.min(clears.value, spares.value) / 1.5);
  const to = Math.min(mostW, Math.max(from, 1.5 * Math.max(clears.value, spares.value)));
  const tried: { powerW: number; chance: number }[] = [];
  for (let i = 0; i < TRIED; i++) {
    const powerW = Number((from * (to / from) ** (i / (TRIED - 1))).toPrecision(2));
    if (powerW >= leastW && powerW <= mostW)
      tried.push({ powerW, chance: chanceAt(process.under({ passes, powerW }), mets) });
  }
  const chance = Math.max(0, ...tried.map((t) => t.chance));
  if (chance === 0) return { bestW: null, chance };
  // Of equals the one in the middle, furthest from both ends of the window.
  const best = tried.filter((t) => t.chance === chance);
  return { bestW: best[best.length >> 1]!.powerW, chance };
}

/** Windows for one pass up to `most`. */
export const safeWindows = (
  process: Process,
  cells: readonly Cell[],
  powers: Powers,
  most = 6,
): SafeWindow[] => Array.from({ length: most }, (_, i) => safeWindow(process, cells, i + 1, powers));

/** The least cleared of the points, and the largest margin of those that are bare (−1 where none is). */
function worstAt(process: Process, mets: readonly Met[], world: World): { cleared: number; margin: number } {
  const out = effect();
  let [cleared, margin] = [Infinity, -1];
  for (const met of mets) {
    process.at(met, world, out);
    cleared = Math.min(cleared, out.cleared);
    if (out.cleared >= 1) margin = Math.max(margin, out.margin);
  }
  return { cleared, margin };
}

/** In how many of the worlds all points are clean. */
export function chanceAt(process: Process, mets: readonly Met[]): number {
  let clean = 0;
  for (let i = 1; i < process.worlds.length; i++) {
    const { cleared, margin } = worstAt(process, mets, process.worlds[i]!);
    if (cleared >= 1 && margin <= 1) clean++;
  }
  return clean / (process.worlds.length - 1);
}

/** The power (W) where a function that rises through 0 does so; the end of the range where it does not. */
function rising(f: (power: number) => number): number {
  const at = (x: number): number => f(Math.exp(x));
  const [lo, hi] = [Math.log(LEAST), Math.log(MOST)];
  if (at(lo) >= 0) return LEAST;
  if (at(hi) < 0) return MOST;
  return Math.exp(bracketRoot(at, lo, hi, 1e-4) ?? hi);
}

/** Shares of the power at which the worst cells are looked for. */
const SHARES = [1 / 64, 1 / 16, 1 / 4, 1, 4];

/**
 * Cells from the weakest beam to the strongest in even steps, both ends with them, and those that are cleared least
 * and bear most at powers far and near.
 */
export function fewOf(process: Process, cells: readonly Cell[]): Met[] {
  const out = effect();
  const middle = process.worlds[0]!;
  const byFluence = cells
    .map(({ met }) => ({ met, fluence: process.at(met, middle, out).fluence }))
    .sort((p, q) => p.fluence - q.fluence);
  const last = byFluence.length - 1;
  const chosen = new Set(
    Array.from({ length: POINTS }, (_, i) => byFluence[Math.round((last * i) / (POINTS - 1))]!.met),
  );
  for (const share of SHARES) {
    const under = process.under({ powerW: share * process.settings.powerW });
    let [least, most] = [Infinity, -Infinity];
    let [weakest, strongest] = [cells[0]!.met, cells[0]!.met];
    for (const { met } of cells) {
      under.at(met, middle, out);
      if (out.cleared < least) [least, weakest] = [out.cleared, met];
      if (out.margin > most) [most, strongest] = [out.margin, met];
    }
    chosen.add(weakest).add(strongest);
  }
  return [...chosen];
}
