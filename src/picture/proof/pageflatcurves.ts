/** Places of the vessel as lines on the flat: circles around it, meridians along it, and areas between them. */
import type { Plan } from "../../plan/types.ts";

type Surface = Plan["warp"]["surface"];

/** Points a b a b … on the flat (mm). */
export type Curve = readonly number[];

/** Points that a line around or along is drawn through. */
const AROUND = 360;
const ALONG = 120;

/** Charts whose meridians are upright lines, so that a whole turn is one length at every height. */
export const isUpright = ({ chart, meridian }: Surface): boolean =>
  chart.fidelity === "girth" || (chart.fidelity !== "sight" && meridian.slope === 0);
/** Charts whose circles are level lines. */
const isLevel = ({ chart, meridian }: Surface): boolean =>
  chart.fidelity === "girth" || chart.fidelity === "true-width" || meridian.slope === 0;
/** Charts on which one may go on around the back. */
export const goesAround = ({ chart }: Surface): boolean =>
  chart.fidelity === "girth" || chart.fidelity === "true-width";

/** The circle at m as far as the flat shows it; null where it is a level line anyway. */
export function circleAt(surface: Surface, m: number): Curve | null {
  if (isLevel(surface)) return null;
  return path(surface, AROUND, (t) => [(2 * t - 1) * edgeAngle(surface, m), m]);
}

/** The meridian at θ from one m to another; null where it is an upright line anyway. */
export function meridianAt(surface: Surface, theta: number, from: number, to: number): Curve | null {
  if (isUpright(surface)) return null;
  return path(surface, ALONG, (t) => [theta, from + t * (to - from)]);
}

/** The outline of all between two angles and two places along; what the flat does not show is left out. */
export function areaOutline(surface: Surface, from: number, to: number, top: number, bottom: number): Curve {
  const level = (m: number, back: boolean): Curve => {
    const edge = goesAround(surface) ? Number.POSITIVE_INFINITY : edgeAngle(surface, m);
    const [p, q] = [Math.max(-edge, from), Math.min(edge, to)];
    return p < q ? path(surface, AROUND, (t) => [back ? q + t * (p - q) : p + t * (q - p), m]) : [];
  };
  const side = (theta: number, down: boolean): Curve =>
    path(surface, ALONG, (t) => [theta, down ? top + t * (bottom - top) : bottom + t * (top - bottom)]);
  const shown = (theta: number): boolean =>
    goesAround(surface) || Math.abs(theta) < edgeAngle(surface, (top + bottom) / 2);
  return [
    ...level(top, false),
    ...(shown(to) ? side(to, true) : []),
    ...level(bottom, true),
    ...(shown(from) ? side(from, false) : []),
  ];
}

/** Just inside the angle up to which the flat shows the vessel. */
const edgeAngle = ({ chart }: Surface, m: number): number => chart.halfAngle(m) * (1 - 1e-6);

function path(surface: Surface, steps: number, at: (t: number) => readonly [number, number]): Curve {
  const flat = new Float64Array(2);
  const points: number[] = [];
  for (let i = 0; i <= steps; i++) {
    if (surface.chart.from(...at(i / steps), flat)) points.push(flat[0]!, flat[1]!);
  }
  return points;
}

/** Range along the outline that a stretch of the flat's height may hold, at most the vessel. */
export function alongOf(
  { chart, meridian }: Surface,
  corners: readonly (readonly [number, number])[],
): [number, number] {
  const place = new Float64Array(6);
  const ms = corners.flatMap(([a, b]) => (chart.to(a, b, place) ? [place[1]!] : []));
  const [from, to] = ms.length > 0 ? [Math.min(...ms), Math.max(...ms)] : [0, 0];
  return [Math.max(meridian.from, from), Math.min(meridian.to, to)];
}
