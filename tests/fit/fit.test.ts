/**
 * The fitter's contract over decades of tolerance: what the certificate says, and what plain sampling measures in
 * both directions, stays below what was asked. Node counts are recorded and may only fall.
 */
import { describe, expect, it } from "vitest";
import { CertifiedFitter, decimalsFor } from "../../src/fit/certified.ts";
import { Certifier } from "../../src/fit/certify.ts";
import { Fitter } from "../../src/fit/fit.ts";
import type { MappedCurve } from "../../src/geometry/curve.ts";
import type { Contour } from "../../src/geometry/path.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { mapContour, Warp } from "../../src/warp/warp.ts";
import { sampledError } from "../support/sampling.ts";
import { circle, cusp, flourish, glyph, line, rectangle } from "../support/shapes.ts";

const warp = new Warp(cylinder(40, "girth"), {
  pivotAcross: 545,
  pivotAlong: 531,
  field: 300,
  belowCrown: 6,
});
const short = new Warp(cylinder(40, "sight"), {
  pivotAcross: 128,
  pivotAlong: 114,
  field: 70,
  belowCrown: 1,
});

const shapes: Record<string, Contour<"flat">> = {
  "line across": line(-28, 20, 28, 20),
  "slanting line": line(-28, -30, 26, 25),
  "circle of four arcs": circle(5, 2, 20),
  "circle of twelve arcs": circle(5, 2, 20, 12),
  rectangle: rectangle(-25, -20, 50, 40),
  glyph: glyph(),
  flourish: flourish(),
  cusp: cusp(),
  "tiny circle": circle(24, 3, 0.05),
};

/** Segments at 1e-1, 1e-2, 2e-3, 1e-3, 1e-4 mm under the long lens: may only fall. */
const tolerances = [1e-1, 1e-2, 2e-3, 1e-3, 1e-4];
const recorded: Record<string, number[]> = {
  "line across": [1, 1, 1, 1, 2],
  "slanting line": [1, 1, 1, 1, 2],
  "circle of four arcs": [4, 6, 8, 8, 8],
  "circle of twelve arcs": [3, 5, 5, 7, 12],
  rectangle: [4, 4, 4, 4, 6],
  glyph: [9, 9, 10, 11, 14],
  flourish: [4, 5, 6, 7, 10],
  cusp: [1, 4, 4, 4, 8],
  "tiny circle": [4, 4, 4, 4, 4],
};

describe.each(Object.entries(shapes))("%s", (name, contour) => {
  it.each(tolerances)("within %d mm", (tolerance) => {
    for (const map of [warp, short]) {
      const curve = mapContour(contour, map);
      const { contour: fitted, errorMm } = new CertifiedFitter(tolerance).fit(curve);
      expect(errorMm).toBeLessThanOrEqual(tolerance);
      const sampled = sampledError(curve, fitted);
      expect(sampled).toBeLessThanOrEqual(tolerance);
      // The certificate is a bound: sampling never finds more than it says (bounds below half the tolerance are loose).
      expect(sampled).toBeLessThanOrEqual(errorMm + 0.02 * tolerance);
    }
  });

  it("takes no more segments than it ever did", () => {
    const counts = tolerances.map(
      (tolerance) => new CertifiedFitter(tolerance).fit(mapContour(contour, warp)).contour.straight.length,
    );
    counts.forEach((count, i) => {
      expect(count).toBeLessThanOrEqual(recorded[name]![i]!);
    });
  });
});

it("keeps closed contours closed to the last digit and takes no longer path than asked", () => {
  const { contour } = new CertifiedFitter(0.002).fit(mapContour(circle(5, 2, 20), warp));
  const p = contour.points;
  expect([p.at(-2), p.at(-1)]).toEqual([p[0], p[1]]);
  expect(contour.closed).toBe(true);
});

it("a line along the axis stays one straight segment; across it, it is bent", () => {
  const fitter = new CertifiedFitter(0.002);
  expect(Array.from(fitter.fit(mapContour(line(20, -40, 20, 40), warp)).contour.straight)).toEqual([1]);
  expect(Array.from(fitter.fit(mapContour(line(-28, 20, 28, 20), warp)).contour.straight)).toEqual([0]);
});

it("an affine map adds no segment and moves the arms with the ends", () => {
  for (const contour of [glyph(), flourish(), cusp(), rectangle(0, 0, 5, 8)]) {
    const moved: MappedCurve<"command"> = affine(contour, [1.3, 0.2, -0.4, 0.9]);
    const { contour: fitted } = new Fitter().fit(moved, { tolerance: 1e-9 });
    expect(fitted.straight).toEqual(contour.straight);
    for (let i = 0; i < contour.points.length; i += 2) {
      expect(fitted.points[i]).toBeCloseTo(1.3 * contour.points[i]! - 0.4 * contour.points[i + 1]!, 9);
      expect(fitted.points[i + 1]).toBeCloseTo(0.2 * contour.points[i]! + 0.9 * contour.points[i + 1]!, 9);
    }
  }
});

it("twelve smooth arcs come back as few: pieces that join smoothly share a cubic", () => {
  const { contour } = new CertifiedFitter(0.002).fit(mapContour(circle(0, 0, 5, 12), warp));
  expect(contour.straight.length).toBeLessThanOrEqual(5);
});

it("the certificate sees a bump that the fitter's own samples would miss, and a wrong claim of breaks", () => {
  const contour = circle(0, 0, 20);
  const curve = mapContour(contour, warp);
  const { contour: fitted, breaks } = new Fitter().fit(curve, { tolerance: 1e-4 });
  const honest = new Certifier().certify(curve, fitted, breaks);
  expect(honest).toBeLessThan(2e-4);
  const bumped = { ...fitted, points: fitted.points.slice() };
  bumped.points[2]! += 0.05;
  const sampled = sampledError(curve, bumped);
  const bound = new Certifier().certify(curve, bumped, breaks);
  expect(bound).toBeGreaterThanOrEqual(sampled * 0.999);
  expect(bound).toBeLessThan(sampled * 1.2);
  const shifted = breaks.map((b, i) => (i === 1 ? b + 0.1 : b));
  expect(new Certifier().certify(curve, fitted, shifted)).toBeGreaterThan(0.1);
});

it("writes four decimals at the default and more only where the tolerance needs them", () => {
  expect([1e-1, 2e-3, 1e-3, 1e-4].map(decimalsFor)).toEqual([4, 4, 5, 6]);
});

function affine(
  contour: Contour<"flat">,
  [a, b, c, d]: [number, number, number, number],
): MappedCurve<"command"> {
  const p = contour.points;
  return {
    pieces: contour.straight.length,
    closed: contour.closed,
    straight: contour.straight,
    at(k, t, out) {
      const s = 1 - t;
      const w = [s ** 3, 3 * s * s * t, 3 * s * t * t, t ** 3];
      const v = [-3 * s * s, 3 * s * s - 6 * s * t, 6 * s * t - 3 * t * t, 3 * t * t];
      let x = 0;
      let y = 0;
      let dx = 0;
      let dy = 0;
      for (let j = 0; j < 4; j++) {
        x += w[j]! * p[6 * k + 2 * j]!;
        y += w[j]! * p[6 * k + 2 * j + 1]!;
        dx += v[j]! * p[6 * k + 2 * j]!;
        dy += v[j]! * p[6 * k + 2 * j + 1]!;
      }
      out.set([a * x + c * y, b * x + d * y, a * dx + c * dy, b * dx + d * dy, 1]);
    },
  };
}
