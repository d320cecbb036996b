/**
 * The map of the lying cylinder against numbers from outside the project.
 *
 * A cylinder of radius R under one pivot H above the crown, focused on the crown, is the equator row of the
 * Vertical Perspective projection (Snyder, USGS PP 1395, 1987, eq. 23-1…23-5) of a sphere of radius R from
 * height H: longitude = θ. PROJ calls it `nsper`, d3-geo-projection `geoSatelliteRaw(1 + H/R)`.
 */
import { geoSatelliteRaw } from "d3-geo-projection";
import { describe, expect, it } from "vitest";
import { pivotFromSquares } from "../../src/head/scanhead.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";

const DEG = Math.PI / 180;
const warpOf = (radius: number, pivot: number, belowCrown = 0): Warp =>
  new Warp(cylinder(radius, "girth"), { pivotAcross: pivot, pivotAlong: pivot, field: 1000, belowCrown });
const meet = (warp: Warp, a: number, b: number) => {
  const m = warp.meeting(a, b);
  if (typeof m === "string") throw new Error(m);
  return m;
};

describe("cylinder R = 40 mm under a pivot at H = 160 mm", () => {
  const warp = warpOf(40, 160);
  // x: PROJ 9.1.1 `+proj=nsper +R=40 +h=160`, equator row; k′, incidence, drop: mpmath 1.2.1 from Snyder 23-3.
  it.each([
    // θ deg, x mm, k′, incidence deg, drop mm
    [0, 0, 1, 0, 0],
    [5, 3.4829163228739, 0.999049578682949, 6.24703058964111, 0.152212076330179],
    [10, 6.91964586441714, 0.996216308945309, 12.4763725059582, 0.607689879511678],
    [20, 13.4776059596501, 0.985147090212228, 24.8149453749428, 2.41229516856366],
    [30, 19.3518363836188, 0.967591819180938, 36.8963679322288, 5.35898384862245],
    [40, 24.290764550587, 0.944743029600111, 48.6325695457824, 9.35822227524088],
    [50, 28.1297076937346, 0.918018136754687, 59.9713072352135, 14.2884956125384],
    [60, 30.79201435678, 0.888888888888889, 70.8933946491309, 20],
    [70, 32.2781171134329, 0.85874136923724, 81.4056632258823, 26.3191942669733],
    [78, 32.6587504277683, 0.834709158496829, 89.5365764766223, 31.6835323672896],
  ])("θ = %d°", (deg, x, k, incidence, drop) => {
    const m = meet(warp, 40 * deg * DEG, 0);
    expect(Math.abs(m.u - x)).toBeLessThan(1e-9); // mm
    expect(Math.abs(m.drop - drop)).toBeLessThan(1e-9);
    expect(Math.abs(Math.acos(m.cosIncidence) / DEG - incidence)).toBeLessThan(1e-6); // 90° end of acos
    expect(Math.abs(meet(warp, 40 * deg * DEG, 10).v - 10 * k)).toBeLessThan(1e-9);
  });

  // Areal scale h′k′ (Snyder 23-2, 23-3; PROJ 9.1.1 `proj -S` prints the same to 6 digits): what a raster is stretched by.
  it.each([
    [10, 0.969916258685292],
    [20, 0.884024977669813],
    [30, 0.754184097874346],
    [40, 0.596625255398415],
    [50, 0.42821241739496],
    [60, 0.263374485596708],
    [70, 0.112420914884737],
  ])("area ratio at θ = %d°", (deg, ratio) => {
    expect(Math.abs(meet(warp, 40 * deg * DEG, 0).areaRatio - ratio)).toBeLessThan(1e-12);
  });

  it("loses sight of the surface at the horizon, cos θ = 1/P (Snyder ch. 23), and says so", () => {
    const horizon = Math.acos(1 / 5);
    expect(horizon / DEG).toBeCloseTo(78.46304096718453, 12); // mpmath 1.2.1
    expect(warp.failureAt(40 * (horizon - 1e-9), 0)).toBeNull();
    expect(warp.failureAt(40 * (horizon + 1e-9), 0)).toBe("over-horizon");
    // The map's edge: R √((P − 1)/(P + 1)).
    expect(meet(warp, 40 * (horizon - 1e-9), 0).u).toBeCloseTo(32.65986323710904, 9);
  });

  it("comes back: PROJ 9.1.1 `proj -I` on (20, 0)", () => {
    const flat = warp.inverse({ x: 20, y: 0 });
    if (typeof flat === "string") throw new Error(flat);
    expect(flat.x / 40 / DEG).toBeCloseTo(31.203801752554, 10);
  });
});

it("R = 36.5, H = 200: PROJ 9.1.1 and d3-geo-projection 4.0.0 agree to 8.9e-16 mm; tolerance 1e-9 mm", () => {
  const warp = warpOf(36.5, 200);
  const rows: [number, number][] = [
    [5, 3.178976913827265],
    [15, 9.388512337690598],
    [25, 15.166241584150585],
    [35, 20.26664435759543],
    [45, 24.499808922364558],
    [60, 28.96671453666163],
    [75, 31.055547716257056],
  ];
  for (const [deg, x] of rows) expect(Math.abs(meet(warp, 36.5 * deg * DEG, 0).u - x)).toBeLessThan(1e-9);
  const back = warp.inverse({ x: 20, y: 0 });
  if (typeof back === "string") throw new Error(back);
  expect(back.x / 36.5 / DEG).toBeCloseTo(34.43480994773, 10); // PROJ 9.1.1 `proj -I`
});

it("Snyder, PP 1395, table 27, equator row (R = 1, P = 6.62): four decimals", () => {
  const warp = warpOf(1, 5.62);
  const row = [0, 0.1732, 0.3384, 0.4884, 0.6171, 0.7203, 0.7953, 0.8412, 0.8586];
  for (const [i, x] of row.entries())
    expect(Math.abs(meet(warp, i * 10 * DEG, 0).u - x)).toBeLessThanOrEqual(5e-5);
});

it("d3-geo-projection's geoSatelliteRaw(1 + H/R) on the equator, and its scale along the meridian", () => {
  for (const [radius, height] of [
    [40, 160],
    [36.5, 200],
    [41, 545],
  ] as const) {
    const raw = geoSatelliteRaw(1 + height / radius, 0);
    const warp = warpOf(radius, height);
    for (let deg = -60; deg <= 60; deg += 7.5) {
      const m = meet(warp, radius * deg * DEG, 0);
      expect(Math.abs(m.u - radius * raw(deg * DEG, 0)[0])).toBeLessThan(1e-9);
      // On the cylinder v = b·k′, on the sphere y ≈ R φ·k′ near the equator.
      const k = (raw(deg * DEG, 1e-6)[1] * radius) / (radius * 1e-6);
      expect(meet(warp, radius * deg * DEG, 1).v).toBeCloseTo(k, 9);
    }
  }
});

it("telecentric: the orthographic row, x = R sin θ (Snyder eq. 20-3, table 22: .6428 at 40°, .9848 at 80°)", () => {
  const warp = warpOf(1, Infinity);
  expect(meet(warp, 40 * DEG, 0).u).toBeCloseTo(0.6428, 4);
  expect(meet(warp, 80 * DEG, 0).u).toBeCloseTo(0.9848, 4);
  expect(meet(warp, 40 * DEG, 0.3).v).toBe(0.3);
});

describe("circle segments: the drop is the height of a segment whose half-arc is a", () => {
  // Machinery's Handbook, 31st ed., pp. 79, 50; MatheAss "Circular Sections". The handbook rounds intermediates.
  it.each([
    ["MH31 p.79: r = 60, h = 8, c = 59.86 (29.93 doubled)", 60, 8, 59.86, 0.02],
    ["MH31 p.79: c = 16, h = 6, r = 8 1/3", 25 / 3, 6, 16, 1e-9],
    ["MH31 p.50: R = 12, F = 2, E = 13.27", 12, 2, 13.27, 0.005],
    ["MatheAss: chord 21, height 6, r = 12.1875", 12.1875, 6, 21, 1e-9],
  ])("%s", (_, radius, height, chord, tolerance) => {
    const surface = cylinder(radius, "girth");
    const at = new Float64Array(12);
    surface.at(radius * Math.acos(1 - height / radius), 0, at);
    expect(Math.abs(at[2]! - height)).toBeLessThan(1e-9);
    expect(Math.abs(2 * at[0]! - chord)).toBeLessThanOrEqual(tolerance);
  });

  it("unit radius, mpmath 1.2.1: (angle, chord, height)", () => {
    const rows: [number, number, number][] = [
      [1, 0.01745307099674787, 3.807693582871126e-5],
      [30, 0.5176380902050415, 0.03407417371093171],
      [97.4, 1.502528267007022, 0.3399983320390632],
      [160, 1.969615506024416, 0.8263518223330697],
    ];
    const at = new Float64Array(12);
    for (const [deg, chord, height] of rows) {
      cylinder(1, "girth").at((deg / 2) * DEG, 0, at);
      expect(2 * at[0]!).toBeCloseTo(chord, 14);
      expect(at[2]!).toBeCloseTo(height, 15);
    }
  });
});

it("two mirrors e apart, d above the plane: x pivots at d + e, y at d (Marshall's equations traced, from memory)", () => {
  // x = (e + √(d² + y²)) tan θx, y = d tan θy with e = 15, d = 200: x(10°, 0) = 37.91030085232, y(0, 10°) = 35.265396141693.
  const e = 15;
  const d = 200;
  const tan = Math.tan(10 * DEG);
  expect((d + e) * tan).toBeCloseTo(37.91030085232, 10);
  expect(d * tan).toBeCloseTo(35.265396141693, 10);
  // 50 mm below the plane the same mirror angles strike (d + e + 50) tan θ and (d + 50) tan θ: undone by the head.
  const warp = new Warp(cylinder(1e8, "girth"), {
    pivotAcross: d + e,
    pivotAlong: d,
    field: 1000,
    belowCrown: -50,
  });
  const m = meet(warp, (d + e + 50) * tan, (d + 50) * tan);
  expect(m.u).toBeCloseTo(37.91030085232, 4);
  expect(m.v).toBeCloseTo(35.265396141693, 4);
  expect(pivotFromSquares(50, 100, 125)).toBe(200);
  expect(pivotFromSquares(50, 100, 100)).toBe(Infinity);
});
