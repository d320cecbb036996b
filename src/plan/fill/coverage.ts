/**
 * The ink on a grid of square cells on the flat: how much of each cell is ink, and which cells lie well inside it. Cells
 * are covered exactly along a, and by several rows through each along b. Lengths mm.
 */
import type { Box, Path, Space } from "../../geometry/path.ts";
import { rowsAt } from "../../geometry/rows.ts";

/** Square cells; cell (i, j), of index j · columns + i, covers left + i·cell …, top + j·cell …. */
export interface Grid {
  readonly left: number;
  readonly top: number;
  readonly cellMm: number;
  readonly columns: number;
  readonly rows: number;
}

/** Cells around the box at least, on every side. */
const MARGIN = 2;
/** Rows through each cell. */
const THROUGH = 4;
/** A cell that lacks less than this is whole: rounding. */
const SPECK = 1e-4;

/**
 * Cells over a box and two more on every side, about the box's middle, so that a mirrored box has mirrored cells. They
 * are `leastMm` wide (> 0), or as wide as it takes for at most `most` (> 100) of them. RangeError for anything else.
 */
export function gridOver(box: Box, leastMm: number, most = 600_000): Grid {
  const { minX, minY, maxX, maxY } = box;
  const [w, h] = [maxX - minX, maxY - minY];
  if (!(w >= 0 && h >= 0 && w + h < Infinity)) throw new RangeError("a grid needs a finite box");
  if (!(leastMm > 0 && leastMm < Infinity && most > 100)) throw new RangeError("a grid needs cells");
  // (w + k c)(h + k c) = most · c², where k counts the margins and the last cell's overhang.
  const k = 2 * MARGIN + 1;
  const [room, sides] = [most - k * k, k * (w + h)];
  const needed = (sides + Math.sqrt(sides * sides + 4 * room * w * h)) / (2 * room);
  const cellMm = Math.max(leastMm, needed);
  // A side of whole cells is not one cell longer for its rounding.
  const count = (side: number): number => Math.max(1, Math.ceil(side / cellMm - 1e-9)) + 2 * MARGIN;
  const [columns, rows] = [count(w), count(h)];
  return {
    left: (minX + maxX) / 2 - (columns * cellMm) / 2,
    top: (minY + maxY) / 2 - (rows * cellMm) / 2,
    cellMm,
    columns,
    rows,
  };
}

/** Share of each cell that the filled paths cover, 0 to 1. */
export function coverageOf(paths: readonly Path<Space>[], grid: Grid): Float32Array {
  const { left, top, cellMm, columns, rows } = grid;
  const share = new Float32Array(columns * rows);
  const at = Float64Array.from({ length: rows * THROUGH }, (_, k) => top + ((k + 0.5) * cellMm) / THROUGH);
  const { from, s } = rowsAt(paths, 0, at);
  for (let r = 0; r < at.length; r++) {
    const row = Math.floor(r / THROUGH) * columns;
    for (let k = from[r]!; k + 1 < from[r + 1]!; k += 2) {
      const start = Math.max(0, (s[k]! - left) / cellMm);
      const end = Math.min(columns, (s[k + 1]! - left) / cellMm);
      for (let i = Math.floor(start); i < end; i++) {
        share[row + i]! += (Math.min(i + 1, end) - Math.max(i, start)) / THROUGH;
      }
    }
  }
  for (let i = 0; i < share.length; i++) if (share[i]! > 1) share[i] = 1;
  return share;
}

/**
 * 1 for the cells that lie wholly inside the ink with every point at least `marginMm` (≥ 0) from any cell that does not:
 * an erosion by a disc (Serra 1982), rather too few cells than too many. A cell's outermost rows lie an eighth of it
 * from its borders, so that so much may lie outside unseen.
 */
export function insideOf(coverage: Float32Array, grid: Grid, marginMm: number): Uint8Array {
  const { columns, rows } = grid;
  const clear = clearance(coverage, grid);
  const inside = Uint8Array.from(clear, (cells) => (cells > 0 ? 1 : 0));
  const radius = marginMm / grid.cellMm;
  const reach = cellsWithin(radius);
  for (let dj = 0; dj <= reach; dj++) {
    // No hole in the row dj off from i − half to i + half; its cells begin dj − 1 away.
    const half = dj === 0 ? reach : cellsWithin(Math.sqrt(radius * radius - (dj - 1) ** 2));
    for (let j = 0; j < rows; j++) {
      for (const other of [j - dj, j + dj]) {
        const within = other >= 0 && other < rows;
        for (let i = 0; i < columns; i++) {
          if (!within || clear[other * columns + i]! <= half) inside[j * columns + i] = 0;
        }
      }
    }
  }
  return inside;
}

/** The furthest cell, counted from one's own, that begins nearer than so many cells away. */
const cellsWithin = (cells: number): number => Math.max(0, Math.ceil(cells - 1e-9));

/** How many cells along its row the nearest cell is that is not whole; beside the grid none is. */
function clearance(coverage: Float32Array, { columns, rows }: Grid): Int32Array {
  const clear = new Int32Array(coverage.length);
  for (let j = 0; j < rows; j++) {
    const row = j * columns;
    for (let i = 0, run = 0; i < columns; i++) {
      run = coverage[row + i]! > 1 - SPECK ? run + 1 : 0;
      clear[row + i] = run;
    }
    for (let i = columns - 1, run = 0; i >= 0; i--) {
      run = coverage[row + i]! > 1 - SPECK ? run + 1 : 0;
      clear[row + i] = Math.min(clear[row + i]!, run);
    }
  }
  return clear;
}
