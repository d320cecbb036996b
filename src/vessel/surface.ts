/**
 * A vessel's surface as it lies under the lens, crown line up: flat (a, b) ↔ vessel (X, Y, s), all mm.
 *
 * X across the axis, to the right; Y along the bed, growing with b (down the page, toward the base); s the drop below
 * the crown at the placement point. Seen from the lens the picture is the page's own, so no sign is turned anywhere.
 * Everything is even in a: what lies left of the crown line mirrors what lies right of it.
 */
import type { Chart } from "./chart.ts";
import type { Meridian } from "./meridian.ts";

/** What lies under the lens, as the beam sees it: all that the map flat ↔ command asks of it. */
export interface Face {
  /** Why a point outside has no image of its own. */
  readonly outside: "behind-the-vessel" | "off-profile";
  /** True where (a, b) is on the vessel. */
  covers(a: number, b: number): boolean;
  /**
   * Writes into out[0..11]: X, Y, s, ∂X/∂a, ∂X/∂b, ∂Y/∂a, ∂Y/∂b, ∂s/∂a, ∂s/∂b, and the outward unit normal
   * (nX, nY, nUp). For points that are covered.
   */
  at(a: number, b: number, out: Float64Array): void;
  /** The flat point of a vessel point (X, Y) at drop s on this surface; writes a, b into out[0..1], NaN where it has none. */
  flatOf(x: number, y: number, s: number, out: Float64Array): void;
  /**
   * Where the line X = x0 + x1·s, Y = y0 + y1·s comes down onto the surface first; the drop s, or NaN where it
   * passes by. Callers turn the NaN into a named failure.
   */
  firstHit(x0: number, x1: number, y0: number, y1: number): number;
}

export interface Surface extends Face {
  readonly meridian: Meridian;
  readonly chart: Chart;
  /** How far the axis is tilted out of the bed's plane (radians): positive where the rim is lifted. */
  readonly tilt: number;
  /** |a| at the placement point's height (b = 0) must stay below this (mm). */
  readonly halfWidth: number;
  /** True where the surface is the same at every b but for Y = b, and its normal has no part along the axis. */
  readonly alikeAlong: boolean;
}
