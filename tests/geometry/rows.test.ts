/** Lines across filled outlines: closed forms, roots by Cardano, winding numbers of fine polygons, clipper2-ts. */
import { Clipper64, ClipType, FillRule, type Path64, type Paths64 } from "clipper2-ts";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { flattenInto } from "../../src/geometry/cubic.ts";
import {
  areaOf,
  type Contour,
  type Path,
  PathBuilder,
  reversed,
  transformPath,
} from "../../src/geometry/path.ts";
import {
  crossingCount,
  directions,
  type Rows,
  rowsAcross,
  rowsAt,
  type UniformRows,
} from "../../src/geometry/rows.ts";
import { expectWound, random, realRoots } from "../support/rows.ts";
import { circle, cusp, glyph, only, rectangle } from "../support/shapes.ts";

type Points = readonly (readonly [number, number])[];
const path = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });
const polygon = (points: Points): Path<"flat"> => {
  const b = new PathBuilder<"flat">().move(...points[0]!);
  for (const p of points.slice(1)) b.line(...p);
  return b.close().build();
};
const ring = path(circle(0, 0, 12), reversed(circle(0, 0, 7)));
/** An ellipse of semi-axes 14 and 5, turned by 0.4 and moved. */
const ellipse = transformPath<"flat", "flat">(path(circle(0, 0, 1)), {
  a: 14 * Math.cos(0.4),
  b: 14 * Math.sin(0.4),
  c: -5 * Math.sin(0.4),
  d: 5 * Math.cos(0.4),
  e: 3,
  f: -2,
});
const cusped = (): Contour<"flat"> => {
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
const looped = (): Contour<"flat"> =>
  only(new PathBuilder<"flat">().move(-6, 7).cubic(14, -12, -14, -12, 6, 7).close().build());
/** Whose derivative across is nowhere zero but once: t = τ³ − 1.5τ² + 0.75τ, of which ½ is a threefold root. */
const paused = (): Contour<"flat"> =>
  only(
    new PathBuilder<"flat">().move(0, 0).cubic(1, 0.25, 2, 0, 3, 0.25).line(3, 4).line(0, 4).close().build(),
  );
const twelveAngles = Array.from({ length: 12 }, (_, i) => 15 * i + (i % 2 ? 3.7 : 0));

/** Length inside, over all rows. */
function lengthOf({ from, s }: Rows): number {
  let sum = 0;
  for (let k = 0; k + 1 < from.length; k++)
    for (let j = from[k]!; j + 1 < from[k + 1]!; j += 2) sum += s[j + 1]! - s[j]!;
  return sum;
}

/** Ascending by at least 1e-9 and even in every row, starting with 0 and ending with all. */
function expectSound({ from, s }: Rows): void {
  expect(from[0]).toBe(0);
  expect(from.at(-1)).toBe(s.length);
  for (let k = 0; k + 1 < from.length; k++) {
    expect((from[k + 1]! - from[k]!) % 2).toBe(0);
    for (let j = from[k]! + 1; j < from[k + 1]!; j++)
      expect(s[j]! - s[j - 1]!).toBeGreaterThanOrEqual(0.999e-9);
  }
  expect(s.every(Number.isFinite)).toBe(true);
}

const rowOf = ({ from, s }: Rows, k: number): number[] => Array.from(s.subarray(from[k]!, from[k + 1]!));

function expectClose(got: readonly number[], wanted: readonly number[], within: number): void {
  expect(got).toHaveLength(wanted.length);
  got.forEach((v, i) => {
    expect(Math.abs(v - wanted[i]!)).toBeLessThan(within);
  });
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

/** A closed outline of random cubics and lines; coordinates by `number`. */
const outline = (number: fc.Arbitrary<number>): fc.Arbitrary<Contour<"flat">> =>
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

describe("several paths", () => {
  const at = Float64Array.from({ length: 300 }, (_, k) => (k - 150) * 0.1 + 0.05);

  it("over each other are filled once: two discs of r at a distance d lack the lens 2r²acos(d/2r) − d/2·√(4r² − d²)", () => {
    const [r, d] = [6, 5];
    const discs = [path(circle(-d / 2, 0, r, 64)), path(circle(d / 2, 0, r, 64))];
    const lens = 2 * r * r * Math.acos(d / (2 * r)) - (d / 2) * Math.sqrt(4 * r * r - d * d);
    const area = 2 * Math.PI * r * r - lens;
    // Drawn either way round, alone or both: areas count as positive.
    for (const [a, b] of [
      [false, false],
      [true, false],
      [false, true],
      [true, true],
    ]) {
      const paths = discs.map((disc, i) => ((i === 0 ? a : b) ? path(...disc.contours.map(reversed)) : disc));
      for (const angle of [0, 35, 90]) {
        const rows = rowsAt(paths, angle, at);
        expectSound(rows);
        expect(Math.abs((lengthOf(rows) * 0.1) / area - 1)).toBeLessThan(1e-3);
      }
      // On the line of their middles at once.
      expectClose(rowOf(rowsAt(paths, 0, Float64Array.of(0)), 0), [-d / 2 - r, d / 2 + r], 1e-9);
    }
  });

  it("a hole is filled by what lies in it, and only there", () => {
    const rows = rowsAt([ring, path(rectangle(-2, -1, 4, 2))], 0, Float64Array.of(0.5, 2));
    const inner = (t: number): number => Math.sqrt(49 - t * t);
    const outer = (t: number): number => Math.sqrt(144 - t * t);
    // Four cubics are a circle to 2.8e-4 of r (from memory).
    expectClose(rowOf(rows, 0), [-outer(0.5), -inner(0.5), -2, 2, inner(0.5), outer(0.5)], 4e-3);
    expectClose(rowOf(rows, 1), [-outer(2), -inner(2), inner(2), outer(2)], 4e-3);
  });

  it("a path twice is the path; neighbours that touch are one line, to the last bit or to 1e-9", () => {
    for (const shape of [ring, path(glyph()), ellipse])
      expect(rowsAt([shape, shape], 31, at)).toEqual(rowsAt([shape], 31, at));
    for (const gap of [0, 1e-16, 5e-10, -5e-10]) {
      const two = [path(rectangle(0, 0, 0.1 + 0.2, 4)), path(rectangle(0.3 + gap, 0, 5, 4))];
      expectClose(rowOf(rowsAt(two, 0, Float64Array.of(1)), 0), [0, 5.3 + gap], 1e-12);
    }
    const apart = [path(rectangle(0, 0, 1, 4)), path(rectangle(1 + 1e-7, 0, 5, 4))];
    expect(rowOf(rowsAt(apart, 0, Float64Array.of(1)), 0)).toHaveLength(4);
  });

  it("hundreds that begin in the same row, in any order", () => {
    const next = random(12);
    const order = Array.from({ length: 300 }, (_, i) => i).sort(() => next() - 0.5);
    const paths = order.map((i) => path(rectangle(2 * i, 0, 1, 4 + (i % 3))));
    const rows = rowsAt(paths, 0, Float64Array.of(1, 4.5));
    expect(rowOf(rows, 0)).toEqual(Array.from({ length: 600 }, (_, i) => i));
    expect(rowOf(rows, 1)).toHaveLength(400);
  });

  it("clipper2-ts clips the same lines, as open paths by fine polygons, to the same ends", () => {
    const [scale, chord] = [1e7, 1e-6];
    const paths = [ring, path(glyph()), ellipse];
    for (const angle of twelveAngles) {
      const [ax, ay, px, py] = directions(angle);
      const own = Float64Array.from({ length: 40 }, (_, k) => 1.061 * k - 21.0077);
      const rings: Paths64 = [];
      for (const { contours } of paths) {
        for (const { points: p, straight } of contours) {
          const points: Path64 = [];
          const put = (x: number, y: number): void => {
            points.push({
              x: Math.round(scale * (x * ax + y * ay)),
              y: Math.round(scale * (x * px + y * py)),
            });
          };
          straight.forEach((flag, k) => {
            flattenInto(p, 6 * k, flag === 1, chord, put);
          });
          rings.push(points);
        }
      }
      // Upright for the clipper, where the lines are no level edges, a case of their own there.
      const upright = (list: Path64): Path64 => list.map(({ x, y }) => ({ x: y, y: x }));
      const lines = Array.from(own, (t) => {
        const y = Math.round(scale * t);
        return [
          { x: -40 * scale, y },
          { x: 40 * scale, y },
        ];
      });
      const clipper = new Clipper64();
      clipper.addOpenSubject(lines.map(upright));
      clipper.addClip(rings.map(upright));
      const open: Paths64 = [];
      expect(clipper.execute(ClipType.Intersection, FillRule.NonZero, [], open)).toBe(true);
      const rows = rowsAt(paths, angle, own);
      own.forEach((t, k) => {
        const level = Math.round(scale * t);
        const ends = open
          .filter((line) => Math.abs(line[0]!.x - level) < 3)
          .flatMap((line) => [line[0]!.y / scale, line.at(-1)!.y / scale])
          .sort((a, b) => a - b);
        expectClose(rowOf(rows, k), ends, 1e-4);
      });
    }
  });
});

describe("rows anywhere", () => {
  const paths = [ring, path(glyph()), ellipse, path(looped())];

  it("unevenly spaced rows are what each is alone", () => {
    const next = random(9);
    const at = Float64Array.from({ length: 200 }, () => 30 * (next() ** 3 - 0.3)).sort();
    const rows = rowsAt(paths, 67, at);
    at.forEach((t, k) => {
      expectClose(rowOf(rows, k), rowOf(rowsAt(paths, 67, Float64Array.of(t)), 0), 1e-12);
    });
  });

  it("equal rows are equal; those beside the ink are empty; none at all is none", () => {
    const rows = rowsAt(paths, 0, Float64Array.of(-99, 3, 3, 3 + 1e-15, 99));
    expect(rowOf(rows, 0)).toEqual([]);
    expect(rowOf(rows, 2)).toEqual(rowOf(rows, 1));
    expectClose(rowOf(rows, 3), rowOf(rows, 1), 1e-12);
    expect(rowOf(rows, 4)).toEqual([]);
    expect(rowsAt(paths, 0, new Float64Array(0))).toEqual({
      from: new Int32Array(1),
      s: new Float64Array(0),
    });
  });

  it("rows that do not ascend, angles and points that are no numbers are refused", () => {
    for (const at of [[1, 0], [Number.NaN], [0, Number.NaN], [0, Infinity]])
      expect(() => rowsAt(paths, 0, Float64Array.from(at))).toThrow(RangeError);
    expect(() => rowsAt(paths, Number.NaN, Float64Array.of(1))).toThrow(RangeError);
    const bad = path({
      ...circle(0, 0, 1),
      points: circle(0, 0, 1).points.map((v, i) => (i === 9 ? NaN : v)),
    });
    expect(() => rowsAt([bad], 0, Float64Array.of(0))).toThrow(RangeError);
  });
});

describe("mirrored twins", () => {
  const paths = [ring, path(glyph()), ellipse, path(looped())];
  const mirrored = paths.map((p) =>
    transformPath<"flat", "flat">(p, { a: -1, b: 0, c: 0, d: 1, e: 0, f: 0 }),
  );
  const at = Float64Array.from({ length: 700 }, (_, k) => (k - 349.5) * 0.0613 + 1e-4);

  it("to the last bit at 0°: each row's crossings change sign and order", () => {
    const [rows, twin] = [rowsAt(paths, 0, at), rowsAt(mirrored, 0, at)];
    expect(twin.from).toEqual(rows.from);
    for (let k = 0; k < at.length; k++)
      expect(rowOf(twin, k).map((v) => -v)).toEqual(rowOf(rows, k).reverse());
  });

  it("at 90° the rows change order: to 1e-12, nearly all to the last bit", () => {
    const [rows, twin] = [rowsAt(paths, 90, at), rowsAt(mirrored, 90, at.map((v) => -v).reverse())];
    let same = 0;
    for (let k = 0; k < at.length; k++) {
      const [a, b] = [rowOf(rows, k), rowOf(twin, at.length - 1 - k)];
      expectClose(a, b, 1e-12);
      for (const [i, v] of a.entries()) if (v === b[i]) same++;
    }
    expect(same).toBeGreaterThan(0.99 * rows.s.length);
  });

  it("at any angle ±α, and drawn the other way round: to 1e-11", () => {
    for (const angle of [11, 45, 68.4]) {
      const rows = rowsAt(paths, angle, at);
      // (cos α, sin α) mirrored is (cos(180° − α), sin(180° − α)), and t changes its sign.
      const twin = rowsAt(mirrored, 180 - angle, at.map((v) => -v).reverse());
      const back = rowsAt(
        paths.map((p) => path(...p.contours.map(reversed))),
        angle,
        at,
      );
      for (let k = 0; k < at.length; k++) {
        expectClose(rowOf(twin, at.length - 1 - k), rowOf(rows, k), 1e-11);
        expectClose(rowOf(back, k), rowOf(rows, k), 1e-11);
      }
    }
  });
});

describe("what has no inside", () => {
  const rows = Float64Array.from({ length: 40 }, (_, k) => (k - 20) / 2);

  it("open contours", () => {
    const open = new PathBuilder<"flat">().move(0, 0).line(10, 0).line(10, 10).line(0, 10).build();
    expect(rowsAcross(open, 0, 0.5).s).toHaveLength(0);
    const both = path(rectangle(0, 0, 10, 10), ...open.contours);
    expect(rowsAcross(both, 0, 0.5)).toEqual(rowsAcross(path(rectangle(0, 0, 10, 10)), 0, 0.5));
  });

  it.each([
    ["no path", []],
    ["a path of nothing", [path()]],
    [
      "a line there and back",
      [
        polygon([
          [-4, -4],
          [5, 6],
        ]),
      ],
    ],
    [
      "a level edge there and back, on a row",
      [
        polygon([
          [-4, 1],
          [5, 1],
        ]),
      ],
    ],
    [
      "a curve there and back",
      [
        new PathBuilder<"flat">()
          .move(-4, -4)
          .cubic(0, 9, 3, -8, 5, 6)
          .cubic(3, -8, 0, 9, -4, -4)
          .close()
          .build(),
      ],
    ],
    ["a point", [new PathBuilder<"flat">().move(1, 1).cubic(1, 1, 1, 1, 1, 1).line(1, 1).close().build()]],
  ] as [string, Path<"flat">[]][])("%s", (_, paths) => {
    for (const angle of twelveAngles) {
      expect(rowsAt(paths, angle, rows).s).toHaveLength(0);
      for (const p of paths) expect(rowsAcross(p, angle, 0.5).s).toHaveLength(0);
    }
  });
});

describe("crossings told beforehand", () => {
  it.each([
    ["disc", path(circle(3, -2, 11))],
    ["ring", ring],
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
      const real = rowsAcross(shape, angle, 0.05).s.length;
      expect(Math.abs(crossingCount(shape, angle, 0.05) / real - 1)).toBeLessThan(0.02);
    }
  });

  it("never too few: at any angle on a disc from the real number to a third more, by the arms of its quarters", () => {
    const disc = path(circle(0, 0, 11));
    for (const angle of [15, 30, 45, 60]) {
      const real = rowsAcross(disc, angle, 0.05).s.length;
      const told = crossingCount(disc, angle, 0.05);
      expect(told).toBeLessThan(1.34 * real);
      expect(told).toBeGreaterThan(0.99 * real);
    }
  });
});
