/**
 * The raw outline of a region drawn in (or out) by a distance: every edge moved along its normal, joined around corners.
 *
 * Beside every edge lies the quadrilateral between it and its moved copy, at every corner that opens toward the side
 * moved to a sector about it. They are all nearer to the outline than the distance, and cover all that is: the nearest
 * point of an outline lies within an edge or on such a corner. Drawn in, the raw outline's winding number is that of the
 * region less the number of quadrilaterals and sectors over a point; so the points with a winding number of 1 or more,
 * and no others, lie in the region and at least the distance inside it. Drawn out the pieces are added instead of taken away.
 * The finished outline is the `Positive` fill of the raw one (as in X. Chen & S. McMains, Polygon offsetting by computing
 * winding numbers, ASME DETC 2005-85513).
 *
 * The distance may change from place to place and with the direction: at each vertex it is an ellipse about it, {Q⁻¹ x·x
 * = 1}. An edge's moved copy touches the ellipses of its ends at Qn/√(n·Qn), n the edge's normal; with L Lᵀ = Q that is
 * L Lᵀn/|Lᵀn|, so that the arc of a corner is L times one of the unit circle.
 */
import type { Path64 } from "clipper2-ts";

/** Writes Q's three numbers xx, xy, yy (mm²) at a point into out[0..2]; Q is positive definite. A distance d is d², 0, d². */
export type Reach = (x: number, y: number, out: Float64Array) => void;

/** How the grid lies: mm = steps / scale. */
export interface Drawn {
  readonly scale: number;
  /** 1 inward, −1 outward, for an outline of positive area whose holes turn against it. */
  readonly way: 1 | -1;
  /** Largest distance of a chord from its arc (mm). */
  readonly chordMm: number;
}

/** `polygon` on the grid, next vertices apart, at least three; `share` of the reach. */
export function rawOutline(polygon: Path64, reach: Reach, share: number, drawn: Drawn): Path64 {
  const { scale, way, chordMm } = drawn;
  const raw: Path64 = [];
  const n = polygon.length;
  const form = new Float64Array(3);
  let before = polygon[n - 1]!;
  for (let k = 0; k < n; k++) {
    const p = polygon[k]!;
    const next = polygon[k + 1 === n ? 0 : k + 1]!;
    reach(p.x / scale, p.y / scale, form);
    const [xx, xy, yy] = [form[0]! * share * share, form[1]! * share * share, form[2]! * share * share];
    const a = Math.sqrt(xx);
    const b = xy / a;
    const c = Math.sqrt(Math.max(0, yy - b * b));
    const put = (ux: number, uy: number): void => {
      raw.push({
        x: Math.round(p.x + scale * a * ux),
        y: Math.round(p.y + scale * (b * ux + c * uy)),
      });
    };
    const [dx, dy, ex, ey] = [p.x - before.x, p.y - before.y, next.x - p.x, next.y - p.y];
    before = p;
    // Lᵀn of both edges, n to the side that is moved to.
    const from = Math.atan2(way * c * dx, way * (b * dx - a * dy));
    const to = Math.atan2(way * c * ex, way * (b * ex - a * ey));
    put(Math.cos(from), Math.sin(from));
    const turn = way * (dx * ey - dy * ex);
    if (turn > 0) raw.push({ x: p.x, y: p.y });
    else if (turn < 0 || dx * ex + dy * ey < 0) {
      const longest = Math.sqrt((xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy));
      const step = 2 * Math.acos(Math.max(0, 1 - chordMm / longest));
      const arc = turning(from, to, way);
      const steps = Math.ceil(Math.abs(arc) / step);
      for (let i = 1; i < steps; i++) {
        const phi = from + (arc * i) / steps;
        put(Math.cos(phi), Math.sin(phi));
      }
    }
    put(Math.cos(to), Math.sin(to));
  }
  return raw;
}

/** From one direction to another, by half a turn at most, against `way`. */
function turning(from: number, to: number, way: 1 | -1): number {
  const arc = (to - from) % (2 * Math.PI);
  const least = Math.abs(arc) > Math.PI ? arc - Math.sign(arc) * 2 * Math.PI : arc;
  // The wrong way by rounding: nothing, or half a turn.
  if (way * least <= 0) return least;
  return Math.abs(least) < 1 ? 0 : -least;
}
