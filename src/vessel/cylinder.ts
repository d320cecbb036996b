/**
 * A cylinder of radius R (mm) with its axis level, not known to end: the same as `revolved` gives, by its own short way.
 *
 *   girth, true-width, sheet: θ = a/R        sight: sin θ = a/R (seen straight on from far away)
 *   X = R sin θ,  s = R(1 − cos θ),  Y = b
 *
 * Circular-segment relations: Machinery's Handbook, 31st ed., pp. 79 and 83 (s is the height of the segment
 * whose half-chord is X). But for `sight` lengths on the flat are lengths on the vessel.
 */
import { chartOf, type Fidelity } from "./chart.ts";
import { cylinderOutline } from "./straight.ts";
import type { Surface } from "./surface.ts";

/** `radius` in mm, positive and finite (checked where the job is read). */
export function cylinder(radius: number, fidelity: Fidelity): Surface {
  const r = radius;
  const seen = fidelity === "sight";
  const meridian = cylinderOutline(r);
  const halfWidth = seen ? r : Math.PI * r;
  return {
    meridian,
    chart: chartOf(fidelity, meridian),
    tilt: 0,
    halfWidth,
    outside: seen ? "off-profile" : "behind-the-vessel",
    alikeAlong: true,
    covers: (a, b) => Math.abs(a) < halfWidth && Number.isFinite(b),
    at(a, b, out) {
      let sin: number;
      let cos: number;
      if (seen) {
        sin = a / r;
        cos = Math.sqrt(1 - sin * sin);
        out[0] = a;
        out[2] = (r * sin * sin) / (1 + cos);
        out[3] = 1;
        out[7] = sin / cos;
      } else {
        // By the half angle: 1 − cos θ = 2 sin²(θ/2) loses no digits near the crown.
        const h = a / (2 * r);
        const half = Math.sin(h);
        sin = 2 * half * Math.cos(h);
        cos = 1 - 2 * half * half;
        out[0] = r * sin;
        out[2] = 2 * r * half * half;
        out[3] = cos;
        out[7] = sin;
      }
      out[1] = b;
      out[4] = 0;
      out[5] = 0;
      out[6] = 1;
      out[8] = 0;
      out[9] = sin;
      out[10] = 0;
      out[11] = cos;
    },
    flatOf(x, y, s, out) {
      out[0] = seen ? x : r * Math.atan2(x, r - s);
      out[1] = y;
    },
    firstHit(x0, x1) {
      // (x0 + x1 s)² + (r − s)² = r²: the smaller root is where the beam, coming down, meets the surface.
      const a = x1 * x1 + 1;
      const half = r - x0 * x1;
      const q = half * half - a * x0 * x0;
      if (!(q >= 0)) return Number.NaN;
      return (x0 * x0) / (half + Math.sqrt(q));
    },
  };
}
