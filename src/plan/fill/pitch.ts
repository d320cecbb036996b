/**
 * Where the rows of a set lie. The pitch h(t) on the flat is given at some places and is linear between them, the same
 * beyond; the rows lie at
 *
 *   N(t) = ∫₀ᵗ dt/h = k + ½,   k whole
 *
 * so that there is one for each of its own pitches and none on t = 0. On a piece where h = h₀ + m x the integral is
 * ln(h/h₀)/m, and its inverse x = h₀ (e^{mN} − 1)/m.
 */

/** The pitch at places across the lines, t ascending (mm). `even`: as at |t|, and t ≥ 0. */
export interface Pitches {
  readonly t: Float64Array;
  readonly pitchMm: Float64Array;
  readonly even: boolean;
}

/** The same pitch everywhere. */
export const constantPitch = (pitchMm: number): Pitches => ({
  t: Float64Array.of(0),
  pitchMm: Float64Array.of(pitchMm),
  even: true,
});

/** h at t. */
export function pitchAt({ t: nodes, pitchMm, even }: Pitches, t: number): number {
  const x = even ? Math.abs(t) : t;
  const n = nodes.length;
  if (x <= nodes[0]!) return pitchMm[0]!;
  if (x >= nodes[n - 1]!) return pitchMm[n - 1]!;
  let [low, high] = [0, n - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (nodes[middle]! <= x) low = middle;
    else high = middle;
  }
  const share = (x - nodes[low]!) / (nodes[high]! - nodes[low]!);
  return pitchMm[low]! + share * (pitchMm[high]! - pitchMm[low]!);
}

/** The rows from t = `from` to `to`, ascending. Rows of pitches that are even mirror each other exactly. */
export function rowsOver(pitches: Pitches, from: number, to: number): Float64Array {
  const right = march(pitches, 1, from, to);
  const left = march(pitches, -1, -to, -from);
  const all = new Float64Array(left.length + right.length);
  left.forEach((t, i) => {
    all[left.length - 1 - i] = -t;
  });
  all.set(right, left.length);
  return all;
}

/** Rows of t = side·x > 0 with x from `from` to `to`, ascending in x. */
function march(pitches: Pitches, side: 1 | -1, from: number, to: number): Float64Array {
  const rows: number[] = [];
  const h = (x: number): number => pitchAt(pitches, side * x);
  // Breaks of h on this side; those past `to` as well, so that a row lies alike in every range.
  const breaks = [...pitches.t].map((t) => (pitches.even ? t : side * t)).filter((x) => x > 0);
  breaks.sort((p, q) => p - q);
  let [x, next] = [0, 0.5];
  for (const end of [...breaks, to]) {
    if (!(end > x)) continue;
    if (x >= to) break;
    const [h0, h1] = [h(x), h(end)];
    const m = (h1 - h0) / (end - x);
    const flat = Math.abs(h1 - h0) <= 1e-12 * h0;
    const count = flat ? (end - x) / h0 : Math.log1p((h1 - h0) / h0) / m;
    for (; next < count; next++) {
      const at = x + (flat ? next * h0 : (h0 * Math.expm1(m * next)) / m);
      if (at > to) return Float64Array.from(rows);
      if (at >= from) rows.push(at);
    }
    next -= count;
    x = end;
  }
  return Float64Array.from(rows);
}
