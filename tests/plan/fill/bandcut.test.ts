/** Ink cut into bands: all of it, once, in the band that its angle around says, and with teeth where it parts. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { evalCubic } from "../../../src/geometry/cubic.ts";
import { type Contour, type Path, PathBuilder, signedArea } from "../../../src/geometry/path.ts";
import { cutIntoBands } from "../../../src/plan/fill/bandcut.ts";
import type { Band, Bands } from "../../../src/plan/fill/types.ts";
import type { InkShape } from "../../../src/plan/ink.ts";
import { cylinder } from "../../../src/vessel/cylinder.ts";
import { tiltOf } from "../../../src/vessel/pose.ts";
import { revolved } from "../../../src/vessel/revolved.ts";
import type { Surface } from "../../../src/vessel/surface.ts";
import { circle, glyph, inkOf, line, rectangle, resolved } from "../../support/shapes.ts";
import { charted } from "../../support/surfaces.ts";

const RADIUS = 41;
const SPOT = 0.08;
const level = cylinder(RADIUS, "girth");
const surfaces: [string, Surface][] = [
  ["level cylinder", level],
  ...charted.map(({ name, outline, chart }): [string, Surface] => [
    name,
    revolved(outline, chart, tiltOf(outline, "levelled")),
  ]),
];

/** Degrees from the crown, and the band of each interval. */
type Interval = readonly [from: number, to: number, band: number];
const few: readonly Interval[] = [
  [0, 7.3, 1],
  [7.3, 15, 0],
  [15, 19.4, 1],
  [19.4, 24, 2],
  [24, 40, 3],
];
const many = (count: number): Interval[] =>
  Array.from({ length: count }, (_, k) => [(30 * k) / count, (30 * (k + 1)) / count, k]);

/** Degrees around from the crown line. */
function around({ chart }: Surface, a: number, b: number): number {
  const out = new Float64Array(6);
  if (!chart.to(a, b, out)) throw new Error("beside the flat");
  return (Math.abs(out[0]!) * 180) / Math.PI;
}

function bandsBy(surface: Surface, intervals: readonly Interval[]): Bands {
  const bands: Band[] = [];
  for (const [from, to, k] of intervals) {
    const intervalsDeg = [...(bands[k]?.intervalsDeg ?? []), [from, to] as const];
    bands[k] = { intervalsDeg, share: 0, dead: 0, falloff: 1, speedFactor: 1, powerFactor: 1 };
  }
  const bandAt = (a: number, b: number): number => {
    const deg = around(surface, a, b);
    return (intervals.find(([, to]) => deg < to) ?? intervals.at(-1)!)[2];
  };
  return { bands, bandAt, factorAt: () => 1 };
}

/** Chords of a contour, ends included; `steps` to a curve. */
function polygon({ points: p, straight }: Contour<"flat">, steps = 400): number[] {
  const xy: number[] = [];
  const out = new Float64Array(4);
  for (let k = 0; k < straight.length; k++) {
    const n = straight[k] ? 1 : steps;
    for (let i = 0; i < n; i++) {
      evalCubic(p, 6 * k, i / n, out);
      xy.push(out[0]!, out[1]!);
    }
  }
  return xy;
}

/** How often the polygons go around a point. */
function winding(polygons: readonly number[][], x: number, y: number): number {
  let turns = 0;
  for (const p of polygons) {
    for (let i = 0; i < p.length; i += 2) {
      const j = (i + 2) % p.length;
      const [ax, ay, bx, by] = [p[i]! - x, p[i + 1]! - y, p[j]! - x, p[j + 1]! - y];
      if (ay > 0 === by > 0) continue;
      if (ax + (ay / (ay - by)) * (bx - ax) > 0) turns += by > 0 ? 1 : -1;
    }
  }
  return turns;
}

const polygonsOf = (path: Path<"flat">): number[][] => path.contours.map((c) => polygon(c));
const perimeter = (p: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < p.length; i += 2) {
    const j = (i + 2) % p.length;
    sum += Math.hypot(p[j]! - p[i]!, p[j + 1]! - p[i + 1]!);
  }
  return sum;
};
const lengthOf = (shapes: readonly InkShape[]): number =>
  shapes.flatMap((shape) => polygonsOf(shape.path)).reduce((sum, p) => sum + perimeter(p), 0);
const areaOf = (shapes: readonly InkShape[]): number => shapes.reduce((sum, shape) => sum + shape.areaMm2, 0);

const frame = (): Path<"flat"> =>
  resolved(
    { contours: [rectangle(-17, -16, 34, 30), rectangle(-15, -14, 30, 26), rectangle(-2, -9, 9, 14)] },
    "evenodd",
  );
const slanted = (): Path<"flat"> =>
  new PathBuilder<"flat">().move(-16, 12).line(14.3, -13).line(14.5, -12.6).line(-15.7, 12.4).close().build();
const straight = () => inkOf([frame()], [slanted()], [{ contours: [rectangle(-14, 3, 28.5, 0.3)] }]);
const ring = (): Path<"flat"> =>
  resolved({ contours: [circle(3, 2, 13), circle(4, 2, 9), circle(-1, 0, 3)] }, "evenodd");
const curved = () => inkOf([ring()], [resolved({ contours: [glyph()] }, "nonzero")]);

describe.each(surfaces)("on a %s", (_, surface) => {
  it("neighbours have the same seam, and straight-sided ink keeps its area", () => {
    const { shapes } = straight();
    const bands = bandsBy(surface, few);
    let seam = 0;
    for (const shape of shapes) {
      const pieces = cutIntoBands([shape], surface, bands, SPOT).flat();
      // What one piece has and another has the other way round is seam; the rest is the ink's own outline.
      const rest = new Map<string, number>();
      for (const p of pieces.flatMap(({ path }) => polygonsOf(path))) {
        for (let i = 0; i < p.length; i += 2) {
          const j = (i + 2) % p.length;
          const [from, to] = [i, j].map((k) => `${p[k]!.toFixed(6)} ${p[k + 1]!.toFixed(6)}`);
          const long = Math.hypot(p[j]! - p[i]!, p[j + 1]! - p[i + 1]!);
          if (rest.delete(`${to} ${from}`)) seam += long;
          else rest.set(`${from} ${to}`, long);
        }
      }
      const own = lengthOf([shape]);
      expect([...rest.values()].reduce((sum, long) => sum + long, 0)).toBeCloseTo(own, 2);
      // An edge that passes a tip within a step of the plane's grid is bent there by as much.
      expect(Math.abs(areaOf(pieces) - shape.areaMm2)).toBeLessThan(1e-5 * own);
    }
    expect(seam).toBeGreaterThan(5);
  });

  it("every point of curved ink is in one piece, that of its band where it is a quarter of a spot from the seams", () => {
    const { shapes } = curved();
    const bands = bandsBy(surface, few);
    const problems: [] = [];
    const cut = cutIntoBands(shapes, surface, bands, SPOT, problems);
    expect(problems).toEqual([]);
    // Where a curve passes a tip within the plane's sagitta, its end moves by as much.
    expect(Math.abs(areaOf(cut.flat()) - areaOf(shapes))).toBeLessThan(2e-4 * lengthOf(shapes));
    for (const shape of shapes) {
      const whole = polygonsOf(shape.path);
      const pieces = cut.map((list) =>
        list.filter((piece) => piece.where === shape.where && piece.id.startsWith(`${shape.id}-band-`)),
      );
      const outlines = pieces.map((list) => list.flatMap((piece) => polygonsOf(piece.path)));
      const { minX, minY, maxX, maxY } = shape.box;
      const radius = new Float64Array(4);
      const place = new Float64Array(6);
      fc.assert(
        fc.property(
          fc.double({ min: 0, max: 1, noNaN: true }),
          fc.double({ min: 0, max: 1, noNaN: true }),
          (s, t) => {
            const [x, y] = [minX + s * (maxX - minX), minY + t * (maxY - minY)];
            // Not within a hair of an outline, where chords and curves may differ.
            const near = [-1, 1].some(
              (d) => winding(whole, x + 0.005 * d, y + 0.003 * d) !== winding(whole, x, y),
            );
            if (near) return;
            const found = outlines.flatMap((list, k) => (winding(list, x, y) !== 0 ? [k] : []));
            const inked = winding(whole, x, y) !== 0;
            surface.chart.to(x, y, place);
            surface.meridian.at(place[1]!, radius);
            const seams = few.map(
              ([, to]) => Math.abs(around(surface, x, y) - to) * (Math.PI / 180) * radius[0]!,
            );
            const clear = Math.min(...seams) > SPOT / 4 + 0.001;
            if (clear) expect(found).toEqual(inked ? [bands.bandAt(x, y)] : []);
            else expect(found.length).toBeLessThanOrEqual(inked ? 1 : 0);
          },
        ),
        { seed: 7, numRuns: 400 },
      );
    }
  });
});

it("along any level line the pieces fill the ink, without a gap and without lying over each other", () => {
  const { shapes } = straight();
  const pieces = cutIntoBands(shapes, level, bandsBy(level, few), SPOT);
  const crossings = (path: Path<"flat">, y: number): number[] =>
    polygonsOf(path)
      .flatMap((p) => {
        const found: number[] = [];
        for (let i = 0; i < p.length; i += 2) {
          const j = (i + 2) % p.length;
          const [y0, y1] = [p[i + 1]!, p[j + 1]!];
          if (y0 > y === y1 > y) continue;
          found.push(p[i]! + ((y - y0) / (y1 - y0)) * (p[j]! - p[i]!));
        }
        return found;
      })
      .sort((one, other) => one - other);
  const spans = (x: readonly number[]): [number, number][] =>
    Array.from({ length: x.length / 2 }, (_, i) => [x[2 * i]!, x[2 * i + 1]!]);
  for (const shape of shapes) {
    const own = pieces.flat().filter(({ id }) => id.startsWith(`${shape.id}-`));
    for (let i = 1; i < 500; i++) {
      const y = shape.box.minY + ((shape.box.maxY - shape.box.minY) * (i + 0.123)) / 500;
      const whole = spans(crossings(shape.path, y));
      const parts = own
        .flatMap(({ path }) => spans(crossings(path, y)))
        .sort(([one], [other]) => one - other);
      const joined: [number, number][] = [];
      for (const [from, to] of parts) {
        const last = joined.at(-1);
        if (last && Math.abs(from - last[1]) < 1e-6) last[1] = to;
        else joined.push([from, to]);
      }
      expect(joined.length).toBe(whole.length);
      joined.forEach(([from, to], k) => {
        expect(from).toBeCloseTo(whole[k]![0], 6);
        expect(to).toBeCloseTo(whole[k]![1], 6);
      });
    }
  }
});

it("teeth reach a quarter of a spot to either side, and one is a spot long", () => {
  const { shapes } = inkOf([{ contours: [rectangle(-10, -8, 20, 16)] }]);
  const bands = bandsBy(level, [
    [0, 6, 0],
    [6, 20, 1],
  ]);
  const seam = (6 * Math.PI * RADIUS) / 180;
  const [inner] = cutIntoBands(shapes, level, bands, SPOT);
  const p = polygon(inner![0]!.path.contours[0]!);
  const tips: [number, number][] = [];
  for (let i = 0; i < p.length; i += 2)
    if (p[i]! > 0 && Math.abs(p[i + 1]!) < 7.9) tips.push([p[i]!, p[i + 1]!]);
  tips.sort((one, other) => one[1] - other[1]);
  expect(tips.length).toBe(395);
  tips.forEach(([x, y], i) => {
    expect(Math.abs(x - seam)).toBeCloseTo(SPOT / 4, 9);
    if (i > 0) {
      expect(Math.abs(x - tips[i - 1]![0])).toBeCloseTo(SPOT / 2, 9);
      expect(y - tips[i - 1]![1]).toBeCloseTo(SPOT / 2, 9);
    }
  });
});

it("a seam that meets no ink has no teeth, and a side that lies along it takes no crumbs from it", () => {
  const seam = (6 * Math.PI * RADIUS) / 180;
  const bands = bandsBy(level, [
    [0, 6, 0],
    [6, 20, 1],
  ]);
  for (const aside of [-0.9, -0.3, 0.3, 0.9]) {
    const edge = seam + (aside * SPOT) / 4;
    const { shapes } = inkOf(
      [{ contours: [rectangle(edge - 3, -8, 3, 16)] }],
      [{ contours: [rectangle(edge, -8, 3, 16)] }],
    );
    const cut = cutIntoBands(shapes, level, bands, SPOT);
    expect(cut.map((list) => list.map(({ id, areaMm2 }) => [id, areaMm2]))).toEqual([
      [["s0-band-1", shapes[0]!.areaMm2]],
      [["s1-band-2", shapes[1]!.areaMm2]],
    ]);
    expect(cut[0]![0]!.path).toBe(shapes[0]!.path);
  }
});

it("ink on one side has pieces on one side, in the order of its shapes and with their ids", () => {
  const { shapes } = inkOf([{ contours: [circle(12, 0, 6)] }], [{ contours: [circle(8, 20, 2)] }]);
  const cut = cutIntoBands(shapes, level, bandsBy(level, few), SPOT);
  expect(cut.map((list) => list.map(({ id }) => id))).toEqual([
    ["s0-band-1", "s1-band-1"],
    ["s0-band-2"],
    ["s0-band-3"],
    ["s0-band-4"],
  ]);
  for (const { box } of cut.flat()) expect(box.minX).toBeGreaterThan(0);
});

it.each([2, 5, 32])("%d bands of a ring keep its area and its hole", (count) => {
  const { shapes } = inkOf([ring()]);
  const cut = cutIntoBands(shapes, level, bandsBy(level, many(count)), SPOT);
  expect(Math.abs(areaOf(cut.flat()) - areaOf(shapes))).toBeLessThan(5e-5 * lengthOf(shapes));
  for (const { path } of cut.flat())
    for (const c of path.contours) expect(Math.abs(signedArea(c))).toBeGreaterThan(1e-6);
  // The band around the ring's middle has the hole's arcs: seen along the middle line it is in two.
  const outlines = cut.flat().flatMap(({ path }) => polygonsOf(path));
  expect(winding(outlines, 8, 2)).toBe(0);
  expect(Math.abs(winding(outlines, 15, 2))).toBe(1);
});

it("centre lines are cut at the meridian, and keep their length", () => {
  const { shapes } = inkOf([{ contours: [line(-16, -5, 14, 9), circle(0, 0, 4)] }, "centre-line"]);
  const bands = bandsBy(level, few);
  const cut = cutIntoBands(shapes, level, bands, SPOT);
  const sum = cut.flat().reduce((total, piece) => total + piece.lengthMm, 0);
  expect(sum).toBeCloseTo(shapes[0]!.lengthMm, 7);
  const out = new Float64Array(4);
  cut.forEach((list, k) => {
    for (const c of list.flatMap(({ path }) => path.contours)) {
      for (let i = 0; i < c.straight.length; i++) {
        for (const t of [1e-6, 0.5, 1 - 1e-6]) {
          evalCubic(c.points, 6 * i, t, out);
          expect(bands.bandAt(out[0]!, out[1]!)).toBe(k);
        }
      }
    }
  });
  // The circle lies within the first interval.
  expect(cut[1]!.flatMap(({ path }) => path.contours).some((c) => c.closed)).toBe(true);
});
