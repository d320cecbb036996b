/** A grid of square cells, about half as many as there are edges, and the edges that pass through each. */
import type { Edges } from "./edges.ts";

/** Cells overlap by this many steps, so that rounding puts no point between two of them. */
const margin = 1e-3;

const none = new Int32Array(0);

export class Cells {
  readonly minX: number;
  readonly minY: number;
  /** The side of a cell, in steps. */
  readonly side: number;
  readonly columns: number;
  readonly rows: number;
  /** Where the edges of a cell begin in `edges`; they end where those of the next begin. */
  readonly first: Int32Array;
  readonly edges: Int32Array;
  /** By edge: the box around it in whole steps, as left, right, low, high. */
  readonly boxes: Int32Array;
  /** False where there were more than `most` entries: then the cells are of no use. */
  readonly complete: boolean;
  /** By entry as they are found: its cell and its edge. */
  #cellOf: Int32Array;
  #edgeOf: Int32Array;
  #count = 0;
  readonly #perSide: number;

  constructor(all: Edges, most: number) {
    const { x, y } = all;
    const n = x.length;
    let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let k = 0; k < n; k++) {
      if (x[k]! < minX) minX = x[k]!;
      if (x[k]! > maxX) maxX = x[k]!;
      if (y[k]! < minY) minY = y[k]!;
      if (y[k]! > maxY) maxY = y[k]!;
    }
    // A little off, lest lines of the drawing run along the middles of cells.
    this.minX = minX - 1.37;
    this.minY = minY - 1.73;
    const width = maxX - this.minX + 1;
    const height = maxY - this.minY + 1;
    this.side = Math.max(Math.sqrt((2 * width * height) / n), Math.max(width, height) / n, 8);
    this.#perSide = 1 / this.side;
    this.columns = Math.ceil(width / this.side);
    this.rows = Math.ceil(height / this.side);

    this.boxes = new Int32Array(4 * n);
    // Pairs of cell and edge, then sorted by cell by counting.
    this.#cellOf = new Int32Array(2 * n + 16);
    this.#edgeOf = new Int32Array(2 * n + 16);
    for (let k = 0; k < n && this.#count <= most; k++) this.#putEdge(all, k);
    this.complete = this.#count <= most;
    const count = this.#count;
    const cellOf = this.#cellOf;
    const edgeOf = this.#edgeOf;
    // One place further while they are sorted: as entries are put, where a cell begins becomes where it ends.
    const first = new Int32Array(this.columns * this.rows + 2);
    for (let i = 0; i < count; i++) first[cellOf[i]! + 2]!++;
    for (let c = 1; c < first.length; c++) first[c]! += first[c - 1]!;
    this.edges = new Int32Array(count);
    for (let i = 0; i < count; i++) this.edges[first[cellOf[i]! + 1]!++] = edgeOf[i]!;
    this.first = first.subarray(0, -1);
    this.#cellOf = this.#edgeOf = none;
  }

  /** Puts an edge into the cells that it passes through. A method of its own, so that it is compiled soon. */
  #putEdge({ x, y, next }: Edges, k: number): void {
    const j = next[k]!;
    const low = Math.min(y[k]!, y[j]!);
    const high = Math.max(y[k]!, y[j]!);
    const left = Math.min(x[k]!, x[j]!);
    const right = Math.max(x[k]!, x[j]!);
    this.boxes[4 * k] = Math.floor(left);
    this.boxes[4 * k + 1] = Math.ceil(right);
    this.boxes[4 * k + 2] = Math.floor(low);
    this.boxes[4 * k + 3] = Math.ceil(high);
    const from = this.row(low - margin);
    const to = this.row(high + margin);
    const slope = (x[j]! - x[k]!) / (y[j]! - y[k]!);
    for (let r = from; r <= to; r++) {
      let x0 = left;
      let x1 = right;
      if (from < to && low < high) {
        // What of the edge is in the row.
        const bottom = this.minY + r * this.side - margin;
        const a = x[k]! + slope * (bottom - y[k]!);
        const b = a + slope * (this.side + 2 * margin);
        x0 = Math.max(x0, Math.min(a, b));
        x1 = Math.min(x1, Math.max(a, b));
      }
      const last = this.column(x1 + margin);
      for (let c = this.column(x0 - margin); c <= last; c++) {
        if (this.#count === this.#cellOf.length) {
          this.#cellOf = grown(this.#cellOf);
          this.#edgeOf = grown(this.#edgeOf);
        }
        this.#cellOf[this.#count] = r * this.columns + c;
        this.#edgeOf[this.#count++] = k;
      }
    }
  }

  /** Pairs of edges that share a cell, as often as they do. */
  pairs(): number {
    let sum = 0;
    for (let c = 0; c + 1 < this.first.length; c++) {
      const n = this.first[c + 1]! - this.first[c]!;
      sum += (n * (n - 1)) / 2;
    }
    return sum;
  }

  /** Of a point among the edges, or less than a step beside them. */
  column(x: number): number {
    return ((x - this.minX) * this.#perSide) | 0;
  }

  row(y: number): number {
    return ((y - this.minY) * this.#perSide) | 0;
  }

  at(x: number, y: number): number {
    return this.row(y) * this.columns + this.column(x);
  }
}

const grown = (list: Int32Array): Int32Array => {
  const more = new Int32Array(2 * list.length);
  more.set(list);
  return more;
};
