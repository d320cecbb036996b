/** Ink divided between turns: all of it, once, but for the overlap where a cut goes through ink. Lengths mm. */
import { areaPathsD, FillRule, intersectD, type PathsD, unionD } from "clipper2-ts";
import fc from "fast-check";
import { expect, it } from "vitest";
import { type Contour, type Path, PathBuilder, reversed } from "../../../src/geometry/path.ts";
import type { InkShape } from "../../../src/plan/ink.ts";
import { type CutPath, leastInkCut } from "../../../src/plan/turns/cutpath.ts";
import { partInk } from "../../../src/plan/turns/part.ts";
import { Effort } from "../../../src/region/effort.ts";
import { sheetChart } from "../../../src/vessel/chart.ts";
import { coneOutline } from "../../../src/vessel/straight.ts";
import { circle, glyph, inkOf, line, rectangle, resolved } from "../../support/shapes.ts";

const spot = 0.08;
const same = (x: number, y: number): [number, number] => [x, y];
const pathOf = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });
const cutAlong = (...points: number[]): CutPath => ({
  points: Float64Array.from(points),
  inkMm: 0,
  straight: points.length === 4,
});
const upright = (x: number): CutPath => cutAlong(x, -100, x, 100);
const part = (ink: ReturnType<typeof inkOf>, ...cuts: CutPath[]) =>
  partInk(ink, cuts, spot, same, new Effort());
const areaIn = (shapes: readonly InkShape[]): number => shapes.reduce((sum, s) => sum + s.areaMm2, 0);
const areaOfAll = (turns: readonly InkShape[][]): number => turns.reduce((sum, t) => sum + areaIn(t), 0);

/** Polygons of a path, 64 chords to a curve, by the polynomial itself. */
function polygons(path: Path<"flat">): PathsD {
  return path.contours.map(({ points: p, straight }) => {
    const ring: { x: number; y: number }[] = [];
    for (let k = 0; k < straight.length; k++) {
      const n = straight[k] ? 1 : 64;
      for (let i = 0; i < n; i++) {
        const t = i / n;
        const at = (c: number): number =>
          (1 - t) ** 3 * p[6 * k + c]! +
          3 * (1 - t) ** 2 * t * p[6 * k + 2 + c]! +
          3 * (1 - t) * t * t * p[6 * k + 4 + c]! +
          t ** 3 * p[6 * k + 6 + c]!;
        ring.push({ x: at(0), y: at(1) });
      }
    }
    return ring;
  });
}

function evenOdd(rings: PathsD, x: number, y: number): boolean {
  let odd = false;
  for (const ring of rings) {
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      if (a.y > y !== b.y > y && a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x) > x) odd = !odd;
    });
  }
  return odd;
}

const fromPolyline = (p: ArrayLike<number>, x: number, y: number): number => {
  let least = Infinity;
  for (let i = 0; i + 3 < p.length; i += 2) {
    const [dx, dy] = [p[i + 2]! - p[i]!, p[i + 3]! - p[i + 1]!];
    const t = ((x - p[i]!) * dx + (y - p[i + 1]!) * dy) / (dx * dx + dy * dy);
    const s = Math.min(1, Math.max(0, t));
    least = Math.min(least, Math.hypot(p[i]! + s * dx - x, p[i + 1]! + s * dy - y));
  }
  return least;
};

it("a bar cut straight overlaps by one spot exactly, and what it is called stays", () => {
  const ink = inkOf([pathOf(rectangle(-50, 0, 100, 7))]);
  const cut = leastInkCut(
    [ink.shapes[0]!.path],
    [],
    { nominal: 3, from: 0, to: 6 },
    { top: 0, bottom: 7 },
    spot,
  );
  const { turns, overlapMm2, problems } = part(ink, cut);
  expect(problems).toEqual([]);
  expect(turns.map((t) => t.length)).toEqual([1, 1]);
  const [left, right] = [turns[0]![0]!, turns[1]![0]!];
  expect(left.box.maxX).toBeCloseTo(3 + spot / 2, 12);
  expect(right.box.minX).toBeCloseTo(3 - spot / 2, 12);
  expect(overlapMm2).toBeCloseTo(7 * spot, 12);
  expect([left.id, left.where, left.paint]).toEqual(["s0", ink.shapes[0]!.where, "fill"]);
});

it("a cut between letters leaves them whole: the very shapes, and of one shape the very contours", () => {
  const word = [0, 1, 2, 3].map((k) => circle(5 * k, 10, 2));
  const apart = part(inkOf(...word.map((c): [Path<"flat">] => [pathOf(c)])), upright(7.5));
  expect(apart.turns.map((t) => t.map((s) => s.id))).toEqual([
    ["s0", "s1"],
    ["s2", "s3"],
  ]);
  expect(apart.overlapMm2).toBe(0);
  const ink = inkOf([pathOf(...word)]);
  const one = part(ink, upright(7.5));
  expect(one.turns.map((t) => t[0]!.path.contours)).toEqual([word.slice(0, 2), word.slice(2)]);
  expect(one.turns[1]![0]!.path.contours[0]).toBe(ink.shapes[0]!.path.contours[2]);
});

it("what a cut passes by within a spot stays whole, beside what it goes through", () => {
  // A bar, and a bar 0.01 right of the cut above it, of one shape; the cut goes through the lower one.
  const near = rectangle(5.01, 0, 4, 3);
  const { turns, overlapMm2 } = part(inkOf([pathOf(rectangle(0, 5, 10, 2), near)]), upright(5));
  expect(turns[0]![0]!.path.contours.length).toBe(1);
  expect(turns[1]![0]!.path.contours).toContain(near);
  expect(overlapMm2).toBeCloseTo(2 * spot, 12);
  // Of one outline: the cut passes a spine by 0.01 and goes through the arm below it.
  const b = new PathBuilder<"flat">().move(5.01, 0).line(9, 0).line(9, 8).line(0, 8).line(0, 6).line(5.01, 6);
  const joined = part(inkOf([b.close().build()]), upright(5));
  // The overlap goes on by half a spot beyond the arm's edge: 0.04 of the spine, as wide as it lies within half a spot.
  expect(joined.overlapMm2).toBeCloseTo(2 * spot + 0.03 * 0.04, 9);
});

it("where the edge slants the overlap is a whole spot wide up to the edge, too", () => {
  // A disc cut far from its middle, at edges of 45° and steeper: the area between two chords, in closed form.
  for (const x of [2, 2.3]) {
    const r = 2.8;
    const disc = pathOf(circle(0, 0, r, 16));
    const { overlapMm2 } = part(inkOf([disc]), upright(x));
    const segment = (d: number): number => r * r * Math.acos(d / r) - d * Math.sqrt(r * r - d * d);
    expect(overlapMm2).toBeCloseTo(segment(x - spot / 2) - segment(x + spot / 2), 6);
  }
});

it("holes go with the ink around them, islands by themselves, whichever way the outlines turn", () => {
  const ring = (r0: number, r1: number): Contour<"flat">[] => [
    circle(0, 0, r0, 8),
    reversed(circle(0, 0, r1, 8)),
  ];
  // Three rings within each other, a hole beside the cut, and an island in a hole that no cut meets.
  const contours = [
    ...ring(20, 15),
    ...ring(12, 8),
    reversed(circle(3.03, 17, 1)),
    circle(-13.5, 0, 1),
    circle(6, 0, 1),
  ];
  for (const turned of [contours, contours.map(reversed)]) {
    const ink = inkOf([pathOf(...turned)]);
    const { turns, overlapMm2 } = part(ink, upright(2));
    expect(areaOfAll(turns) - overlapMm2).toBeCloseTo(ink.areaMm2, 6);
    // The chords of two circles r0, r1 at x: four strips, a spot wide, of slightly bent ends; less the hole's share.
    const strip = (r0: number, r1: number): number =>
      2 * (Math.sqrt(r0 * r0 - 4) - Math.sqrt(r1 * r1 - 4)) * spot;
    const segment = 1 * Math.acos(0.99) - 0.99 * Math.sqrt(1 - 0.99 * 0.99);
    expect(overlapMm2).toBeCloseTo(strip(20, 15) + strip(12, 8) - segment, 3);
    const [left, right] = turns.map((t) => polygons(t[0]!.path));
    expect([evenOdd(left!, -13.5, 0), evenOdd(right!, -13.5, 0)]).toEqual([true, false]);
    expect([evenOdd(left!, 6, 0), evenOdd(right!, 6, 0)]).toEqual([false, true]);
    expect([evenOdd(left!, 3.03, 17), evenOdd(right!, 3.03, 17)]).toEqual([false, false]);
  }
});

it("curves stay curves, and points inside, on either side, are in the turn they belong to", () => {
  const moved = { ...glyph(), points: glyph().points.map((v, i) => (i % 2 ? v : v + 4)) };
  const ink = inkOf(
    [resolved(pathOf(moved), "nonzero")],
    [pathOf(circle(-3, 2, 9))],
    [pathOf(circle(20, 0, 3))],
  );
  const cut = cutAlong(-6, -100, -6, -3, 3, 1, 1, 6, 7, 8, 7, 100);
  const { turns, overlapMm2, problems } = part(ink, cut);
  expect(problems).toEqual([]);
  expect(Math.abs(areaOfAll(turns) - overlapMm2 - ink.areaMm2)).toBeLessThan(1e-6 * ink.areaMm2);
  for (const t of turns)
    expect(t.some((s) => s.path.contours.some((c) => c.straight.includes(0)))).toBe(true);
  const leftOf: PathsD = [[-6, -100, -6, -3, 3, 1, 1, 6, 7, 8, 7, 100, -200, 100, -200, -100]].map((p) =>
    Array.from({ length: p.length / 2 }, (_, i) => ({ x: p[2 * i]!, y: p[2 * i + 1]! })),
  );
  fc.assert(
    fc.property(
      fc.double({ min: -20, max: 24, noNaN: true }),
      fc.double({ min: -15, max: 15, noNaN: true }),
      (x, y) => {
        const far = fromPolyline(cut.points, x, y) > spot;
        for (const shape of ink.shapes) {
          const rings = polygons(shape.path);
          // 64 chords to a curve lie within 0.005 of it.
          if (
            rings.some(
              (r) =>
                fromPolyline(
                  [...r, r[0]!].flatMap((p) => [p.x, p.y]),
                  x,
                  y,
                ) < 0.01,
            )
          )
            continue;
          const inside = evenOdd(rings, x, y);
          const [left, right] = turns.map((t) =>
            t.some((s) => s.id === shape.id && evenOdd(polygons(s.path), x, y)),
          );
          expect(left! || right!).toBe(inside);
          if (far && inside)
            expect([left, right]).toEqual(evenOdd(leftOf, x, y) ? [true, false] : [false, true]);
        }
      },
    ),
    { numRuns: 2000, seed: 11 },
  );
});

it("property: the turns' union is the ink, their sum is more by the overlap (areas by clipper2-ts)", () => {
  const shape = fc
    .record({
      x: fc.double({ min: -10, max: 10, noNaN: true }),
      y: fc.double({ min: 0, max: 20, noNaN: true }),
      r: fc.double({ min: 0.1, max: 5, noNaN: true }),
      round: fc.boolean(),
      hollow: fc.boolean(),
    })
    .map(({ x, y, r, round, hollow }): [Path<"flat">] => {
      const at = (s: number): Contour<"flat"> =>
        round ? circle(x, y, s) : rectangle(x - s, y - s, 2 * s, 2 * s);
      return [hollow ? pathOf(at(r), reversed(at(r / 2))) : pathOf(at(r))];
    });
  fc.assert(
    fc.property(
      fc.array(shape, { minLength: 1, maxLength: 8 }),
      fc.array(fc.double({ min: -1.5, max: 1.5, noNaN: true }), { minLength: 1, maxLength: 3 }),
      (shapes, at) => {
        const ink = inkOf(...shapes);
        const cuts = at.map((off, i) =>
          leastInkCut(
            ink.shapes.map((s) => s.path),
            [],
            { nominal: 6 * (i - 1) + off, from: 6 * (i - 1) - 2, to: 6 * (i - 1) + 2 },
            { top: ink.box.minY, bottom: ink.box.maxY },
            spot,
          ),
        );
        const { turns, overlapMm2, problems } = part(ink, ...cuts);
        expect(problems).toEqual([]);
        expect(Math.abs(areaOfAll(turns) - overlapMm2 - ink.areaMm2)).toBeLessThan(1e-6 * ink.areaMm2);
        for (const { id, path } of ink.shapes) {
          const pieces = turns.flat().filter((s) => s.id === id);
          const united = unionD(
            pieces.flatMap((s) => unionD(polygons(s.path), [], FillRule.EvenOdd, 6)),
            [],
            FillRule.NonZero,
            6,
          );
          const whole = unionD(polygons(path), [], FillRule.EvenOdd, 6);
          // Chords of a part of a curve and of the whole lie on its two sides: 1e-3 of the rim at most.
          const near = 1e-3 * whole.reduce((sum, r) => sum + perimeter(r), 0);
          expect(Math.abs(areaPathsD(united) - areaPathsD(whole))).toBeLessThan(near);
          expect(areaPathsD(intersectD(united, whole, FillRule.NonZero, 6))).toBeGreaterThan(
            areaPathsD(whole) - near,
          );
        }
        // Where no cut meets ink, nothing is shared.
        if (cuts.every((c) => c.inkMm === 0)) expect(overlapMm2).toBe(0);
      },
    ),
    { numRuns: 120, seed: 5 },
  );
});

const perimeter = (ring: PathsD[number]): number =>
  ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    return sum + Math.hypot(q.x - p.x, q.y - p.y);
  }, 0);

it("centre lines are cut where they cross, half a spot longer on each side", () => {
  const ink = inkOf(
    [pathOf(line(-10, 0, 10, 0)), "centre-line"],
    [pathOf(line(-10, 5, 5, 5), line(6, 1, 6, 9)), "centre-line"],
    [pathOf(circle(5, 20, 3)), "centre-line"],
    // Its corner lies on the cut.
    [
      new PathBuilder<"flat">().move(5, 30).line(8, 33).line(5, 36).line(2, 33).close().build(),
      "centre-line",
    ],
    // Back and forth over the cut within a spot: two of the three left stretches run into each other.
    [
      new PathBuilder<"flat">().move(0, 40).line(5.01, 40).line(4.99, 40.01).line(9, 40.01).build(),
      "centre-line",
    ],
  );
  const { turns, overlapMm2 } = part(ink, upright(5));
  expect(overlapMm2).toBe(0);
  const lengths = (id: string): number[] =>
    turns.map((t) => t.filter((s) => s.id === id).reduce((sum, s) => sum + s.lengthMm, 0));
  expect(lengths("s0")).toEqual([expect.closeTo(15 + spot / 2, 9), expect.closeTo(5 + spot / 2, 9)]);
  expect(lengths("s1")).toEqual([15, 8]);
  const half = ink.shapes[2]!.lengthMm / 2;
  expect(lengths("s2")).toEqual([expect.closeTo(half + spot, 9), expect.closeTo(half + spot, 9)]);
  expect(turns[0]!.find((s) => s.id === "s2")!.path.contours.length).toBe(1);
  expect(lengths("s3")).toEqual([
    expect.closeTo(6 * Math.SQRT2 + spot, 9),
    expect.closeTo(6 * Math.SQRT2 + spot, 9),
  ]);
  expect(turns[0]!.find((s) => s.id === "s4")!.path.contours.length).toBe(1);
  expect(turns[1]!.find((s) => s.id === "s4")!.path.contours.length).toBe(1);
});

/** A cone of radius 40 where the artwork is placed, widening by a tenth of the way along it, and its flat sheet. */
const height = Math.sqrt(100 ** 2 - 10 ** 2);
const sheet = sheetChart(coneOutline(70, 90, height, height / 2));
const onSheet = (x: number, y: number): [number, number] | null => {
  const out = new Float64Array(2);
  return sheet.from(x / 40, y, out) ? [out[0]!, out[1]!] : null;
};

it("on a cone's development a cut runs along its radius", () => {
  const ink = inkOf([pathOf(rectangle(-60, -5, 120, 20))]);
  const { turns, overlapMm2 } = partInk(ink, [cutAlong(30, -40, 30, 40)], spot, onSheet, new Effort());
  // The radius at kθ from the middle one through (0, −r/k): both edges of the strip are half a spot off.
  const [apex, turn] = [-40 / 0.1, 0.1 * (30 / 40)];
  expect(overlapMm2).toBeCloseTo((20 / Math.cos(turn)) * spot, 6);
  const [left, right] = [turns[0]![0]!, turns[1]![0]!];
  const edge = (b: number): number => (b - apex) * Math.tan(turn);
  expect(left.box.maxX).toBeCloseTo(edge(15) + spot / 2 / Math.cos(turn), 3);
  expect(right.box.minX).toBeCloseTo(edge(-5) - spot / 2 / Math.cos(turn), 3);
  expect(left.areaMm2 + right.areaMm2 - overlapMm2).toBeCloseTo(ink.areaMm2, 6);
});

it("a slanting cut becomes a curve there, followed within 1e-4; one that the flat does not show is refused", () => {
  const ink = inkOf([pathOf(rectangle(-60, -15, 120, 30))]);
  const { turns } = partInk(ink, [cutAlong(10, -40, 10, -10, 35, 10, 35, 40)], spot, onSheet, new Effort());
  const left = polygons(turns[0]![0]!.path);
  for (let t = 0.05; t < 1; t += 0.05) {
    // Half a spot beyond the cut, less and more by a hair, along its normal on the flat.
    const [x, y] = onSheet(10 + 25 * t, -10 + 20 * t)!;
    const [x2, y2] = onSheet(10 + 25 * (t + 1e-4), -10 + 20 * (t + 1e-4))!;
    const length = Math.hypot(x2 - x, y2 - y);
    const [nx, ny] = [(y2 - y) / length, -(x2 - x) / length];
    expect(evenOdd(left, x + nx * (spot / 2 - 5e-4), y + ny * (spot / 2 - 5e-4))).toBe(true);
    expect(evenOdd(left, x + nx * (spot / 2 + 5e-4), y + ny * (spot / 2 + 5e-4))).toBe(false);
  }
  expect(() => partInk(ink, [upright(0)], spot, () => null, new Effort())).toThrow(RangeError);
  expect(() => partInk(ink, [], 0, same, new Effort())).toThrow(RangeError);
});

it("no cut: one turn of the shapes as they are; a cut beside all ink: an empty turn", () => {
  const ink = inkOf([pathOf(rectangle(0, 0, 10, 7))]);
  expect(part(ink).turns).toEqual([ink.shapes]);
  expect(part(ink, upright(-3)).turns.map((t) => t.length)).toEqual([0, 1]);
  expect(part(ink, upright(10)).turns.map((t) => t.length)).toEqual([1, 0]);
  expect(part(ink, upright(0)).turns.map((t) => t.length)).toEqual([0, 1]);
});

it("two thousand letters of one shape, of which the cut meets some", () => {
  const letters = Array.from({ length: 2000 }, (_, i) => circle((i % 50) * 2, Math.floor(i / 50) * 2, 0.9));
  const ink = inkOf([pathOf(...letters)]);
  const { turns, overlapMm2 } = part(ink, upright(50.2));
  expect(Math.abs(areaOfAll(turns) - overlapMm2 - ink.areaMm2)).toBeLessThan(1e-6 * ink.areaMm2);
  expect(turns.flat().map((s) => s.path.contours.length)).toEqual([1040, 1000]);
});
