/**
 * Costly numbers at a point, worked out at nodes half a millimetre apart, where they are asked for, and bilinear
 * between. Nodes stand on corners of cells, so that along an axis the numbers run straight within each cell.
 */
import type { Grid } from "./coverage.ts";

/** What a line removes bends most where it falls toward the threshold: at 1 mm it would be a hundredth off there. */
const STEP_MM = 0.5;
/** Nodes at most, about. */
const NODES = 60_000;

export class Lattice {
  readonly #grid: Grid;
  readonly #of: readonly ((a: number, b: number) => number)[];
  /** Cells from node to node, and one over it. */
  readonly #stride: number;
  readonly #perCell: number;
  readonly #across: number;
  readonly #down: number;
  /** The numbers of one node after those of the other, NaN until they are asked for. */
  readonly #nodes: Float64Array;
  readonly #known: Uint8Array;

  /** The numbers may be NaN. */
  constructor(grid: Grid, ...of: readonly ((a: number, b: number) => number)[]) {
    const { cellMm, columns, rows } = grid;
    const stride = Math.max(1, Math.round(STEP_MM / cellMm), Math.ceil(Math.sqrt((columns * rows) / NODES)));
    this.#grid = grid;
    this.#of = of;
    this.#stride = stride;
    this.#perCell = 1 / stride;
    this.#across = Math.ceil(columns / stride) + 1;
    this.#down = Math.ceil(rows / stride) + 1;
    this.#nodes = new Float64Array(this.#across * this.#down * of.length).fill(Number.NaN);
    this.#known = new Uint8Array(this.#across * this.#down);
  }

  /** Writes the numbers at a point, in cells from the grid's corner; as they are beside the grid or a node of NaN. */
  at(x: number, y: number, out: Float64Array): void {
    const nodes = this.#nodes;
    const count = this.#of.length;
    const u = x * this.#perCell;
    const v = y * this.#perCell;
    const i = Math.floor(u);
    const j = Math.floor(v);
    const within = i >= 0 && j >= 0 && i + 1 < this.#across && j + 1 < this.#down;
    const n = within ? (j * this.#across + i) * count : 0;
    const m = n + this.#across * count;
    for (let k = 0; k < count; k++) {
      const upper = nodes[n + k]! + (u - i) * (nodes[n + count + k]! - nodes[n + k]!);
      const lower = nodes[m + k]! + (u - i) * (nodes[m + count + k]! - nodes[m + k]!);
      const value = upper + (v - j) * (lower - upper);
      const found = within && Number.isFinite(value);
      if (within && !found && this.#learn(i, j)) {
        this.at(x, y, out);
        return;
      }
      out[k] = found ? value : this.#exactly(k, x, y);
    }
  }

  #exactly(k: number, x: number, y: number): number {
    const { left, top, cellMm } = this.#grid;
    return this.#of[k]!(left + x * cellMm, top + y * cellMm);
  }

  /** Works out the four nodes around; false where they were known. */
  #learn(i: number, j: number): boolean {
    let fresh = false;
    for (let corner = 0; corner < 4; corner++) {
      const [column, row] = [i + (corner & 1), j + (corner >> 1)];
      const n = row * this.#across + column;
      if (this.#known[n] === 1) continue;
      fresh = true;
      this.#known[n] = 1;
      for (let k = 0; k < this.#of.length; k++) {
        this.#nodes[n * this.#of.length + k] = this.#exactly(k, column * this.#stride, row * this.#stride);
      }
    }
    return fresh;
  }
}
