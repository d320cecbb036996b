/** Rows across several paths, rows anywhere, mirrored twins, what has no inside. */
import { Clipper64, ClipType, FillRule, type Path64, type Paths64 } from "clipper2-ts";
import { describe, expect, it } from "vitest";
import { flattenInto } from "../../src/geometry/cubic.ts";
import { type Path, PathBuilder, reversed, transformPath } from "../../src/geometry/path.ts";
import { crossingCount, directions, rowsAcross, rowsAt } from "../../src/geometry/rows.ts";
import { random } from "../support/rows.ts";
import { circle, glyph, rectangle } from "../support/shapes.ts";

import {
  ellipse,
  expectClose,
  expectSound,
  lengthOf,
  looped,
  path,
  polygon,
  ring,
  rowOf,
  twelveAngles,
} from "./rowtools.ts";

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
