/** The cheapest way over a grid, against brute force. */
import fc from "fast-check";
import { expect, it } from "vitest";
import type { Grid } from "../../../src/plan/turns/raster.ts";
import { cheapestWay } from "../../../src/plan/turns/shortest.ts";

const gridOf = (columns: number, rows: number, dx: number, dy: number): Grid => ({
  left: 0,
  dx,
  columns,
  firstRow: 0,
  dy,
  rows,
});

/** Steps as the rule says: length times 1 + the mean over the nodes passed. */
function step(dear: readonly number[], grid: Grid, a: number, b: number): number {
  const [ia, ib] = [a % grid.columns, b % grid.columns];
  const [ja, jb] = [Math.floor(a / grid.columns), Math.floor(b / grid.columns)];
  if (Math.abs(ia - ib) > 1 || Math.abs(ja - jb) > 1 || a === b) return Infinity;
  const length = Math.sqrt(((ia - ib) * grid.dx) ** 2 + ((ja - jb) * grid.dy) ** 2);
  const corners = [a, b, ja * grid.columns + ib, jb * grid.columns + ia];
  return length * (1 + corners.reduce((sum, n) => sum + dear[n]!, 0) / 4);
}

/** Bellman-Ford: every step is tried until none makes anything cheaper (Bellman 1958). */
function bruteForce(grid: Grid, dear: readonly number[], ends: readonly number[]): number {
  const n = grid.columns * grid.rows;
  const cost = Array.from({ length: n }, (_, i) => (i < grid.columns ? ends[i]! : Infinity));
  for (let changed = true; changed; ) {
    changed = false;
    for (let a = 0; a < n; a++) {
      for (let b = 0; b < n; b++) {
        const total = cost[a]! + step(dear, grid, a, b);
        if (total < cost[b]! - 1e-12) {
          cost[b] = total;
          changed = true;
        }
      }
    }
  }
  return Math.min(...cost.slice(n - grid.columns).map((c, i) => c + ends[i]!));
}

const small = fc
  .record({ columns: fc.integer({ min: 1, max: 6 }), rows: fc.integer({ min: 1, max: 7 }) })
  .chain(({ columns, rows }) =>
    fc.record({
      grid: fc
        .tuple(fc.constantFrom(0.25, 0.5, 1), fc.constantFrom(0.25, 0.4))
        .map(([dx, dy]) => gridOf(columns, rows, dx, dy)),
      dear: fc.array(fc.constantFrom(0, 0, 0, 1, 2.5, 1000), {
        minLength: columns * rows,
        maxLength: columns * rows,
      }),
      ends: fc.array(fc.constantFrom(0, 0.1, 0.7), { minLength: columns, maxLength: columns }),
    }),
  );

it("property: costs what brute force (Bellman-Ford) finds, by a way from top to bottom that costs just that", () => {
  fc.assert(
    fc.property(small, ({ grid, dear, ends }) => {
      const { nodes, cost } = cheapestWay(grid, Float32Array.from(dear), ends);
      expect(cost).toBeCloseTo(bruteForce(grid, dear, ends), 9);
      expect(nodes[0]).toBeLessThan(grid.columns);
      expect(nodes.at(-1)).toBeGreaterThanOrEqual(grid.columns * (grid.rows - 1));
      let walked = ends[nodes[0]!]! + ends[nodes.at(-1)! % grid.columns]!;
      for (let k = 1; k < nodes.length; k++) walked += step(dear, grid, nodes[k - 1]!, nodes[k]!);
      expect(walked).toBeCloseTo(cost, 9);
    }),
    { numRuns: 200, seed: 3 },
  );
});

it("does not slip between two cells of a slanting stroke", () => {
  // . . .
  // . . #
  // . # .
  // # . .
  // . . .     the stroke reaches from side to side
  const dear = [0, 0, 0, 0, 0, 40, 0, 40, 0, 40, 0, 0, 0, 0, 0];
  const { cost } = cheapestWay(gridOf(3, 5, 1, 1), Float32Array.from(dear), [0, 0, 0]);
  // Past the stroke's corner a slanting step costs √2 (1 + 80/4); three upright steps, 1 each, lead there and on.
  expect(cost).toBeCloseTo(3 + Math.SQRT2 * 21, 9);
});
