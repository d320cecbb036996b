/**
 * A vessel's surface, lying with its crown line up: flat (a, b) ↔ vessel (X, Y, s), all mm.
 *
 * X across the axis, to the right; Y along the axis, growing with b (down the page, toward the base); s the
 * drop below the crown at the placement point. Seen from the lens the picture is the page's own, so no sign
 * is turned anywhere.
 */
export interface Surface {
  readonly kind: string;
  /** |a| must stay below this (mm); beyond it the rule gives no point, or one that is already taken. */
  readonly halfWidth: number;
  /** Why a point outside has no image of its own. */
  readonly outside: "behind-the-vessel" | "off-profile";
  /** True where the surface is the same at every b but for Y = b, and its normal has no part along the axis. */
  readonly alikeAlong: boolean;
  /** The largest drop on the side that faces the lens (mm). */
  readonly deepest: number;
  /**
   * Writes into out[0..11]: X, Y, s, ∂X/∂a, ∂X/∂b, ∂Y/∂a, ∂Y/∂b, ∂s/∂a, ∂s/∂b, and the outward unit normal
   * (nX, nY, nUp). Defined for |a| < halfWidth.
   */
  at(a: number, b: number, out: Float64Array): void;
  /** The flat point of a vessel point (X, Y) at drop s on this surface; writes a, b into out[0..1]. */
  flatOf(x: number, y: number, s: number, out: Float64Array): void;
  /**
   * Where the line X = x0 + x1·s, Y = y0 + y1·s comes down onto the surface first; the drop s, or NaN where it
   * passes by. Callers turn the NaN into a named failure.
   */
  firstHit(x0: number, x1: number, y0: number, y1: number): number;
}
