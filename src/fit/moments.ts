/**
 * The cubic with given end points and end directions that has a given signed area and first moment.
 *
 * In the frame whose chord runs from (0, 0) to (1, 0), with end directions (c0, s0) and (c1, −s1) and arms
 * d0, d1, the cubic is (0,0), (d0 c0, d0 s0), (1 − d1 c1, d1 s1), (1,0), and
 *
 *   20/3 ∫y dx  = 2 d0 s0 + 2 d1 s1 − d0 d1 s01,                        s01 = s0 c1 + c0 s1
 *   280 ∫x y dx = 34 d0 s0 + 50 d1 s1 + 15 d0² s0 c0 − 15 d1² s1 c1
 *                 − d0 d1 (33 s0 c1 + 9 c0 s1) − 9 d0² d1 c0 s01 + 9 d0 d1² c1 s01
 *
 * (integrated term by term). The first equation gives d1 as a ratio of two linear terms in d0; put into the
 * second it leaves a quartic. Fitting by area and moment converges with the sixth power of the length:
 * R. Levien, "Fitting cubic Bézier curves" and "Parallel curves of cubic Béziers", 2021–2022.
 */
import { PolynomialRoots } from "../geometry/roots.ts";

/** Arms longer than this many chords belong to loops that no sane source has. */
const LONGEST_ARM = 4;

export class MomentFit {
  readonly #quartic = new Float64Array(5);
  readonly #solver = new PolynomialRoots(4);
  readonly #roots = new Float64Array(4);

  /** Writes pairs d0, d1 (in chords, positive) into `out`, at most four; returns how many pairs. */
  arms(
    c0: number,
    s0: number,
    c1: number,
    s1: number,
    area: number,
    moment: number,
    out: Float64Array,
  ): number {
    const s01 = s0 * c1 + c0 * s1;
    const k = (20 / 3) * area;
    const m = 280 * moment;
    // d1 = N/D with N = k − 2 s0 x, D = 2 s1 − s01 x; the moment equation times D² is A·D² + B·N·D + C·N² = 0.
    const dd0 = 4 * s1 * s1,
      dd1 = -4 * s1 * s01,
      dd2 = s01 * s01;
    const nd0 = 2 * k * s1,
      nd1 = -k * s01 - 4 * s0 * s1,
      nd2 = 2 * s0 * s01;
    const nn0 = k * k,
      nn1 = -4 * k * s0,
      nn2 = 4 * s0 * s0;
    const a0 = -m,
      a1 = 34 * s0,
      a2 = 15 * s0 * c0;
    const b0 = 50 * s1,
      b1 = -(33 * s0 * c1 + 9 * c0 * s1),
      b2 = -9 * c0 * s01;
    const e0 = -15 * s1 * c1,
      e1 = 9 * c1 * s01;
    const q = this.#quartic;
    q[0] = a0 * dd0 + b0 * nd0 + e0 * nn0;
    q[1] = a0 * dd1 + a1 * dd0 + b0 * nd1 + b1 * nd0 + e0 * nn1 + e1 * nn0;
    q[2] = a0 * dd2 + a1 * dd1 + a2 * dd0 + b0 * nd2 + b1 * nd1 + b2 * nd0 + e0 * nn2 + e1 * nn1;
    q[3] = a1 * dd2 + a2 * dd1 + b1 * nd2 + b2 * nd1 + e1 * nn2;
    q[4] = a2 * dd2 + b2 * nd2;
    let size = 0;
    for (let i = 0; i < 5; i++) size = Math.max(size, Math.abs(q[i]!));
    if (!(size > 0 && size < Infinity)) return 0;
    let degree = 4;
    while (degree > 1 && Math.abs(q[degree]!) < 1e-13 * size) degree--;
    const n = this.#solver.find(q, degree, 0, LONGEST_ARM, this.#roots);
    let count = 0;
    for (let i = 0; i < n && count < 4; i++) {
      const d0 = this.#roots[i]!;
      const d1 = (k - 2 * s0 * d0) / (2 * s1 - s01 * d0);
      if (!(d1 > 0 && d1 < LONGEST_ARM)) continue;
      out[2 * count] = d0;
      out[2 * count + 1] = d1;
      count++;
    }
    return count;
  }
}
