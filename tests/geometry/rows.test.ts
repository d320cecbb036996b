/** Lines across filled outlines: closed forms, areas, and a count of crossings made another way. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { areaOf, type Contour, type Path, PathBuilder } from "../../src/geometry/path.ts";
import { crossingCount, directions, type Rows, rowsAcross } from "../../src/geometry/rows.ts";
import { circle, glyph, rectangle } from "../support/shapes.ts";

const path = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });
const polygon = (points: readonly (readonly [number, number])[]): Path<"flat"> => {
  const b = new PathBuilder<"flat">().move(...points[0]!);
  for (const p of points.slice(1)) b.line(...p);
  return b.close().build();
};

/** Length inside, over all rows. */
function lengthOf({ from, s }: Rows): number {
  let sum = 0;
  for (let k = 0; k + 1 < from.length; k++)
    for (let j = from[k]!; j + 1 < from[k + 1]!; j += 2) sum += s[j + 1]! - s[j]!;
  return sum;
}

/** Ascending and even in every row, starting with 0 and ending with all. */
function expectSound({ from, s }: Rows): void {
  expect(from[0]).toBe(0);
  expect(from.at(-1)).toBe(s.length);
  for (let k = 0; k + 1 < from.length; k++) {
    expect((from[k + 1]! - from[k]!) % 2).toBe(0);
    for (let j = from[k]! + 1; j < from[k + 1]!; j++) expect(s[j]!).toBeGreaterThanOrEqual(s[j - 1]!);
  }
}

describe("a rectangle of 30 × 12 mm at (2, 5)", () => {
  const box = path(rectangle(2, 5, 30, 12));

  it.each([
    // angle, pitch, rows, s of both ends; lines at (k + ½)·pitch across.
    [0, 0.5, 24, 2, 32],
    [90, 0.5, 60, 5, 17],
    [180, 0.5, 24, -32, -2],
    [-90, 0.25, 120, -17, -5],
  ])("%d°, pitch %d: %d lines from %d to %d", (angle, pitch, count, s0, s1) => {
    const rows = rowsAcross(box, angle, pitch, 0.01);
    expectSound(rows);
    expect(rows.from).toHaveLength(count + 1);
    for (let k = 0; k < count; k++) {
      expect(Array.from(rows.from.subarray(k, k + 2))).toEqual([2 * k, 2 * k + 2]);
      expect(rows.s[2 * k]!).toBeCloseTo(s0, 9);
      expect(rows.s[2 * k + 1]!).toBeCloseTo(s1, 9);
    }
  });

  it("the first row is the one whose middle is first inside: (10 + ½)·½ mm = 5.25 mm below 0", () => {
    expect(rowsAcross(box, 0, 0.5, 0.01).first).toBe(10);
    expect(rowsAcross(box, 0, 0.7, 0.01).first).toBe(7); // 7.5 · 0.7 = 5.25, 6.5 · 0.7 = 4.55
    // Every third row of 0.5 mm: a pitch of 1.5, the first at 3.5 · 1.5 = 5.25.
    const third = rowsAcross(box, 0, 0.5, 0.01, 3);
    expect([third.first, third.from.length - 1]).toEqual([3, 8]);
  });

  it("none where it slips between the rows or there is nothing", () => {
    expect(rowsAcross(path(rectangle(0, 0.3, 10, 0.15)), 0, 0.5, 0.01).s).toHaveLength(0);
    expect(rowsAcross(path(), 0, 0.5, 0.01)).toEqual({
      first: 0,
      from: new Int32Array(1),
      s: new Float64Array(0),
    });
  });

  it("directions: 90° runs down the page, its rows follow each other to the left", () => {
    const round = directions(90).map((v) => Math.round(v * 1e12) / 1e12 + 0);
    expect(round).toEqual([0, 1, -1, 0]);
  });
});

describe("Σ lengths × pitch is the area", () => {
  const shapes: [string, Path<"flat">, number][] = [
    ["a disc, πr²", path(circle(3, -2, 11)), Math.PI * 121],
    // Holes turn against the outline and are left out by even-odd.
    ["a ring, π(R² − r²)", path(circle(0, 0, 12), circle(0, 0, 7)), Math.PI * (144 - 49)],
    ["a glyph, by Green's theorem", path(glyph()), areaOf(path(glyph()))],
    [
      "a triangle, ½·20·9",
      polygon([
        [0, 0],
        [20, 3],
        [2, 9.3],
      ]),
      (20 * 9.3 - 3 * 2) / 2,
    ],
  ];

  it.each(shapes)("%s, at any angle", (_, shape, area) => {
    for (const angle of [0, 17, 45, 90, 133.3, 270]) {
      const rows = rowsAcross(shape, angle, 0.02, 0.0005);
      expectSound(rows);
      expect(Math.abs((lengthOf(rows) * 0.02) / area - 1)).toBeLessThan(1e-3);
    }
  });

  it("each row of a disc has the chord 2√(r² − t²)", () => {
    const { first, from, s } = rowsAcross(path(circle(0, 0, 10)), 30, 0.5, 1e-4);
    expect(first).toBe(-20);
    expect(from).toHaveLength(41);
    for (let k = 0; k < 40; k++) {
      const half = Math.sqrt(100 - ((first + k + 0.5) * 0.5) ** 2);
      // Four cubics are a circle to 2.7e-4 of r (from memory); the chord near the rim takes that up √-wise.
      expect(Math.abs(s[2 * k]! + half)).toBeLessThan(0.02);
      expect(Math.abs(s[2 * k + 1]! - half)).toBeLessThan(0.02);
    }
  });
});

it("chords keep within the tolerance asked: a coarse disc is inside the true one, and by no more than 2πr·tol", () => {
  const rows = rowsAcross(path(circle(0, 0, 10)), 0, 0.01, 0.05);
  const area = lengthOf(rows) * 0.01;
  expect(area).toBeLessThan(Math.PI * 100 * 1.0006);
  expect(area).toBeGreaterThan(Math.PI * 100 - 2 * Math.PI * 10 * 0.05);
});

describe("corners", () => {
  it("a corner that lies on a row counts once where the outline goes on, twice or never where it turns", () => {
    // Rows at 0.5, 1.5, …: corners at 1.5, outline going on down; tips at 0.5 (top) and 3.5 (bottom).
    const rows = rowsAcross(
      polygon([
        [5, 0.5],
        [9, 1.5],
        [6, 3.5],
        [1, 1.5],
      ]),
      0,
      1,
      0.01,
    );
    expectSound(rows);
    expect(rows.first).toBe(0);
    expect(Array.from(rows.from)).toEqual([0, 2, 4, 6]);
    // Half open: the top's tip is a line of no length, the bottom's is none.
    expect(rows.s[0]).toBeCloseTo(rows.s[1]!, 12);
    expect([rows.s[2]!, rows.s[3]!]).toEqual([expect.closeTo(1, 9), expect.closeTo(9, 9)]);
  });

  it("an edge that lies along a row belongs to one side only: neighbours share no row and leave none out", () => {
    // Both meet at y = 2.5, which is a row of pitch 1.
    const above = rowsAcross(path(rectangle(0, 0, 4, 2.5)), 0, 1, 0.01);
    const below = rowsAcross(path(rectangle(0, 2.5, 4, 2.5)), 0, 1, 0.01);
    expect(above.first + above.from.length - 1).toBe(below.first);
    expect(lengthOf(above) + lengthOf(below)).toBeCloseTo(5 * 4, 9);
  });

  it("even in every row, at corners on rows too: random polygons on a grid of half pitches", () => {
    const half = fc.integer({ min: -12, max: 12 }).map((v) => v / 2);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(half, half), { minLength: 3, maxLength: 12 }),
        fc.constantFrom(0, 90, 180, 37, 45),
        (points, angle) => {
          const shape = polygon(points);
          const rows = rowsAcross(shape, angle, 1, 0.01);
          expectSound(rows);
          // A split edge changes nothing; turned, corners on rows fall to either side by rounding.
          if (angle !== 0) return;
          const split = polygon(
            points.flatMap((p, i) => {
              const q = points[(i + 1) % points.length]!;
              return [p, [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2] as const];
            }),
          );
          expect(Math.abs(lengthOf(rowsAcross(split, angle, 1, 0.01)) - lengthOf(rows))).toBeLessThan(1e-9);
        },
      ),
      { seed: 71, numRuns: 400 },
    );
  });

  it("the rows are those of even-odd: sampled points along each are inside between the crossings and not beside", () => {
    const coordinate = fc.double({ min: -10, max: 10, noNaN: true });
    /** By the winding of the angle: none of the rows' arithmetic. */
    const inside = (points: readonly (readonly [number, number])[], x: number, y: number): boolean => {
      let odd = false;
      for (const [i, [x1, y1]] of points.entries()) {
        const [x0, y0] = points[(i + points.length - 1) % points.length]!;
        // A ray upward, where the rows go across.
        if (x0 > x !== x1 > x && y0 + ((x - x0) / (x1 - x0)) * (y1 - y0) < y) odd = !odd;
      }
      return odd;
    };
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 3, maxLength: 9 }), (points) => {
        const { first, from, s } = rowsAcross(polygon(points), 0, 1, 0.01);
        for (let k = 0; k + 1 < from.length; k++) {
          for (let j = from[k]!; j + 1 < from[k + 1]!; j++) {
            if (s[j + 1]! - s[j]! < 1e-6) continue;
            const x = (s[j]! + s[j + 1]!) / 2;
            expect(inside(points, x, first + k + 0.5)).toBe((j - from[k]!) % 2 === 0);
          }
        }
      }),
      { seed: 72, numRuns: 200 },
    );
  });
});

describe("crossings told beforehand", () => {
  it.each([
    ["disc", path(circle(3, -2, 11))],
    ["ring", path(circle(0, 0, 12), circle(0, 0, 7))],
    ["rectangle", path(rectangle(2, 5, 30, 12))],
    [
      "triangle",
      polygon([
        [0, 0],
        [20, 3],
        [2, 9.3],
      ]),
    ],
  ])("%s: the real number to 2 %% at angles that do not cut an arc's turn", (_, shape) => {
    // Exact where every segment runs one way across; these arcs' quarters do at 0 and 90°.
    for (const angle of [0, 90]) {
      const real = rowsAcross(shape, angle, 0.05, 1e-3).s.length;
      expect(Math.abs(crossingCount(shape, angle, 0.05) / real - 1)).toBeLessThan(0.02);
    }
  });

  it("never too few: at any angle on a disc from the real number to a third more, by the arms of its quarters", () => {
    const disc = path(circle(0, 0, 11));
    for (const angle of [15, 30, 45, 60]) {
      const real = rowsAcross(disc, angle, 0.05, 1e-3).s.length;
      const told = crossingCount(disc, angle, 0.05);
      expect(told).toBeLessThan(1.34 * real);
      expect(told).toBeGreaterThan(0.99 * real);
    }
  });
});

it("open contours have no inside", () => {
  const open = new PathBuilder<"flat">().move(0, 0).line(10, 0).line(10, 10).line(0, 10).build();
  expect(rowsAcross(open, 0, 0.5, 0.01).s).toHaveLength(0);
  const both = path(rectangle(0, 0, 10, 10), ...open.contours);
  expect(rowsAcross(both, 0, 0.5, 0.01).s).toEqual(rowsAcross(path(rectangle(0, 0, 10, 10)), 0, 0.5, 0.01).s);
});
