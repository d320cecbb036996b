/**
 * How the vessel lies: the tilt τ of its axis out of the bed's plane, positive where the rim is lifted (radians).
 *
 *   levelled  the crown line level at the placement point: tan τ = dr/dy there
 *   axis      the axis level: τ = 0
 *   lying     on the bed on its side: it rests where a straight edge along its lower outline touches, at the two places
 *             on either side of its middle by area (of an empty, thin wall: our own choice)
 *
 * A point y along the axis and z above the crown at the placement point comes to lie at
 *
 *   Y = y cos τ + z sin τ,   s = y sin τ − z cos τ
 */
import type { Meridian } from "./meridian.ts";

export type Pose = "levelled" | "axis" | "lying" | number;

/** `pose` as a number in degrees. */
export function tiltOf(meridian: Meridian, pose: Pose): number {
  if (typeof pose === "number") return (pose * Math.PI) / 180;
  if (pose === "axis") return 0;
  if (pose === "lying") return lyingTilt(meridian);
  const o = new Float64Array(4);
  meridian.at(0, o);
  return Math.atan2(o[2]!, o[3]!);
}

/** Places along the outline at which it is looked at. */
const STEPS = 512;

function lyingTilt(meridian: Meridian): number {
  const { from, to, slope } = meridian;
  // The lower line is the crown line's mirror: level when the crown falls by twice the half-angle.
  if (slope !== null) return -Math.asin(slope);
  const o = new Float64Array(4);
  const at = Array.from({ length: STEPS + 1 }, (_, i) => {
    meridian.at(from + ((to - from) * i) / STEPS, o);
    return { r: o[0]!, y: o[1]! };
  });
  const area = at.reduce((sum, { r }) => sum + r, 0);
  const middle = at.reduce((sum, { r, y }) => sum + r * y, 0) / area;
  // The hull of r over y, and its edge over the middle.
  const hull: { r: number; y: number }[] = [];
  for (const p of at) {
    while (hull.length > 1) {
      const [q1, q2] = [hull.at(-2)!, hull.at(-1)!];
      if ((q2.y - q1.y) * (p.r - q1.r) - (q2.r - q1.r) * (p.y - q1.y) < 0) break;
      hull.pop();
    }
    hull.push(p);
  }
  const edge = hull.findIndex((p) => p.y >= middle);
  const [p, q] = [hull[Math.max(0, edge - 1)]!, hull[Math.max(1, edge)]!];
  return -Math.atan2(q.r - p.r, q.y - p.y);
}

/**
 * How far the vessel reaches below its crown at the placement point (mm): to its lowest line over the bed; where it is
 * not known to end, straight below the placement point.
 */
export function depthBelow(meridian: Meridian, tilt: number): number {
  const { from, to, radius } = meridian;
  const [sin, cos] = [Math.sin(tilt), Math.cos(tilt)];
  const o = new Float64Array(4);
  const lowest = (m: number): number => {
    meridian.at(m, o);
    return o[1]! * sin + (radius + o[0]!) * cos;
  };
  if (!Number.isFinite(from) || !Number.isFinite(to)) return (2 * radius) / cos;
  let most = lowest(0);
  for (let i = 0; i <= STEPS; i++) most = Math.max(most, lowest(from + ((to - from) * i) / STEPS));
  return most;
}
