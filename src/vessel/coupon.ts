/**
 * A flat coupon under the lens, tilted by τ about the bed's Y, its right end down; a runs along it from its middle.
 *
 *   X = a cos τ,   Y = b,   s = a sin τ,   n = (sin τ, 0, cos τ)
 *
 * A plane turned about a line: lengths on the flat are lengths on the coupon. τ = 0 is a plate that lies level.
 */
import type { Face } from "./surface.ts";

/** |τ| < π/2 (radians); `halfLength`: how far the coupon reaches from its middle (mm). */
export function coupon(tilt: number, halfLength = Infinity): Face {
  const [sin, cos] = [Math.sin(tilt), Math.cos(tilt)];
  return {
    outside: "off-profile",
    covers: (a, b) => Math.abs(a) < halfLength && Number.isFinite(a) && Number.isFinite(b),
    at(a, b, out) {
      out.fill(0, 0, 12);
      out[0] = a * cos;
      out[1] = b;
      out[2] = a * sin;
      out[3] = cos;
      out[6] = 1;
      out[7] = sin;
      out[9] = sin;
      out[11] = cos;
    },
    flatOf(x, y, _s, out) {
      out[0] = x / cos;
      out[1] = y;
    },
    firstHit(x0, x1) {
      // s cos τ = X sin τ with X = x0 + x1 s.
      const s = (x0 * sin) / (cos - x1 * sin);
      return cos - x1 * sin > 0 ? s : Number.NaN;
    },
  };
}
