/** Other ways to know where a line is inside outlines: Cardano's formula, and winding numbers of fine polygons. */
import { expect } from "vitest";
import type { Path } from "../../src/geometry/path.ts";
import type { Rows } from "../../src/geometry/rows.ts";

type Flat = Path<"flat">;

/** Seeded numbers in [0, 1): the minimal standard generator (Park & Miller 1988). */
export function random(seed: number): () => number {
  let state = (Math.abs(seed) % 2147483646) + 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Real roots of a + bx + cx² + dx³: Cardano's formula, with cosines for three of them (Abramowitz & Stegun 3.8.2). */
function cubicRoots(a: number, b: number, c: number, d: number): number[] {
  if (Math.abs(d) < 1e-12) {
    if (Math.abs(c) < 1e-12) return [-a / b];
    const root = Math.sqrt(b * b - 4 * a * c);
    const q = -(b + (b < 0 ? -root : root)) / 2;
    return [q / c, a / q].filter((x) => !Number.isNaN(x));
  }
  const third = c / (3 * d);
  const p = b / (3 * d) - third * third;
  const q = (third * b) / (2 * d) - third ** 3 - a / (2 * d);
  const square = q * q + p ** 3;
  if (square > 0) {
    const u = Math.cbrt(q + (q < 0 ? -1 : 1) * Math.sqrt(square));
    return [(u === 0 ? 0 : u - p / u) - third];
  }
  const angle = Math.acos(Math.max(-1, Math.min(1, q / Math.sqrt(-(p ** 3)))));
  return [0, 1, 2].map((k) => 2 * Math.sqrt(-p) * Math.cos((angle + 2 * Math.PI * k) / 3) - third);
}

/** Where outlines that do not meet cross the line, ascending; null where it nearly touches a turn or an end. */
export function realRoots({ contours }: Flat, angleDeg: number, t: number): number[] | null {
  const turn = (angleDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const found: number[] = [];
  for (const { points: p } of contours) {
    for (let i = 0; i + 7 < p.length; i += 6) {
      const u = [0, 2, 4, 6].map((k) => p[i + k]! * cos + p[i + k + 1]! * sin);
      const v = [0, 2, 4, 6].map((k) => p[i + k + 1]! * cos - p[i + k]! * sin - t);
      const b = 3 * (v[1]! - v[0]!);
      const c = 3 * (v[0]! - 2 * v[1]! + v[2]!);
      const d = v[3]! - 3 * v[2]! + 3 * v[1]! - v[0]!;
      for (const x of cubicRoots(v[0]!, b, c, d)) {
        if (!(x > -1e-6 && x < 1 + 1e-6)) continue;
        const slope = Math.abs(b + x * (2 * c + 3 * d * x));
        if (slope < 0.05 || Math.abs(x) < 1e-6 || Math.abs(x - 1) < 1e-6) return null;
        const y = 1 - x;
        found.push(y ** 3 * u[0]! + 3 * y * y * x * u[1]! + 3 * y * x * x * u[2]! + x ** 3 * u[3]!);
      }
    }
  }
  return found.sort((a, b) => a - b);
}

const CHORDS = 300;
/** Nearer to an outline than this a point is not asked about (mm): chords lie within it. */
const NEAR = 2e-3;

/** Chords x₀ y₀ x₁ y₁ of a path and the sign of the area that they enclose. */
function chordsOf({ contours }: Flat): { chords: number[]; sign: number } {
  const chords: number[] = [];
  let area = 0;
  for (const { points: p, straight, closed } of contours) {
    if (!closed) continue;
    let [x0, y0] = [p[0]!, p[1]!];
    for (let k = 0; k < straight.length; k++) {
      const steps = straight[k] ? 1 : CHORDS;
      for (let j = 1; j <= steps; j++) {
        const [x, y] = [j / steps, 1 - j / steps];
        const of = (i: number): number =>
          y ** 3 * p[i]! + 3 * y * y * x * p[i + 2]! + 3 * y * x * x * p[i + 4]! + x ** 3 * p[i + 6]!;
        const [x1, y1] = [of(6 * k), of(6 * k + 1)];
        chords.push(x0, y0, x1, y1);
        area += x0 * y1 - x1 * y0;
        [x0, y0] = [x1, y1];
      }
    }
  }
  return { chords, sign: area < 0 ? -1 : 1 };
}

/** Whether a point is inside by winding number (Sunday 2001), or null near an outline. */
function inside(paths: readonly { chords: number[]; sign: number }[], x: number, y: number): boolean | null {
  let winding = 0;
  for (const { chords: c, sign } of paths) {
    for (let i = 0; i < c.length; i += 4) {
      const [x0, y0, dx, dy] = [c[i]!, c[i + 1]!, c[i + 2]! - c[i]!, c[i + 3]! - c[i + 1]!];
      const along = ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy || 1);
      const f = Math.min(1, Math.max(0, along));
      if (Math.hypot(x - x0 - f * dx, y - y0 - f * dy) < NEAR) return null;
      // A ray to the right, whatever the angle of the rows.
      if (y0 > y !== y0 + dy > y && x0 + ((y - y0) / dy) * dx > x) winding += dy > 0 ? sign : -sign;
    }
  }
  return winding !== 0;
}

/** Each row's ends a little to both sides, the middles between them, and points anywhere on it. */
export function expectWound(
  paths: readonly Flat[],
  angleDeg: number,
  at: Float64Array,
  { from, s }: Rows,
  next: () => number,
): void {
  const turn = (angleDeg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const polygons = paths.map(chordsOf);
  let asked = 0;
  for (const [k, t] of at.entries()) {
    const ends = Array.from(s.subarray(from[k]!, from[k + 1]!));
    const places = Array.from({ length: 12 }, () => 40 * next() - 20);
    ends.forEach((v, i) => {
      places.push(v - 3e-3, v + 3e-3);
      if (i > 0) places.push((v + ends[i - 1]!) / 2);
    });
    for (const v of places) {
      const wanted = inside(polygons, v * cos - t * sin, v * sin + t * cos);
      if (wanted === null) continue;
      asked++;
      const got = ends.filter((end) => end < v).length % 2 === 1;
      expect(got, `row at ${t}, ${v} along it`).toBe(wanted);
    }
  }
  expect(asked).toBeGreaterThan(at.length);
}
