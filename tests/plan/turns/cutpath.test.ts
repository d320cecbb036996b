/** The path of least ink between two turns. Lengths mm. */
import { FillRule, type PathD, unionD } from "clipper2-ts";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type Contour, type Path, PathBuilder } from "../../../src/geometry/path.ts";
import { type CutPath, type Freedom, leastInkCut } from "../../../src/plan/turns/cutpath.ts";
import { circle, line, rectangle } from "../../support/shapes.ts";

const spot = 0.08;
const pathOf = (...contours: Contour<"flat">[]): Path<"flat"> => ({ contours });

/** A bar of a width, leaning to the right at its top by so much, 20 high. */
const leaning = (x: number, width: number, lean: number): Path<"flat"> =>
  new PathBuilder<"flat">()
    .move(x + lean, 0)
    .line(x + lean + width, 0)
    .line(x + width, 20)
    .line(x, 20)
    .close()
    .build();

const polygon = (...xy: number[]): Path<"flat"> => {
  const b = new PathBuilder<"flat">().move(xy[0]!, xy[1]!);
  for (let i = 2; i < xy.length; i += 2) b.line(xy[i]!, xy[i + 1]!);
  return b.close().build();
};

const cut = (
  inks: readonly Path<"flat">[],
  freedom: Freedom,
  bottom = 20,
  lines: readonly Path<"flat">[] = [],
): CutPath => leastInkCut(inks, lines, freedom, { top: 0, bottom }, spot);

function expectWithin({ points: p }: CutPath, { from, to }: Freedom, bottom: number): void {
  for (let i = 0; i < p.length; i += 2) {
    expect(p[i]).toBeGreaterThanOrEqual(from);
    expect(p[i]).toBeLessThanOrEqual(to);
  }
  expect(p[1]).toBeLessThan(0);
  expect(p.at(-1)).toBeGreaterThan(bottom);
}

describe("a straight meridian where nothing is in the way", () => {
  it("is the nominal one where that keeps half a spot away from ink", () => {
    const { points, inkMm, straight } = cut(
      [pathOf(rectangle(-9, 0, 8, 20)), pathOf(rectangle(1, 0, 8, 20))],
      {
        nominal: 0.25,
        from: -4,
        to: 4,
      },
    );
    expect([...points]).toEqual([0.25, -spot, 0.25, 20 + spot]);
    expect([inkMm, straight]).toEqual([0, true]);
  });

  it("is moved by no more than it takes to keep half a spot away", () => {
    const letters = [pathOf(rectangle(-9, 0, 8.5, 20)), pathOf(circle(5, 10, 3))];
    expect(cut(letters, { nominal: -3, from: -6, to: 6 }).points[0]).toBeCloseTo(-0.5 + spot / 2, 12);
    expect(cut(letters, { nominal: 4, from: -6, to: 6 }).points[0]).toBeCloseTo(2 - spot / 2, 9);
  });

  it("takes the middle of a gap narrower than a spot, if there is no other", () => {
    const close = [pathOf(rectangle(-9, 0, 10, 20)), pathOf(rectangle(1.04, 0, 8, 20))];
    expect([...cut(close, { nominal: 0, from: -6, to: 6 }).points]).toEqual([1.02, -spot, 1.02, 20 + spot]);
    expect(
      cut([...close, pathOf(rectangle(9.5, 0, 3, 20))], { nominal: 0, from: -6, to: 9.5 }).points[0],
    ).toBeCloseTo(9.04 + spot / 2, 12);
  });

  it("is the nominal one where there is no ink, and where there is no freedom", () => {
    expect([...cut([], { nominal: 1, from: -6, to: 6 }).points]).toEqual([1, -spot, 1, 20 + spot]);
    const none = cut([pathOf(rectangle(-9, 5, 18, 10))], { nominal: 1, from: 1, to: 1 });
    expect([...none.points]).toEqual([1, -spot, 1, 20 + spot]);
    expect(none.inkMm).toBeCloseTo(10, 12);
    expect(none.straight).toBe(true);
  });
});

describe("between letters that interlock", () => {
  it.each([0.3, 1, 4])("steps through a gap of %f mm between slanting bars, in no ink", (gap) => {
    const bars = [0, 1, 2, 3].map((k) => leaning(k * (2 + gap) - 6, 2, 6));
    const freedom = { nominal: 2, from: -1.5, to: 6.5 };
    // Every meridian of the window meets a bar: bars and gaps lean by more than both are wide.
    const found = cut(bars, freedom);
    expect(found.inkMm).toBe(0);
    expect(found.straight).toBe(false);
    expectWithin(found, freedom, 20);
    // As short as it can be, nearly: one bar's lean.
    expect(found.points.length).toBeLessThanOrEqual(12);
  });

  it("goes around the arm of one letter into the mouth of the next", () => {
    // ⊐ and an I whose serif reaches into it.
    const letters = [
      polygon(-5, 0, 1, 0, 1, 3, -2, 3, -2, 17, 1, 17, 1, 20, -5, 20),
      polygon(-1, 8, 6, 8, 6, 12, -1, 12),
    ];
    const found = cut(letters, { nominal: 0, from: -1.9, to: 2 });
    expect(found.inkMm).toBe(0);
    expect(found.straight).toBe(false);
    // It keeps a spot away where there is room.
    for (let i = 0; i + 3 < found.points.length; i += 2) {
      for (let t = 0; t <= 1; t += 0.01) {
        const x = found.points[i]! + t * (found.points[i + 2]! - found.points[i]!);
        const y = found.points[i + 1]! + t * (found.points[i + 3]! - found.points[i + 1]!);
        const fromArm = Math.hypot(Math.max(0, x - 1), Math.max(0, y - 3, 0));
        const fromSerif = Math.hypot(Math.max(0, -1 - x), Math.max(0, 8 - y, y - 12));
        expect(Math.min(fromSerif, y < 6 ? fromArm : Infinity)).toBeGreaterThan(spot / 2);
      }
    }
  });
});

describe("where ink has to be crossed", () => {
  it("a bar is cut straight and at the nominal place", () => {
    const found = cut([pathOf(rectangle(-50, 5, 100, 7))], { nominal: 0.123, from: -5, to: 5 });
    expect([...found.points]).toEqual([0.123, -spot, 0.123, 20 + spot]);
    expect(found.straight).toBe(true);
    expect(found.inkMm).toBeCloseTo(7, 12);
  });

  it("a bar with a waist is cut there", () => {
    const waist = polygon(-50, 0, 1.3, 4, 50, 0, 50, 10, 1.3, 6, -50, 10);
    const found = cut([waist], { nominal: -2, from: -5, to: 5 });
    expect(found.straight).toBe(true);
    expect(found.points[0]).toBeCloseTo(1.3, 2);
    expect(found.inkMm).toBeCloseTo(2, 3);
  });

  it("a level stroke that joins slanting bars is crossed once, by one upright piece", () => {
    const bars = [0, 1, 2, 3].map((k) => leaning(k * 3 - 6, 2, 6));
    const join = pathOf(rectangle(-20, 9.5, 40, 1));
    const found = cut([...bars, join], { nominal: 2, from: -1.5, to: 6.5 });
    expect(found.inkMm).toBeCloseTo(1, 6);
    expect(found.straight).toBe(false);
    const crossing = piecesInside(found.points, join);
    expect(crossing.length).toBe(1);
    expect(crossing[0]![2]).toBe(crossing[0]![0]);
  });

  it("a slanting stroke is crossed at right angles", () => {
    // 1 wide, at 45°, over the whole window.
    const w = Math.SQRT1_2;
    const stroke = polygon(-30, -30 + w + 10, -30, -30 - w + 10, 30, 30 - w + 10, 30, 30 + w + 10);
    const found = cut([stroke], { nominal: 0, from: -3, to: 3 });
    expect(found.inkMm).toBeCloseTo(1, 3);
    expect(piecesInside(found.points, stroke).length).toBe(1);
  });

  it("a ring takes twice its width", () => {
    const hole = circle(0, 10, 9);
    const ring = pathOf(circle(0, 10, 10), {
      ...hole,
      points: hole.points.map((v, i) => (i % 2 ? 20 - v : v)),
    });
    expect(cut([ring], { nominal: 0.5, from: -3, to: 3 }).inkMm).toBeCloseTo(2, 3);
  });

  it("a centre line is as wide as the spot", () => {
    const found = cut([], { nominal: 0.5, from: -5, to: 5 }, 20, [
      pathOf(line(-20, 4, 20, 4), line(-20, 9, 20, 9)),
    ]);
    expect(found.inkMm).toBeCloseTo(2 * spot, 9);
    expect(found.straight).toBe(true);
  });

  it("ink that is all solid, a window narrower than a cell, a span of nothing", () => {
    const solid = pathOf(rectangle(-50, -50, 100, 150));
    expect(cut([solid], { nominal: 0, from: -6, to: 6 }).inkMm).toBeCloseTo(20 + 2 * spot, 9);
    const narrow = cut([solid], { nominal: 0, from: -1e-7, to: 1e-7 });
    expectWithin(narrow, { nominal: 0, from: -1e-7, to: 1e-7 }, 20);
    expect(narrow.inkMm).toBeCloseTo(20 + 2 * spot, 6);
    expect(cut([solid], { nominal: 0, from: -6, to: 6 }, 0).inkMm).toBeCloseTo(2 * spot, 9);
  });

  it("what is no freedom, no span or no spot is refused", () => {
    expect(() => cut([], { nominal: 3, from: -1, to: 1 })).toThrow(RangeError);
    expect(() => cut([], { nominal: Number.NaN, from: -1, to: 1 })).toThrow(RangeError);
    expect(() => cut([], { nominal: 0, from: -1, to: Infinity })).toThrow(RangeError);
    expect(() => cut([], { nominal: 0, from: -1, to: 1 }, -1)).toThrow(RangeError);
    expect(() => leastInkCut([], [], { nominal: 0, from: -1, to: 1 }, { top: 0, bottom: 1 }, 0)).toThrow(
      RangeError,
    );
  });
});

it("four thousand shapes that overlap: still the least ink, and the same path again", () => {
  const crowd = Array.from({ length: 4000 }, (_, i) =>
    pathOf(circle((((i * 7919) % 1000) / 1000) * 20 - 10, (((i * 104729) % 997) / 997) * 60, 0.4)),
  );
  const freedom = { nominal: 0.5, from: -5, to: 5 };
  const found = cut(crowd, freedom, 60);
  expectWithin(found, freedom, 60);
  for (let x = -5; x <= 5; x += 1) {
    expect(found.inkMm).toBeLessThan(cut(crowd, { nominal: x, from: x, to: x }, 60).inkMm);
  }
  expect(cut(crowd, freedom, 60)).toEqual(found);
});

/** In hundredths, so that no shape's edge lies on the window's, which are not. */
const hundredths = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 100 * min, max: 100 * max }).map((n) => n / 100);
const thing = fc.oneof(
  fc.record({ x: hundredths(-8, 6), y: hundredths(0, 16), w: hundredths(0.2, 8), h: hundredths(0.2, 4) }),
  fc.record({ x: hundredths(-6, 6), y: hundredths(3, 17), r: hundredths(0.2, 3) }),
);
type Thing = { x: number; y: number; r: number } | { x: number; y: number; w: number; h: number };
const contourOf = (t: Thing): Contour<"flat"> =>
  "r" in t ? circle(t.x, t.y, t.r) : rectangle(t.x, t.y, t.w, t.h);

it("property: never more ink than the best straight meridian; within the window, from above to below; mirrored alike", () => {
  fc.assert(
    fc.property(
      fc.array(thing, { minLength: 1, maxLength: 12 }),
      hundredths(-2, 2).map((x) => x + 0.0037),
      hundredths(0, 2),
      (things, nominal, free) => {
        const inks = things.map((t) => pathOf(contourOf(t)));
        const freedom = { nominal, from: nominal - free, to: nominal + free };
        const found = cut(inks, freedom);
        expectWithin(found, freedom, 20);
        // Measured anew, by clipping the path with a program of others.
        // Where a path only grazes a circle, chords of 1e-4 know its length inside to some hundredths.
        expect(Math.abs(found.inkMm - inkByUnion(inks, found.points))).toBeLessThan(0.05);
        for (let k = 0; k <= 20; k++) {
          const x = freedom.from + ((freedom.to - freedom.from) * k) / 20;
          // As exact as a column is narrow: half a raster step to either side, at ends that slant.
          expect(found.inkMm).toBeLessThanOrEqual(cut(inks, { nominal: x, from: x, to: x }).inkMm + spot);
        }
        const mirrored = things.map((t) => pathOf(contourOf({ ...t, x: "r" in t ? -t.x : -t.x - t.w })));
        const other = cut(mirrored, { nominal: -nominal, from: -freedom.to, to: -freedom.from });
        expect(Math.abs(other.inkMm - found.inkMm)).toBeLessThan(0.1 + 0.02 * found.inkMm);
        expect(cut(inks, freedom)).toEqual(found);
      },
    ),
    { numRuns: 60, seed: 7 },
  );
});

/** Pieces of a polyline with more than a hair of their middle inside a polygon. */
function piecesInside(points: Float64Array, path: Path<"flat">): number[][] {
  const found: number[][] = [];
  for (let i = 0; i + 3 < points.length; i += 2) {
    const piece = Array.from(points.subarray(i, i + 4));
    if (inkByUnion([path], Float64Array.from(piece)) > 1e-4) found.push(piece);
  }
  return found;
}

/** Length of a polyline inside the union of paths (clipper2-ts), by where its pieces cross the union's edges. */
function inkByUnion(inks: readonly Path<"flat">[], points: Float64Array): number {
  const rings: PathD[] = inks.flatMap(({ contours }) =>
    contours.map(({ points: p, straight }) => {
      const ring: PathD = [];
      for (let k = 0; k < straight.length; k++) {
        for (let t = 0; t < 1; t += straight[k] ? 1 : 1 / 64) {
          const at = (c: number): number =>
            (1 - t) ** 3 * p[6 * k + c]! +
            3 * (1 - t) ** 2 * t * p[6 * k + 2 + c]! +
            3 * (1 - t) * t * t * p[6 * k + 4 + c]! +
            t ** 3 * p[6 * k + 6 + c]!;
          ring.push({ x: at(0), y: at(1) });
        }
      }
      return ring;
    }),
  );
  const united = unionD(rings, [], FillRule.EvenOdd, 6);
  const all = rings.length > 1 ? unionD(rings, [], FillRule.NonZero, 6) : united;
  let sum = 0;
  for (let i = 0; i + 3 < points.length; i += 2) {
    const [x0, y0, x1, y1] = Array.from(points.subarray(i, i + 4)) as [number, number, number, number];
    const ts = [0, 1];
    for (const ring of all) {
      ring.forEach((a, j) => {
        const b = ring[(j + 1) % ring.length]!;
        const det = (x1 - x0) * (b.y - a.y) - (y1 - y0) * (b.x - a.x);
        if (det === 0) return;
        const t = ((a.x - x0) * (b.y - a.y) - (a.y - y0) * (b.x - a.x)) / det;
        if (t > 0 && t < 1) ts.push(t);
      });
    }
    ts.sort((a, b) => a - b);
    for (let k = 0; k + 1 < ts.length; k++) {
      const t = (ts[k]! + ts[k + 1]!) / 2;
      const length = Math.hypot(x1 - x0, y1 - y0);
      // Inside, and not along an edge: a hair to either side is inside, too.
      const inside = [1e-7, -1e-7].every((hair) =>
        evenOdd(
          all,
          x0 + t * (x1 - x0) + (hair * (y1 - y0)) / length,
          y0 + t * (y1 - y0) - (hair * (x1 - x0)) / length,
        ),
      );
      if (inside) sum += (ts[k + 1]! - ts[k]!) * length;
    }
  }
  return sum;
}

/** By the winding angle's parity: a ray to the right. */
function evenOdd(rings: readonly PathD[], x: number, y: number): boolean {
  let odd = false;
  for (const ring of rings) {
    ring.forEach((a, i) => {
      const b = ring[(i + 1) % ring.length]!;
      if (a.y > y !== b.y > y && a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x) > x) odd = !odd;
    });
  }
  return odd;
}
