/** Ink of the flat unrolled around the vessel: θ from the artwork's crown line against m along the outline. */
import { walkContour } from "../../geometry/cubic.ts";
import type { Contour, Path } from "../../geometry/path.ts";
import type { Surface } from "../../vessel/surface.ts";

/** θ (radians) and m (mm). */
export interface Place {
  readonly theta: number;
  readonly m: number;
}

export interface Run {
  readonly closed: boolean;
  readonly places: readonly Place[];
}

/** How closely chords follow a curve of the flat, and the longest chord of a straight line there (mm). */
const CHORD = 0.02;
const STEP = 1;

/** `angle`: of the turn on whose flat the path lies. Points that the flat's rule does not place are left out. */
export const unrolled = (surface: Surface, path: Path<"flat">, angle: number): Run[] =>
  path.contours
    .map((contour) => ({ closed: contour.closed, places: placesOf(surface, contour, angle) }))
    .filter(({ places }) => places.length > 1);

function placesOf(surface: Surface, contour: Contour<"flat">, angle: number): Place[] {
  const places: Place[] = [];
  // Where the flat only slides, a straight line stays one.
  const step = surface.chart.fidelity === "girth" ? Infinity : STEP;
  walkContour(contour, CHORD, step, placing(surface, angle, places));
  return places;
}

/** Points a b a b … of the whole flat. */
export function unrolledPoints(surface: Surface, points: Float64Array): Place[] {
  const places: Place[] = [];
  const put = placing(surface, 0, places);
  for (let i = 0; i < points.length; i += 2) put(points[i]!, points[i + 1]!);
  return places;
}

function placing({ chart }: Surface, angle: number, into: Place[]): (a: number, b: number) => void {
  const out = new Float64Array(6);
  return (a, b) => {
    if (chart.to(a, b, out)) into.push({ theta: out[0]! + angle, m: out[1]! });
  };
}
