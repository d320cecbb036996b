/**
 * The edges of many outlines, each outline grown by about half a step of the grid.
 *
 * Where outlines touch, share a line or meet in a corner, the sides of points to lines are ties. So every outline is
 * moved outward along its mitres, each by an amount of its own between 0.5 and 1 steps: outlines that touch then
 * overlap, and no three points are on a line but by chance. Only what crosses what is told from these numbers.
 */
import type { Outlines } from "./outlines.ts";

const least = 0.5;
/** A mitre is no longer than this. */
const longest = 4;
/** Multiples of the golden ratio, modulo 1, are spread evenly (Weyl, 1916). */
const golden = (Math.sqrt(5) - 1) / 2;

export class Edges {
  readonly length: number;
  /** Where the vertices of outline p begin: at `first[p]`; they end before `first[p + 1]`. */
  readonly first: Int32Array;
  /** The grown vertices, in steps of the grid; edge k goes from vertex k to vertex `next[k]`. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly next: Int32Array;

  constructor(outlines: Outlines) {
    const { starts, length } = outlines;
    this.length = length;
    this.first = new Int32Array(starts.length + 1);
    this.first.set(starts);
    this.first[starts.length] = length;
    this.x = new Float64Array(length);
    this.y = new Float64Array(length);
    this.next = new Int32Array(length);
    for (let p = 0; p < starts.length; p++) {
      this.#grow(outlines, this.first[p]!, this.first[p + 1]!, least * (1 + ((p * golden) % 1)));
    }
  }

  /** Vertices from `begin` to before `end`, moved by `by` to the right of the way along them. */
  #grow({ x, y }: Outlines, begin: number, end: number, by: number): void {
    if (begin === end) return;
    let fromX = x[begin]!;
    let fromY = y[begin]!;
    let dx = fromX - x[end - 1]!;
    let dy = fromY - y[end - 1]!;
    let length = Math.sqrt(dx * dx + dy * dy) || 1;
    let ux = dx / length;
    let uy = dy / length;
    for (let k = begin; k < end; k++) {
      const j = k + 1 < end ? k + 1 : begin;
      dx = x[j]! - fromX;
      dy = y[j]! - fromY;
      length = Math.sqrt(dx * dx + dy * dy) || 1;
      const vx = dx / length;
      const vy = dy / length;
      // Sum of the normals over 1 + cos, the mitre of the corner.
      const mitre = by / Math.max(2 / longest ** 2, 1 + ux * vx + uy * vy);
      this.x[k] = fromX + mitre * (uy + vy);
      this.y[k] = fromY - mitre * (ux + vx);
      this.next[k] = j;
      fromX = x[j]!;
      fromY = y[j]!;
      ux = vx;
      uy = vy;
    }
  }
}
