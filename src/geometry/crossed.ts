/**
 * The sweep over parallel lines: the pieces that cross the line at hand are kept in the order of their crossings from
 * one line to the next (after Wylie, Romney, Evans & Erdahl 1967), and winding numbers add up along it.
 */
import type { Pieces } from "./monotone.ts";
import type { Rows } from "./rows.ts";

/** Lines and gaps shorter than this are none (mm): where outlines touch, rounding makes such. */
const SHORTEST = 1e-9;
/** So many pieces beginning in a row are sorted by inserting them one by one. */
const FEW = 40;

/** Goes through the rows with the pieces that cross them. */
export function sweep(pieces: Pieces, at: Float64Array): Rows {
  const from = new Int32Array(at.length + 1);
  if (pieces.count === 0) return { from, s: new Float64Array(0) };
  const [begins, beginning] = byFirstRow(pieces, at.length);
  const crossed = new Crossed(pieces);
  for (let k = 0; k < at.length; k++) {
    crossed.advance(k, at[k]!);
    crossed.join(beginning, begins[k]!, begins[k + 1]!, at[k]!);
    from[k + 1] = crossed.write();
  }
  return { from, s: crossed.lines() };
}

/** Pieces in the order of their first rows: those of row k are list[begins[k] … begins[k + 1]). */
function byFirstRow(pieces: Pieces, rows: number): [begins: Int32Array, list: Int32Array] {
  const begins = new Int32Array(rows + 1);
  for (let i = 0; i < pieces.count; i++) begins[pieces.first(i)]!++;
  for (let k = 0; k < rows; k++) begins[k + 1]! += begins[k]!;
  const list = new Int32Array(pieces.count);
  // From behind, so that each row's end becomes its begin.
  for (let i = pieces.count - 1; i >= 0; i--) list[--begins[pieces.first(i)]!] = i;
  return [begins, list];
}

/** The pieces that cross the row at hand, by their crossings' s, and the lines of all rows up to it. */
class Crossed {
  readonly #pieces: Pieces;
  #count = 0;
  #list = new Int32Array(16);
  #s = new Float64Array(16);
  #lines = new Float64Array(32);
  #end = 0;

  constructor(pieces: Pieces) {
    this.#pieces = pieces;
  }

  /** Goes on to row k: leaves those that ended. Order hardly changes from row to row, so that each is put in its place. */
  advance(k: number, at: number): void {
    const pieces = this.#pieces;
    const [list, s] = [this.#list, this.#s];
    let count = 0;
    for (let i = 0; i < this.#count; i++) {
      const piece = list[i]!;
      if (pieces.end(piece) <= k) continue;
      const x = pieces.crossing(piece, at);
      let j = count++;
      for (; j > 0 && s[j - 1]! > x; j--) {
        s[j] = s[j - 1]!;
        list[j] = list[j - 1]!;
      }
      s[j] = x;
      list[j] = piece;
    }
    this.#count = count;
  }

  /** Takes in the pieces that begin: fresh[begin … end). */
  join(fresh: Int32Array, begin: number, end: number, at: number): void {
    if (begin === end) return;
    const pieces = this.#pieces;
    for (let i = begin; i < end; i++) pieces.crossing(fresh[i]!, at);
    sortByLast(pieces, fresh, begin, end);
    const count = this.#count + end - begin;
    this.#makeRoom(count);
    const [list, s] = [this.#list, this.#s];
    let i = this.#count - 1;
    let j = end - 1;
    for (let w = count - 1; j >= begin; w--) {
      const x = pieces.last(fresh[j]!);
      if (i >= 0 && s[i]! > x) {
        s[w] = s[i]!;
        list[w] = list[i--]!;
      } else {
        s[w] = x;
        list[w] = fresh[j--]!;
      }
    }
    this.#count = count;
  }

  /** Writes the row's lines; how many numbers there are now. */
  write(): number {
    if (this.#lines.length < this.#end + this.#count) {
      const larger = new Float64Array(2 * this.#lines.length + this.#count);
      larger.set(this.#lines);
      this.#lines = larger;
    }
    const out = this.#lines;
    const begin = this.#end;
    let end = begin;
    let winding = 0;
    for (let i = 0; i < this.#count; i++) {
      const before = winding;
      winding += this.#pieces.winding(this.#list[i]!);
      if (before === 0) {
        // Goes on with the line before where there is no gap.
        if (end > begin && this.#s[i]! - out[end - 1]! < SHORTEST) end--;
        else out[end++] = this.#s[i]!;
      } else if (winding === 0) {
        if (this.#s[i]! - out[end - 1]! < SHORTEST) end--;
        else out[end++] = this.#s[i]!;
      }
    }
    this.#end = end;
    return end;
  }

  lines(): Float64Array {
    return this.#lines.slice(0, this.#end);
  }

  #makeRoom(count: number): void {
    if (count <= this.#list.length) return;
    const list = new Int32Array(2 * count);
    const s = new Float64Array(2 * count);
    list.set(this.#list);
    s.set(this.#s);
    this.#list = list;
    this.#s = s;
  }
}

function sortByLast(pieces: Pieces, list: Int32Array, begin: number, end: number): void {
  if (end - begin > FEW) {
    list.subarray(begin, end).sort((a, b) => pieces.last(a) - pieces.last(b));
    return;
  }
  for (let i = begin + 1; i < end; i++) {
    const piece = list[i]!;
    const x = pieces.last(piece);
    let j = i;
    for (; j > begin && pieces.last(list[j - 1]!) > x; j--) list[j] = list[j - 1]!;
    list[j] = piece;
  }
}
