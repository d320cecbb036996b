/** Relative fluence over the ink, and its profile across the vessel. */
import { relativeFluence, type Spot } from "../beam/spot.ts";
import { lean, shrink } from "../head/scanhead.ts";
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
    if (!warp.surface.covers(points[i]!, points[i + 1]!)) continue;
    const phi = relativeFluence(warp.meetingUnchecked(points[i]!, points[i + 1]!), spot);
    if (!(phi > 0)) continue;
    if (phi < min) min = phi;
    if (phi > max) max = phi;
  }
  return max > 0 ? { min, max } : { min: 0, max: 0 };
}

/**
 * φ over a grid of the flat, row by row: `columns` are a, `rows` b (mm), `out` holds columns × rows numbers, 0 where
 * the beam does not reach. The same numbers as point by point to rounding; on a surface alike along its axis one
 * root and one division for each, the rest once for each column.
 */
export function falloffOver(
  warp: Warp,
  spot: Spot,
  columns: Float64Array,
  rows: Float64Array,
  out: Float64Array,
): Float64Array {
  if (!warp.surface.alikeAlong) {
    for (let j = 0, at = 0; j < rows.length; j++)
      for (let i = 0; i < columns.length; i++, at++) out[at] = falloffAt(warp, spot, columns[i]!, rows[j]!);
    return out;
  }
  const n = columns.length;
  // At b = 0: 1 + lx², what is left of cos i without the beam's lean along, and (d/z_R)²; lean along per mm of b.
  const square = new Float64Array(n);
  const facing = new Float64Array(n);
  const depth = new Float64Array(n);
  const along = new Float64Array(n);
  const { pivotAcross: px, pivotAlong: py, belowCrown } = warp.head;
  const s = new Float64Array(12);
  for (let i = 0; i < n; i++) {
    if (!(Math.abs(columns[i]!) < warp.surface.halfWidth)) continue;
    warp.surface.at(columns[i]!, 0, s);
    const d = s[2]! - belowCrown;
    const [kx, ky] = [shrink(d, px), shrink(d, py)];
    if (!(kx > 0 && ky > 0)) continue;
    const lx = lean(s[0]! * kx, px);
    square[i] = 1 + lx * lx;
    facing[i] = s[11]! - lx * s[9]!;
    depth[i] = (d / spot.rayleighMm) ** 2;
    along[i] = lean(ky, py);
  }
  for (let j = 0, at = 0; j < rows.length; j++) {
    const b = rows[j]!;
    for (let i = 0; i < n; i++, at++) {
      const cos = facing[i]!;
      const ly = along[i]! * b;
      const slant2 = square[i]! + ly * ly;
      out[at] = cos > 0 ? cos / (Math.sqrt(slant2) * (1 + depth[i]! * slant2)) : 0;
    }
  }
  return out;
}

/** φ at (a, b); 0 where the beam does not reach. */
export function falloffAt(warp: Warp, spot: Spot, a: number, b: number): number {
  if (!warp.surface.covers(a, b)) return 0;
  const phi = relativeFluence(warp.meetingUnchecked(a, b), spot);
  return Number.isNaN(phi) ? 0 : phi;
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
