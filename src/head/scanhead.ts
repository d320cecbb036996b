/**
 * A flat-field scan head with two deflection pivots seen through the lens, at p_x and p_y above the focal
 * plane (Infinity: telecentric). With the focal plane δ below the crown, a point with drop s lies d = s − δ
 * below the focal plane (all mm) and
 *
 *   u = X / (1 + d/p_x),   v = Y / (1 + d/p_y)
 *
 * The beam there runs along t ∝ (X/(p_x + d), Y/(p_y + d), −1). With p_x = p_y this is the central projection;
 * on a sphere with δ = 0 it is the Vertical Perspective projection (Snyder, USGS PP 1395, 1987, eq. 23-1…23-5).
 * The two pivots are the paraxial reading of the two-mirror head (Manakov, Seidel, Ihrke, VMV 2011).
 */
export interface ScanHead {
  /** Pivot above the focal plane for deflection across the vessel's axis (mm, > 0, may be Infinity). */
  readonly pivotAcross: number;
  /** The same along the axis. */
  readonly pivotAlong: number;
  /** Side of the square field in the focal plane (mm). */
  readonly field: number;
  /** δ, the focal plane's depth below the crown (mm; negative above it). */
  readonly belowCrown: number;
}

/** 1/(1 + d/p): what the head divides by at depth d. Positive and finite for d > −p. */
export const shrink = (defocus: number, pivot: number): number =>
  pivot === Infinity ? 1 : 1 / (1 + defocus / pivot);

/** How far the beam leans per mm of depth, X/(p + d) = u/p. */
export const lean = (command: number, pivot: number): number => (pivot === Infinity ? 0 : command / pivot);

/**
 * Pivot distance (mm) from a square drawn at the focal plane (side l1) and again at depth h below it (side l2):
 * p = h·l1/(l2 − l1). Equal sides mean a telecentric lens: Infinity.
 */
export const pivotFromSquares = (h: number, l1: number, l2: number): number =>
  l2 === l1 ? Infinity : (h * l1) / (l2 - l1);
