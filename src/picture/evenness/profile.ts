/** A map across the vessel: of each few columns of cells the mean, and what 90 % of them lie between. */
import type { TurnProof } from "../../plan/fill/types.ts";
import { runsOf } from "./runs.ts";

/** Figures as the map has them; `from` to `to` mm from the crown line. */
export interface Bin {
  readonly from: number;
  readonly to: number;
  readonly mean: number;
  /** 5th and 95th percentile. */
  readonly low: number;
  readonly high: number;
}

const TAIL = 0.05;

/** Bins of whole columns, `leastMm` wide or a little more, in runs that nothing interrupts; none where no cell counts. */
export function profileOf(
  map: Float32Array,
  { grid, counts }: Pick<TurnProof, "grid" | "counts">,
  leastMm: number,
): Bin[][] {
  const { left, cellMm, columns, rows } = grid;
  const each = Math.max(1, Math.ceil(leastMm / cellMm));
  const values = new Float64Array(each * rows);
  const bins = Array.from({ length: Math.ceil(columns / each) }, (_, k): Bin | null => {
    const [first, after] = [k * each, Math.min(columns, (k + 1) * each)];
    let count = 0;
    for (let j = 0; j < rows; j++) {
      for (let n = j * columns + first; n < j * columns + after; n++) {
        if (counts[n] === 1) values[count++] = map[n]!;
      }
    }
    if (count === 0) return null;
    const sorted = values.subarray(0, count).sort();
    const at = (p: number): number => sorted[Math.round(p * (count - 1))]!;
    return {
      from: left + first * cellMm,
      to: left + after * cellMm,
      mean: sorted.reduce((sum, v) => sum + v, 0) / count,
      low: at(TAIL),
      high: at(1 - TAIL),
    };
  });
  return runsOf(bins);
}
