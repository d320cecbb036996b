/** Whether ink fits a station: every point within the limits, and evenly enough. */
import type { Job } from "../job/job.ts";
import type { Surface } from "../vessel/surface.ts";
import { Warp } from "../warp/warp.ts";
import { falloffRange } from "./falloff.ts";
import { bestFocus, wantedFocus } from "./focus.ts";
import type { InkPoints } from "./inkpoints.ts";
import type { Station } from "./station.ts";
import { zoneAt } from "./zones.ts";

/** Below this ratio of weakest to strongest relative fluence the sides will look different (our own choice). */
export const FADE = 0.5;

interface Fit {
  /** Every point meets the limits; `fits` asks for evenness too. */
  readonly usable: boolean;
  readonly fits: boolean;
  readonly focusMm: number;
  readonly ratio: number;
}

/** Whether all points fit, at a focus or at their own best, as high as the column lets it be. */
export function fits(
  surface: Surface,
  { base, spot, limits, shallowestMm }: Station,
  points: InkPoints,
  focus: Job["focus"],
): Fit {
  const wantedMm = wantedFocus(focus, () => bestFocus(surface, base, spot, limits.usableDepthMm, points));
  const focusMm = Math.max(wantedMm, shallowestMm);
  if (!(focusMm < Math.min(base.pivotAcross, base.pivotAlong)))
    return { usable: false, fits: false, focusMm, ratio: 0 };
  const warp = new Warp(surface, { ...base, belowCrown: focusMm });
  const { min, max } = falloffRange(warp, spot, points);
  const ratio = max > 0 ? min / max : 0;
  let usable = true;
  for (let i = 0; usable && i < points.length; i += 2) {
    usable = zoneAt(warp, limits, points[i]!, points[i + 1]!) === "usable";
  }
  return { usable, fits: usable && ratio >= FADE, focusMm, ratio };
}
