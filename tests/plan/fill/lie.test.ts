/** How lines lie: against differences of points in space and in the command plane, and on a sphere against Snyder. */
import { describe, expect, it } from "vitest";
import { directions } from "../../../src/geometry/rows.ts";
import type { ScanHead } from "../../../src/head/scanhead.ts";
import { isAlong, Lying } from "../../../src/plan/fill/lie.ts";
import { girthChart } from "../../../src/vessel/chart.ts";
import { revolved } from "../../../src/vessel/revolved.ts";
import { sphereOutline } from "../../../src/vessel/sphere.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { atPoint, flatPlaces, posed } from "../../support/surfaces.ts";

const DEG = Math.PI / 180;
const head: ScanHead = { pivotAcross: 545, pivotAlong: 531, field: 1000, belowCrown: 3 };

it.each([90, -90, 270, -270, 450])("%d° runs along the axis", (angle) => expect(isAlong(angle)).toBe(true));
it.each([0, 180, 89.999, -360, 45, 90.0001])("%d° does not", (angle) => expect(isAlong(angle)).toBe(false));

/** Change per mm of a curve of points, by five of them. */
function change(at: (step: number) => readonly number[]): number[] {
  const h = 5e-4;
  const [p2, p1, m1, m2] = [at(2 * h), at(h), at(-h), at(-2 * h)];
  return p1!.map((_, k) => (8 * (p1![k]! - m1![k]!) - (p2![k]! - m2![k]!)) / (12 * h));
}

describe.each(posed.map((p) => [p.name, p.surface] as const))("%s", (_, surface) => {
  const warp = new Warp(surface, head);
  const space = (a: number, b: number): number[] => [...atPoint(surface, a, b).subarray(0, 3)];
  /** Inside with its neighbours: the differences need them. */
  const places = flatPlaces(surface, 0.9).filter(([a, b]) =>
    [-0.005, 0, 0.005].every((e) =>
      [-0.005, 0, 0.005].every((f) => typeof warp.forward({ x: a + e, y: b + f }) !== "string"),
    ),
  );

  it("along, stretch and area against differences", () => {
    expect(places.length).toBeGreaterThan(10);
    for (const angle of [0, 90, 33, -120]) {
      const lying = new Lying(warp, angle);
      const [x, y] = [Math.cos(angle * DEG), Math.sin(angle * DEG)];
      for (const [a, b] of places) {
        const { along, stretch, area } = lying.at(a, b);
        const command = change((e) => {
          const p = warp.forward({ x: a + e * x, y: b + e * y });
          if (typeof p === "string") throw new Error(p);
          return [p.x, p.y];
        });
        const surfaceWay = change((e) => space(a + e * x, b + e * y));
        const [ra, rb] = [change((e) => space(a + e, b)), change((e) => space(a, b + e))];
        const cross = Math.hypot(
          ra[1]! * rb[2]! - ra[2]! * rb[1]!,
          ra[2]! * rb[0]! - ra[0]! * rb[2]!,
          ra[0]! * rb[1]! - ra[1]! * rb[0]!,
        );
        // Rounding of the difference: 1e-13 mm over 5e-4 mm; sight bends fast at its edge.
        expect(Math.abs(along - Math.hypot(...command))).toBeLessThan(1e-6);
        expect(Math.abs(stretch / Math.hypot(...surfaceWay) - 1)).toBeLessThan(1e-6);
        expect(Math.abs(area / cross - 1)).toBeLessThan(1e-6);
      }
    }
  });

  it("lines a distance h apart on the flat lie h·area/stretch apart on the vessel", () => {
    const h = 1e-5;
    for (const angle of [0, 90, 33]) {
      const lying = new Lying(warp, angle);
      const [cos, sin, px, py] = directions(angle);
      for (const [a, b] of places) {
        const { stretch, area } = lying.at(a, b);
        // The neighbour's point, less what of the way to it runs along the line.
        const [here, there] = [
          space(a - (h * px) / 2, b - (h * py) / 2),
          space(a + (h * px) / 2, b + (h * py) / 2),
        ];
        const way = change((e) => space(a + e * cos, b + e * sin));
        const length = Math.hypot(...way);
        const to = there.map((v, k) => v - here[k]!);
        const beside = to.reduce((sum, v, k) => sum + (v * way[k]!) / length, 0);
        const apart = Math.hypot(...to.map((v, k) => v - (beside * way[k]!) / length));
        expect(Math.abs(apart / h / (area / stretch) - 1)).toBeLessThan(1e-5);
      }
    }
  });
});

describe("on a sphere: pulses along meridians and parallels by h′ and k′ (Snyder, PP 1395, 1987, eq. 23-2, 23-3)", () => {
  const [R, H] = [45, 400];
  const P = 1 + H / R;
  const outline = sphereOutline(R);
  const warp = new Warp(revolved(outline, girthChart(outline, 0), 0), {
    pivotAcross: H,
    pivotAlong: H,
    field: 1000,
    belowCrown: 0,
  });
  /** Scales of the projection at the distance c from the crown: along the way from there, and across it. */
  const scales = (c: number): [number, number] => [
    ((P - 1) * (P * Math.cos(c) - 1)) / (P - Math.cos(c)) ** 2,
    (P - 1) / (P - Math.cos(c)),
  ];

  it.each([
    [0, 25],
    [0, -40],
    [30, 0],
    [-50, 0],
    [20, 30],
    [-35, 25],
    [50, -20],
    [62, 33],
  ])("at %d° around and %d° along", (longitude, latitude) => {
    const [lon, lat] = [longitude * DEG, latitude * DEG];
    const c = Math.acos(Math.cos(lon) * Math.cos(lat));
    const [h, k] = scales(c);
    // The azimuth of the crown from there against the meridian: sin = cos φ₁ sin λ / sin c (Snyder 5-4b, φ₁ = 0).
    const sin = Math.sin(lon) / Math.sin(c);
    const cos = Math.sqrt(Math.max(0, 1 - sin * sin));
    const lied = ([90, 0] as const).map((angle) => ({ ...new Lying(warp, angle).at(R * lon, R * lat) }));
    const [meridian, parallel] = lied as [(typeof lied)[0], (typeof lied)[0]];
    // A set with pitch p on the vessel has p·stretch/area on the flat and along/(area·p·stretch/area) of pulses.
    expect(meridian.along / meridian.stretch).toBeCloseTo(Math.hypot(h * cos, k * sin), 10);
    expect(parallel.along / parallel.stretch).toBeCloseTo(Math.hypot(h * sin, k * cos), 10);
    // On the sphere a degree of a parallel is cos φ of one on the equator.
    expect(meridian.stretch).toBeCloseTo(1, 12);
    expect(parallel.stretch).toBeCloseTo(Math.cos(lat), 12);
    expect(meridian.area).toBeCloseTo(Math.cos(lat), 12);
  });

  it("on the crown's own meridian and parallel they are h′ and k′, and their product is J", () => {
    for (const deg of [10, 20, 40, 60]) {
      const [h, k] = scales(deg * DEG);
      for (const [a, b, angle] of [
        [R * deg * DEG, 0, 0],
        [0, R * deg * DEG, 90],
      ] as const) {
        const [radial, tangent] = [angle, 90 - angle].map((of) => {
          const { along, stretch } = new Lying(warp, of).at(a, b);
          return along / stretch;
        });
        expect(radial).toBeCloseTo(h, 11);
        expect(tangent).toBeCloseTo(k, 11);
        expect(radial! * tangent!).toBeCloseTo(warp.meetingUnchecked(a, b).areaRatio, 11);
      }
    }
  });
});
