/** The job's vessel as a surface under the lens: outline, how the flat lands on it, how it lies. */
import type { Job } from "../job/job.ts";
import { type Chart, girthChart, sheetChart, sightChart, trueWidthChart } from "../vessel/chart.ts";
import { cylinder } from "../vessel/cylinder.ts";
import { measuredOutline } from "../vessel/measured.ts";
import type { Meridian } from "../vessel/meridian.ts";
import { depthBelow, tiltOf } from "../vessel/pose.ts";
import { revolved } from "../vessel/revolved.ts";
import { sphereOutline } from "../vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../vessel/straight.ts";
import type { Surface } from "../vessel/surface.ts";

/** The parts of a job that make its surface. */
export type BodyAsk = Pick<Job, "vessel" | "placement" | "pose">;

/** The outline, its placement point where the job has it. */
export function outlineOf({
  diameterMm,
  taperMm,
  sphereMm,
  profile,
  heightMm,
  belowRimMm,
}: Job["vessel"]): Meridian {
  if (taperMm) return coneOutline(...taperMm, belowRimMm ?? taperMm[2] / 2);
  if (sphereMm !== undefined) return sphereOutline(sphereMm / 2);
  if (profile) {
    const top = profile.at(-1)!.heightMm;
    const tall = heightMm ?? top;
    return measuredOutline(profile, (belowRimMm ?? tall - (profile[0]!.heightMm + top) / 2) - (tall - top));
  }
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
  return revolved(outline, chartOf(outline, placement), tilt);
}

function chartOf(outline: Meridian, { fidelity, viewingDistanceMm, atMm }: Job["placement"]): Chart {
  if (fidelity === "true-width") return trueWidthChart(outline);
  if (fidelity === "sheet") return sheetChart(outline);
  if (fidelity === "sight")
    return sightChart(outline, viewingDistanceMm === "far" ? Infinity : viewingDistanceMm);
  return girthChart(outline, Math.min(outline.to, Math.max(outline.from, atMm[1])));
}

/** Diameter at the placement point (mm). */
export const diameterOf = (vessel: Job["vessel"]): number => 2 * outlineOf(vessel).radius;

/** How far the crown at the placement point stands above the vessel's lowest line (mm). */
export const standsMm = ({ vessel, pose }: Pick<BodyAsk, "vessel" | "pose">): number => {
  const outline = outlineOf(vessel);
  const { diameterMm: d, heightMm, belowRimMm } = vessel;
  const ends = d !== undefined && heightMm !== undefined && belowRimMm !== undefined;
  const whole = ends ? coneOutline(d, d, heightMm, belowRimMm) : outline;
  return depthBelow(whole, tiltOf(outline, pose));
};

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
