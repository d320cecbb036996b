import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { areaOf, type Path, PathBuilder, transformPath } from "../../src/geometry/path.ts";
import { directions, rowsAcross, rowsAt, type UniformRows } from "../../src/geometry/rows.ts";
import { expectWound, random, realRoots } from "../support/rows.ts";
import { circle, glyph, rectangle } from "../support/shapes.ts";

import {
  cusped,
  ellipse,
  expectClose,
  expectSound,
  lengthOf,
  looped,
  outline,
  type Points,
  path,
  paused,
  polygon,
  ring,
  rowOf,
  twelveAngles,
} from "./rowtools.ts";

describe("a rectangle of 30 × 12 mm at (2, 5)", () => {
  const box = path(rectangle(2, 5, 30, 12));

  it.each([
    // angle, pitch, rows, s of both ends; lines at (k + ½)·pitch across.
    [0, 0.5, 24, 2, 32],
    [90, 0.5, 60, 5, 17],
    [180, 0.5, 24, -32, -2],
    [-90, 0.25, 120, -17, -5],
  ])("%d°, pitch %d: %d lines from %d to %d", (angle, pitch, count, s0, s1) => {
    const rows = rowsAcross(box, angle, pitch);
    expectSound(rows);
    expect(rows.from).toHaveLength(count + 1);
    for (let k = 0; k < count; k++) {
      expect(Array.from(rows.from.subarray(k, k + 2))).toEqual([2 * k, 2 * k + 2]);
      expect(rowOf(rows, k)).toEqual([s0, s1]);
    }
  });

  it("the first row is the one whose middle is first inside: (10 + ½)·½ mm = 5.25 mm below 0", () => {
    expect(rowsAcross(box, 0, 0.5).first).toBe(10);
    expect(rowsAcross(box, 0, 0.7).first).toBe(7); // 7.5 · 0.7 = 5.25, 6.5 · 0.7 = 4.55
    // Every third row of 0.5 mm: a pitch of 1.5, the first at 3.5 · 1.5 = 5.25.
    const third = rowsAcross(box, 0, 0.5, 3);
    expect([third.first, third.from.length - 1]).toEqual([3, 8]);
  });

  it("none where it slips between the rows or there is nothing", () => {
    const none: UniformRows = { first: 0, from: new Int32Array(1), s: new Float64Array(0) };
    expect(rowsAcross(path(rectangle(0, 0.3, 10, 0.15)), 0, 0.5)).toEqual(none);
    expect(rowsAcross(path(), 0, 0.5)).toEqual(none);
  });

  it("no rows at a pitch that is none", () => {
    for (const pitch of [0, -0.5, Number.NaN]) expect(() => rowsAcross(box, 0, pitch)).toThrow(RangeError);
  });

  it("turned by α about 0 and crossed at α it is the upright one; at 0 its rows are those of four straight edges", () => {
    for (const alpha of [10, 37, 71.3]) {
      const [cos, sin] = directions(alpha);
      const turned = transformPath<"flat", "flat">(box, { a: cos, b: sin, c: -sin, d: cos, e: 0, f: 0 });
      const at = Float64Array.of(5.1, 9.99, 16.9);
      const along = rowsAt([turned], alpha, at);
      for (let k = 0; k < 3; k++) expectClose(rowOf(along, k), [2, 32], 1e-12);
      // y = t meets the box's x′ = 2, 32 and y′ = 5, 17 at x where x·cos + t·sin is 2, 32 and t·cos − x·sin is 5, 17.
      const t = 20;
      const [x2, x32] = [2, 32].map((v) => (v - t * sin) / cos) as [number, number];
      const [y5, y17] = [5, 17].map((v) => (t * cos - v) / sin) as [number, number];
      const wanted = [Math.max(x2, y17), Math.min(x32, y5)];
      const got = rowOf(rowsAt([turned], 0, Float64Array.of(t)), 0);
      expectClose(got, wanted[0]! < wanted[1]! ? wanted : [], 1e-12);
    }
  });
});

it("directions: 90° runs down the page, its rows follow each other to the left; quarter turns are exact", () => {
  expect(directions(90).map((v) => v + 0)).toEqual([0, 1, -1, 0]);
  expect(directions(-180).map((v) => v + 0)).toEqual([-1, 0, 0, -1]);
  expect(directions(30)[0]).toBeCloseTo(Math.sqrt(3) / 2, 15);
});

describe("crossings of curves", () => {
  it("64 arcs are a circle to 2/27·sin⁶(θ/4)/cos²(θ/4) = 2e-11 of r (Dokken et al. 1990): chords of 2√(r² − t²)", () => {
    const disc = path(circle(2, -1, 10, 64));
    for (const angle of twelveAngles) {
      const [ax, ay, px, py] = directions(angle);
      const [s0, t0] = [2 * ax - ay, 2 * px - py];
      const offsets = [-9.99, -9, -5.5, -1e-3, 0, 3.3, 8, 9.9];
      const rows = rowsAt(
        [disc],
        angle,
        Float64Array.from(offsets, (v) => t0 + v),
      );
      offsets.forEach((v, k) => {
        const half = Math.sqrt(100 - v * v);
        // Near the rim the chord is r/half as wrong as the radius.
        expectClose(rowOf(rows, k), [s0 - half, s0 + half], (4e-10 * 10) / half);
      });
    }
  });

  const shapes: [string, Path<"flat">][] = [
    ["a circle of four", path(circle(0.3, -0.2, 11))],
    ["a ring", ring],
    ["an ellipse", ellipse],
    ["a glyph", path(glyph())],
    ["a cusp", path(cusped())],
    ["a curve that pauses", path(paused())],
  ];
  it.each(shapes)("%s: roots of the cubics by Cardano's formula, at twelve angles", (_, shape) => {
    let compared = 0;
    for (const angle of twelveAngles) {
      const at = Float64Array.from({ length: 60 }, (_, k) => -21.0123 + 0.713 * k);
      const rows = rowsAt([shape], angle, at);
      expectSound(rows);
      at.forEach((t, k) => {
        const wanted = realRoots(shape, angle, t);
        // Where a row all but touches a turn the formula itself loses half its digits.
        if (wanted === null) return;
        compared += wanted.length;
        expectClose(rowOf(rows, k), wanted, 1e-10);
      });
    }
    expect(compared).toBeGreaterThan(40);
  });

  it("as dense as can be beside a turn: the chord of a parabola x = ±√y, whatever row came before", () => {
    // A cubic of the parabola y = x² over −1 … 1: control points (−1, 1), (−⅓, −⅓), (⅓, −⅓), (1, 1).
    const bowl = new PathBuilder<"flat">()
      .move(-1, 1)
      .cubic(-1 / 3, -1 / 3, 1 / 3, -1 / 3, 1, 1)
      .close()
      .build();
    const heights = [1e-15, 1e-12, 1e-9, 1e-6, 1e-3, 0.1, 0.5, 0.999999];
    const rows = rowsAt([bowl], 0, Float64Array.from(heights));
    heights.forEach((y, k) => {
      // Rounding of y by 2e-16 moves x by 1e-16/√y.
      expectClose(rowOf(rows, k), [-Math.sqrt(y), Math.sqrt(y)], 1e-14 + 4e-16 / Math.sqrt(y));
    });
    // Exactly through the turn: half open, so that it is no line.
    expect(rowsAt([bowl], 0, Float64Array.of(-1e-12, 0)).s).toHaveLength(0);
  });
});

describe("Σ lengths × pitch is the area", () => {
  const triangle = polygon([
    [0, 0],
    [20, 3],
    [2, 9.3],
  ]);
  const shapes: [string, Path<"flat">, number][] = [
    ["a disc, πr² to the 2.8e-4 of its four cubics (from memory)", path(circle(3, -2, 11)), Math.PI * 121],
    ["a ring, π(R² − r²)", ring, Math.PI * (144 - 49)],
    ["an ellipse, πab", ellipse, Math.PI * 14 * 5],
    ["a glyph, by Green's theorem", path(glyph()), areaOf(path(glyph()))],
    ["a triangle, ½·20·9", triangle, (20 * 9.3 - 3 * 2) / 2],
  ];

  it.each(shapes)("%s, at any angle", (_, shape, area) => {
    for (const angle of twelveAngles) {
      const rows = rowsAcross(shape, angle, 0.02);
      expectSound(rows);
      expect(Math.abs((lengthOf(rows) * 0.02) / area - 1)).toBeLessThan(5e-4);
    }
  });

  it("to 1e-6 of what the curves themselves enclose", () => {
    for (const shape of [path(circle(3, -2, 11)), ring, ellipse])
      expect(Math.abs((lengthOf(rowsAcross(shape, 20, 0.002)) * 0.002) / areaOf(shape) - 1)).toBeLessThan(
        1e-6,
      );
  });
});

describe("corners", () => {
  it("a corner that lies on a row counts once where the outline goes on, and a tip is no line", () => {
    // Rows at 0.5, 1.5, …: corners at 1.5, outline going on down; tips at 0.5 (top) and 3.5 (bottom).
    const points: Points = [
      [5, 0.5],
      [9, 1.5],
      [6, 3.5],
      [1, 1.5],
    ];
    const rows = rowsAcross(polygon(points), 0, 1);
    expectSound(rows);
    expect(rows.first).toBe(1);
    expect(Array.from(rows.from)).toEqual([0, 2, 4]);
    expect(rowOf(rows, 0)).toEqual([1, 9]);
  });

  it("an edge that lies along a row belongs to one side only: neighbours share no row and leave none out", () => {
    // Both meet at y = 2.5, which is a row of pitch 1.
    const above = rowsAcross(path(rectangle(0, 0, 4, 2.5)), 0, 1);
    const below = rowsAcross(path(rectangle(0, 2.5, 4, 2.5)), 0, 1);
    expect(above.first + above.from.length - 1).toBe(below.first);
    expect(lengthOf(above) + lengthOf(below)).toBe(5 * 4);
  });

  it("a split edge changes nothing: random polygons on a grid of half pitches", () => {
    const half = fc.integer({ min: -12, max: 12 }).map((v) => v / 2);
    fc.assert(
      fc.property(fc.array(fc.tuple(half, half), { minLength: 3, maxLength: 12 }), (points) => {
        const rows = rowsAcross(polygon(points), 0, 1);
        expectSound(rows);
        const split = points.flatMap((p, i) => {
          const q = points[(i + 1) % points.length]!;
          return [p, [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2] as const];
        });
        expect(Math.abs(lengthOf(rowsAcross(polygon(split), 0, 1)) - lengthOf(rows))).toBeLessThan(1e-9);
      }),
      { seed: 71, numRuns: 400 },
    );
  });
});
describe("inside is where a fine polygon's winding number is not 0", () => {
  const real = fc.double({ min: -10, max: 10, noNaN: true });
  const whole = fc.integer({ min: -4, max: 4 });

  it("of random outlines of curves and lines that cross themselves, at any angle", () => {
    fc.assert(
      fc.property(outline(real), fc.constantFrom(...twelveAngles), fc.integer(), (contour, angle, seed) => {
        const at = Float64Array.from({ length: 9 }, (_, k) => 3 * k - 12.3);
        const rows = rowsAt([path(contour)], angle, at);
        expectSound(rows);
        expectWound([path(contour)], angle, at, rows, random(seed));
      }),
      { seed: 72, numRuns: 150 },
    );
  });

  it("with rows exactly through vertices, turns, level edges and places that touch", () => {
    fc.assert(
      fc.property(outline(whole), fc.constantFrom(0, 90, 180, 270), fc.integer(), (contour, angle, seed) => {
        const at = Float64Array.from({ length: 19 }, (_, k) => (k - 9) / 2);
        const rows = rowsAt([path(contour)], angle, at);
        expectSound(rows);
        expectWound([path(contour)], angle, at, rows, random(seed));
      }),
      { seed: 73, numRuns: 150 },
    );
  });

  it("of a loop, a cusp, a ring with a glyph over it", () => {
    const at = Float64Array.from({ length: 41 }, (_, k) => k - 20 + 0.013);
    for (const paths of [[path(looped())], [path(cusped())], [ring, path(glyph())]]) {
      for (const angle of twelveAngles) {
        const rows = rowsAt(paths, angle, at);
        expectSound(rows);
        expect(rows.s.length).toBeGreaterThan(0);
        expectWound(paths, angle, at, rows, random(5));
      }
    }
  });
});
