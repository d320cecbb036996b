/**
 * Any vessel of revolution in any pose: flat (a, b) → (θ, m) by its chart → body → vessel.
 *
 *   body     x = r sin θ,   y = y(m),   z = r cos θ − r₀ (above the crown at the placement point)
 *   vessel   X = x,   Y = y cos τ + z sin τ,   s = y sin τ − z cos τ
 *   normal   n ∝ (y′ sin θ, −r′, y′ cos θ), turned likewise
 */
import type { Chart } from "./chart.ts";
import { END_HAIR, type Meridian } from "./meridian.ts";
import type { Surface } from "./surface.ts";

export function revolved(meridian: Meridian, chart: Chart, tilt: number): Surface {
  const { from, to, radius: r0 } = meridian;
  const [sinT, cosT] = [Math.sin(tilt), Math.cos(tilt)];
  const c = new Float64Array(6);
  const o = new Float64Array(4);
  const flat = new Float64Array(2);
  const line = new Float64Array(6);
  return {
    meridian,
    chart,
    tilt,
    halfWidth: widthOf(meridian, chart),
    outside: chart.fidelity === "sight" ? "off-profile" : "behind-the-vessel",
    alikeAlong: meridian.slope === 0 && tilt === 0 && from === -Infinity && chart.alike,
    covers(a, b) {
      if (!chart.to(a, b, c)) return false;
      const m = c[1]!;
      return Number.isFinite(m) && m >= from - END_HAIR && m <= to + END_HAIR && Math.abs(c[0]!) < Math.PI;
    },
    at(a, b, out) {
      chart.to(a, b, c);
      const theta = c[0]!;
      meridian.at(c[1]!, o);
      const [r, y, dr, dy] = [o[0]!, o[1]!, o[2]!, o[3]!];
      // By the half angle: 1 − cos θ = 2 sin²(θ/2) loses no digits near the crown.
      const h = Math.sin(theta / 2);
      const sin = 2 * h * Math.cos(theta / 2);
      const cos = 1 - 2 * h * h;
      const z = r - r0 - 2 * r * h * h;
      const [ta, tb, ma, mb] = [c[2]!, c[3]!, c[4]!, c[5]!];
      const [za, zb] = [dr * cos * ma - r * sin * ta, dr * cos * mb - r * sin * tb];
      const [ya, yb] = [dy * ma, dy * mb];
      out[0] = r * sin;
      out[1] = y * cosT + z * sinT;
      out[2] = y * sinT - z * cosT;
      out[3] = r * cos * ta + dr * sin * ma;
      out[4] = r * cos * tb + dr * sin * mb;
      out[5] = ya * cosT + za * sinT;
      out[6] = yb * cosT + zb * sinT;
      out[7] = ya * sinT - za * cosT;
      out[8] = yb * sinT - zb * cosT;
      out[9] = dy * sin;
      out[10] = dy * cos * sinT - dr * cosT;
      out[11] = dr * sinT + dy * cos * cosT;
    },
    flatOf(x, y, s, out) {
      const m = meridian.arcAt(y * cosT + s * sinT);
      const theta = Math.atan2(x, r0 + y * sinT - s * cosT);
      const shown = !Number.isNaN(m) && chart.from(theta, m, flat);
      out[0] = shown ? flat[0]! : Number.NaN;
      out[1] = shown ? flat[1]! : Number.NaN;
    },
    firstHit(x0, x1, y0, y1) {
      line[0] = x0;
      line[1] = x1;
      line[2] = y0 * cosT;
      line[3] = y1 * cosT + sinT;
      line[4] = r0 + y0 * sinT;
      line[5] = y1 * sinT - cosT;
      return meridian.hit(line);
    },
  };
}

/** Half of the flat's width at the placement point's height. */
function widthOf(meridian: Meridian, chart: Chart): number {
  const { radius: r0, slope, from, to } = meridian;
  if (chart.fidelity === "sheet") {
    const k = Math.abs(slope ?? 0);
    if (k === 0) return Math.PI * r0;
    // The row goes away from the apex, up to the seam or off the end of the vessel there.
    const seam = k < 0.5 ? (r0 / k) * Math.tan(Math.PI * k) : Infinity;
    const end = r0 + k * ((slope ?? 0) > 0 ? to : -from);
    const off = Number.isFinite(end) ? Math.sqrt(Math.max(0, end * end - r0 * r0)) / k : Infinity;
    return Math.min(seam, off);
  }
  if (chart.fidelity === "sight" && chart.alike) return r0;
  const flat = new Float64Array(2);
  // A hair inside, since the edge of a view has no image itself.
  const hair = chart.fidelity === "sight" ? 1 - 1e-9 : 1;
  chart.from(chart.halfAngle(0) * hair, 0, flat);
  return flat[0]!;
}
