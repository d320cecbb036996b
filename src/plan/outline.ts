/** Outlines of stretches of the vessel on the flat: their sides are given as θ and m, and followed within a tolerance. */
import type { Box } from "../geometry/path.ts";
import { type Path, PathBuilder } from "../geometry/path.ts";
import type { Surface } from "../vessel/surface.ts";

/** Rings of flat points a₀ b₀ a₁ b₁ … (mm), none closed by its first point. */
export type Outline = readonly Float64Array[];
/** From 0 to 1: θ and m. */
export type Side = (t: number) => readonly [number, number];

/** How closely a chord follows its side (mm). */
export const EDGE = 1e-4;
const FIRST = 8;
const DEEPEST = 12;
/** What turns less than this from a straight line is one (mm). */
const FLAT = 1e-9;

/** One ring of sides that follow each other; null where it has no area. */
export function outlineOver({ chart }: Surface, sides: readonly Side[]): Outline | null {
  const points: number[] = [];
  const out = new Float64Array(2);
  const at = (side: Side, t: number): readonly [number, number] => {
    const [theta, m] = side(t);
    chart.from(theta, m, out);
    return [out[0]!, out[1]!];
  };
  const put = ([a, b]: readonly [number, number]): void => {
    const n = points.length;
    if (n >= 2 && points[n - 2] === a && points[n - 1] === b) return;
    if (n >= 4 && straight(points, n - 4, a, b)) points.length = n - 2;
    points.push(a, b);
  };
  const follow = (
    side: Side,
    t0: number,
    p0: readonly [number, number],
    t1: number,
    p1: readonly [number, number],
    depth: number,
  ): void => {
    const t = (t0 + t1) / 2;
    const p = at(side, t);
    if (depth < DEEPEST && away(p0, p1, p) > EDGE) {
      follow(side, t0, p0, t, p, depth + 1);
      follow(side, t, p, t1, p1, depth + 1);
      return;
    }
    put(p1);
  };
  for (const side of sides) {
    let [t0, p0] = [0, at(side, 0)];
    put(p0);
    for (let i = 1; i <= FIRST; i++) {
      const p1 = at(side, i / FIRST);
      follow(side, t0, p0, i / FIRST, p1, 0);
      [t0, p0] = [i / FIRST, p1];
    }
  }
  const ring = Float64Array.from(points);
  return ring.length >= 6 && Math.abs(areaOf(ring)) > FLAT ? [ring] : null;
}

/** How far p is from the line through the chord's ends. */
function away(
  [x0, y0]: readonly [number, number],
  [x1, y1]: readonly [number, number],
  [x, y]: readonly [number, number],
): number {
  const [dx, dy] = [x1 - x0, y1 - y0];
  const long = Math.hypot(dx, dy);
  return long > 0 ? Math.abs((x - x0) * dy - (y - y0) * dx) / long : Math.hypot(x - x0, y - y0);
}

function straight(p: readonly number[], i: number, a: number, b: number): boolean {
  const [x0, y0, x1, y1] = [p[i]!, p[i + 1]!, p[i + 2]!, p[i + 3]!];
  const forward = (x1 - x0) * (a - x1) + (y1 - y0) * (b - y1) >= 0;
  return forward && away([x0, y0], [a, b], [x1, y1]) < FLAT;
}

export function areaOf(ring: Float64Array): number {
  let sum = 0;
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2)
    sum += ring[j]! * ring[i + 1]! - ring[i]! * ring[j + 1]!;
  return sum / 2;
}

export function pathOf(outline: Outline): Path<"flat"> {
  const builder = new PathBuilder<"flat">();
  for (const ring of outline) {
    builder.move(ring[0]!, ring[1]!);
    for (let i = 2; i < ring.length; i += 2) builder.line(ring[i]!, ring[i + 1]!);
    builder.close();
  }
  return builder.build();
}

/** How a box lies to an outline; a box that only touches it does not meet it. */
export function boxAgainst(
  outline: Outline,
  { minX, minY, maxX, maxY }: Box,
): "inside" | "outside" | "meets" {
  const [x, y] = [(minX + maxX) / 2, (minY + maxY) / 2];
  let inside = false;
  for (const ring of outline) {
    for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
      const [x0, y0, x1, y1] = [ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!];
      if (chordMeets(x0, y0, x1, y1, minX + TOUCH, minY + TOUCH, maxX - TOUCH, maxY - TOUCH)) return "meets";
      if (y0 > y !== y1 > y && x < x0 + ((y - y0) / (y1 - y0)) * (x1 - x0)) inside = !inside;
    }
  }
  return inside ? "inside" : "outside";
}
/** Ink this close to an edge is on its inside (mm). */
const TOUCH = 1e-6;

/** Whether a chord passes through a box (Liang and Barsky's clipping). */
function chordMeets(
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  minX: number,
  minY: number,
  maxX: number,
  maxY: number,
): boolean {
  let [t0, t1] = [0, 1];
  const clip = (p: number, q: number): boolean => {
    if (p === 0) return q >= 0;
    const t = q / p;
    if (p < 0) t0 = Math.max(t0, t);
    else t1 = Math.min(t1, t);
    return t0 <= t1;
  };
  const [dx, dy] = [x1 - x0, y1 - y0];
  return clip(-dx, x0 - minX) && clip(dx, maxX - x0) && clip(-dy, y0 - minY) && clip(dy, maxY - y0);
}
