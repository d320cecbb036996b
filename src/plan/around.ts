/**
 * Places around the vessel and where they lie on the flat: the angle θ from the crown line, to the right seen from the
 * lens, against a:
 *
 *   girth: a = R (θ + 2πk), k whole: the flat may reach around the back       sight: a = R sin θ for |θ| < 90°
 *
 * R the vessel's radius, a and R in mm. Angles are given in degrees, from −180 to 180 in the job.
 */
import type { Plan } from "./types.ts";

type Job = Pick<Plan["job"], "vessel" | "placement">;

const radiusOf = ({ vessel }: Job): number => vessel.diameterMm / 2;
const girthOf = (job: Job): number => 2 * Math.PI * radiusOf(job);

/** a of the place with k = 0; null where the flat does not show it. */
function first(job: Job, degrees: number): number | null {
  const theta = (degrees * Math.PI) / 180;
  if (job.placement.fidelity === "girth") return radiusOf(job) * theta;
  return Math.abs(degrees) < 90 ? radiusOf(job) * Math.sin(theta) : null;
}

/** Every a from `from` to `to` at which the flat shows the place, rising; more than one where it overlaps itself. */
export function placesWithin(job: Job, degrees: number, from: number, to: number): number[] {
  const a = first(job, degrees);
  if (a === null) return [];
  if (job.placement.fidelity === "sight") return from <= a && a <= to ? [a] : [];
  const girth = girthOf(job);
  const k = Math.ceil((from - a) / girth);
  const count = Math.max(0, Math.floor((to - a) / girth) - k + 1);
  return Array.from({ length: count }, (_, i) => a + (k + i) * girth);
}

/** The a of the place that is nearest to `near`, the left one of two alike; null where the flat does not show it. */
export function placeNear(job: Job, degrees: number, near: number): number | null {
  const a = first(job, degrees);
  if (a === null || job.placement.fidelity === "sight") return a;
  return a + Math.ceil((near - a) / girthOf(job) - 0.5) * girthOf(job);
}

/** θ in degrees, from −180 to 180, of the flat's a; null where that is not on the vessel. */
export function degreesAt(job: Job, a: number): number | null {
  const angle = a / radiusOf(job);
  const theta = job.placement.fidelity === "girth" ? angle : Math.asin(angle);
  return Math.abs(theta) <= Math.PI ? (theta * 180) / Math.PI : null;
}

/** How long so many degrees are along the girth (mm). */
export const arcOf = (job: Job, degrees: number): number => (Math.abs(degrees) / 360) * girthOf(job);

/** Degrees in words, to a tenth: right or left of a line, or opposite it (`of`: "the crown line"); null on the line. */
export function sideWords(degrees: number, of: string): string | null {
  const size = Number(Math.abs(degrees).toFixed(1));
  if (size === 0) return null;
  if (size === 180) return `opposite ${of}`;
  return `${size}° to the ${degrees > 0 ? "right" : "left"} of ${of}`;
}
