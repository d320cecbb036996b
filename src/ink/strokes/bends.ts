/**
 * Where a cubic bends more tightly than a given half width h, so that the line beside it folds back: h|κ| ≥ 1.
 *
 * With D₀, D₁, D₂ the differences of the control points, P′ = 3 Σ Bᵢ Dᵢ and P′ × P″ = 18 (c₀ s² + 2 c₁ s t + c₂ t²)
 * with c = D₀×D₁, D₀×D₂/2, D₁×D₂; |P′|²/9 has the Bernstein coefficients D₀², D₀D₁, (2D₁² + D₀D₂)/3, D₁D₂, D₂².
 * Hence |κ| ≤ ⅔ max|c| / min(q)^(3/2), by the convex hull property.
 */
import { subCubic } from "../../geometry/cubic.ts";
import { PolynomialRoots } from "../../geometry/roots.ts";

export interface Bend {
  readonly t0: number;
  readonly t1: number;
  /** The sign of κ where h|κ| may reach 1, else 0. */
  readonly tight: -1 | 0 | 1;
  /** Whether the line stands still at t0 and comes back from there. */
  readonly cusp: boolean;
}

/** Pieces with h|κ| below this are not tight. */
const fold = 0.97;
const deepest = 7;
/** A speed below this share of the arms' length is none, if the arms there are as short as `slack` allows. */
const still = 1e-5;
/** Places nearer than this in t are one. */
const apart = 1e-6;

type D = readonly [number, number, number, number, number, number];

const differences = (c: Float64Array): D => [
  c[2]! - c[0]!,
  c[3]! - c[1]!,
  c[4]! - c[2]!,
  c[5]! - c[3]!,
  c[6]! - c[4]!,
  c[7]! - c[5]!,
];

/** An upper bound of h|κ|; Infinity where the speed may vanish. */
function bound([ax, ay, bx, by, ex, ey]: D, h: number): number {
  const q = Math.min(
    ax * ax + ay * ay,
    ax * bx + ay * by,
    (2 * (bx * bx + by * by) + ax * ex + ay * ey) / 3,
    bx * ex + by * ey,
    ex * ex + ey * ey,
  );
  if (!(q > 0)) return Infinity;
  const c = Math.max(
    Math.abs(ax * by - ay * bx),
    Math.abs(ax * ey - ay * ex) / 2,
    Math.abs(bx * ey - by * ex),
  );
  return ((2 / 3) * h * c) / (q * Math.sqrt(q));
}

/** Signed h κ at t; Infinity at a standstill. */
function bendAt([ax, ay, bx, by, ex, ey]: D, t: number, h: number): number {
  const s = 1 - t;
  const ux = s * s * ax + 2 * s * t * bx + t * t * ex;
  const uy = s * s * ay + 2 * s * t * by + t * t * ey;
  const cross = s * s * (ax * by - ay * bx) + s * t * (ax * ey - ay * ex) + t * t * (bx * ey - by * ex);
  const q = ux * ux + uy * uy;
  return q > 0 ? ((2 / 3) * h * cross) / (q * Math.sqrt(q)) : Infinity;
}

/** Inside 0…1: where the speed is stationary, P′·P″ = 0, and where the curvature changes sign, P′ × P″ = 0. */
function criticals([ax, ay, bx, by, ex, ey]: D): number[] {
  // P′/3 = A + B t + C t².
  const Bx = 2 * (bx - ax);
  const By = 2 * (by - ay);
  const Cx = ex - 2 * bx + ax;
  const Cy = ey - 2 * by + ay;
  const roots = new PolynomialRoots(3);
  const out = new Float64Array(3);
  const ts: number[] = [];
  const find = (c: number[]): void => {
    let degree = c.length - 1;
    const size = Math.max(...c.map(Math.abs));
    while (degree > 0 && Math.abs(c[degree]!) <= 1e-14 * size) degree--;
    const n = roots.find(c, degree, apart, 1 - apart, out);
    for (let k = 0; k < n; k++) ts.push(out[k]!);
  };
  find([
    ax * Bx + ay * By,
    Bx * Bx + By * By + 2 * (ax * Cx + ay * Cy),
    3 * (Bx * Cx + By * Cy),
    2 * (Cx * Cx + Cy * Cy),
  ]);
  find([ax * By - ay * Bx, 2 * (ax * Cy - ay * Cx), Bx * Cy - By * Cx]);
  // Standstills count first: a change of sign beside one is its own.
  return ts
    .filter((t, k) => ts.findIndex((other) => Math.abs(t - other) < apart) === k)
    .sort((a, b) => a - b);
}

/** A cubic's stretches from 0 to 1, tight and not; `size` is the sum of its arms, an arm up to `slack` may be none. */
export function bendsOf(c: Float64Array, h: number, size: number, slack: number): Bend[] {
  const whole = differences(c);
  if (bound(whole, h) < fold) return [{ t0: 0, t1: 1, tight: 0, cusp: false }];
  const bends: Bend[] = [];
  const push = (t0: number, t1: number, tight: -1 | 0 | 1, cusp: boolean): void => {
    const last = bends[bends.length - 1];
    if (last && !cusp && last.tight === tight) bends[bends.length - 1] = { ...last, t1 };
    else bends.push({ t0, t1, tight, cusp });
  };
  const split = (t0: number, t1: number, depth: number, cusp: boolean): void => {
    const d = differences(subCubic(c, 0, t0, t1));
    if (bound(d, h) < fold) {
      push(t0, t1, 0, cusp);
      return;
    }
    const middle = bendAt(d, 0.5, h);
    const surely =
      Math.abs(middle) >= fold && Math.abs(bendAt(d, 0, h)) >= fold && Math.abs(bendAt(d, 1, h)) >= fold;
    if (surely || depth >= deepest) {
      push(t0, t1, middle < 0 ? -1 : 1, cusp);
      return;
    }
    const half = (t0 + t1) / 2;
    split(t0, half, depth + 1, cusp);
    split(half, t1, depth + 1, false);
  };
  const cuts = [0, ...criticals(whole), 1];
  for (let k = 0; k + 1 < cuts.length; k++) {
    const t = cuts[k]!;
    const s = 1 - t;
    const [ax, ay, bx, by, ex, ey] = whole;
    const speed =
      3 * Math.hypot(s * s * ax + 2 * s * t * bx + t * t * ex, s * s * ay + 2 * s * t * by + t * t * ey);
    split(t, cuts[k + 1]!, 0, k > 0 && speed <= Math.min(still * size, slack));
  }
  return bends;
}
