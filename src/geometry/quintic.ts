/** Curves of one variable in quintic pieces: the piece of given ends, and the quick way to the piece that x lies in. */

/**
 * Writes into to[at..at+5] the powers' coefficients of the quintic over [0, h], h > 0, with the values f, slopes s and
 * second derivatives k at its two ends (quintic Hermite interpolation).
 */
export function quinticPiece(
  to: Float64Array,
  at: number,
  h: number,
  f0: number,
  s0: number,
  k0: number,
  f1: number,
  s1: number,
  k1: number,
): void {
  // What two powers leave over at the far end, each in units of f.
  const value = f1 - f0 - h * (s0 + (h * k0) / 2);
  const slope = h * (s1 - s0 - h * k0);
  const second = h * h * (k1 - k0);
  to[at] = f0;
  to[at + 1] = s0;
  to[at + 2] = k0 / 2;
  to[at + 3] = (10 * value - 4 * slope + second / 2) / h ** 3;
  to[at + 4] = (-15 * value + 7 * slope - second) / h ** 4;
  to[at + 5] = (6 * value - 3 * slope + second / 2) / h ** 5;
}

/** Equal buckets for each piece: most pieces then lie in buckets of their own. */
const BUCKETS_PER_PIECE = 4;

/**
 * Finds the piece i with knots[i] ≤ x < knots[i + 1]; beyond the ends the first and the last. `knots` rise strictly and
 * are two or more. Equal buckets lead to the piece; where knots crowd, halving inside the bucket does.
 */
export function pieceFinder(knots: Float64Array): (x: number) => number {
  const last = knots.length - 2;
  const from = knots[0]!;
  const count = BUCKETS_PER_PIECE * (last + 1);
  const scale = count / (knots[last + 1]! - from);
  // ends[b + 1]: the last knot in bucket b or before it. Rounding keeps the order, so a knot of an earlier bucket than
  // x lies before x.
  const ends = new Int32Array(count + 1);
  for (let i = 0; i <= last; i++) {
    const b = Math.min(count - 1, Math.trunc((knots[i]! - from) * scale));
    ends[b + 1] = i;
  }
  for (let b = 1; b <= count; b++) ends[b] = Math.max(ends[b]!, ends[b - 1]!);
  return (x) => {
    const place = (x - from) * scale;
    if (!(place > 0)) return 0;
    const b = place < count ? Math.trunc(place) : count - 1;
    let lo = ends[b]!;
    let hi = ends[b + 1]!;
    while (lo < hi) {
      const middle = (lo + hi + 1) >> 1;
      if (knots[middle]! <= x) lo = middle;
      else hi = middle - 1;
    }
    return lo;
  };
}
