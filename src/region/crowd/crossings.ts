/** Where edges of a crowd cross. */
import { orient2d } from "robust-predicates";
import type { Cells } from "./cells.ts";
import type { Edges } from "./edges.ts";

/** More crossings on one edge are not put in order by insertion. */
const several = 16;

export class Crossings {
  length = 0;
  /** The two edges of crossing i: `edge[2 * i]` and `edge[2 * i + 1]`, and where on each it lies, 0 to 1. */
  edge = new Int32Array(2048);
  along = new Float64Array(2048);
  /** 1 where the first edge comes from the right of the second, −1 from its left. */
  turn = new Int8Array(1024);
  /** The sides of crossings (2 i or 2 i + 1) by edge, in order along it: from `first[k]` to before `first[k + 1]`. */
  readonly first: Int32Array;
  readonly sides: Int32Array;

  readonly #all: Edges;
  readonly #cells: Cells;

  /** `found` is called for each of them. */
  constructor(all: Edges, cells: Cells, found: () => void) {
    this.#all = all;
    this.#cells = cells;
    for (let c = 0; c + 1 < cells.first.length; c++) {
      const end = cells.first[c + 1]!;
      for (let m = cells.first[c]!; m + 1 < end; m++) this.#ofEdge(c, m, end, found);
    }
    this.first = new Int32Array(all.length + 1);
    for (let s = 0; s < 2 * this.length; s++) this.first[this.edge[s]! + 1]!++;
    for (let k = 0; k < all.length; k++) this.first[k + 1]! += this.first[k]!;
    this.sides = this.#sorted();
  }

  /** Those in a cell of the edge at `m` with the edges behind it. A method of its own, so that it is compiled soon. */
  #ofEdge(cell: number, m: number, end: number, found: () => void): void {
    const { x, y, next } = this.#all;
    const { edges, boxes } = this.#cells;
    const a = edges[m]!;
    const left = boxes[4 * a]!;
    const right = boxes[4 * a + 1]!;
    const low = boxes[4 * a + 2]!;
    const high = boxes[4 * a + 3]!;
    for (let o = m + 1; o < end; o++) {
      const e = edges[o]!;
      const i = 4 * e;
      // Below 0 where one of them is, that is, where the boxes are apart: most are, and this is one branch, not four.
      const apart =
        (boxes[i + 1]! - left) | (right - boxes[i]!) | (boxes[i + 3]! - low) | (high - boxes[i + 2]!);
      if (apart < 0) continue;
      const b = next[a]!;
      const f = next[e]!;
      if (b === e || f === a) continue;
      const ax = x[a]!;
      const ay = y[a]!;
      const bx = x[b]!;
      const by = y[b]!;
      const ex = x[e]!;
      const ey = y[e]!;
      const fx = x[f]!;
      const fy = y[f]!;
      // Above 0: to the right of the line.
      const sideE = orient2d(ax, ay, bx, by, ex, ey);
      const sideF = orient2d(ax, ay, bx, by, fx, fy);
      if (sideE > 0 === sideF > 0) continue;
      const sideA = orient2d(ex, ey, fx, fy, ax, ay);
      const sideB = orient2d(ex, ey, fx, fy, bx, by);
      if (sideA > 0 === sideB > 0) continue;
      const s = sideA / (sideA - sideB);
      // Edges that share several cells cross in one of them.
      if (this.#cells.at(ax + s * (bx - ax), ay + s * (by - ay)) !== cell) continue;
      found();
      this.#put(a, s, e, sideE / (sideE - sideF), sideA > 0 ? 1 : -1);
    }
  }

  #put(a: number, s: number, e: number, t: number, turn: number): void {
    if (this.length === this.turn.length) this.#grow();
    const i = 2 * this.length;
    this.edge[i] = a;
    this.edge[i + 1] = e;
    this.along[i] = s;
    this.along[i + 1] = t;
    this.turn[this.length++] = turn;
  }

  #grow(): void {
    const { edge, along, turn } = this;
    this.edge = new Int32Array(2 * edge.length);
    this.along = new Float64Array(2 * along.length);
    this.turn = new Int8Array(2 * turn.length);
    this.edge.set(edge);
    this.along.set(along);
    this.turn.set(turn);
  }

  #sorted(): Int32Array {
    const { edge, along, first } = this;
    const sides = new Int32Array(2 * this.length);
    const at = first.slice();
    for (let s = 0; s < sides.length; s++) sides[at[edge[s]!]!++] = s;
    const inOrder = (a: number, b: number): number => along[a]! - along[b]!;
    for (let k = 0; k + 1 < first.length; k++) {
      const begin = first[k]!;
      const end = first[k + 1]!;
      if (end - begin > several) {
        sides.subarray(begin, end).sort(inOrder);
        continue;
      }
      for (let i = begin + 1; i < end; i++) {
        const s = sides[i]!;
        let j = i;
        for (; j > begin && along[sides[j - 1]!]! > along[s]!; j--) sides[j] = sides[j - 1]!;
        sides[j] = s;
      }
    }
    return sides;
  }
}
