/**
 * Where a line first meets a vessel of any outline r(y), by a guarded march: over the outline's piece
 *
 *   g(t) = √(x² + z²) − r(y),   g″ ≥ −K,   K = y₁² max(0, the piece's largest r″)
 *
 * (the distance from the axis is convex in t), so that g(t + h) ≥ g + g′h − Kh²/2: a step to that parabola's root never
 * oversteps a meeting, and nears one as Newton's method does.
 */
import { END_HAIR, type Meridian, quadraticHits } from "./meridian.ts";
import type { Spline } from "./spline.ts";

/** So near (of the largest radius) the line has met the surface. */
const MET = 1e-14;
/** A march ends long before; a line that grazes for ever would pass by. */
const MOST_STEPS = 100_000;

export function hitOf(spline: Spline): Meridian["hit"] {
  const { knots, bend } = spline;
  const pieces = bend.length;
  const widest = widestOf(spline);
  const met = MET * Math.max(1, widest);
  const [top, base] = [knots[0]! - END_HAIR, knots[pieces]! + END_HAIR];
  const o = new Float64Array(3);
  return (line) => {
    const [x0, x1, y0, y1, z0, z1] = [line[0]!, line[1]!, line[2]!, line[3]!, line[4]!, line[5]!];
    const around = nearAxis(x0, x1, z0, z1, widest + 1);
    const along = between(y0, y1, top, base);
    let t = Math.max(around[0], along[0]);
    const end = Math.min(around[1], along[1]);
    if (!(t <= end)) return Number.NaN;
    let i = spline.pieceOf(y0 + y1 * t);
    for (let step = 0; step < MOST_STEPS; step++) {
      const [x, z] = [x0 + x1 * t, z0 + z1 * t];
      const rho = Math.sqrt(x * x + z * z);
      spline.at(i, y0 + y1 * t, o);
      const g = rho - o[0]!;
      const slope = (rho > 0 ? (x * x1 + z * z1) / rho : 0) - o[1]! * y1;
      if (g < -met) return Number.NaN;
      if (g <= met && slope <= 0) return slope < 0 ? t - g / slope : t;
      const leave =
        i === (y1 > 0 ? pieces - 1 : 0) || y1 === 0 ? end : (knots[y1 > 0 ? i + 1 : i]! - y0) / y1;
      const next = t + safeStep(Math.max(g, 0), slope, y1 * y1 * Math.max(0, bend[i]!));
      if (next < leave && next < end) {
        if (next === t) return t;
        t = next;
      } else if (leave >= end) return Number.NaN;
      else {
        t = Math.max(t, leave);
        i += y1 > 0 ? 1 : -1;
      }
    }
    return Number.NaN;
  };
}

/** The h up to which g + slope·h − bend·h²/2 stays positive. */
function safeStep(g: number, slope: number, bend: number): number {
  if (bend === 0) return slope < 0 ? -g / slope : Infinity;
  const root = Math.sqrt(slope * slope + 2 * bend * g);
  return slope < 0 ? (2 * g) / (root - slope) : (slope + root) / bend;
}

function widestOf({ knots, bend, at }: Spline): number {
  const o = new Float64Array(3);
  let widest = 0;
  // Monotone between its knots.
  for (let i = 0; i <= bend.length; i++) {
    at(Math.min(i, bend.length - 1), knots[i]!, o);
    widest = Math.max(widest, o[0]!);
  }
  return widest;
}

/** The t between which the line is within `radius` of the axis. */
function nearAxis(x0: number, x1: number, z0: number, z1: number, radius: number): readonly [number, number] {
  const a = x1 * x1 + z1 * z1;
  const c = x0 * x0 + z0 * z0 - radius * radius;
  if (a === 0) return c <= 0 ? [-Infinity, Infinity] : [Number.NaN, Number.NaN];
  return quadraticHits(a, x0 * x1 + z0 * z1, c);
}

/** The t between which the line is between two places along the axis. */
function between(y0: number, y1: number, top: number, base: number): readonly [number, number] {
  if (y1 === 0) return y0 >= top && y0 <= base ? [-Infinity, Infinity] : [Number.NaN, Number.NaN];
  const [s, t] = [(top - y0) / y1, (base - y0) / y1];
  return s < t ? [s, t] : [t, s];
}
