/** Lines of equal value over a grid (marching squares), and the round values worth drawing. */

export interface Grid {
  readonly columns: number;
  readonly rows: number;
  /** Positions of the grid's lines. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Row by row. */
  readonly values: Float64Array;
}

/** Samples f over a rectangle at steps of about `step`. */
export function gridOf(
  rect: { readonly left: number; readonly top: number; readonly width: number; readonly height: number },
  step: number,
  f: (x: number, y: number) => number,
): Grid {
  const columns = Math.max(2, Math.ceil(rect.width / step) + 1);
  const rows = Math.max(2, Math.ceil(rect.height / step) + 1);
  const x = Float64Array.from({ length: columns }, (_, i) => rect.left + (rect.width * i) / (columns - 1));
  const y = Float64Array.from({ length: rows }, (_, j) => rect.top + (rect.height * j) / (rows - 1));
  const values = new Float64Array(columns * rows);
  for (let j = 0; j < rows; j++) for (let i = 0; i < columns; i++) values[j * columns + i] = f(x[i]!, y[j]!);
  return { columns, rows, x, y, values };
}

/**
 * Tenths where three to seven of them lie between the grid's least and greatest value, else the step that does
 * so; coarser ones where the lines of its first row would stand closer than `apart`.
 */
export function roundLevels(grid: Grid, apart: number): { levels: number[]; decimals: number } {
  let min = Infinity;
  let max = -Infinity;
  for (const v of grid.values) {
    if (v < min) min = v;
    if (v > max) max = v;
  }
  const row = grid.values.subarray(0, grid.columns);
  const open = (levels: readonly number[]): boolean => {
    const at = levels.flatMap((level) => crossings(grid.x, row, level)).sort((p, q) => p - q);
    return at.every((x, i) => i === 0 || x - at[i - 1]! >= apart);
  };
  let few: { levels: number[]; decimals: number } = { levels: [], decimals: 2 };
  for (const [step, decimals] of STEPS) {
    const levels: number[] = [];
    for (let k = Math.floor(min / step) + 1; k * step < max; k++) levels.push(Number((k * step).toFixed(4)));
    if (levels.length > 7 || !open(levels)) continue;
    if (levels.length >= 3) return { levels, decimals };
    if (levels.length > few.levels.length) few = { levels, decimals };
  }
  return few;
}
const STEPS = [
  [0.1, 1],
  [0.2, 1],
  [0.05, 2],
  [0.02, 2],
  [0.01, 2],
  [0.5, 1],
] as const;

/** Short straight pieces x0 y0 x1 y1 of the line where the grid's value is `level`. */
export function isoline(grid: Grid, level: number): number[][] {
  const { columns, rows, x, y, values } = grid;
  const pieces: number[][] = [];
  for (let j = 0; j + 1 < rows; j++) {
    for (let i = 0; i + 1 < columns; i++) {
      const k = j * columns + i;
      // Corners clockwise from the upper left.
      const v = [values[k]!, values[k + 1]!, values[k + columns + 1]!, values[k + columns]!];
      const px = [x[i]!, x[i + 1]!, x[i + 1]!, x[i]!];
      const py = [y[j]!, y[j]!, y[j + 1]!, y[j + 1]!];
      const ends: number[] = [];
      for (let c = 0; c < 4; c++) {
        const d = (c + 1) % 4;
        if (v[c]! >= level === v[d]! >= level) continue;
        const t = (level - v[c]!) / (v[d]! - v[c]!);
        ends.push(px[c]! + t * (px[d]! - px[c]!), py[c]! + t * (py[d]! - py[c]!));
      }
      for (let e = 0; e + 3 < ends.length; e += 4) pieces.push(ends.slice(e, e + 4));
    }
  }
  return pieces;
}

/** Where a row of values crosses `level`: x by linear interpolation, left to right. */
export function crossings(x: Float64Array, row: Float64Array, level: number): number[] {
  const found: number[] = [];
  for (let i = 0; i + 1 < x.length; i++) {
    const [v, w] = [row[i]!, row[i + 1]!];
    if (v >= level !== w >= level) found.push(x[i]! + ((level - v) / (w - v)) * (x[i + 1]! - x[i]!));
  }
  return found;
}
