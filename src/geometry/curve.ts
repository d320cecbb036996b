import type { Space } from "./path.ts";

/**
 * A plane curve that is smooth on each of its pieces, and nothing is said of where it came from. Pieces are
 * joined end to end; piece k is evaluated at t in [0, 1].
 */
export interface MappedCurve<S extends Space> {
  readonly pieces: number;
  readonly closed: boolean;
  /** 1 where a piece was a straight line before it was mapped. */
  readonly straight: Uint8Array;
  /**
   * Writes x, y, dx/dt, dy/dt and the local scale into out[0..4]. An offset of length e here counts as
   * e / scale where accuracy is asked for (on the vessel); scale > 0.
   */
  at(piece: number, t: number, out: Float64Array): void;
  readonly [tag]?: S;
}
declare const tag: unique symbol;
