/**
 * The ink in the plane of the way around, where meridians are upright lines: x = α = ρθ against y = m. For `girth`, and on
 * a cylinder, it is the flat itself.
 */
import { walkContour } from "../../geometry/cubic.ts";
import { type Path, PathBuilder, pathBounds, uniteBoxes } from "../../geometry/path.ts";
import type { Surface } from "../../vessel/surface.ts";
import type { Ink } from "../ink.ts";

export interface Around {
  /** ρ: α for a radian (mm). */
  readonly rho: number;
  /** True where meridians are upright lines of the flat. */
  readonly upright: boolean;
  readonly fills: readonly Path<"flat">[];
  readonly lines: readonly Path<"flat">[];
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  toFlat(alpha: number, m: number): readonly [number, number] | null;
}

/** How closely chords follow curves that have to be carried over, and how far along straight lines, which bend (mm). */
const CHORD = 0.005;
const STEP = 1;

/** Null where no ink is on the vessel. */
export function aroundOf(surface: Surface, ink: Ink): Around | null {
  const { chart, meridian } = surface;
  const place = new Float64Array(6);
  const flat = new Float64Array(2);
  chart.to(0, 0, place);
  const upright = chart.fidelity === "girth" || meridian.slope === 0;
  const rho = upright ? 1 / place[2]! : meridian.radius;
  const carried = (path: Path<"flat">): Path<"flat"> => {
    const builder = new PathBuilder<"flat">();
    for (const contour of path.contours) {
      let begun = false;
      walkContour(contour, CHORD, STEP, (a, b) => {
        if (!chart.to(a, b, place)) return;
        if (begun) builder.line(rho * place[0]!, place[1]!);
        else builder.move(rho * place[0]!, place[1]!);
        begun = true;
      });
      if (begun && contour.closed) builder.close();
    }
    return builder.build();
  };
  const paths = ink.shapes.map(({ path }) => (upright ? path : carried(path)));
  const box = upright ? ink.box : paths.map(pathBounds).reduce(uniteBoxes, null);
  if (!box) return null;
  return {
    rho,
    upright,
    fills: paths.filter((_, i) => ink.shapes[i]!.paint === "fill"),
    lines: paths.filter((_, i) => ink.shapes[i]!.paint !== "fill"),
    left: box.minX,
    right: box.maxX,
    top: box.minY,
    bottom: box.maxY,
    toFlat: (alpha, m) =>
      upright ? [alpha, m] : chart.from(alpha / rho, m, flat) ? [flat[0]!, flat[1]!] : null,
  };
}

/** Points x y x y … carried to the flat, those that it does not show left out. */
export const onFlat = (points: Float64Array, toFlat: Around["toFlat"]): Float64Array => {
  const out: number[] = [];
  for (let i = 0; i < points.length; i += 2) {
    const at = toFlat(points[i]!, points[i + 1]!);
    if (at) out.push(...at);
  }
  return Float64Array.from(out);
};
