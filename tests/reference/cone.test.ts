/**
 * The cone and its flat sheet against numbers from outside the project; lengths, areas and girth as the fidelities
 * promise them, measured on the vessel.
 */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { evalCubic } from "../../src/geometry/cubic.ts";
import { gaussLegendre } from "../../src/geometry/quadrature.ts";
import { type Chart, girthChart, sheetChart, trueWidthChart } from "../../src/vessel/chart.ts";
import type { Meridian } from "../../src/vessel/meridian.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../../src/vessel/straight.ts";
import type { Surface } from "../../src/vessel/surface.ts";
import { atPoint, chartBy, evenly, rules } from "../support/surfaces.ts";

const DEG = Math.PI / 180;
type Point = readonly [a: number, b: number];
const apart = ([x0, y0]: Point, [x1, y1]: Point): number => Math.hypot(x1 - x0, y1 - y0);

const onSheet = (chart: Chart, theta: number, m: number): Point => {
  const out = new Float64Array(2);
  if (!chart.from(theta, m, out)) throw new Error(`the sheet does not show ${theta}, ${m}`);
  return [out[0]!, out[1]!];
};
/** Centre and radius of the circle through three points. */
function circleThrough([ax, ay]: Point, [bx, by]: Point, [cx, cy]: Point) {
  const w = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by));
  const [p, q, r] = [ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy];
  const centre: Point = [
    (p * (by - cy) + q * (cy - ay) + r * (ay - by)) / w,
    (p * (cx - bx) + q * (ax - cx) + r * (bx - ax)) / w,
  ];
  return { centre, radius: apart(centre, [ax, ay]) };
}

/** A frustum's net read off the sheet: three points of each rim, both edges of the cut along the back. */
function netOf(top: number, bottom: number, height: number) {
  const outline = coneOutline(top, bottom, height, height / 3);
  const chart = sheetChart(outline);
  const rim = (m: number) => {
    const [left, middle, right] = [-Math.PI, 0, Math.PI].map((theta) => onSheet(chart, theta, m)) as [
      Point,
      Point,
      Point,
    ];
    return { ...circleThrough(left, middle, right), left, middle, right };
  };
  const [upper, lower] = [rim(outline.from), rim(outline.to)];
  // The sector's angle, by the tangent of its half at the common centre.
  const [x, y] = [lower.right[0] - lower.centre[0], lower.right[1] - lower.centre[1]];
  const down = lower.middle[1] - lower.centre[1];
  const half = Math.atan2(x, y * Math.sign(down));
  return { upper, lower, sectorDeg: (2 * half) / DEG, slant: outline.to - outline.from };
}

describe("the net of a frustum", () => {
  // "The Net of a Frustum" (duct adaptor, sheet metal), ceemrr.com: two decimals, angle to a tenth.
  it("diameters 5 and 8 in, 4 in apart: radii 7.12 and 11.39, angle 126.4°", () => {
    const net = netOf(5, 8, 4);
    expect(Math.abs(net.upper.radius - 7.12)).toBeLessThanOrEqual(0.005);
    expect(Math.abs(net.lower.radius - 11.39)).toBeLessThanOrEqual(0.005);
    expect(Math.abs(net.sectorDeg - 126.4)).toBeLessThanOrEqual(0.05);
    // mpmath 1.2.1
    expect(net.slant).toBeCloseTo(4.272001872658765, 13);
    expect(net.upper.radius).toBeCloseTo(7.120003121097943, 12);
    expect(net.lower.radius).toBeCloseTo(11.392004993756707, 12);
    expect(net.sectorDeg).toBeCloseTo(126.40443897182101, 11);
  });

  it("a cone with a 90° point is laid out over 254.6° (anvilfire.com, one decimal)", () => {
    const { sectorDeg } = netOf(2, 4, 1);
    expect(Math.abs(sectorDeg - 254.6)).toBeLessThanOrEqual(0.05);
    expect(sectorDeg).toBeCloseTo(254.5584412271571, 11); // mpmath 1.2.1
  });

  // mpmath 1.2.1; slant, inner and outer radius, sector, area, chords between the edges of the cut. mm, tolerance 1e-9.
  it.each([
    [
      32, 44, 100, 100.71742649611338, 268.57980398963565, 369.297230485749, 42.892279422635035,
      24047.39766481814, 196.39975290589837, 270.04966024561026,
    ],
    [
      30, 44, 120, 120.81390648431164, 258.8869424663821, 379.70084895069374, 41.7170518416642,
      28086.557998632234, 184.35943590240362, 270.3938393235253,
    ],
    [
      35, 45, 150, 150.33296378372907, 526.1653732430518, 676.4983370267809, 23.946843788558613,
      37782.7947692275, 218.3143581336575, 280.6898890289882,
    ],
    [
      36.5, 43.5, 180, 180.13605968822566, 939.2808826600339, 1119.4169423482595, 13.989425572878321,
      45273.12974105138, 228.7670277167511, 272.64015631996364,
    ],
  ])(
    "radii %d and %d, %d apart, either end up",
    (r1, r2, height, slant, inner, outer, sector, area, c1, c2) => {
      for (const up of [true, false]) {
        const net = up ? netOf(2 * r1, 2 * r2, height) : netOf(2 * r2, 2 * r1, height);
        const [small, large] = up ? [net.upper, net.lower] : [net.lower, net.upper];
        expect(Math.abs(net.slant - slant)).toBeLessThan(1e-9);
        expect(Math.abs(small.radius - inner)).toBeLessThan(1e-9);
        expect(Math.abs(large.radius - outer)).toBeLessThan(1e-9);
        expect(Math.abs(net.sectorDeg - sector)).toBeLessThan(1e-9);
        expect(Math.abs(apart(small.left, small.right) - c1)).toBeLessThan(1e-9);
        expect(Math.abs(apart(large.left, large.right) - c2)).toBeLessThan(1e-9);
        // Of the flat: a sector between two circles; of the vessel: by the surface element.
        const flat = ((large.radius ** 2 - small.radius ** 2) * net.sectorDeg * DEG) / 2;
        expect(Math.abs(flat - area)).toBeLessThan(1e-6);
        const outline = up
          ? coneOutline(2 * r1, 2 * r2, height, height / 3)
          : coneOutline(2 * r2, 2 * r1, height, height / 3);
        const girth = revolved(outline, girthChart(outline, 0), 0.1);
        const half = Math.PI * outline.radius;
        expect(Math.abs(areaOn(girth, -half, half, outline.from, outline.to) - area)).toBeLessThan(1e-8);
      }
    },
  );
});

describe("the sheet of the frustum 64/88/100 is PROJ's equidistant conic", () => {
  // PROJ 9.1.1 `proj -f %.12f +proj=eqdc +R=38 +lat_1=6.8427734126309404 +lat_2=6.8427734126309404
  // +lat_0=3.4173142177846907`: one standard parallel at the half-angle; equal to s sin, s cos within 5e-13.
  // Slant from the apex, azimuth deg, x, y; tolerance 1e-11 mm.
  const mid = 318.93851723769234;
  const rows: [slant: number, deg: number, x: number, y: number][] = [
    [268.57980398963565, 0, 0, 50.358713248057],
    [268.57980398963565, 30, 16.744294978372, 50.881173192079],
    [268.57980398963565, 60, 33.423445643678, 52.446520373968],
    [268.57980398963565, 90, 49.972561129267, 55.048664751295],
    [268.57980398963565, 120, 66.327256475275, 58.677482582917],
    [268.57980398963565, 180, 98.199876452949, 68.954727011733],
    [293.759160613664, 0, 0, 25.179356624028],
    [293.759160613664, 30, 18.314072632594, 25.750797187803],
    [293.759160613664, 60, 36.556893672772, 27.462895667994],
    [293.759160613664, 90, 54.657488735136, 30.308991080695],
    [293.759160613664, 120, 72.545436769832, 34.278010584032],
    [293.759160613664, 180, 107.406114870413, 45.518746678049],
    [318.93851723769234, 0, 0, 0],
    [318.93851723769234, 30, 19.883850286816, 0.620421183526],
    [318.93851723769234, 60, 39.690341701867, 2.47927096202],
    [318.93851723769234, 90, 59.342416341005, 5.569317410095],
    [318.93851723769234, 120, 78.763617064389, 9.878538585146],
    [318.93851723769234, 180, 116.612353287877, 22.082766344365],
    [344.1178738617207, 0, 0, -25.179356624028],
    [344.1178738617207, 30, 21.453627941039, -24.50995482075],
    [344.1178738617207, 60, 42.823789730962, -22.504353743954],
    [344.1178738617207, 90, 64.027343946873, -19.170356260505],
    [344.1178738617207, 120, 84.981797358946, -14.520933413739],
    [344.1178738617207, 180, 125.818591705341, -1.353213989318],
    [369.297230485749, 0, 0, -50.358713248057],
    [369.297230485749, 30, 23.023405595261, -49.640330825026],
    [369.297230485749, 60, 45.957237760057, -47.487978449929],
    [369.297230485749, 90, 68.712271552742, -43.910029931105],
    [369.297230485749, 120, 91.199977653503, -38.920405412624],
    [369.297230485749, 180, 135.024830122805, -24.789194323002],
  ];
  const cases: [string, Chart, number][] = [
    ["wider at the base", sheetChart(coneOutline(64, 88, 100, 50)), 1],
    ["wider at the rim (upside down)", sheetChart(coneOutline(88, 64, 100, 50)), -1],
  ];
  it.each(cases)("%s", (_, chart, way) => {
    const out = new Float64Array(6);
    for (const [slant, deg, x, y] of rows)
      for (const side of [1, -1]) {
        const [theta, m] = [side * deg * DEG, way * (slant - mid)];
        const [a, b] = [side * x, -way * y];
        const flat = onSheet(chart, theta, m);
        expect(Math.abs(flat[0] - a)).toBeLessThan(1e-11);
        expect(Math.abs(flat[1] - b)).toBeLessThan(1e-11);
        // The very edge of the sheet may fall on either side of it by rounding.
        expect(chart.to(a, b, out) || deg === 180).toBe(true);
        expect(Math.abs(out[0]! - theta)).toBeLessThan(1e-12);
        expect(Math.abs(out[1]! - m)).toBeLessThan(1e-11);
      }
  });
});

describe("shortest ways on a cone are straight on its sheet", () => {
  // d² = s₁² + s₂² − 2 s₁ s₂ cos(Δλ sin α); Clairaut r sin ψ = s_min sin α (imathworks.com, "Math – the shortest path
  // equation between 2 points on a cone"); numbers: mpmath 1.2.1.
  const cases: [string, Meridian, Point, Point, number, number | null][] = [
    // Half-angle 45°, base radius 1: two points of the base 180° apart.
    [
      "45° cone, base radius 1",
      coneOutline(0.5, 2, 0.75, 0.3),
      [-90, 1],
      [90, 1],
      2.5343242626615985,
      0.6279332232978174 * Math.SQRT1_2,
    ],
    // Half-angle 30°, base radius 2, slant 4: a point of the base and one at half the slant, 90° apart.
    [
      "base radius 2, slant 4",
      coneOutline(1, 4, 1.5 / Math.tan(30 * DEG), 1),
      [0, 1],
      [90, 1 / 3],
      2.9472515164158013,
      null,
    ],
    [
      "frustum 32/44/100, base to rim, 90° apart",
      coneOutline(64, 88, 100, 50),
      [0, 1],
      [90, 0],
      116.65321342559083,
      18.848968023416553,
    ],
  ];
  // Each end: azimuth deg, share of the way from rim to base.
  it.each(cases)("%s", (_, outline, from, to, distance, clairaut) => {
    const chart = sheetChart(outline);
    const place = ([deg, share]: Point): Point =>
      onSheet(chart, deg * DEG, outline.from + (outline.to - outline.from) * share);
    const [p, q] = [place(from), place(to)];
    expect(Math.abs(apart(p, q) - distance)).toBeLessThan(1e-12 * distance + 1e-13);
    const surface = revolved(outline, chart, 0.2);
    const line = (t: number): Point => [p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t];
    expect(Math.abs(lengthOn(surface, line) - distance)).toBeLessThan(1e-9 * distance);
    if (clairaut === null) return;
    for (const t of [0, 0.2, 0.5, 0.77, 1]) {
      // ψ from the meridian: sin ψ is the direction's part along the parallel, r dθ.
      const out = new Float64Array(6);
      chart.to(...line(t), out);
      const o = new Float64Array(4);
      outline.at(out[1]!, o);
      const [da, db] = [(q[0] - p[0]) / distance, (q[1] - p[1]) / distance];
      const sin = o[0]! * (out[2]! * da + out[3]! * db);
      expect(Math.abs(o[0]! * Math.abs(sin) - clairaut)).toBeLessThan(1e-10);
    }
  });
});

/** Length on the vessel of a curve of the flat, by its points alone: chords, the error's first part taken out. */
function lengthOn(surface: Surface, curve: (t: number) => Point): number {
  const chords = (n: number): number => {
    let sum = 0;
    let before = atPoint(surface, ...curve(0));
    for (let i = 1; i <= n; i++) {
      const here = atPoint(surface, ...curve(i / n));
      sum += Math.hypot(here[0]! - before[0]!, here[1]! - before[1]!, here[2]! - before[2]!);
      before = here;
    }
    return sum;
  };
  return (4 * chords(1200) - chords(600)) / 3;
}

const rule = gaussLegendre(24);
/** Area on the vessel of a rectangle of the flat, by the surface element. */
function areaOn(surface: Surface, a0: number, a1: number, b0: number, b1: number): number {
  let sum = 0;
  rule.nodes.forEach((x, i) => {
    rule.nodes.forEach((y, j) => {
      const s = atPoint(surface, a0 + (a1 - a0) * x, b0 + (b1 - b0) * y);
      const [xa, xb, ya, yb, sa, sb] = [s[3]!, s[4]!, s[5]!, s[6]!, s[7]!, s[8]!];
      const element = Math.hypot(xa * yb - xb * ya, ya * sb - yb * sa, sa * xb - sb * xa);
      sum += rule.weights[i]! * rule.weights[j]! * element;
    });
  });
  return sum * (a1 - a0) * (b1 - b0);
}

const cones: [string, Meridian][] = [
  ["cylinder", cylinderOutline(41)],
  ["cone, wider at the base", coneOutline(64, 88, 100, 50)],
  ["cone, wider at the rim", coneOutline(90, 66, 130, 60)],
];
const round: [string, Meridian][] = [...cones, ["sphere", sphereOutline(45)]];

it.each(cones)("%s: with sheet a curve is as long on the vessel as on the flat (1e-9)", (_, outline) => {
  const surface = revolved(outline, sheetChart(outline), 0.15);
  const at = new Float64Array(4);
  const coordinate = evenly(-38, 38);
  fc.assert(
    fc.property(fc.array(coordinate, { minLength: 8, maxLength: 8 }), (numbers) => {
      const points = Float64Array.from(numbers);
      const curve = (t: number): Point => {
        evalCubic(points, 0, t, at);
        return [at[0]!, at[1]!];
      };
      const flat = (n: number): number => {
        let sum = 0;
        for (let i = 1; i <= n; i++) sum += apart(curve(i / n), curve((i - 1) / n));
        return sum;
      };
      const long = (4 * flat(1200) - flat(600)) / 3;
      // Near a cusp of the curve chords tell nothing to nine digits.
      fc.pre(slowest(points) > 0.05 * long);
      expect(Math.abs(lengthOn(surface, curve) - long)).toBeLessThan(1e-9 * long);
    }),
    { numRuns: 40, seed: 3 },
  );
});

function slowest(points: Float64Array): number {
  const at = new Float64Array(4);
  let least = Infinity;
  for (let i = 0; i <= 200; i++) {
    evalCubic(points, 0, i / 200, at);
    least = Math.min(least, Math.hypot(at[2]!, at[3]!));
  }
  return least;
}

it.each(round)(
  "%s: with true-width an area is as large on the vessel as on the flat (1e-9)",
  (_, outline) => {
    const surface = revolved(outline, trueWidthChart(outline), -0.1);
    fc.assert(
      fc.property(evenly(-80, 60), evenly(1, 20), evenly(-35, 20), evenly(1, 15), (a, wide, b, high) => {
        fc.pre(surface.covers(a, b) && surface.covers(a + wide, b + high));
        fc.pre(surface.covers(a + wide, b) && surface.covers(a, b + high));
        const area = areaOn(surface, a, a + wide, b, b + high);
        expect(Math.abs(area / (wide * high) - 1)).toBeLessThan(1e-9);
      }),
      { numRuns: 60, seed: 4 },
    );
  },
);

it.each(round)("%s: with true-width every row keeps its width (1e-9)", (_, outline) => {
  const surface = revolved(outline, trueWidthChart(outline), 0);
  for (const b of [-30, 0, 17, 33])
    expect(Math.abs(lengthOn(surface, (t) => [-20 + 60 * t, b]) / 60 - 1)).toBeLessThan(1e-9);
});

it("Snyder's sinusoidal example, PP 1395, ch. 30 (from memory): R = 1, 15° E of the centre, 50° S: x .1682814, y −.8726646", () => {
  const out = new Float64Array(2);
  trueWidthChart(sphereOutline(1)).from(15 * DEG, 50 * DEG, out);
  expect(Math.abs(out[0]! - 0.1682814)).toBeLessThan(5e-8);
  expect(Math.abs(-out[1]! + 0.8726646)).toBeLessThan(5e-8);
});

it.each(round)(
  "%s: with girth the row where the artwork is placed keeps its length (1e-9), meridians all of theirs",
  (_, outline) => {
    for (const arc of [0, -25, 31]) {
      const surface = revolved(outline, girthChart(outline, arc), 0.1);
      expect(Math.abs(lengthOn(surface, (t) => [-35 + 70 * t, arc]) / 70 - 1)).toBeLessThan(1e-9);
      expect(Math.abs(lengthOn(surface, (t) => [22, -30 + 60 * t]) / 60 - 1)).toBeLessThan(1e-9);
    }
    // Elsewhere in proportion to the girth there.
    const o = new Float64Array(4);
    outline.at(28, o);
    const surface = revolved(outline, girthChart(outline, 0), 0);
    const stretch = o[0]! / outline.radius;
    expect(Math.abs(lengthOn(surface, (t) => [-35 + 70 * t, 28]) / 70 - stretch)).toBeLessThan(1e-9);
  },
);

describe("a cone of slope ±1e-12 is the cylinder it nearly is (1e-9 mm)", () => {
  const plain = cylinderOutline(40);
  it.each(rules)("%s", (by) => {
    for (const slope of [1e-12, -1e-12]) {
      const outline = coneOutline(80, 80 + 2e2 * slope, 100, 50);
      expect(Math.abs(outline.slope!)).toBeGreaterThan(5e-13);
      const [bent, straight] = [chartBy(by, outline)!, chartBy(by, plain)!];
      const [near, be] = [revolved(outline, bent, 0), revolved(plain, straight, 0)];
      const wide = by.startsWith("sight") ? 30 : 120;
      for (const a of [-wide, -0.3 * wide, 0, 0.01, 0.6 * wide])
        for (const b of [-45, -1, 0, 20, 45]) {
          const [p, q] = [atPoint(near, a, b), atPoint(be, a, b)];
          for (let k = 0; k < 12; k++) expect(Math.abs(p[k]! - q[k]!)).toBeLessThan(1e-9);
          const out = new Float64Array(2);
          near.flatOf(q[0]!, q[1]!, q[2]!, out);
          expect(Math.hypot(out[0]! - a, out[1]! - b)).toBeLessThan(1e-9);
        }
      expect(Math.abs(near.halfWidth / be.halfWidth - 1)).toBeLessThan(1e-9);
    }
  });
});
