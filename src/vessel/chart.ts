/**
 * How flat artwork (a, b) lands on a vessel of revolution, as an angle θ around from the crown line and an arc length m
 * along the outline (model §2). r₀ is the radius at the placement point, r_h at the height where the artwork is placed.
 *
 *   girth       θ = a/r_h                m = b                  true girth at r_h, meridians stay upright
 *   true-width  θ = a/r(m)               m = b                  area and every width (the sinusoidal projection,
 *                                                               Snyder 1987, ch. 30)
 *   sheet       a = ρ sin(kθ),  b = ρ cos(kθ) − r₀/k,  ρ = r(m)/k,  k = dr/dm: the development of a cone, an isometry
 *               (the equidistant conic of one standard parallel, Snyder 1987, ch. 16); θ = a/r₀, m = b where k = 0
 *   sight       the straight-on view from the distance D in front of the placement point, at right angles to the axis:
 *               X = a t, y = b t, r₀ + D − Z = D t; for D = ∞: X = a, y = b
 *
 * Every chart is odd in a and θ.
 */
import { bracketRoot } from "../geometry/roots.ts";
import type { Meridian } from "./meridian.ts";

export const fidelities = ["girth", "true-width", "sheet", "sight"] as const;
export type Fidelity = (typeof fidelities)[number];

export interface Chart {
  readonly fidelity: Fidelity;
  /** True where the rows of a cylinder are all laid alike. */
  readonly alike: boolean;
  /** Writes θ, m, ∂θ/∂a, ∂θ/∂b, ∂m/∂a, ∂m/∂b into out[0..5]; false where the rule gives no point. */
  to(a: number, b: number, out: Float64Array): boolean;
  /** Writes a, b into out[0..1]; false where the flat does not show the point. */
  from(theta: number, m: number, out: Float64Array): boolean;
  /** The θ up to which the flat shows the vessel at m, at most π. */
  halfAngle(m: number): number;
}

/**
 * The chart of a fidelity. `arc`: m of the height where the artwork is placed; `distance`: of the eye for `sight` (mm, may be
 * Infinity). Throws RangeError for `sheet` where the outline has no slope.
 */
export function chartOf(fidelity: Fidelity, meridian: Meridian, arc = 0, distance = Infinity): Chart {
  if (fidelity === "true-width") return trueWidthChart(meridian);
  if (fidelity === "sheet") return sheetChart(meridian);
  return fidelity === "girth" ? girthChart(meridian, arc) : sightChart(meridian, distance);
}

/** At the height where the artwork is placed: `arc` is its m. */
export function girthChart(meridian: Meridian, arc: number): Chart {
  const r = radiusAt(meridian, arc);
  return {
    fidelity: "girth",
    alike: true,
    to(a, b, out) {
      out[0] = a / r;
      out[1] = b;
      out[2] = 1 / r;
      out[3] = 0;
      out[4] = 0;
      out[5] = 1;
      return true;
    },
    from(theta, m, out) {
      out[0] = r * theta;
      out[1] = m;
      return true;
    },
    halfAngle: () => Math.PI,
  };
}

export function trueWidthChart(meridian: Meridian): Chart {
  const o = new Float64Array(4);
  return {
    fidelity: "true-width",
    alike: true,
    to(a, b, out) {
      meridian.at(b, o);
      const r = o[0]!;
      out[0] = a / r;
      out[1] = b;
      out[2] = 1 / r;
      out[3] = (-a * o[2]!) / (r * r);
      out[4] = 0;
      out[5] = 1;
      return r > 0;
    },
    from(theta, m, out) {
      meridian.at(m, o);
      out[0] = o[0]! * theta;
      out[1] = m;
      return true;
    },
    halfAngle: () => Math.PI,
  };
}

/** For an outline with a slope; throws RangeError where it has none. */
export function sheetChart({ radius: r0, slope: k }: Meridian): Chart {
  if (k === null) throw new RangeError("no flat sheet covers this surface without stretch");
  return {
    fidelity: "sheet",
    alike: true,
    to(a, b, out) {
      // r = k ρ and the apex lies at b = −r₀/k; written so that nothing is lost where k is small or 0.
      const [x, w] = [k * a, r0 + k * b];
      const r = Math.hypot(x, w);
      out[0] = w > 0 && Math.abs(x) < SMALL * w ? (a / w) * (1 - (x / w) ** 2 / 3) : Math.atan2(x, w) / k;
      out[1] = (k * a * a + 2 * r0 * b + k * b * b) / (r + r0);
      out[2] = w / (r * r);
      out[3] = -x / (r * r);
      out[4] = x / r;
      out[5] = w / r;
      return r > 0;
    },
    from(theta, m, out) {
      const half = (k * theta) / 2;
      const sinc = Math.abs(half) < SMALL ? 1 - (half * half) / 6 : Math.sin(half) / half;
      // sin(kθ)/k and (1 − cos(kθ))/k.
      out[0] = (r0 + k * m) * theta * sinc * Math.cos(half);
      out[1] = m * Math.cos(2 * half) - (r0 * k * theta * theta * sinc * sinc) / 2;
      return Math.abs(2 * half) < Math.PI;
    },
    halfAngle: () => (Math.abs(k) < 1 ? Math.PI : 0),
  };
}
/** Below this the series to the second power is exact to rounding. */
const SMALL = 1e-4;

/** `distance` from the crown line at the placement point to the eye (mm, > 0, may be Infinity). */
export function sightChart(meridian: Meridian, distance: number): Chart {
  return distance === Infinity ? farSight(meridian) : nearSight(meridian, distance);
}

function farSight(meridian: Meridian): Chart {
  const o = new Float64Array(4);
  return {
    fidelity: "sight",
    alike: true,
    to(a, b, out) {
      const m = meridian.arcAt(b);
      if (Number.isNaN(m)) return false;
      meridian.at(m, o);
      const r = o[0]!;
      const sin = a / r;
      if (!(Math.abs(sin) < 1)) return false;
      const cos = Math.sqrt(1 - sin * sin);
      out[0] = Math.asin(sin);
      out[1] = m;
      out[2] = 1 / (r * cos);
      out[3] = (-sin * o[2]!) / (o[3]! * r * cos);
      out[4] = 0;
      out[5] = 1 / o[3]!;
      return true;
    },
    from(theta, m, out) {
      meridian.at(m, o);
      out[0] = o[0]! * Math.sin(theta);
      out[1] = o[1]!;
      return Math.abs(theta) < Math.PI / 2;
    },
    halfAngle: () => Math.PI / 2,
  };
}

/** What is seen at less than this (a cosine) has no image: at the very edge of the view a flat has no slope. */
const GRAZING = 1e-3;

function nearSight(meridian: Meridian, distance: number): Chart {
  const o = new Float64Array(4);
  const line = new Float64Array(6);
  const eye = meridian.radius + distance;
  /** The cosine between a place's normal and the way to the eye. */
  const faces = (theta: number, m: number): number => {
    meridian.at(m, o);
    const [r, y, dr, dy] = [o[0]!, o[1]!, o[2]!, o[3]!];
    const away = Math.hypot(r * Math.sin(theta), y, eye - r * Math.cos(theta));
    return (dy * (eye * Math.cos(theta) - r) + dr * y) / away;
  };
  return {
    fidelity: "sight",
    alike: false,
    to(a, b, out) {
      line.set([0, a, 0, b, eye, -distance]);
      const t = meridian.hit(line);
      if (!(t > 0)) return false;
      const [x, y, z] = [a * t, b * t, eye - distance * t];
      const m = meridian.arcAt(y);
      if (Number.isNaN(m)) return false;
      meridian.at(m, o);
      const [r, slope] = [o[0]!, o[2]! / o[3]!];
      // G = x² + z² − r(y)² = 0 gives t(a, b) by its partials.
      const gt = x * a - z * distance - r * slope * b;
      const seen = -gt / (Math.hypot(a, b, distance) * r * Math.hypot(1, slope));
      if (!(seen > GRAZING)) return false;
      const ta = (-x * t) / gt;
      const tb = (r * slope * t) / gt;
      const [xa, xb] = [t + a * ta, a * tb];
      const [za, zb] = [-distance * ta, -distance * tb];
      out[0] = Math.atan2(x, z);
      out[1] = m;
      out[2] = (z * xa - x * za) / (r * r);
      out[3] = (z * xb - x * zb) / (r * r);
      out[4] = (b * ta) / o[3]!;
      out[5] = (t + b * tb) / o[3]!;
      return true;
    },
    from(theta, m, out) {
      if (!(faces(theta, m) > GRAZING)) return false;
      const t = (eye - o[0]! * Math.cos(theta)) / distance;
      out[0] = (o[0]! * Math.sin(theta)) / t;
      out[1] = o[1]! / t;
      return true;
    },
    halfAngle(m) {
      if (!(faces(0, m) > GRAZING)) return 0;
      return bracketRoot((theta) => faces(theta, m) - GRAZING, 0, Math.PI) ?? Math.PI;
    },
  };
}

function radiusAt(meridian: Meridian, m: number): number {
  const o = new Float64Array(4);
  meridian.at(m, o);
  return o[0]!;
}
