/**
 * Closed outlines as pieces that run one way across parallel lines, and where a line crosses a piece. Along the lines
 * and across them a segment is
 *
 *   s(τ) = s₀ + d₁τ + d₂τ² + d₃τ³,   t(τ) = t₀ + c₁τ + c₂τ² + c₃τ³,   parted where c₁ + 2c₂τ + 3c₃τ² = 0.
 *
 * t(τ) = at is solved by Newton's method kept inside its bracket. Segments keep their drawn direction, so that the
 * arithmetic of a mirrored outline is the mirrored arithmetic.
 */
import type { Contour, Space } from "./path.ts";

/** Numbers of a piece: t₀ c₁ c₂ c₃, s₀ d₁ d₂ d₃, τ at its low end and at its high end, τ and s of its last crossing. */
const WIDE = 12;
/** Pieces that there is room for at first. */
const ROOM = 8;
/** Whole numbers of a piece: first row, row after its last, +1 or −1 for what it adds to the winding number. */
const WHOLE = 3;
/** Newton's steps end below this; the one after it is exact. */
const STEP = 1e-9;
const PASSES = 100;
/** Added and taken away again, rounds τ to a multiple of 2⁻²⁶. */
const ROUNDING = 1.5 * 2 ** 26;

/** The pieces that cross any of the lines at `at` (ascending); a line runs along (ax, ay), t counts along (px, py). */
export class Pieces {
  count = 0;
  readonly #at: Float64Array;
  readonly #ax: number;
  readonly #ay: number;
  readonly #px: number;
  readonly #py: number;
  #numbers = new Float64Array(ROOM * WIDE);
  #whole = new Int32Array(ROOM * WHOLE);
  readonly #segment = new Float64Array(8);
  /** τ and t where a segment begins, turns and ends. */
  readonly #ends = new Float64Array(8);

  constructor(at: Float64Array, directions: readonly [number, number, number, number]) {
    this.#at = at;
    [this.#ax, this.#ay, this.#px, this.#py] = directions;
  }

  first(piece: number): number {
    return this.#whole[WHOLE * piece]!;
  }

  /** The row after its last. */
  end(piece: number): number {
    return this.#whole[WHOLE * piece + 1]!;
  }

  winding(piece: number): number {
    return this.#whole[WHOLE * piece + 2]!;
  }

  /** A closed contour; `sign` is −1 to count it as if drawn the other way. */
  add({ points, straight }: Contour<Space>, sign: number): void {
    for (let k = 0; k < straight.length; k++) {
      if (straight[k]) this.#line(points, 6 * k, sign);
      else this.#cubic(points, 6 * k, sign);
    }
  }

  #line(p: Float64Array, i: number, sign: number): void {
    const t0 = this.#across(p, i);
    const t3 = this.#across(p, i + 6);
    if (t0 === t3) return;
    const s0 = this.#along(p, i);
    const s3 = this.#along(p, i + 6);
    const n = this.#segment;
    n.fill(0);
    n[0] = t0;
    n[1] = t3 - t0;
    n[4] = s0;
    n[5] = s3 - s0;
    this.#piece(0, t0, 1, t3, sign);
  }

  #cubic(p: Float64Array, i: number, sign: number): void {
    const t0 = this.#across(p, i);
    const t1 = this.#across(p, i + 2);
    const t2 = this.#across(p, i + 4);
    const t3 = this.#across(p, i + 6);
    // Between its lowest and its highest arm there may be no row.
    if (this.#rowFrom(Math.min(t0, t1, t2, t3)) === this.#rowFrom(Math.max(t0, t1, t2, t3))) return;
    const s0 = this.#along(p, i);
    const s1 = this.#along(p, i + 2);
    const s2 = this.#along(p, i + 4);
    const s3 = this.#along(p, i + 6);
    const n = this.#segment;
    n[0] = t0;
    n[1] = 3 * (t1 - t0);
    n[2] = 3 * (t2 - t1 - (t1 - t0));
    n[3] = t3 - t0 - 3 * (t2 - t1);
    n[4] = s0;
    n[5] = 3 * (s1 - s0);
    n[6] = 3 * (s2 - s1 - (s1 - s0));
    n[7] = s3 - s0 - 3 * (s2 - s1);
    const e = this.#ends;
    const turns = (t1 - t0) * (t2 - t1) >= 0 && (t2 - t1) * (t3 - t2) >= 0 && t2 !== t1 ? 0 : turnsOf(n, e);
    e[0] = 0;
    e[1] = t0;
    e[2 * turns + 2] = 1;
    e[2 * turns + 3] = t3;
    for (let k = 0; k <= turns; k++)
      this.#piece(e[2 * k]!, e[2 * k + 1]!, e[2 * k + 2]!, e[2 * k + 3]!, sign);
  }

  /** The segment at hand from τ = u to τ = v, where t is tu and tv. Lines at its low end are its own, at its high end not. */
  #piece(u: number, tu: number, v: number, tv: number, sign: number): void {
    const up = tu < tv;
    const low = up ? tu : tv;
    const high = up ? tv : tu;
    const first = this.#rowFrom(low);
    const end = this.#rowFrom(high);
    if (first === end) return;
    const piece = this.count++;
    if (piece * WIDE === this.#numbers.length) {
      this.#numbers = larger(this.#numbers, new Float64Array(2 * this.#numbers.length));
      this.#whole = larger(this.#whole, new Int32Array(2 * this.#whole.length));
    }
    const i = piece * WIDE;
    const n = this.#numbers;
    n.set(this.#segment, i);
    n[i + 8] = up ? u : v;
    n[i + 9] = up ? v : u;
    n[i + 10] = u + ((this.#at[first]! - tu) / (tv - tu)) * (v - u);
    const j = piece * WHOLE;
    this.#whole[j] = first;
    this.#whole[j + 1] = end;
    this.#whole[j + 2] = up ? sign : -sign;
  }

  /** s of the crossing that was asked for last. */
  last(piece: number): number {
    return this.#numbers[WIDE * piece + 11]!;
  }

  /** s where the piece crosses the line at t = `at`; quickest for one row after the other. */
  crossing(piece: number, at: number): number {
    const n = this.#numbers;
    const i = piece * WIDE;
    const c0 = n[i]! - at;
    const c1 = n[i + 1]!;
    const c2 = n[i + 2]!;
    const c3 = n[i + 3]!;
    let x = n[i + 10]!;
    if (c2 === 0 && c3 === 0) x = -c0 / c1;
    else {
      let a = n[i + 8]!;
      let b = n[i + 9]!;
      const low = Math.min(a, b);
      const high = Math.max(a, b);
      for (let pass = 0; pass < PASSES; pass++) {
        const f = c0 + x * (c1 + x * (c2 + x * c3));
        if (f < 0) a = x;
        else b = x;
        let next = x - f / (c1 + x * (2 * c2 + 3 * c3 * x));
        if (!((next - a) * (next - b) <= 0)) next = (a + b) / 2;
        const step = Math.abs(next - x);
        x = next;
        if (step < STEP) break;
      }
      // A last step from a rounded τ, so that it matters to no bit from where the root was come upon.
      const y = x + ROUNDING - ROUNDING;
      const last = y - (c0 + y * (c1 + y * (c2 + y * c3))) / (c1 + y * (2 * c2 + 3 * c3 * y));
      // Beside a turn such a step may lead away.
      if (Math.abs(last - x) < STEP) x = last;
      x = Math.min(high, Math.max(low, x));
      n[i + 10] = x;
    }
    const s = n[i + 4]! + x * (n[i + 5]! + x * (n[i + 6]! + x * n[i + 7]!));
    n[i + 11] = s;
    return s;
  }

  #along(p: Float64Array, i: number): number {
    return p[i]! * this.#ax + p[i + 1]! * this.#ay;
  }

  #across(p: Float64Array, i: number): number {
    return p[i]! * this.#px + p[i + 1]! * this.#py;
  }

  /** The first row at or above t. */
  #rowFrom(t: number): number {
    const at = this.#at;
    let low = 0;
    let high = at.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (at[middle]! < t) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

function larger<T extends Float64Array | Int32Array>(old: T, room: T): T {
  room.set(old);
  return room;
}

/** Writes τ and t of a segment's turns across the lines into e[2 …], ascending; how many. */
function turnsOf(n: Float64Array, e: Float64Array): number {
  const a = 3 * n[3]!;
  const b = 2 * n[2]!;
  const c = n[1]!;
  const square = b * b - 4 * a * c;
  // Where the two fall together the segment only pauses.
  if (!(square > 0)) return 0;
  const root = Math.sqrt(square);
  const q = -(b + (b < 0 ? -root : root)) / 2;
  const one = q / a;
  const two = c / q;
  let count = 0;
  for (const tau of one < two ? [one, two] : [two, one]) {
    if (!(tau > 0 && tau < 1)) continue;
    count++;
    e[2 * count] = tau;
    e[2 * count + 1] = n[0]! + tau * (c + tau * (n[2]! + tau * n[3]!));
  }
  return count;
}
