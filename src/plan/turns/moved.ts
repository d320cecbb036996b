/**
 * Ink carried around the vessel on its flat: what lies at θ comes to lie at θ − φ.
 *
 *   girth       a′ = a − r_h φ                                   a shift
 *   true-width  a′ = a − r(m) φ                                  a shear on a cone; fitted where r(m) bends
 *   sheet       turned about the apex of the development by kφ   k = dr/dm
 */
import { CertifiedFitter } from "../../fit/certified.ts";
import { type Affine, translate } from "../../geometry/affine.ts";
import { evalCubic } from "../../geometry/cubic.ts";
import type { MappedCurve } from "../../geometry/curve.ts";
import { type Contour, transformPath } from "../../geometry/path.ts";
import type { Meridian } from "../../vessel/meridian.ts";
import type { Surface } from "../../vessel/surface.ts";
import { type InkShape, inkShape } from "../ink.ts";

/** Share of the job's tolerance that carrying may take where it has to be fitted. */
const SHARE = 0.25;
/** No flat of a vessel is stretched more than this in the direction of its largest stretch. */
const STRETCH = 2;

/** `angle`: φ in radians. For every fidelity but `sight`. Throws FitFailure where a curve cannot be carried. */
export function movedAround(
  shapes: readonly InkShape[],
  surface: Surface,
  angle: number,
  toleranceMm: number,
): InkShape[] {
  if (angle === 0) return [...shapes];
  const affine = affineOf(surface, angle);
  const carry = affine
    ? (shape: InkShape) => transformPath<"flat", "flat">(shape.path, affine)
    : (() => {
        const fitter = new CertifiedFitter(SHARE * toleranceMm);
        return (shape: InkShape) => ({
          contours: shape.path.contours.map((c) => fitter.fit(sheared(c, surface.meridian, angle)).contour),
        });
      })();
  return shapes.flatMap((shape) => inkShape(shape, carry(shape)) ?? []);
}

/** Null where no affine map does it. */
function affineOf({ chart, meridian }: Surface, angle: number): Affine | null {
  const { radius, slope } = meridian;
  const place = new Float64Array(6);
  if (chart.fidelity === "girth") {
    chart.to(0, 0, place);
    return translate(-angle / place[2]!, 0);
  }
  if (slope === null) return null;
  // x′ = a x + c y + e, y′ = b x + d y + f.
  if (chart.fidelity === "true-width")
    return { a: 1, b: 0, c: -angle * slope, d: 1, e: -angle * radius, f: 0 };
  const half = (slope * angle) / 2;
  const [sin, cos] = [Math.sin(2 * half), Math.cos(2 * half)];
  // (r₀/k) sin kφ and (r₀/k)(1 − cos kφ).
  const sinc = Math.abs(half) < 1e-4 ? 1 - (half * half) / 6 : Math.sin(half) / half;
  const across = radius * angle * sinc * Math.cos(half);
  const down = (radius * slope * angle * angle * sinc * sinc) / 2;
  return { a: cos, b: sin, c: -sin, d: cos, e: -across, f: -down };
}

function sheared(contour: Contour<"flat">, meridian: Meridian, angle: number): MappedCurve<"flat"> {
  const { points, straight, closed } = contour;
  const flat = new Float64Array(4);
  const r = new Float64Array(4);
  return {
    pieces: straight.length,
    closed,
    straight,
    at(piece, t, out) {
      evalCubic(points, 6 * piece, t, flat);
      meridian.at(flat[1]!, r);
      out[0] = flat[0]! - angle * r[0]!;
      out[1] = flat[1]!;
      out[2] = flat[2]! - angle * r[2]! * flat[3]!;
      out[3] = flat[3]!;
      out[4] = 1 / STRETCH;
    },
  };
}
