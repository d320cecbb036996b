/** The grid, the ink on it and what lies well inside: closed forms, areas, and the erosion made another way. */
import { describe, expect, it } from "vitest";
import { areaOf, type Contour, type Path, reversed } from "../../../src/geometry/path.ts";
import { coverageOf, type Grid, gridOver, insideOf } from "../../../src/plan/fill/coverage.ts";
import { seeded } from "../../support/pulses.ts";
import { circle, glyph, rectangle } from "../../support/shapes.ts";

const path = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });
const box = (minX: number, minY: number, maxX: number, maxY: number) => ({ minX, minY, maxX, maxY });
const total = (values: ArrayLike<number>): number => Array.from(values).reduce((sum, v) => sum + v, 0);

describe("gridOver", () => {
  it("has the least cells asked, and two around the box", () => {
    expect(gridOver(box(-3, 1, 3, 5), 0.5)).toEqual({ left: -4, top: 0, cellMm: 0.5, columns: 16, rows: 12 });
    const grid = gridOver(box(0, 0, 0.61, 0), 0.1);
    expect([grid.columns, grid.rows]).toEqual([11, 5]);
    expect(grid.top).toBeCloseTo(-0.25, 12);
  });

  it("has no more cells than allowed and uses nearly all of them, whatever the box", () => {
    const random = seeded(5);
    for (let k = 0; k < 300; k++) {
      const [x, y] = [100 * random() - 50, 100 * random() - 50];
      const [w, h] = [10 ** (4 * random() - 1), 10 ** (4 * random() - 1)];
      const grid = gridOver(box(x, y, x + w, y + h), 1e-4, 20_000);
      expect(grid.columns * grid.rows).toBeLessThanOrEqual(20_000);
      const margin = 2 * grid.cellMm * (1 - 1e-9);
      expect(grid.left).toBeLessThanOrEqual(x - margin);
      expect(grid.top).toBeLessThanOrEqual(y - margin);
      expect(grid.left + grid.columns * grid.cellMm).toBeGreaterThanOrEqual(x + w + margin);
      expect(grid.top + grid.rows * grid.cellMm).toBeGreaterThanOrEqual(y + h + margin);
      if (Math.max(w, h) < 20 * Math.min(w, h)) expect(grid.columns * grid.rows).toBeGreaterThan(17_000);
    }
  });

  it("is mirrored with its box", () => {
    const grid = gridOver(box(-3.17, 0, 11.4, 7), 0.1);
    const other = gridOver(box(-11.4, 0, 3.17, 7), 0.1);
    expect(other.columns).toBe(grid.columns);
    expect(other.left).toBeCloseTo(-(grid.left + grid.columns * grid.cellMm), 12);
  });

  it("needs a finite box and cells", () => {
    for (const wrong of [box(0, 0, Number.NaN, 1), box(2, 0, 1, 1), box(0, 0, Infinity, 1)]) {
      expect(() => gridOver(wrong, 0.1)).toThrow(RangeError);
    }
    for (const least of [0, -1, Number.NaN, Infinity])
      expect(() => gridOver(box(0, 0, 1, 1), least)).toThrow(RangeError);
    expect(() => gridOver(box(0, 0, 1, 1), 0.1, 25)).toThrow(RangeError);
  });
});

describe("coverageOf", () => {
  it("a rectangle, cell by cell", () => {
    const grid = gridOver(box(0, 0, 4, 3), 1);
    // Starts a quarter into its first column and ends a half into its last; half of its last row.
    const share = coverageOf([path(rectangle(0.25, 0, 3.25, 2.5))], grid);
    const wide = [0, 0, 0.75, 1, 1, 0.5, 0, 0];
    const high = [0, 0, 1, 1, 0.5, 0, 0];
    expect(Array.from(share)).toEqual(high.flatMap((h) => wide.map((w) => w * h)));
  });

  it("areas of a glyph and a ring", () => {
    const ring = path(circle(0, 0, 10), reversed(circle(0, 0, 6)));
    for (const shape of [path(glyph()), ring]) {
      const grid = gridOver(box(-25, -20, 25, 20), 0.1);
      const share = coverageOf([shape], grid);
      expect(total(share) * 0.01).toBeCloseTo(areaOf(shape), 1);
      expect(Math.max(...share.subarray(0, 3 * grid.columns))).toBe(0);
    }
    // π(R² − r²); four arcs are 2.7e-4 of R off at most (Riškus 2006).
    const grid = gridOver(box(-10, -10, 10, 10), 0.05);
    expect(total(coverageOf([ring], grid)) * 0.0025).toBeCloseTo(Math.PI * 64, 0);
  });

  it("covers once what two shapes cover, and nothing beside the grid", () => {
    const grid = gridOver(box(0, 0, 4, 4), 1);
    const share = coverageOf([path(rectangle(-50, 1, 100, 2)), path(rectangle(1, -50, 2, 100))], grid);
    expect(Math.max(...share)).toBe(1);
    expect(total(share)).toBe(2 * 8 + 2 * 8 - 4);
  });
});

describe("insideOf", () => {
  const whole = (grid: Grid, ink: (i: number, j: number) => boolean): Float32Array =>
    Float32Array.from({ length: grid.columns * grid.rows }, (_, n) =>
      ink(n % grid.columns, Math.floor(n / grid.columns)) ? 1 : 0,
    );

  it("a square loses its margin on every side", () => {
    const grid = gridOver(box(0, 0, 10, 10), 0.5);
    const share = coverageOf([path(rectangle(0, 0, 10, 10))], grid);
    expect(total(insideOf(share, grid, 0))).toBe(400);
    expect(total(insideOf(share, grid, 0.5))).toBe(18 * 18);
    expect(total(insideOf(share, grid, 0.6))).toBe(16 * 16);
    expect(total(insideOf(share, grid, 1.5))).toBe(14 * 14);
    expect(total(insideOf(share, grid, 5))).toBe(0);
  });

  it("a ring: no point nearer to its edge, and nearly all that are not", () => {
    const grid = gridOver(box(-10, -10, 10, 10), 0.1);
    const inside = insideOf(
      coverageOf([path(circle(0, 0, 10, 8), reversed(circle(0, 0, 5, 8)))], grid),
      grid,
      0.7,
    );
    const wrong: number[] = [];
    inside.forEach((v, n) => {
      const x = Math.abs(grid.left + ((n % grid.columns) + 0.5) * 0.1);
      const y = Math.abs(grid.top + (Math.floor(n / grid.columns) + 0.5) * 0.1);
      const far = Math.hypot(x + 0.05, y + 0.05);
      const near = Math.hypot(Math.max(0, x - 0.05), Math.max(0, y - 0.05));
      // An eighth of a cell lies beyond the last row.
      const clear = far <= 9.3 + 0.0125 && near >= 5.7 - 0.0125;
      const close = far > 9.3 - 0.15 || near < 5.7 + 0.15;
      if (v === 1 ? !clear : !close) wrong.push(n);
    });
    expect(wrong).toEqual([]);
    expect(total(inside)).toBeGreaterThan(10_000);
  });

  it("is the erosion by all pairs of cells, of any ink", () => {
    const random = seeded(11);
    const grid: Grid = { left: 0, top: 0, cellMm: 0.25, columns: 31, rows: 23 };
    for (const [holes, margin] of [
      [0, 0.6],
      [3, 0.25],
      [6, 0.3],
      [4, 0.8],
      [2, 1.3],
      [30, 0],
    ] as const) {
      const missing = Array.from({ length: holes }, () => [
        Math.floor(31 * random()),
        Math.floor(23 * random()),
      ]);
      const ink = (i: number, j: number): boolean =>
        i >= 0 && j >= 0 && i < 31 && j < 23 && !missing.some(([x, y]) => x === i && y === j);
      // The distance between two cells is that of their nearest corners.
      const gap = (d: number): number => 0.25 * Math.max(0, Math.abs(d) - 1);
      const expected = whole(grid, (i, j) => {
        if (!ink(i, j)) return false;
        for (let y = -8; y < 31; y++) {
          for (let x = -8; x < 39; x++) {
            if (!ink(x, y) && Math.hypot(gap(x - i), gap(y - j)) < margin - 1e-9) return false;
          }
        }
        return true;
      });
      expect(Array.from(insideOf(whole(grid, ink), grid, margin))).toEqual(Array.from(expected));
      expect(total(expected)).toBeGreaterThan(20);
    }
  });
});
