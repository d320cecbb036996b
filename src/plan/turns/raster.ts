/**
 * The ink around a cut on a grid of nodes: how much of a cell is ink, and how near ink is. Cells stand around their
 * nodes; x is covered exactly, y by several rows through each cell. Lengths mm.
 */
import { rowsAcross } from "../../geometry/rows.ts";
import type { Patch } from "./chords.ts";

/** Node (i, j), of index j · columns + i, lies at x = left + i·dx, y = (firstRow + j + ½)·dy. */
export interface Grid {
  readonly left: number;
  readonly dx: number;
  readonly columns: number;
  readonly firstRow: number;
  readonly dy: number;
  readonly rows: number;
}

export interface Field extends Grid {
  /** Share of a node's cell that is ink, 0 to 1. */
  readonly ink: Float32Array;
  /** 1 where there is ink, falling to 0 at `clear` from it. */
  readonly near: Float32Array;
}

/** Cells at most, about: more would take time and find no other way between letters. */
const CELLS = 120_000;
/** Columns at least, however narrow the window. */
const FEWEST = 5;
/** Rows through each cell. */
const THROUGH = 3;
/** Less of a cell than this is no ink: rounding. */
const SPECK = 1e-4;

/** Nodes from left to right edge of the window and from above `top` to below `bottom`; left < right, top < bottom. */
export function gridOver(left: number, right: number, top: number, bottom: number, spotMm: number): Grid {
  const [w, h] = [right - left, bottom - top];
  const step = Math.max(spotMm / 2, Math.sqrt((w * h) / CELLS), (FEWEST * h) / CELLS, (FEWEST * w) / CELLS);
  const columns = Math.max(FEWEST, Math.ceil(w / step) + 1);
  const dy = Math.min(step, h / FEWEST);
  const firstRow = Math.floor(top / dy - 0.5);
  const rows = Math.ceil(bottom / dy - 0.5) - firstRow + 1;
  return { left, dx: w / (columns - 1), columns, firstRow, dy, rows };
}

/** `clear` (mm, > 0): how far from ink a node is not near any more. */
export function fieldOf(grid: Grid, patches: readonly Patch[], clear: number): Field {
  const ink = new Float32Array(grid.columns * grid.rows);
  for (const patch of patches) cover(grid, patch, ink);
  for (let i = 0; i < ink.length; i++) if (ink[i]! > 1) ink[i] = 1;
  return { ...grid, ink, near: nearness(grid, ink, clear) };
}

function cover(grid: Grid, patch: Patch, ink: Float32Array): void {
  const { left, dx, columns, firstRow, dy, rows } = grid;
  const found = rowsAcross(patch.path, 0, dy / THROUGH);
  for (let r = 0; r + 1 < found.from.length; r++) {
    const j = Math.floor((found.first + r) / THROUGH) - firstRow;
    if (j < 0 || j >= rows) continue;
    for (let k = found.from[r]!; k + 1 < found.from[r + 1]!; k += 2) {
      const from = Math.max(0, (found.s[k]! - left) / dx + 0.5);
      const to = Math.min(columns, (found.s[k + 1]! - left) / dx + 0.5);
      if (to > from) addSpan(ink, j * columns, from, to);
    }
  }
}

function addSpan(ink: Float32Array, row: number, from: number, to: number): void {
  const last = Math.ceil(to) - 1;
  for (let i = Math.floor(from); i <= last; i++) {
    ink[row + i]! += (Math.min(i + 1, to) - Math.max(i, from)) / THROUGH;
  }
}

/** Distances from node to node over the eight neighbours, in two sweeps (Borgefors 1986): 8 % too long at most. */
function nearness({ columns, rows, dx, dy }: Grid, ink: Float32Array, clear: number): Float32Array {
  const far = new Float32Array(ink.length);
  for (let n = 0; n < ink.length; n++) far[n] = ink[n]! > SPECK ? 0 : clear;
  const across = Math.hypot(dx, dy);
  const sweep = (down: 1 | -1): void => {
    for (let k = 0; k < rows; k++) {
      const j = down === 1 ? k : rows - 1 - k;
      const hasBefore = k > 0;
      for (let m = 0; m < columns; m++) {
        const i = down === 1 ? m : columns - 1 - m;
        const n = j * columns + i;
        const before = n - down * columns;
        let d = far[n]!;
        if (m > 0) d = Math.min(d, far[n - down]! + dx);
        if (hasBefore) {
          d = Math.min(d, far[before]! + dy);
          if (i > 0) d = Math.min(d, far[before - 1]! + across);
          if (i + 1 < columns) d = Math.min(d, far[before + 1]! + across);
        }
        far[n] = d;
      }
    }
  };
  sweep(1);
  sweep(-1);
  for (let n = 0; n < far.length; n++) far[n] = 1 - far[n]! / clear;
  return far;
}

/** The sum over a line's samples of what is at the nodes nearest to them, times their length; two samples to a step. */
export function along(
  grid: Grid,
  values: Float32Array,
  x0: number,
  y0: number,
  x1: number,
  y1: number,
): number {
  const { left, dx, columns, firstRow, dy, rows } = grid;
  const length = Math.hypot(x1 - x0, y1 - y0);
  const n = Math.max(1, Math.ceil(2 * Math.max(Math.abs(x1 - x0) / dx, Math.abs(y1 - y0) / dy)));
  let sum = 0;
  for (let k = 0; k < n; k++) {
    const t = (k + 0.5) / n;
    const i = Math.min(columns - 1, Math.max(0, Math.round((x0 + t * (x1 - x0) - left) / dx)));
    const j = Math.min(rows - 1, Math.max(0, Math.floor((y0 + t * (y1 - y0)) / dy) - firstRow));
    sum += values[j * columns + i]!;
  }
  return (sum * length) / n;
}
