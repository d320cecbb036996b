/**
 * The outline of a sphere of radius R, the placement point on its equator:
 *
 *   r = R cos(m/R),   y = R sin(m/R)
 */
import { type Meridian, quadraticEntry } from "./meridian.ts";

/** So near the poles (radians) the flat is not laid: there a millimetre around becomes nothing. */
const POLE = 0.01;

/** `radius` in mm, positive and finite. */
export function sphereOutline(radius: number): Meridian {
  const end = radius * (Math.PI / 2 - POLE);
  const tall = radius * Math.cos(POLE);
  return {
    kind: "sphere",
    from: -end,
    to: end,
    radius,
    slope: null,
    convex: true,
    at(m, out) {
      const sin = Math.sin(m / radius);
      const cos = Math.cos(m / radius);
      out[0] = radius * cos;
      out[1] = radius * sin;
      out[2] = -sin;
      out[3] = cos;
    },
    arcAt: (y) => (Math.abs(y) <= tall ? radius * Math.asin(y / radius) : Number.NaN),
    hit(line) {
      const [x0, x1, y0, y1, z0, z1] = [line[0]!, line[1]!, line[2]!, line[3]!, line[4]!, line[5]!];
      const a = x1 * x1 + y1 * y1 + z1 * z1;
      const b = x0 * x1 + y0 * y1 + z0 * z1;
      const c = x0 * x0 + y0 * y0 + z0 * z0 - radius * radius;
      const t = quadraticEntry(a, b, c);
      return Math.abs(y0 + y1 * t) <= tall ? t : Number.NaN;
    },
  };
}
