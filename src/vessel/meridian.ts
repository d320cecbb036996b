/**
 * The outline of a vessel of revolution: its radius r and its place y along the axis, both against the arc length m
 * along the outline (all mm). m and y are 0 at the placement point and grow toward the base;
 *
 *   (dr/dm)² + (dy/dm)² = 1,   dy/dm > 0
 */
export interface Meridian {
  readonly kind: "cylinder" | "cone" | "sphere" | "profile";
  /** m at the rim and at the base, from < 0 < to; infinite where the vessel is not known to end. */
  readonly from: number;
  readonly to: number;
  /** Radius at the placement point. */
  readonly radius: number;
  /** dr/dm where it is the same all along, so that a flat sheet covers the vessel without stretch; else null. */
  readonly slope: number | null;
  /** True where no part of the surface can stand between another and the lens. */
  readonly convex: boolean;
  /** Writes r, y, dr/dm, dy/dm into out[0..3]. For from ≤ m ≤ to; a hair beyond them it goes on smoothly. */
  at(m: number, out: Float64Array): void;
  /** m at the place y along the axis; NaN outside the vessel. */
  arcAt(y: number): number;
  /**
   * The smallest t at which the line (x₀ + x₁t, y₀ + y₁t, z₀ + z₁t) meets the surface from outside, z from the axis
   * toward the crown line; NaN where it passes by. `line`: x₀ x₁ y₀ y₁ z₀ z₁.
   */
  hit(line: Float64Array): number;
}

/** How far beyond its ends (mm) a vessel still counts as reached: rounding, not metal. */
export const END_HAIR = 1e-9;

/** The smaller root of at² + 2bt + c and the larger; NaN where there is none. */
export function quadraticHits(a: number, b: number, c: number): readonly [number, number] {
  const root = b * b - a * c;
  if (!(root >= 0)) return [Number.NaN, Number.NaN];
  const q = -(b + (b < 0 ? -1 : 1) * Math.sqrt(root));
  if (q === 0) return a === 0 ? [Number.NaN, Number.NaN] : [0, 0];
  const [t1, t2] = [a === 0 ? c / q : q / a, c / q];
  return t1 < t2 ? [t1, t2] : [t2, t1];
}

/**
 * The t at which a line comes in from outside, where at² + 2bt + c falls through 0; NaN where it never does. At the other
 * root it goes out again: it may lie on the vessel where this one does not, but it is met from inside.
 */
export function quadraticEntry(a: number, b: number, c: number): number {
  const root = b * b - a * c;
  if (!(root >= 0)) return Number.NaN;
  const q = Math.sqrt(root) + Math.abs(b);
  if (b > 0) return a === 0 ? Number.NaN : -q / a;
  return q === 0 && a !== 0 ? 0 : c / q;
}
