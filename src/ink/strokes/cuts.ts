/**
 * A line cut into its dashes: "dash positions" of SVG 2, 13.5. Lengths are arc lengths in the stroke's own space:
 * s(t) = ∫|P′| dt by Gauss quadrature on parts small enough, and its inverse by bracketing.
 */
import type { Stroke } from "../../artwork/types.ts";
import { gauss8 } from "../../geometry/quadrature.ts";
import { bracketRoot } from "../../geometry/roots.ts";
import { JobError } from "../../problem.ts";
import { cutPiece, jetOf, type Piece } from "./piece.ts";

/** Pieces to be outlined together. */
export interface Chain {
  readonly pieces: readonly Piece[];
  readonly closed: boolean;
}

/** A dash of no length, with the line's direction there. */
export interface Dot {
  readonly x: number;
  readonly y: number;
  readonly tx: number;
  readonly ty: number;
}

/** More dashes than this on one path are not drawn. */
export const dashCap = 40_000;
/** Parts of a piece are halved until that changes its length by less than this share. */
const accurate = 1e-9;
const mostParts = 64;

const jet = (piece: Piece, t: number): Float64Array => {
  const out = new Float64Array(6);
  jetOf(piece, t, out);
  return out;
};

/** ∫|P′| from t0 to t1 by one rule. */
function lengthOf(piece: Piece, t0: number, t1: number, out: Float64Array): number {
  let sum = 0;
  for (let g = 0; g < 8; g++) {
    jetOf(piece, t0 + (t1 - t0) * gauss8.nodes[g]!, out);
    sum += gauss8.weights[g]! * out[4]!;
  }
  return sum * (t1 - t0);
}

/** Lengths up to the ends of so many equal parts of a piece. */
function marksOf(piece: Piece): Float64Array {
  if (piece.straight) return Float64Array.of(0, piece.size);
  const out = new Float64Array(6);
  const marks = (n: number): Float64Array => {
    const sums = new Float64Array(n + 1);
    for (let k = 0; k < n; k++) sums[k + 1] = sums[k]! + lengthOf(piece, k / n, (k + 1) / n, out);
    return sums;
  };
  let rough = marks(1);
  for (let n = 2; n <= mostParts; n *= 2) {
    const fine = marks(n);
    if (Math.abs(fine[n]! - rough[n / 2]!) <= accurate * fine[n]!) return fine;
    rough = fine;
  }
  return rough;
}

/** A line by its length. */
export class Ruler {
  readonly #pieces: readonly Piece[];
  readonly #marks: readonly Float64Array[];
  /** Length at the start of each piece, and at the end of the last. */
  readonly #starts: Float64Array;

  constructor(pieces: readonly Piece[]) {
    this.#pieces = pieces;
    this.#marks = pieces.map(marksOf);
    this.#starts = new Float64Array(pieces.length + 1);
    this.#marks.forEach((marks, k) => {
      this.#starts[k + 1] = this.#starts[k]! + marks[marks.length - 1]!;
    });
  }

  get total(): number {
    return this.#starts[this.#pieces.length]!;
  }

  /** The piece that holds length s, the later one where two meet. */
  #pieceAt(s: number): number {
    let lo = 0;
    let hi = this.#pieces.length - 1;
    while (lo < hi) {
      const middle = (lo + hi + 1) >> 1;
      if (this.#starts[middle]! <= s) lo = middle;
      else hi = middle - 1;
    }
    return lo;
  }

  #t(k: number, s: number): number {
    const piece = this.#pieces[k]!;
    const marks = this.#marks[k]!;
    const n = marks.length - 1;
    const rest = s - this.#starts[k]!;
    if (!(rest > 0)) return 0;
    if (rest >= marks[n]!) return 1;
    if (piece.straight) return rest / marks[n]!;
    let part = 0;
    while (part + 1 < n && marks[part + 1]! <= rest) part++;
    const from = part / n;
    const out = new Float64Array(6);
    const short = (t: number): number => marks[part]! + lengthOf(piece, from, t, out) - rest;
    return bracketRoot(short, from, (part + 1) / n, 1e-11) ?? (part + 1) / n;
  }

  dot(s: number): Dot {
    const k = this.#pieceAt(s);
    const [x, y, tx, ty] = jet(this.#pieces[k]!, this.#t(k, s)) as unknown as [
      number,
      number,
      number,
      number,
    ];
    return { x, y, tx, ty };
  }

  /** The part between two lengths. */
  part(from: number, to: number): Piece[] {
    const pieces: Piece[] = [];
    for (let k = this.#pieceAt(from); k < this.#pieces.length && this.#starts[k]! < to; k++) {
      const t0 = this.#t(k, from);
      const t1 = this.#t(k, to);
      if (t1 > t0) pieces.push(cutPiece(this.#pieces[k]!, t0, t1));
    }
    return pieces;
  }
}

/** From and to of each dash along a line of the length given; gaps of no length join their neighbours. */
function positions(dashes: readonly number[], offset: number, total: number): [number, number][] {
  const period = dashes.reduce((sum, v) => sum + v, 0);
  const out: [number, number][] = [];
  let at = -(((offset % period) + period) % period);
  // A dash that would begin at the very end is none, however the lengths were rounded.
  const end = total - 1e-9 * Math.min(total, period);
  let gap = true;
  for (let k = 0; at < end; k = (k + 1) % dashes.length) {
    const length = dashes[k]!;
    const next = at + length;
    if (k % 2 === 1) gap ||= length > 0;
    else if (next > 0 || (next === 0 && length === 0)) {
      const last = out[out.length - 1];
      if (last && !gap) last[1] = Math.min(next, total);
      else out.push([Math.max(0, at), Math.min(next, total)]);
      gap = false;
    } else gap = true;
    at = next;
  }
  return out;
}

/**
 * Dashes of a line. Those at the start and the end of a closed line are one. `count` is how many were cut on the same
 * path before. Throws JobError `too-many-dashes`.
 */
export function dashesOf(line: Chain, stroke: Stroke, count: number): (Chain | Dot)[] {
  const ruler = new Ruler(line.pieces);
  const total = ruler.total;
  const period = stroke.dashes.reduce((sum, v) => sum + v, 0);
  if (!(count + (total / period) * (stroke.dashes.length / 2) <= dashCap)) {
    throw new JobError(
      "too-many-dashes",
      `a dashed line has more than ${dashCap} dashes`,
      "draw it with longer dashes, or expand it to shapes in the drawing program",
    );
  }
  const spans = positions(stroke.dashes, stroke.dashOffset, total);
  const first = spans[0];
  const last = spans[spans.length - 1];
  if (!first || !last) return [];
  // One dash all along a closed line has two ends there; dashes without gaps between them go around.
  if (first[0] === 0 && first[1] >= total) {
    const several = stroke.dashes.every((v, k) => k % 2 === 1 || v < total);
    return [{ pieces: line.pieces, closed: line.closed && several }];
  }
  const joined = line.closed && first[0] === 0 && last[1] >= total && spans.length > 1;
  const out: (Chain | Dot)[] = [];
  for (const [from, to] of joined ? spans.slice(1, -1) : spans) {
    const pieces = ruler.part(from, to);
    out.push(pieces.length > 0 ? { pieces, closed: false } : ruler.dot(from));
  }
  if (joined) {
    const pieces = [...ruler.part(last[0], total), ...ruler.part(0, first[1])];
    out.push(pieces.length > 0 ? { pieces, closed: false } : ruler.dot(0));
  }
  return out;
}
