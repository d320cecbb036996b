/** The integer grid of a Plane. */

/** Steps of the grid along the longer side, sheared: products of two differences stay exact in a double. */
export const GRID = 2 ** 22;
/**
 * The grid is sheared, y + SHEAR·x, which keeps lines, crossings and areas as they are: with many level edges the sweep
 * of clipper2-ts 2.0.1 can go on for ever, and sheared edges are never level but by chance.
 */
export const SHEAR = 13;
