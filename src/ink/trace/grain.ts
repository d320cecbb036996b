/** What may be believed of an outline's vertices, and over how many of them: by how the picture was sampled. */

/** Lengths in pixels that go with how the picture was sampled. */
export interface Grain {
  /** Arm over which turning is measured. */
  readonly arm: number;
  /** Least turning of a corner (radians). */
  readonly turn: number;
  /** How far a corner's neighbourhood reaches. */
  readonly window: number;
  /** A single cubic that misses by less tells the points well enough. */
  readonly smooth: number;
  /** With more than this of it unseen in the picture, a corner's tip is cut off. */
  readonly excess: number;
  /** Off a line by less is straight; bowed by less, too. */
  readonly straight: number;
  readonly bow: number;
  /** Shortest straight stretch that is told apart from a smooth curve that it belongs to. */
  readonly run: number;
  /** Half widths tried for smoothing, and how far points may lie off the smoothed curve. */
  readonly widths: readonly number[];
  readonly residual: number;
  /** How closely the smoothed points are followed by the curve laid through some of them. */
  readonly follow: number;
}

/** Anti-aliased: places are good to some hundredths of a pixel. */
export const FINE: Grain = {
  arm: 2,
  turn: (22 * Math.PI) / 180,
  window: 5,
  smooth: 0.15,
  excess: 0.45,
  straight: 0.12,
  bow: 0.04,
  run: 12,
  widths: [12, 8, 5, 3, 1.6],
  residual: 0.12,
  follow: 0.06,
};

/** One bit per pixel: places are good to half a pixel. */
export const COARSE: Grain = {
  arm: 4,
  turn: (35 * Math.PI) / 180,
  window: 9,
  smooth: 0.6,
  excess: 0.8,
  straight: 0.6,
  bow: 0.2,
  run: 24,
  widths: [48, 32, 24, 16, 10, 6, 4],
  residual: 0.62,
  follow: 0.15,
};
