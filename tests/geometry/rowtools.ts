import fc from "fast-check";
import { expect } from "vitest";
import { type Contour, type Path, PathBuilder, reversed, transformPath } from "../../src/geometry/path.ts";
import type { Rows } from "../../src/geometry/rows.ts";
import { circle, cusp, only } from "../support/shapes.ts";

export type Points = readonly (readonly [number, number])[];
export const path = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });
export const polygon = (points: Points): Path<"flat"> => {
  const b = new PathBuilder<"flat">().move(...points[0]!);
  for (const p of points.slice(1)) b.line(...p);
  return b.close().build();
};
export const ring = path(circle(0, 0, 12), reversed(circle(0, 0, 7)));
/** An ellipse of semi-axes 14 and 5, turned by 0.4 and moved. */
export const ellipse = transformPath<"flat", "flat">(path(circle(0, 0, 1)), {
  a: 14 * Math.cos(0.4),
  b: 14 * Math.sin(0.4),
  c: -5 * Math.sin(0.4),
  d: 5 * Math.cos(0.4),
  e: 3,
  f: -2,
});
export const cusped = (): Contour<"flat"> => {
  const p = cusp().points;
  return only(
    new PathBuilder<"flat">()
      .move(p[0]!, p[1]!)
      .cubic(p[2]!, p[3]!, p[4]!, p[5]!, p[6]!, p[7]!)
      .close()
      .build(),
  );
};
/** A cubic that crosses itself, closed by a line: its loop has winding number 2 or −1 and is inside. */
export const looped = (): Contour<"flat"> =>
  only(new PathBuilder<"flat">().move(-6, 7).cubic(14, -12, -14, -12, 6, 7).close().build());
/** Whose derivative across is nowhere zero but once: t = τ³ − 1.5τ² + 0.75τ, of which ½ is a threefold root. */
export const paused = (): Contour<"flat"> =>
  only(
    new PathBuilder<"flat">().move(0, 0).cubic(1, 0.25, 2, 0, 3, 0.25).line(3, 4).line(0, 4).close().build(),
  );
export const twelveAngles = Array.from({ length: 12 }, (_, i) => 15 * i + (i % 2 ? 3.7 : 0));

/** Length inside, over all rows. */
export function lengthOf({ from, s }: Rows): number {
  let sum = 0;
  for (let k = 0; k + 1 < from.length; k++)
    for (let j = from[k]!; j + 1 < from[k + 1]!; j += 2) sum += s[j + 1]! - s[j]!;
  return sum;
}

/** Ascending by at least 1e-9 and even in every row, starting with 0 and ending with all. */
export function expectSound({ from, s }: Rows): void {
  expect(from[0]).toBe(0);
  expect(from.at(-1)).toBe(s.length);
  for (let k = 0; k + 1 < from.length; k++) {
    expect((from[k + 1]! - from[k]!) % 2).toBe(0);
    for (let j = from[k]! + 1; j < from[k + 1]!; j++)
      expect(s[j]! - s[j - 1]!).toBeGreaterThanOrEqual(0.999e-9);
  }
  expect(s.every(Number.isFinite)).toBe(true);
}

export const rowOf = ({ from, s }: Rows, k: number): number[] =>
  Array.from(s.subarray(from[k]!, from[k + 1]!));

export function expectClose(got: readonly number[], wanted: readonly number[], within: number): void {
  expect(got).toHaveLength(wanted.length);
  got.forEach((v, i) => {
    expect(Math.abs(v - wanted[i]!)).toBeLessThan(within);
  });
}

/** A closed outline of random cubics and lines; coordinates by `number`. */
export const outline = (number: fc.Arbitrary<number>): fc.Arbitrary<Contour<"flat">> =>
  fc
    .array(fc.tuple(fc.boolean(), ...Array.from({ length: 6 }, () => number)), { minLength: 2, maxLength: 6 })
    .map((list) => {
      const b = new PathBuilder<"flat">().move(list[0]![5]!, list[0]![6]!);
      for (const [line, ...p] of list.slice(1)) {
        if (line) b.line(p[4]!, p[5]!);
        else b.cubic(p[0]!, p[1]!, p[2]!, p[3]!, p[4]!, p[5]!);
      }
      b.cubic(list[0]![1]!, list[0]![2]!, list[0]![3]!, list[0]![4]!, list[0]![5]!, list[0]![6]!);
      return only(b.close().build());
    });
