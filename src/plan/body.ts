/** The job's vessel as a surface under the lens: outline, how the flat lands on it, how it lies. */
import type { Job, Measure } from "../job/job.ts";
import { chartOf } from "../vessel/chart.ts";
import { cylinder } from "../vessel/cylinder.ts";
import { measuredDiameter, measuredOutline } from "../vessel/measured.ts";
import type { Meridian } from "../vessel/meridian.ts";
import { depthBelow, tiltOf } from "../vessel/pose.ts";
import { revolved } from "../vessel/revolved.ts";
import { sphereOutline } from "../vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../vessel/straight.ts";
import type { Surface } from "../vessel/surface.ts";
import { type Keepout, keepoutsOf } from "./blocked.ts";

/** The parts of a job that make its surface. */
export type BodyAsk = Pick<Job, "vessel" | "placement" | "pose">;

/** The outline, its placement point where the job has it. */
export function outlineOf(vessel: Job["vessel"]): Meridian {
  const { diameterMm, taperMm, sphereMm, profile, belowRimMm } = vessel;
  if (taperMm) return coneOutline(...taperMm, belowRimMm ?? taperMm[2] / 2);
  if (sphereMm !== undefined) return sphereOutline(sphereMm / 2);
  if (profile) return measuredOutline(profile, belowTop(vessel, profile));
  return cylinderOutline(diameterMm! / 2);
}

/** The surface; a cylinder with its axis level goes its own short way. */
export function surfaceOf(ask: BodyAsk): Surface {
  const { vessel, placement, pose } = ask;
  const { fidelity, viewingDistanceMm } = placement;
  const far = fidelity !== "sight" || viewingDistanceMm === "far";
  const outline = outlineOf(vessel);
  const tilt = tiltOf(outline, pose);
  if (vessel.diameterMm !== undefined && tilt === 0 && far) return cylinder(outline.radius, fidelity);
  const arc = Math.min(outline.to, Math.max(outline.from, placement.atMm[1]));
  const distance = viewingDistanceMm === "far" ? Infinity : viewingDistanceMm;
  return revolved(outline, chartOf(fidelity, outline, arc, distance), tilt);
}

/** Diameter at the placement point (mm). */
export function diameterOf(vessel: Job["vessel"]): number {
  const { profile } = vessel;
  return profile ? measuredDiameter(profile, belowTop(vessel, profile)) : 2 * outlineOf(vessel).radius;
}

/** The placement point below the highest row of a profile. */
function belowTop({ heightMm, belowRimMm }: Job["vessel"], profile: readonly Measure[]): number {
  const top = profile.at(-1)!.heightMm;
  const tall = heightMm ?? top;
  return (belowRimMm ?? tall - (profile[0]!.heightMm + top) / 2) - (tall - top);
}

/** What a station has to know of the vessel on it. */
export interface Bed {
  /** How far the crown at the placement point stands above the vessel's lowest line (mm). */
  readonly standsMm: number;
  readonly blocked: readonly Keepout[];
}

/** `lies`: the vessel's outline and tilt, where they are at hand. */
export function bedOf(
  { vessel, pose }: Pick<BodyAsk, "vessel" | "pose">,
  lies: Pick<Surface, "meridian" | "tilt"> = lyingOf(vessel, pose),
): Bed {
  const { meridian, tilt } = lies;
  const { diameterMm: d, heightMm, belowRimMm } = vessel;
  const ends = d !== undefined && heightMm !== undefined && belowRimMm !== undefined;
  const whole = ends ? coneOutline(d, d, heightMm, belowRimMm) : meridian;
  return { standsMm: depthBelow(whole, tilt), blocked: keepoutsOf(vessel, meridian) };
}

function lyingOf(vessel: Job["vessel"], pose: Job["pose"]): Pick<Surface, "meridian" | "tilt"> {
  const meridian = outlineOf(vessel);
  return { meridian, tilt: tiltOf(meridian, pose) };
}

/** θ and m of a flat point, or null where the rule gives none. */
export function placeOf(surface: Surface, a: number, b: number): { theta: number; m: number } | null {
  const out = new Float64Array(6);
  return surface.chart.to(a, b, out) ? { theta: out[0]!, m: out[1]! } : null;
}

/** The same vessel, so many times as wide; nothing else of it changes. */
export function scaledBy<A extends BodyAsk>(ask: A, factor: number): A {
  const { diameterMm, taperMm, sphereMm, profile } = ask.vessel;
  const wide = (mm: number): number => mm * factor;
  return {
    ...ask,
    vessel: {
      ...ask.vessel,
      ...(diameterMm === undefined ? {} : { diameterMm: wide(diameterMm) }),
      ...(taperMm ? { taperMm: [wide(taperMm[0]), wide(taperMm[1]), taperMm[2]] } : {}),
      ...(sphereMm === undefined ? {} : { sphereMm: wide(sphereMm) }),
      ...(profile ? { profile: profile.map((row) => ({ ...row, diameterMm: wide(row.diameterMm) })) } : {}),
    },
  };
}
