/**
 * A monotone, twice continuously differentiable curve f(x) through measured points. Each piece between two points is a
 * quintic given by value, slope s and second derivative k at its ends; in Bernstein form, h the piece's length:
 *
 *   c₀ = f₀,  c₁ = f₀ + h s₀/5,  c₂ = f₀ + 2h s₀/5 + h² k₀/20,  c₃ = f₁ − 2h s₁/5 + h² k₁/20,  c₄ = f₁ − h s₁/5,  c₅ = f₁
 *
 * A piece whose c rise (or fall) is monotone (variation diminishing; Farin, "Curves and Surfaces for CAGD", ch. 5; from
 * memory). s and k come from the polynomial through the five nearest points (weights: Fornberg, Math. Comp. 51 (1988)
 * 699–706) and are drawn toward 0 only where the c would turn, in the manner of Fritsch & Carlson, SIAM J. Numer. Anal.
 * 17 (1980) 238–246. Through smooth points the error falls with the fifth power of their distance; at a point higher
 * (or lower) than both its neighbours the slope is 0.
 */

import { pieceFinder, quinticPiece } from "../geometry/quintic.ts";

export interface Spline {
  /** The points' x, strictly rising. */
  readonly knots: Float64Array;
  /** The largest f″ that each piece can have, by its control polygon. */
  readonly bend: Float64Array;
  /** The piece that x lies in; x beyond the ends belongs to the end pieces. */
  pieceOf(x: number): number;
  /** Writes f, f′, f″ into out[0..2] by the piece's polynomial. */
  at(piece: number, x: number, out: Float64Array): void;
}

/** Throws RangeError for fewer than 3 points, numbers that are not finite and x that do not rise. */
export function monotoneSpline(x: Float64Array, f: Float64Array): Spline {
  checkPoints(x, f);
  const ends = limited(x, f);
  const pieces = x.length - 1;
  const poly = new Float64Array(6 * pieces);
  const bend = new Float64Array(pieces);
  for (let i = 0; i < pieces; i++) bend[i] = writePiece(poly, i, x, f, ends);
  return {
    knots: x,
    bend,
    pieceOf: pieceFinder(x),
    at(piece, at, out) {
      const p = 6 * piece;
      const u = at - x[piece]!;
      const [a, b, c, d, e] = [poly[p + 1]!, poly[p + 2]!, poly[p + 3]!, poly[p + 4]!, poly[p + 5]!];
      out[0] = poly[p]! + u * (a + u * (b + u * (c + u * (d + u * e))));
      out[1] = a + u * (2 * b + u * (3 * c + u * (4 * d + u * 5 * e)));
      out[2] = 2 * b + u * (6 * c + u * (12 * d + u * 20 * e));
    },
  };
}

function checkPoints(x: Float64Array, f: Float64Array): void {
  if (x.length < 3 || x.length !== f.length) throw new RangeError("a curve needs three points or more");
  for (let i = 0; i < x.length; i++) {
    if (!Number.isFinite(x[i]!) || !Number.isFinite(f[i]!))
      throw new RangeError(`point ${i} is not a number`);
    if (i > 0 && !(x[i]! > x[i - 1]!)) throw new RangeError(`point ${i} does not lie beyond the one before`);
  }
}

/** Slopes and second derivatives at the points. */
interface Ends {
  readonly s: Float64Array;
  readonly k: Float64Array;
}

/** The polynomial of piece i in powers of x − xᵢ; returns its largest f″. */
function writePiece(poly: Float64Array, i: number, x: Float64Array, f: Float64Array, { s, k }: Ends): number {
  const h = x[i + 1]! - x[i]!;
  quinticPiece(poly, 6 * i, h, f[i]!, s[i]!, k[i]!, f[i + 1]!, s[i + 1]!, k[i + 1]!);
  // f″ is a cubic; its Bernstein form bounds it.
  const [b, c, d, e] = [poly[6 * i + 2]!, poly[6 * i + 3]!, poly[6 * i + 4]!, poly[6 * i + 5]!];
  const [q0, q1, q2, q3] = [2 * b, 6 * c * h, 12 * d * h * h, 20 * e * h * h * h];
  return Math.max(q0, q0 + q1 / 3, q0 + (2 * q1 + q2) / 3, q0 + q1 + q2 + q3);
}

/** Two slopes of this sum (in the chord's slopes) leave room for any piece with k = 0. */
const ROOM = 2.5;
/** What rounding may leave. */
const HAIR = 1e-12;
/** So many rounds draw in no more than is needed; what is left then is drawn in to 0. */
const GENTLE = 40;

function limited(x: Float64Array, f: Float64Array): Ends {
  const ends = estimates(x, f);
  clampSlopes(x, f, ends);
  for (let round = 0; ; round++) {
    let changed = false;
    for (let i = 0; i + 1 < x.length; i++) changed = drawIn(i, x, f, ends, round < GENTLE) || changed;
    if (!changed) return ends;
  }
}

/** Slopes never against the measurements, and none where they turn. */
function clampSlopes(x: Float64Array, f: Float64Array, { s, k }: Ends): void {
  const last = x.length - 1;
  for (let i = 0; i <= last; i++) {
    const before = i > 0 ? Math.sign(f[i]! - f[i - 1]!) : Math.sign(f[1]! - f[0]!);
    const after = i < last ? Math.sign(f[i + 1]! - f[i]!) : before;
    if (before !== after || before * s[i]! <= 0) s[i] = 0;
    if (before === 0 || after === 0) k[i] = 0;
  }
}

/** Makes the control polygon of piece i monotone; true where something had to be drawn in. Only ever toward 0. */
function drawIn(i: number, x: Float64Array, f: Float64Array, { s, k }: Ends, gentle: boolean): boolean {
  const j = i + 1;
  const h = x[j]! - x[i]!;
  const up = f[j]! < f[i]! ? -1 : 1;
  const rise = up * (f[j]! - f[i]!);
  let changed = false;
  // c₁ ≤ c₂ and c₃ ≤ c₄.
  if (up * k[i]! * h < -4 * up * s[i]! * (1 + HAIR)) {
    k[i] = (-4 * s[i]!) / h;
    changed = true;
  }
  if (up * k[j]! * h > 4 * up * s[j]! * (1 + HAIR)) {
    k[j] = (4 * s[j]!) / h;
    changed = true;
  }
  // c₂ ≤ c₃.
  const sum = up * (s[i]! + s[j]!) * h;
  const bow = up * (k[i]! - k[j]!) * h * h;
  if (bow <= 20 * rise - 8 * sum + HAIR * rise) return changed;
  if (sum > ROOM * rise) {
    const less = (ROOM * rise) / sum;
    s[i] = s[i]! * less;
    s[j] = s[j]! * less;
  }
  const room = 20 * rise - 8 * Math.min(sum, ROOM * rise);
  if (bow > room) {
    const less = gentle ? room / bow : 0;
    k[i] = k[i]! * less;
    k[j] = k[j]! * less;
  }
  return true;
}

/** Slope and second derivative at each point of the polynomial through the nearest points. */
function estimates(x: Float64Array, f: Float64Array): Ends {
  const n = x.length;
  const [s, k] = [new Float64Array(n), new Float64Array(n)];
  const many = Math.min(STENCIL, n);
  for (let i = 0; i < n; i++) {
    const first = Math.min(Math.max(0, i - (many >> 1)), n - many);
    const w = weights(x, first, many, x[i]!);
    for (let j = 0; j < many; j++) {
      // Differences from the point itself, so that equal values give 0.
      const d = f[first + j]! - f[i]!;
      s[i]! += w[1]![j]! * d;
      k[i]! += w[2]![j]! * d;
    }
  }
  return { s, k };
}
const STENCIL = 5;

/** Fornberg's weights of value, slope and second derivative at z of the polynomial through `many` points from `first`. */
function weights(x: Float64Array, first: number, many: number, z: number): Float64Array[] {
  const w = [0, 1, 2].map(() => new Float64Array(many));
  w[0]![0] = 1;
  let c1 = 1;
  for (let i = 1; i < many; i++) {
    let c2 = 1;
    const own = x[first + i]! - z;
    const before = x[first + i - 1]! - z;
    for (let j = 0; j < i; j++) {
      const c3 = x[first + i]! - x[first + j]!;
      c2 *= c3;
      // The last old point gives the new one its weights before its own are renewed.
      if (j === i - 1) {
        for (let d = 2; d >= 0; d--) {
          const lower = d > 0 ? d * w[d - 1]![i - 1]! : 0;
          w[d]![i] = (c1 * (lower - before * w[d]![i - 1]!)) / c2;
        }
      }
      for (let d = 2; d >= 0; d--) {
        const lower = d > 0 ? d * w[d - 1]![j]! : 0;
        w[d]![j] = (own * w[d]![j]! - lower) / c3;
      }
    }
    c1 = c2;
  }
  return w;
}
