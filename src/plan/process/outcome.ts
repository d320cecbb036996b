/**
 * What becomes of the ink: at each cell the likeliest of residue, metal and clean over the possible worlds, and over
 * all worlds how much of the ink each takes and how likely the whole of it comes out clean.
 */
import type { Figure } from "../../job/job.ts";
import type { ZoneShare } from "../types.ts";
import type { Cell } from "./cells.ts";
import { effect, type Outcome, outcomeOf, type Process } from "./process.ts";
import { spreadOf } from "./spread.ts";

export const outcomes: readonly Outcome[] = ["residue", "metal", "clean"];

export interface InkOutcome {
  /** Share of the usable ink where it is the likeliest. */
  readonly likeliest: Readonly<Record<Outcome, number>>;
  /** In how many of the worlds the cell where it is likeliest of all comes out so. */
  readonly highest: Readonly<Record<Outcome, number>>;
  /** Share of the usable ink that comes out so: by the middle figures, and over the worlds. */
  readonly share: Readonly<Record<Outcome, Figure>>;
  /** In how many of the worlds all usable ink is cleared, no metal is at risk anywhere, and both. */
  readonly chance: { readonly allCleared: number; readonly noMetal: number; readonly allClean: number };
  /** By the middle figures: the cell that is cleared least, and the one nearest to harm of the metal. */
  readonly weakest: Cell;
  readonly strongest: Cell;
}

/** `cells` must not be empty, and the job must have a coating. */
export function outcomeOver(process: Process, cells: readonly Cell[]): InkOutcome {
  const { worlds } = process;
  const out = effect();
  const counts: Record<Outcome, Int32Array> = {
    residue: new Int32Array(cells.length),
    metal: new Int32Array(cells.length),
    clean: new Int32Array(cells.length),
  };
  const total = cells.reduce((sum, c) => sum + c.areaMm2, 0);
  const shares: Record<Outcome, Float64Array> = {
    residue: new Float64Array(worlds.length),
    metal: new Float64Array(worlds.length),
    clean: new Float64Array(worlds.length),
  };
  let [weakest, strongest] = [cells[0]!, cells[0]!];
  let [least, most] = [Infinity, -Infinity];
  const good = { allCleared: 0, noMetal: 0, allClean: 0 };
  worlds.forEach((world, w) => {
    let [cleared, spared] = [true, true];
    cells.forEach((cell, c) => {
      process.at(cell.met, world, out);
      const outcome = outcomeOf(out);
      shares[outcome][w]! += cell.areaMm2 / total;
      if (w > 0) counts[outcome][c]!++;
      cleared &&= outcome !== "residue";
      spared &&= outcome !== "metal";
      if (w === 0 && out.cleared < least) [least, weakest] = [out.cleared, cell];
      if (w === 0 && out.margin > most) [most, strongest] = [out.margin, cell];
    });
    if (w === 0) return;
    const one = 1 / (worlds.length - 1);
    if (cleared) good.allCleared += one;
    if (spared) good.noMetal += one;
    if (cleared && spared) good.allClean += one;
  });
  const parts = { residue: 0, metal: 0, clean: 0 };
  cells.forEach((cell, c) => {
    parts[likeliest((o) => counts[o][c]!)] += cell.areaMm2;
  });
  for (const outcome of outcomes) parts[outcome] /= total;
  const highest = (of: Int32Array): number => of.reduce((a, b) => Math.max(a, b), 0) / (worlds.length - 1);
  return {
    likeliest: parts,
    highest: { residue: highest(counts.residue), metal: highest(counts.metal), clean: highest(counts.clean) },
    share: {
      residue: spreadOf(shares.residue),
      metal: spreadOf(shares.metal),
      clean: spreadOf(shares.clean),
    },
    chance: good,
    weakest,
    strongest,
  };
}

/** The outcome with the largest number; of equals the worse one. */
export const likeliest = (of: (outcome: Outcome) => number): Outcome =>
  outcomes.reduce((best, next) => (of(next) > of(best) ? next : best));

export interface ZoneRow {
  readonly zone: ZoneShare["zone"] | Outcome;
  readonly areaMm2: number;
  readonly share: number;
  readonly lineLengthMm: number;
}

/** The zones' rows with the usable ink parted into what will likely become of it. */
export function zonesWithOutcome(zones: readonly ZoneShare[], outcome: InkOutcome | null): ZoneRow[] {
  return zones.flatMap(({ zone, areaMm2, share, lineLengthMm }): ZoneRow[] => {
    if (zone !== "usable" || !outcome) return [{ zone, areaMm2, share, lineLengthMm }];
    return [...outcomes].reverse().map((part) => ({
      zone: part,
      areaMm2: outcome.likeliest[part] * areaMm2,
      share: outcome.likeliest[part] * share,
      // Lines without area are not parted: they stay with what is clean.
      lineLengthMm: part === "clean" ? lineLengthMm : 0,
    }));
  });
}
