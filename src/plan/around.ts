/**
 * Places around the vessel and where they lie on the flat, in the row of the placement point: the angle θ from the crown
 * line, to the right seen from the lens, against a (vessel/chart.ts):
 *
 *   girth: a = r (θ + 2πk), k whole: the flat may reach around the back       sight: only what faces the viewer
 *
 * a and r in mm, r the radius where the artwork is placed. Angles are given in degrees, from −180 to 180 in the job.
 */
import { type BodyAsk, outlineOf, surfaceOf } from "./body.ts";

/** Radius at the height where true girth is kept (mm). */
function radiusOf({ vessel, placement }: BodyAsk): number {
  const outline = outlineOf(vessel);
  if (placement.fidelity !== "girth") return outline.radius;
  const at = new Float64Array(4);
  outline.at(Math.min(outline.to, Math.max(outline.from, placement.atMm[1])), at);
  return at[0]!;
}
const girthOf = (job: BodyAsk): number => 2 * Math.PI * radiusOf(job);

/** a of the place with k = 0; null where the flat does not show it. */
function first(job: BodyAsk, degrees: number): number | null {
  const theta = (degrees * Math.PI) / 180;
  const { fidelity } = job.placement;
  if (fidelity === "girth" || fidelity === "true-width") return radiusOf(job) * theta;
  const out = new Float64Array(2);
  const { chart } = surfaceOf(job);
  return Math.abs(theta) < chart.halfAngle(0) && chart.from(theta, 0, out) ? out[0]! : null;
}

/** Every a from `from` to `to` at which the flat shows the place, rising; more than one where it overlaps itself. */
export function placesWithin(job: BodyAsk, degrees: number, from: number, to: number): number[] {
  const a = first(job, degrees);
  if (a === null) return [];
  if (!goesAround(job)) return from <= a && a <= to ? [a] : [];
  const girth = girthOf(job);
  const k = Math.ceil((from - a) / girth);
  const count = Math.max(0, Math.floor((to - a) / girth) - k + 1);
  return Array.from({ length: count }, (_, i) => a + (k + i) * girth);
}

/** The a of the place that is nearest to `near`, the left one of two alike; null where the flat does not show it. */
export function placeNear(job: BodyAsk, degrees: number, near: number): number | null {
  const a = first(job, degrees);
  if (a === null || !goesAround(job)) return a;
  return a + Math.ceil((near - a) / girthOf(job) - 0.5) * girthOf(job);
}

/** θ in degrees, from −180 to 180, of the flat's a; null where that is not on the vessel. */
export function degreesAt(job: BodyAsk, a: number): number | null {
  const { fidelity } = job.placement;
  const ratio = a / radiusOf(job);
  if (fidelity === "sight" && job.placement.viewingDistanceMm === "far")
    return Math.abs(ratio) <= 1 ? (Math.asin(ratio) * 180) / Math.PI : null;
  const out = new Float64Array(6);
  const angle = goesAround(job) ? ratio : surfaceOf(job).chart.to(a, 0, out) ? out[0]! : Number.NaN;
  return Math.abs(angle) <= Math.PI ? (angle * 180) / Math.PI : null;
}

/** Where a whole turn is one length on the flat, however far around. */
const goesAround = ({ placement: { fidelity } }: BodyAsk): boolean =>
  fidelity === "girth" || fidelity === "true-width";

/** How long so many degrees are along the girth (mm). */
export const arcOf = (job: BodyAsk, degrees: number): number => (Math.abs(degrees) / 360) * girthOf(job);

/** Degrees in words, to a tenth: right or left of a line, or opposite it (`of`: "the crown line"); null on the line. */
export function sideWords(degrees: number, of: string): string | null {
  const size = Number(Math.abs(degrees).toFixed(1));
  if (size === 0) return null;
  if (size === 180) return `opposite ${of}`;
  return `${size}° to the ${degrees > 0 ? "right" : "left"} of ${of}`;
}
