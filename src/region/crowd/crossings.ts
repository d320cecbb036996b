/** Where edges of a crowd cross. */
import { orient2d } from "robust-predicates";
import type { Cells } from "./cells.ts";
import type { Edges } from "./edges.ts";

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

  /** `found` is called for each of them. */
  constructor({ x, y, next, length }: Edges, cells: Cells, found: () => void) {
    for (let c = 0; c + 1 < cells.first.length; c++) {
      const end = cells.first[c + 1]!;
      for (let m = cells.first[c]!; m < end; m++) {
        const a = cells.edges[m]!;
        const b = next[a]!;
        const ax = x[a]!;
        const ay = y[a]!;
        const bx = x[b]!;
        const by = y[b]!;
        const left = Math.min(ax, bx);
        const right = Math.max(ax, bx);
        const low = Math.min(ay, by);
        const high = Math.max(ay, by);
        for (let o = m + 1; o < end; o++) {
          const e = cells.edges[o]!;
          const f = next[e]!;
          const ex = x[e]!;
          const fx = x[f]!;
          if ((ex < left && fx < left) || (ex > right && fx > right)) continue;
          const ey = y[e]!;
          const fy = y[f]!;
          if ((ey < low && fy < low) || (ey > high && fy > high)) continue;
          if (b === e || f === a) continue;
          // Above 0: to the right of the line.
          const sideE = orient2d(ax, ay, bx, by, ex, ey);
          const sideF = orient2d(ax, ay, bx, by, fx, fy);
          if (sideE > 0 === sideF > 0) continue;
          const sideA = orient2d(ex, ey, fx, fy, ax, ay);
          const sideB = orient2d(ex, ey, fx, fy, bx, by);
          if (sideA > 0 === sideB > 0) continue;
          const s = sideA / (sideA - sideB);
          // Edges that share several cells cross in one of them.
          if (cells.at(ax + s * (bx - ax), ay + s * (by - ay)) !== c) continue;
          found();
          this.#put(a, s, e, sideE / (sideE - sideF), sideA > 0 ? 1 : -1);
        }
      }
    }
    this.first = new Int32Array(length + 1);
    for (let s = 0; s < 2 * this.length; s++) this.first[this.edge[s]! + 1]!++;
    for (let k = 0; k < length; k++) this.first[k + 1]! += this.first[k]!;
    this.sides = this.#sorted();
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
    const count = new Int32Array(first.length);
    for (let s = 0; s < sides.length; s++) {
      const begin = first[edge[s]!]!;
      let at = begin + count[edge[s]!]!++;
      // Few lie on one edge: each is put in its place.
      while (at > begin && along[sides[at - 1]!]! > along[s]!) {
        sides[at] = sides[at - 1]!;
        at--;
      }
      sides[at] = s;
    }
    return sides;
  }
}
