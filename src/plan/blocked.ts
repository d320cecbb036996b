/** Blocked areas: what stands in the way on the vessel, as an interval around and one along. */
import { evalCubic } from "../geometry/cubic.ts";
import type { Path } from "../geometry/path.ts";
import type { Job } from "../job/job.ts";
import type { Meridian } from "../vessel/meridian.ts";
import type { Surface } from "../vessel/surface.ts";

export interface Keepout {
  readonly name: string;
  /** Around from the crown line, to the right; fromRad ≤ toRad ≤ fromRad + 2π. */
  readonly fromRad: number;
  readonly toRad: number;
  /** Along the outline (m, mm). */
  readonly top: number;
  readonly bottom: number;
}

const TURN = 2 * Math.PI;

/** The job's blocked areas on an outline. `rimY`: the rim's place along the axis, from which they are measured. */
export function keepoutsOf(vessel: Job["vessel"], outline: Meridian): Keepout[] {
  const rimY = vessel.sphereMm === undefined ? -(vessel.belowRimMm ?? 0) : -vessel.sphereMm / 2;
  const at = new Float64Array(4);
  const arc = (below: number): number => {
    const y = rimY + below;
    const m = outline.arcAt(y);
    if (!Number.isNaN(m)) return m;
    outline.at(outline.from, at);
    return y < at[1]! ? outline.from : outline.to;
  };
  return (vessel.blocked ?? []).map(({ name, aroundDeg: [from, to], belowRimMm }) => {
    const [fromRad, end] = [(from * Math.PI) / 180, (to * Math.PI) / 180];
    const toRad =
      end < fromRad ? end + TURN * Math.ceil((fromRad - end) / TURN) : Math.min(end, fromRad + TURN);
    return {
      name,
      fromRad,
      toRad,
      top: belowRimMm ? arc(belowRimMm[0]) : outline.from,
      bottom: belowRimMm ? arc(belowRimMm[1]) : outline.to,
    };
  });
}

/** True where a flat point lies within the area. */
export function keepsOut(area: Keepout, { chart }: Surface, a: number, b: number): boolean {
  const place = new Float64Array(6);
  if (!chart.to(a, b, place)) return false;
  return within(area, place[0]!, place[1]!);
}

/** True where a place of the vessel lies within the area, its edge left out. */
export const within = ({ fromRad, toRad, top, bottom }: Keepout, theta: number, m: number): boolean => {
  if (!(m > top + HAIR && m < bottom - HAIR) || Number.isNaN(theta)) return false;
  const past = (((theta - fromRad) % TURN) + TURN) % TURN;
  return toRad - fromRad >= TURN - HAIR || (past > HAIR && past < toRad - fromRad - HAIR);
};
const HAIR = 1e-9;

/** True where an outline has a point within the area. */
export function meets(area: Keepout, surface: Surface, path: Path<"flat">): boolean {
  const at = new Float64Array(4);
  return path.contours.some(({ points, straight }) => {
    for (let k = 0; k < straight.length; k++)
      for (const t of [0, 0.25, 0.5, 0.75]) {
        evalCubic(points, 6 * k, t, at);
        if (keepsOut(area, surface, at[0]!, at[1]!)) return true;
      }
    return false;
  });
}

/** The same areas after the vessel was indexed so that what lay at `angle` is the crown line. */
export const indexed = (areas: readonly Keepout[], angle: number): Keepout[] =>
  areas.map((area) => ({ ...area, fromRad: area.fromRad - angle, toRad: area.toRad - angle }));
