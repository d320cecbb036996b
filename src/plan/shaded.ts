/** Ink that the vessel's own bulge stands before: on a waisted body a leaning beam may meet another place first. */

import { lean } from "../head/scanhead.ts";
import type { Warp } from "../warp/warp.ts";
import type { InkPoints } from "./inkpoints.ts";

/** Two meetings nearer than this along the beam are one (mm). */
const SAME = 1e-4;

/** True where the beam for a flat point meets the vessel before it gets there. */
export function isShaded(warp: Warp, a: number, b: number): boolean {
  const met = warp.meeting(a, b);
  if (typeof met === "string") return false;
  const { pivotAcross, pivotAlong, belowCrown } = warp.head;
  const [lx, ly] = [lean(met.u, pivotAcross), lean(met.v, pivotAlong)];
  const drop = warp.surface.firstHit(met.u - lx * belowCrown, lx, met.v - ly * belowCrown, ly);
  return drop < met.drop - SAME;
}

export function shadedPoints(warp: Warp, points: InkPoints): number {
  let count = 0;
  for (let i = 0; i < points.length; i += 2) if (isShaded(warp, points[i]!, points[i + 1]!)) count++;
  return count;
}
