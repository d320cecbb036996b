/**
 * What the first article tells of a vessel that lies off the optical axis: its crown line e mm to the right of it.
 *
 *   beam for the command (u, v):  X = u (1 + d/p_x) − e,  Y = v (1 + d/p_y),  d = s − δ, in the vessel's own frame;
 *   it still leans by u/p_x and v/p_y, and meets the vessel where it comes down onto it first
 *   cos i = (n_up − n_X u/p_x − n_Y v/p_y) / slant,   φ as in beam/spot.ts
 *
 * What is clear reaches on the vessel from one place where φ is some level to the other. The depth alone holds it even
 * about the crown line, which lies the arc R asin(e/R) from the artwork's middle: half the difference of what is clear
 * right and left of that middle is then e. The incidence alone holds it even about the line that faces the pivot,
 * R atan(e/L) toward the other side, L = p_x − δ + R from the pivot to the axis: half the difference is then about
 * e (L − R)/L. Both together lie between (`share`). Our own derivation, from the two pivots of head/scanhead.ts.
 */
import { relativeFluence, type Spot } from "../beam/spot.ts";
import { type Box, uniteBoxes } from "../geometry/path.ts";
import { bracketRoot, maximise } from "../geometry/roots.ts";
import { lean, shrink } from "../head/scanhead.ts";
import type { Warp } from "../warp/warp.ts";
import type { Plan } from "./types.ts";

/** For one distance off (mm, to the right positive): what the edges get, as a share of what they should. */
export interface OffRow {
  readonly offMm: number;
  /** 0 where the beam for that edge passes the vessel by. */
  readonly left: number;
  readonly right: number;
}

export interface FirstArticle {
  /** The usable ink's edges on the flat (mm from the crown line), and the row that they are taken in. */
  readonly leftMm: number;
  readonly rightMm: number;
  readonly rowMm: number;
  /** φ there with the crown line on the optical axis. */
  readonly fluence: { readonly left: number; readonly right: number };
  readonly rows: readonly OffRow[];
  /** Change of each edge's share per mm that the crown line lies to the right. */
  readonly slopePerMm: { readonly left: number; readonly right: number };
  /** Half the difference of what is clear right and left of the artwork's middle, per mm off; null where it has no end. */
  readonly share: number | null;
}

const STEPS = [-2, -1, -0.5, 0.5, 1, 2] as const;
/** Half the step of the slope's central difference (mm). */
const NEAR = 1e-3;

/** φ where the beam meant for the flat's (a, b) meets a vessel that lies `offMm` to the right; 0 where it meets none. */
export function falloffWhenOff(warp: Warp, spot: Spot, a: number, b: number, offMm: number): number {
  const meant = warp.meeting(a, b);
  if (typeof meant === "string") return 0;
  const { pivotAcross, pivotAlong, belowCrown } = warp.head;
  const lx = lean(meant.u, pivotAcross);
  const ly = lean(meant.v, pivotAlong);
  const { surface } = warp;
  const drop = surface.firstHit(meant.u - lx * belowCrown - offMm, lx, meant.v - ly * belowCrown, ly);
  if (Number.isNaN(drop)) return 0;
  const d = drop - belowCrown;
  const flat = new Float64Array(2);
  surface.flatOf(meant.u + lx * d - offMm, meant.v + ly * d, drop, flat);
  return surface.covers(flat[0]!, flat[1]!) ? falloffOnVessel(warp, spot, flat[0]!, flat[1]!, offMm) : 0;
}

/** φ at the vessel's own (a, b), on the vessel, where it lies `offMm` to the right; 0 past the horizon. */
export function falloffOnVessel(warp: Warp, spot: Spot, a: number, b: number, offMm: number): number {
  const s = new Float64Array(12);
  warp.surface.at(a, b, s);
  const { pivotAcross, pivotAlong, belowCrown } = warp.head;
  const defocus = s[2]! - belowCrown;
  const [kx, ky] = [shrink(defocus, pivotAcross), shrink(defocus, pivotAlong)];
  if (!(kx > 0 && ky > 0)) return 0;
  const lx = lean((s[0]! + offMm) * kx, pivotAcross);
  const ly = lean(s[1]! * ky, pivotAlong);
  const slant = Math.sqrt(1 + lx * lx + ly * ly);
  const cosIncidence = (s[11]! - lx * s[9]! - ly * s[10]!) / slant;
  return relativeFluence({ defocus, slant, cosIncidence }, spot);
}

/**
 * How far what is clear reaches from the artwork's middle, along the vessel's curve, to the left and to the right (mm,
 * both positive), where it is clear down to the φ `level`; null where φ does not fall so far on both sides, and where
 * the vessel lies off by its radius or more, |offMm| ≥ R.
 */
export function clearReach(
  warp: Warp,
  spot: Spot,
  level: number,
  rowMm: number,
  offMm: number,
): { leftMm: number; rightMm: number } | null {
  const end = (side: 1 | -1): number | null => {
    const over = (a: number): number => falloffOnVessel(warp, spot, side * a, rowMm, offMm) - level;
    // Where the focal plane lies below the crown φ first grows toward the side; only its fall ends what is clear.
    const last = warp.surface.halfWidth * (1 - 1e-9);
    const top = maximise(over, 0, last, 1e-6);
    const a = bracketRoot(over, top, last);
    return a === null ? null : side * arc(warp, side * a);
  };
  const [left, right] = [end(-1), end(1)];
  const { radius } = warp.surface.meridian;
  if (left === null || right === null || !(Math.abs(offMm) < radius)) return null;
  const middle = radius * Math.asin(offMm / radius);
  return { leftMm: left - middle, rightMm: right + middle };
}

/** From the crown line along the curve of a lying cylinder (mm, to the right positive), by the angle of its normal. */
function arc(warp: Warp, a: number): number {
  const s = new Float64Array(12);
  warp.surface.at(a, 0, s);
  return warp.surface.meridian.radius * Math.atan2(s[9]!, s[11]!);
}

/** Null where no ink is usable, and where the beam does not reach an edge in the row across the usable ink's middle. */
export function firstArticle(plan: Pick<Plan, "warp" | "spot" | "pieces">): FirstArticle | null {
  const { warp, spot } = plan;
  const usable = plan.pieces.get("usable") ?? [];
  const box = usable.map((piece) => piece.box).reduce<Box | null>(uniteBoxes, null);
  if (!box) return null;
  const { minX: leftMm, maxX: rightMm } = box;
  const rowMm = (box.minY + box.maxY) / 2;
  const at = (a: number, offMm: number): number => falloffWhenOff(warp, spot, a, rowMm, offMm);
  const fluence = { left: at(leftMm, 0), right: at(rightMm, 0) };
  // The row across the middle of slanted ink may be beyond the limits where its edges are not.
  if (!(fluence.left > 0 && fluence.right > 0)) return null;
  const left = (offMm: number): number => at(leftMm, offMm) / fluence.left;
  const right = (offMm: number): number => at(rightMm, offMm) / fluence.right;
  const slope = (edge: (offMm: number) => number): number => (edge(NEAR) - edge(-NEAR)) / (2 * NEAR);
  const clear = clearReach(warp, spot, Math.min(fluence.left, fluence.right), rowMm, 1);
  return {
    leftMm,
    rightMm,
    rowMm,
    fluence,
    rows: STEPS.map((offMm) => ({ offMm, left: left(offMm), right: right(offMm) })),
    slopePerMm: { left: slope(left), right: slope(right) },
    share: clear && (clear.rightMm - clear.leftMm) / 2,
  };
}
