/** Relative fluence over the ink, and its profile across the vessel. */
import { relativeFluence, type Spot } from "../beam/spot.ts";
import type { Warp } from "../warp/warp.ts";
import type { InkPoints } from "./inkpoints.ts";
import type { Plan } from "./types.ts";

export interface FalloffRange {
  readonly min: number;
  readonly max: number;
}

/** Smallest and largest φ over the points that the beam reaches; both 0 where it reaches none. */
export function falloffRange(warp: Warp, spot: Spot, points: InkPoints): FalloffRange {
  let min = Infinity;
  let max = 0;
  for (let i = 0; i < points.length; i += 2) {
    if (!(Math.abs(points[i]!) < warp.surface.halfWidth)) continue;
    const phi = relativeFluence(warp.meetingUnchecked(points[i]!, points[i + 1]!), spot);
    if (!(phi > 0)) continue;
    if (phi < min) min = phi;
    if (phi > max) max = phi;
  }
  return max > 0 ? { min, max } : { min: 0, max: 0 };
}

/** One point across the vessel at the placement point, for the falloff's profile. */
export interface ProfilePoint {
  readonly aroundMm: number;
  readonly angleDeg: number;
  readonly dropMm: number;
  readonly defocusMm: number;
  readonly incidenceDeg: number;
  readonly relativeFluence: number;
  readonly areaRatio: number;
}

/** The profile at b = 0, as far as the beam reaches, over the ink and the reach and a little beyond. */
export function falloffProfile(plan: Pick<Plan, "warp" | "spot" | "ink" | "reach">): ProfilePoint[] {
  const { warp, spot, ink, reach } = plan;
  const half = Math.min(
    Math.max(Math.abs(ink.box.minX), Math.abs(ink.box.maxX), reach.aroundMm / 2) * 1.05,
    warp.surface.halfWidth * 0.9999,
  );
  const n = 40;
  const normal = new Float64Array(12);
  const points: ProfilePoint[] = [];
  for (let i = -n; i <= n; i++) {
    const a = (half * i) / n;
    const m = warp.meeting(a, 0);
    if (typeof m === "string") continue;
    warp.surface.at(a, 0, normal);
    points.push({
      aroundMm: a,
      angleDeg: (Math.atan2(normal[9]!, normal[11]!) * 180) / Math.PI,
      dropMm: m.drop,
      defocusMm: m.defocus,
      incidenceDeg: (Math.acos(Math.min(1, m.cosIncidence)) * 180) / Math.PI,
      relativeFluence: relativeFluence(m, spot),
      areaRatio: m.areaRatio,
    });
  }
  return points;
}
