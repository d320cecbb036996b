/**
 * The outline of a cylinder or a cone (a tapered cup), of half-angle α at its apex:
 *
 *   r = r₀ + m sin α,   y = m cos α        sin α = (r_base − r_rim)/slant,   slant² = (r_base − r_rim)² + height²
 *
 * Frustum relations: "Designing and Building a Cone Frustum", Ask Dr. Math 2004 (slant, lateral area π(r₁ + r₂)·slant).
 */
import { END_HAIR, type Meridian, quadraticEntry } from "./meridian.ts";

/** A cylinder that is not known to end; `radius` in mm, positive and finite. */
export const cylinderOutline = (radius: number): Meridian =>
  straight("cylinder", radius, 0, -Infinity, Infinity);

/**
 * A frustum between two diameters, `height` apart along the axis, with the placement point `belowRim` below the upper
 * one (all mm, positive; 0 ≤ belowRim ≤ height).
 */
export function coneOutline(top: number, bottom: number, height: number, belowRim: number): Meridian {
  const out = (bottom - top) / 2;
  const slant = Math.hypot(out, height);
  const share = belowRim / height;
  const radius = top / 2 + out * share;
  return straight(out === 0 ? "cylinder" : "cone", radius, out / slant, -share * slant, (1 - share) * slant);
}

function straight(kind: Meridian["kind"], radius: number, sin: number, from: number, to: number): Meridian {
  const cos = Math.sqrt(1 - sin * sin);
  const k = sin / cos;
  const within = (y: number): boolean => y / cos >= from - END_HAIR && y / cos <= to + END_HAIR;
  return {
    kind,
    from,
    to,
    radius,
    slope: sin,
    convex: true,
    at(m, out) {
      out[0] = radius + m * sin;
      out[1] = m * cos;
      out[2] = sin;
      out[3] = cos;
    },
    arcAt: (y) => (within(y) ? y / cos : Number.NaN),
    hit(line) {
      // x² + z² = (r₀ + k y)².
      const [x0, x1, y0, y1, z0, z1] = [line[0]!, line[1]!, line[2]!, line[3]!, line[4]!, line[5]!];
      const [r0, r1] = [radius + k * y0, k * y1];
      const a = x1 * x1 + z1 * z1 - r1 * r1;
      const b = x0 * x1 + z0 * z1 - r0 * r1;
      const c = x0 * x0 + z0 * z0 - r0 * r0;
      const t = quadraticEntry(a, b, c);
      return within(y0 + y1 * t) && r0 + r1 * t > 0 ? t : Number.NaN;
    },
  };
}
