/**
 * Roots and maxima of one variable by bracketing: the answer is always inside the bracket, and "no root" is said,
 * never guessed.
 */

/**
 * The root of f in [lo, hi], or null where f(lo) and f(hi) have the same sign or f is not a number there.
 * Secant steps that halve the weight of an end that stays (Illinois), every third step a bisection: some ten calls
 * on smooth f. `tolerance` is on x, relative above 1.
 */
export function bracketRoot(
  f: (x: number) => number,
  lo: number,
  hi: number,
  tolerance = 1e-13,
): number | null {
  let a = lo;
  let b = hi;
  let fa = f(a);
  let fb = f(b);
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (!(fa * fb < 0)) return null;
  for (let pass = 0; pass < 200; pass++) {
    const width = Math.abs(b - a);
    if (width <= tolerance * Math.max(1, Math.abs(a), Math.abs(b))) break;
    // Every third step halves, so that a flat side cannot stall the secant.
    let x = pass % 3 === 2 ? (a + b) / 2 : (a * fb - b * fa) / (fb - fa);
    if (!(x > Math.min(a, b) && x < Math.max(a, b))) x = (a + b) / 2;
    const fx = f(x);
    if (fx === 0) return x;
    if (fx * fb < 0) {
      a = b;
      fa = fb;
    } else {
      fa /= 2;
    }
    b = x;
    fb = fx;
  }
  return Math.abs(fa) < Math.abs(fb) ? a : b;
}

/** Where a function with one hump in [lo, hi] is largest, by golden section; `tolerance` is on x. */
export function maximise(f: (x: number) => number, lo: number, hi: number, tolerance = 1e-9): number {
  const ratio = (Math.sqrt(5) - 1) / 2;
  let a = lo;
  let b = hi;
  let x1 = b - ratio * (b - a);
  let x2 = a + ratio * (b - a);
  let f1 = f(x1);
  let f2 = f(x2);
  while (b - a > tolerance) {
    if (f1 < f2) {
      a = x1;
      x1 = x2;
      f1 = f2;
      x2 = a + ratio * (b - a);
      f2 = f(x2);
    } else {
      b = x2;
      x2 = x1;
      f2 = f1;
      x1 = b - ratio * (b - a);
      f1 = f(x1);
    }
  }
  const middle = (a + b) / 2;
  // The hump may stand at an end of the bracket.
  const fm = f(middle);
  if (f(lo) >= fm) return lo;
  if (f(hi) >= fm) return hi;
  return middle;
}

/** Finds the roots of polynomials up to a degree; keeps its working space, so that many can be solved quickly. */
export class PolynomialRoots {
  readonly #slopes: readonly Float64Array[];
  readonly #turns: readonly Float64Array[];

  constructor(highestDegree: number) {
    const space = (): Float64Array[] =>
      Array.from({ length: highestDegree + 1 }, () => new Float64Array(highestDegree));
    this.#slopes = space();
    this.#turns = space();
  }

  /**
   * Real roots in (lo, hi) of c[0] + c[1]x + … + c[degree]x^degree, ascending, into `out`; returns how many.
   * The roots of each derivative split the line into pieces on which the polynomial is monotone; a double root,
   * where it only touches zero, is not found.
   */
  find(c: ArrayLike<number>, degree: number, lo: number, hi: number, out: Float64Array): number {
    if (degree <= 0) return 0;
    if (degree === 1) {
      const x = -c[0]! / c[1]!;
      if (!(x > lo && x < hi)) return 0;
      out[0] = x;
      return 1;
    }
    const slope = this.#slopes[degree]!;
    for (let k = 1; k <= degree; k++) slope[k - 1] = k * c[k]!;
    const turns = this.#turns[degree]!;
    const turnCount = this.find(slope, degree - 1, lo, hi, turns);
    let count = 0;
    let a = lo;
    let fa = evaluate(c, degree, a);
    for (let k = 0; k <= turnCount; k++) {
      const b = k < turnCount ? turns[k]! : hi;
      const fb = evaluate(c, degree, b);
      if (fa * fb < 0) out[count++] = monotoneRoot(c, slope, degree, a, b, fa);
      else if (fb === 0 && b < hi) out[count++] = b;
      a = b;
      fa = fb;
    }
    return count;
  }
}

function evaluate(c: ArrayLike<number>, degree: number, x: number): number {
  let v = c[degree] as number;
  for (let k = degree - 1; k >= 0; k--) v = v * x + (c[k] as number);
  return v;
}

/** Newton's method kept inside its bracket. */
function monotoneRoot(
  c: ArrayLike<number>,
  slope: Float64Array,
  degree: number,
  lo: number,
  hi: number,
  flo: number,
): number {
  let a = lo;
  let b = hi;
  let x = (a + b) / 2;
  for (let pass = 0; pass < 60; pass++) {
    const v = evaluate(c, degree, x);
    if (v === 0) return x;
    if (v * flo > 0) a = x;
    else b = x;
    let next = x - v / evaluate(slope, degree - 1, x);
    if (!(next > a && next < b)) next = (a + b) / 2;
    if (Math.abs(next - x) <= 1e-14 * Math.abs(x)) return next;
    x = next;
  }
  return x;
}
