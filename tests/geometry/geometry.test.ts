/** Roots, quadrature, areas, bounds: closed forms, and clipper2-ts and SciPy's kind of numbers as references. */
import fc from "fast-check";
import { expect, it } from "vitest";
import { contourLength, cubicBounds, evalCubic, subCubic, walkContour } from "../../src/geometry/cubic.ts";
import { PathBuilder, pathBounds, signedArea, transformPath } from "../../src/geometry/path.ts";
import { gaussLegendre } from "../../src/geometry/quadrature.ts";
import { bracketRoot, maximise, PolynomialRoots } from "../../src/geometry/roots.ts";
import { circle, glyph, rectangle } from "../support/shapes.ts";

it("Gauss–Legendre nodes on [−1, 1]: Abramowitz & Stegun table 25.4, n = 8 and n = 2 (from memory)", () => {
  const eight = gaussLegendre(8);
  expect(2 * eight.nodes[7]! - 1).toBeCloseTo(0.960289856497536, 14);
  expect(2 * eight.weights[7]!).toBeCloseTo(0.101228536290376, 14);
  expect(2 * gaussLegendre(2).nodes[1]! - 1).toBeCloseTo(1 / Math.sqrt(3), 14);
});

it("is exact to degree 2n − 1 and not beyond", () => {
  const { nodes, weights } = gaussLegendre(4);
  const integral = (degree: number): number =>
    nodes.reduce((sum, x, i) => sum + weights[i]! * x ** degree, 0);
  for (let degree = 0; degree < 8; degree++) expect(integral(degree)).toBeCloseTo(1 / (degree + 1), 14);
  expect(Math.abs(integral(8) - 1 / 9)).toBeGreaterThan(1e-6);
});

it("roots stay in their bracket, and no root is said", () => {
  expect(bracketRoot((x) => Math.cos(x) - x, 0, 1)).toBeCloseTo(0.7390851332151607, 13);
  expect(bracketRoot((x) => x ** 9, -1, 2)).toBeCloseTo(0, 1);
  expect(bracketRoot((x) => x * x + 1, -1, 1)).toBeNull();
  expect(bracketRoot(() => Number.NaN, -1, 1)).toBeNull();
  expect(bracketRoot((x) => x, 0, 1)).toBe(0);
});

it("finds a hump, also at an end", () => {
  expect(maximise((x) => -((x - 0.3) ** 2), 0, 1)).toBeCloseTo(0.3, 6);
  expect(maximise((x) => x, 0, 1)).toBe(1);
  expect(maximise((x) => -x, 0, 1)).toBe(0);
});

it("polynomial roots are those it was made of", () => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: 0.05, max: 3.9, noNaN: true }), { minLength: 1, maxLength: 4 }),
      (roots) => {
        const sorted = [...roots].sort((a, b) => a - b);
        fc.pre(sorted.every((r, i) => i === 0 || r - sorted[i - 1]! > 0.05));
        let c = [1];
        for (const r of sorted) {
          const next = [0, ...c];
          c.forEach((v, i) => {
            next[i]! -= r * v;
          });
          c = next;
        }
        const out = new Float64Array(8);
        const n = new PolynomialRoots(4).find(c, sorted.length, 0, 4, out);
        expect(n).toBe(sorted.length);
        for (let i = 0; i < n; i++) expect(out[i]).toBeCloseTo(sorted[i]!, 8);
      },
    ),
    { seed: 7, numRuns: 300 },
  );
});

it("areas and lengths in closed form", () => {
  expect(signedArea(rectangle(3, -2, 5, 7))).toBeCloseTo(35, 12);
  expect(contourLength(rectangle(3, -2, 5, 7))).toBeCloseTo(24, 12);
  expect(Math.abs(signedArea(circle(4, 9, 10, 24)))).toBeCloseTo(100 * Math.PI, 5);
  expect(contourLength(circle(4, 9, 10, 24))).toBeCloseTo(20 * Math.PI, 6);
});

it("area keeps under a turn and goes with the determinant", () => {
  const whole = signedArea(glyph());
  const m = { a: 2, b: 0.5, c: -1, d: 3, e: 10, f: -4 };
  const moved = transformPath<"flat", "flat">({ contours: [glyph()] }, m);
  expect(signedArea(moved.contours[0]!)).toBeCloseTo(whole * (2 * 3 + 0.5), 8);
});

it("bounds are the curve's, not the arms'", () => {
  expect(pathBounds({ contours: [circle(1, 2, 3)] })).toMatchObject({ minX: -2, maxY: 5 });
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  // y = 3 t (1 − t): highest ¾ at t = ½, the arms at 1.
  cubicBounds(Float64Array.of(0, 0, 1, 1, 2, 1, 3, 0), box);
  expect(box).toEqual({ minX: 0, minY: 0, maxX: 3, maxY: 0.75 });
});

it("a part of a cubic runs along the whole", () => {
  const c = Float64Array.of(0, 0, 5, 9, -3, 4, 8, 1);
  const part = subCubic(c, 0, 0.2, 0.7);
  const a = new Float64Array(4);
  const b = new Float64Array(4);
  for (const t of [0, 0.25, 0.5, 1]) {
    evalCubic(part, 0, t, a);
    evalCubic(c, 0, 0.2 + 0.5 * t, b);
    expect(a[0]).toBeCloseTo(b[0]!, 12);
    expect(a[1]).toBeCloseTo(b[1]!, 12);
  }
});

it("walks a contour: corners kept, straight pieces in even steps, curves by chords within the tolerance", () => {
  const contour = new PathBuilder<"flat">().move(0, 0).line(10, 0).cubic(12, 0, 14, 2, 14, 4).close().build()
    .contours[0]!;
  const walked = (step: number): number[][] => {
    const points: number[][] = [];
    walkContour(contour, 0.01, step, (x, y) => points.push([x, y]));
    return points;
  };
  const [coarse, fine] = [walked(Infinity), walked(1)];
  expect(coarse.slice(0, 2)).toEqual([
    [0, 0],
    [10, 0],
  ]);
  expect(coarse.at(-1)).toEqual([0, 0]);
  expect(fine.slice(0, 11)).toEqual(Array.from({ length: 11 }, (_, i) => [i, 0]));
  for (const [i, [x, y]] of fine.entries())
    if (i > 0) expect(Math.hypot(x! - fine[i - 1]![0]!, y! - fine[i - 1]![1]!)).toBeLessThan(1.2);
});
