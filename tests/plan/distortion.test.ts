/**
 * The distortion of each fidelity against closed forms. A map's scale factors h, k are lengths of the map for lengths of
 * the globe (Snyder 1987, ch. 4); ours are lengths on the vessel for lengths of the flat, so 1/h and 1/k, and ω the same.
 */
import { describe, expect, it } from "vitest";
import { distortionOver, stretchesAt } from "../../src/plan/distortion.ts";
import { girthChart, sheetChart, sightChart, trueWidthChart } from "../../src/vessel/chart.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline } from "../../src/vessel/straight.ts";
import type { Surface } from "../../src/vessel/surface.ts";

const DEG = Math.PI / 180;
const ball = sphereOutline(40);
const cones = [coneOutline(64, 88, 100, 50), coneOutline(90, 66, 130, 60)];
const over = (surface: Surface, ...points: number[]) => distortionOver(surface, Float64Array.from(points));
/** Flat point of a longitude and latitude, degrees. */
const flatOf = ({ chart }: Surface, lon: number, lat: number): [a: number, b: number] => {
  const out = new Float64Array(2);
  chart.from(lon * DEG, -lat * DEG * 40, out);
  return [out[0]!, out[1]!];
};
const places = [
  [0, 0],
  [15, 50],
  [-70, 30],
  [40, -65],
  [88, -10],
] as const;

describe("true-width on a sphere is the sinusoidal projection (Snyder ch. 30; equations from memory)", () => {
  // k = 1, s = hk sin θ′ = 1, ω = 2 atan |½ λ sin φ|.
  const surface = revolved(ball, trueWidthChart(ball), 0);
  it.each(places)("at longitude %d, latitude %d", (lon, lat) => {
    const [p, q] = stretchesAt(surface, ...flatOf(surface, lon, lat));
    expect(Math.abs(p * q - 1)).toBeLessThan(1e-12);
    const omega = 2 * Math.atan(Math.abs(lon * DEG * Math.sin(lat * DEG)) / 2);
    // asin of a difference near 0 keeps half the digits.
    expect(Math.abs(2 * Math.asin((p - q) / (p + q)) - omega)).toBeLessThan(1e-7);
    const told = over(surface, ...flatOf(surface, lon, lat));
    expect(told.largestArea).toBeCloseTo(1, 12);
    expect(told.smallestArea).toBeCloseTo(1, 12);
    expect(told.angleDeg).toBeCloseTo(omega / DEG, 5);
  });
});

describe("girth on a sphere is the plate carrée (Snyder ch. 12: h = 1, k = 1/cos φ, sin ½ω = (k − 1)/(k + 1))", () => {
  const surface = revolved(ball, girthChart(ball, 0), 0.2);
  it.each(places)("at longitude %d, latitude %d", (lon, lat) => {
    const k = 1 / Math.cos(lat * DEG);
    const [p, q] = stretchesAt(surface, ...flatOf(surface, lon, lat));
    expect(Math.abs(p - 1)).toBeLessThan(1e-12);
    expect(Math.abs(q - 1 / k)).toBeLessThan(1e-12);
    expect(Math.abs((p - q) / (p + q) - (k - 1) / (k + 1))).toBeLessThan(1e-12);
  });

  it("at latitude 60 the widths are half and angles turn by up to 38.9424°", () => {
    const told = over(surface, ...flatOf(surface, 0, -60));
    expect(told.smallestStretch).toBeCloseTo(0.5, 12);
    expect(told.angleDeg).toBeCloseTo(38.9424, 4); // 2 asin(1/3)
  });
});

describe("sheet: nothing is stretched", () => {
  it.each(cones.map((cone) => [cone.slope!, cone] as const))("slope %d", (_, cone) => {
    for (const tilt of [0, 0.3]) {
      const surface = revolved(cone, sheetChart(cone), tilt);
      for (const [a, b] of [
        [0, 0],
        [40, 31],
        [-55, -29],
        [3, 20],
      ] as const) {
        const [p, q] = stretchesAt(surface, a, b);
        expect(Math.abs(p - 1)).toBeLessThan(1e-12);
        expect(Math.abs(q - 1)).toBeLessThan(1e-12);
      }
      const told = over(surface, 0, 0, 40, 31, -30, -29);
      expect(told.largestStretch).toBeCloseTo(1, 12);
      expect(told.smallestStretch).toBeCloseTo(1, 12);
      expect(told.largestArea).toBeCloseTo(1, 12);
      expect(told.angleDeg).toBeLessThan(1e-5);
    }
  });
});

it("girth on a cone: widths as the radii, heights kept, so areas as the radii too", () => {
  for (const cone of cones) {
    const surface = revolved(cone, girthChart(cone, 0), 0);
    for (const m of [-40, 0, 25, 45]) {
      const ratio = 1 + (cone.slope! * m) / cone.radius;
      const [p, q] = stretchesAt(surface, 17, m);
      expect(Math.abs(p - Math.max(1, ratio))).toBeLessThan(1e-12);
      expect(Math.abs(q - Math.min(1, ratio))).toBeLessThan(1e-12);
    }
  }
});

describe("sight from far", () => {
  it("on a cylinder widths grow by 1/cos θ, heights are kept", () => {
    const surface = cylinder(40, "sight");
    for (const deg of [0, 20, 45, 60]) {
      const [p, q] = stretchesAt(surface, 40 * Math.sin(deg * DEG), 12);
      expect(Math.abs(p - 1 / Math.cos(deg * DEG))).toBeLessThan(1e-12);
      expect(Math.abs(q - 1)).toBeLessThan(1e-12);
    }
  });

  it("on a sphere it is the orthographic projection (Snyder ch. 20: h′ = cos c, k′ = 1)", () => {
    const surface = revolved(ball, sightChart(ball, Infinity), 0);
    for (const [a, b] of [
      [0, 0],
      [20, -10],
      [-15, 30],
    ] as const) {
      const cos = Math.sqrt(1 - (a * a + b * b) / 1600);
      const [p, q] = stretchesAt(surface, a, b);
      expect(Math.abs(p - 1 / cos)).toBeLessThan(1e-12);
      expect(Math.abs(q - 1)).toBeLessThan(1e-12);
    }
  });
});

describe("over the ink", () => {
  const surface = revolved(ball, girthChart(ball, 0), 0);

  it("the largest and the least of all points are told, each by itself", () => {
    const told = over(
      surface,
      ...flatOf(surface, 0, 0),
      ...flatOf(surface, 10, 60),
      ...flatOf(surface, 10, -45),
    );
    expect(told.largestStretch).toBeCloseTo(1, 12);
    expect(told.smallestStretch).toBeCloseTo(0.5, 12);
    expect(told.largestArea).toBeCloseTo(1, 12);
    expect(told.smallestArea).toBeCloseTo(0.5, 12);
    expect(told.angleDeg).toBeCloseTo(38.9424, 4);
  });

  it("what does not face the lens or is not on the vessel does not count", () => {
    const seen = over(surface, ...flatOf(surface, 0, 30));
    expect(over(surface, ...flatOf(surface, 0, 30), ...flatOf(surface, 120, 70), 500, 0, 0, 500)).toEqual(
      seen,
    );
  });

  it("where nothing faces the lens nothing is distorted", () => {
    const none = {
      largestStretch: 1,
      smallestStretch: 1,
      largestArea: 1,
      smallestArea: 1,
      angleDeg: 0,
    };
    expect(over(surface)).toEqual(none);
    expect(over(surface, ...flatOf(surface, 150, 40))).toEqual(none);
  });
});
