/** The nearest of points that go: against flatbush, one by one, and what is published of the nearest neighbour rule. */
import fc from "fast-check";
import Flatbush from "flatbush";
import { describe, expect, it } from "vitest";
import { PointTree } from "../../../src/plan/fill/pointtree.ts";
import { seeded } from "../../support/pulses.ts";

const wide = fc.double({ min: -50, max: 50, noNaN: true });

describe("the nearest point", () => {
  it("is as far as the one that flatbush finds, whatever is taken out and put back", () => {
    const any = fc.array(fc.tuple(wide, wide), { minLength: 1, maxLength: 150 });
    fc.assert(
      fc.property(any, fc.array(fc.tuple(fc.nat(149), wide, wide)), (points, steps) => {
        const tree = new PointTree(Float64Array.from(points.flat()));
        const index = new Flatbush(points.length);
        for (const [x, y] of points) index.add(x, y, x, y);
        index.finish();
        const out = new Set<number>();
        const away = (i: number, x: number, y: number): number =>
          Math.hypot(points[i]![0] - x, points[i]![1] - y);
        for (const [step, x, y] of steps) {
          const i = step % points.length;
          if (out.delete(i)) tree.putBack(i);
          else {
            out.add(i);
            tree.take(i);
          }
          const [other] = index.neighbors(x, y, 1, Infinity, (k) => !out.has(k));
          const found = tree.nearest(x, y);
          if (other === undefined) expect(found).toBe(-1);
          else {
            expect(out.has(found)).toBe(false);
            expect(away(found, x, y)).toBeCloseTo(away(other, x, y), 12);
          }
        }
      }),
      { seed: 421, numRuns: 200 },
    );
  });

  it("is the first of several, followed until none is left", () => {
    const any = fc.array(fc.tuple(fc.nat(9), fc.nat(9)), { minLength: 1, maxLength: 120 });
    fc.assert(
      fc.property(any, (points) => {
        const tree = new PointTree(Float64Array.from(points.flat()));
        const left = points.map((_, i) => i);
        let [x, y] = [0, 0];
        while (left.length > 0) {
          const away = left.map((i) => (points[i]![0] - x) ** 2 + (points[i]![1] - y) ** 2);
          const next = left.splice(away.indexOf(Math.min(...away)), 1)[0]!;
          expect(tree.nearest(x, y)).toBe(next);
          tree.take(next);
          [x, y] = points[next]!;
        }
        expect(tree.nearest(x, y)).toBe(-1);
      }),
      { seed: 422, numRuns: 300 },
    );
  });

  it("followed through scattered points is a way a quarter longer than the shortest, as published", () => {
    // Shortest: 0.7124 √(n A) (Johnson, McGeoch and Rothberg, SODA 1996); the nearest neighbour rule: about 25 % more
    // (Johnson and McGeoch, in Local Search in Combinatorial Optimization, 1997). Both figures from memory.
    const random = seeded(9);
    const xy = Float64Array.from({ length: 20_000 }, () => random());
    const tree = new PointTree(xy);
    let [x, y, way] = [xy[0]!, xy[1]!, 0];
    for (let i = 0; i < 10_000; i++) {
      const next = tree.nearest(x, y);
      tree.take(next);
      way += Math.hypot(xy[2 * next]! - x, xy[2 * next + 1]! - y);
      [x, y] = [xy[2 * next]!, xy[2 * next + 1]!];
    }
    const ratio = way / (0.7124 * Math.sqrt(10_000));
    expect(ratio).toBeGreaterThan(1.2);
    expect(ratio).toBeLessThan(1.3);
  });
});
