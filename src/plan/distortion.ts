/**
 * How the flat is distorted on the vessel, by Tissot's indicatrix (Snyder 1987, ch. 4): with σ₁ ≥ σ₂ the singular values
 * of ∂(X, Y, s)/∂(a, b),
 *
 *   stretch σ₁ and σ₂,   area σ₁σ₂,   largest change of an angle ω = 2 asin((σ₁ − σ₂)/(σ₁ + σ₂))
 */
import type { Surface } from "../vessel/surface.ts";
import type { InkPoints } from "./inkpoints.ts";

export interface Distortion {
  /** Largest and smallest length on the vessel for a length of the flat. */
  readonly largestStretch: number;
  readonly smallestStretch: number;
  readonly largestArea: number;
  readonly smallestArea: number;
  /** ω (degrees). */
  readonly angleDeg: number;
}

/** At one point that is covered: σ₁, σ₂. */
export function stretchesAt(surface: Surface, a: number, b: number): readonly [number, number] {
  const s = new Float64Array(12);
  surface.at(a, b, s);
  const e = s[3]! * s[3]! + s[5]! * s[5]! + s[7]! * s[7]!;
  const f = s[3]! * s[4]! + s[5]! * s[6]! + s[7]! * s[8]!;
  const g = s[4]! * s[4]! + s[6]! * s[6]! + s[8]! * s[8]!;
  const mean = (e + g) / 2;
  const spread = Math.hypot((e - g) / 2, f);
  const first = Math.sqrt(mean + spread);
  return [first, Math.sqrt(Math.max(0, e * g - f * f)) / first];
}

/** Over points of the ink, of those that face the lens alone where `facing`; all 1 and 0 where there is none. */
export function distortionOver(surface: Surface, points: InkPoints, facing = true): Distortion {
  let [most, least, wide, narrow, angle] = [0, Infinity, 0, Infinity, 0];
  const s = new Float64Array(12);
  for (let i = 0; i < points.length; i += 2) {
    const [a, b] = [points[i]!, points[i + 1]!];
    if (!surface.covers(a, b)) continue;
    surface.at(a, b, s);
    if (facing && !(s[11]! > 0)) continue;
    const [p, q] = stretchesAt(surface, a, b);
    most = Math.max(most, p);
    least = Math.min(least, q);
    wide = Math.max(wide, p * q);
    narrow = Math.min(narrow, p * q);
    angle = Math.max(angle, 2 * Math.asin(Math.min(1, (p - q) / (p + q))));
  }
  if (most === 0)
    return { largestStretch: 1, smallestStretch: 1, largestArea: 1, smallestArea: 1, angleDeg: 0 };
  return {
    largestStretch: most,
    smallestStretch: least,
    largestArea: wide,
    smallestArea: narrow,
    angleDeg: (angle * 180) / Math.PI,
  };
}
