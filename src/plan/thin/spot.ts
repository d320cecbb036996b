/**
 * A width on the flat against the spot there. The beam is round across its own direction t̂: what it marks is
 * wide enough where the width T as the beam sees it, |T − (T·t̂)t̂|, is at least the spot's 1/e² diameter at
 * that depth, d(z) = d₀ √(1 + (z/z_R)²) with z along the beam. T is the width on the surface, to first order the
 * derivative times the width on the flat. Across the slope this is T cos i < d, along it T < d: the spot's
 * footprint d/cos i by d.
 *
 * Only usable ink is compared: elsewhere the zones speak. The 1/e² diameter is the honest measure without
 * knowing the coating: a track may come out narrower or wider by its threshold.
 */
import { type Spot, spotGrowth } from "../../beam/spot.ts";
import { lean } from "../../head/scanhead.ts";
import type { Warp } from "../../warp/warp.ts";
import { type Limits, zoneAt } from "../zones.ts";

export interface WidthOnVessel {
  /** The width on the surface (mm). */
  readonly widthMm: number;
  /** How far the spot reaches on the surface in the width's direction (mm): thin where the width is less. */
  readonly spotMm: number;
}

/** The width (da, db) at (a, b) on the flat, or null where the ink is not usable there. */
export function widthOnVessel(
  warp: Warp,
  spot: Spot,
  limits: Limits,
  a: number,
  b: number,
  da: number,
  db: number,
): WidthOnVessel | null {
  if (zoneAt(warp, limits, a, b) !== "usable") return null;
  return spotAcross(warp, spot, a, b, da, db);
}

/** The same anywhere that the beam meets. */
export function spotAcross(
  warp: Warp,
  spot: Spot,
  a: number,
  b: number,
  da: number,
  db: number,
): WidthOnVessel {
  const m = warp.meetingUnchecked(a, b);
  warp.surface.at(a, b, at);
  const x = at[3]! * da + at[4]! * db;
  const y = at[5]! * da + at[6]! * db;
  const down = at[7]! * da + at[8]! * db;
  const widthMm = Math.hypot(x, y, down);
  const alongBeam =
    (lean(m.u, warp.head.pivotAcross) * x + lean(m.v, warp.head.pivotAlong) * y + down) / m.slant;
  const seen = Math.sqrt(Math.max(0, widthMm * widthMm - alongBeam * alongBeam));
  const diameter = spot.waistDiameterMm * spotGrowth(m.defocus * m.slant, spot);
  return { widthMm, spotMm: widthMm > 0 ? (diameter * widthMm) / seen : diameter };
}
const at = new Float64Array(12);

/** The largest width on the flat that is less than the spot somewhere over the given points; 0 if none is usable. */
export function widestSpot(warp: Warp, spot: Spot, limits: Limits, points: Float64Array): number {
  const stride = 2 * Math.max(1, Math.floor(points.length / 1024));
  let most = 0;
  for (let i = 0; i < points.length; i += stride) {
    const [a, b] = [points[i]!, points[i + 1]!];
    if (zoneAt(warp, limits, a, b) !== "usable") continue;
    for (const [da, db] of [
      [1, 0],
      [0, 1],
    ] as const) {
      const { widthMm, spotMm } = spotAcross(warp, spot, a, b, da, db);
      most = Math.max(most, spotMm / widthMm);
    }
  }
  return most;
}
