/**
 * Tilted vessels against numbers from outside the project, and against a beam followed step by step.
 *
 * Snyder's tilted perspective (PP 1395, ch. 23; PROJ `tpers`, d3-geo-projection `geoSatelliteRaw(P, ω)`) projects a
 * sphere from the eye E at height H over the point S onto a plane through S whose normal n leans by ω from SE toward
 * the south. In axes x, y, z from S, y north, z toward E, with e = (0, cos ω, sin ω) up the plane,
 *
 *   n = (0, −sin ω, cos ω),   E = H z,   foot of E on the plane: S + H sin ω e,   E stands H cos ω above it.
 *
 * Our head looks straight down n from E: its pivot stands p = H cos ω above the plane of focus, and (u, v) counts from
 * that foot, v down the page:  u = xt,  v = −(yt − H sin ω).  Its axis meets the sphere at the placement point Q, at
 * angle ω from EC in the triangle E C Q (C the centre, EC = R + H, QC = R). By the rule of sines the sphere's normal
 * at Q leans toward the north from n, so the vessel is tilted, by
 *
 *   −τ = asin((R + H) sin ω/R),   EQ = (R + H) cos ω − R cos τ,   focal plane below the crown: δ = p − EQ,
 *
 * and Q lies at the latitude −τ − ω over S. Only where (R + H) sin ω < R: else the head looks past the sphere.
 */
import { geoSatelliteRaw } from "d3-geo-projection";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { girthChart } from "../../src/vessel/chart.ts";
import { tiltOf } from "../../src/vessel/pose.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline } from "../../src/vessel/straight.ts";
import { Warp } from "../../src/warp/warp.ts";
import { evenly } from "../support/surfaces.ts";

const DEG = Math.PI / 180;

function tilted(radius: number, height: number, deg: number) {
  const omega = deg * DEG;
  const tau = -Math.asin(((radius + height) * Math.sin(omega)) / radius);
  const pivot = height * Math.cos(omega);
  const belowCrown = pivot - ((radius + height) * Math.cos(omega) - radius * Math.cos(tau));
  const outline = sphereOutline(radius);
  const warp = new Warp(revolved(outline, girthChart(outline, 0), tau), {
    pivotAcross: pivot,
    pivotAlong: pivot,
    field: 1e3,
    belowCrown,
  });
  const foot = height * Math.sin(omega);
  // From axes toward S to axes toward Q, which lies `north` of it.
  const north = -tau - omega;
  const [cos, sin] = [Math.cos(north), Math.sin(north)];
  return {
    flat(lon: number, lat: number): readonly [a: number, b: number] {
      const [x, y, z] = [
        Math.cos(lat * DEG) * Math.sin(lon * DEG),
        Math.sin(lat * DEG),
        Math.cos(lat * DEG) * Math.cos(lon * DEG),
      ];
      return [radius * Math.atan2(x, z * cos + y * sin), -radius * Math.asin(y * cos - z * sin)];
    },
    plane(lon: number, lat: number): readonly [x: number, y: number] {
      const m = warp.meeting(...this.flat(lon, lat));
      if (typeof m === "string") throw new Error(`${lon}, ${lat}: ${m}`);
      return [m.u, foot - m.v];
    },
    flatAt(x: number, y: number): readonly [a: number, b: number] {
      const flat = warp.inverse({ x, y: foot - y });
      if (typeof flat === "string") throw new Error(`${x}, ${y}: ${flat}`);
      return [flat.x, flat.y];
    },
  };
}
type Tilted = ReturnType<typeof tilted>;
const off = (t: Tilted, lon: number, lat: number, x: number, y: number): number => {
  const [x1, y1] = t.plane(lon, lat);
  return Math.max(Math.abs(x1 - x), Math.abs(y1 - y));
};

describe("a tilted sphere", () => {
  // PROJ 9.1.1 `+proj=tpers +R=40 +h=160 +tilt=…` and d3-geo-projection 4.0.0, equal to 1e-12; tolerance 1e-9 mm.
  // (At tilt=15 the head would look past the sphere: (R + H) sin ω = 51.8 mm.)
  it.each([
    [10, 10, 5, 6.860652545947, 3.509906266481],
    [10, 20, -15, 13.062175830831, -10.391179197979],
    [10, 0, 20, 0, 13.485224926635],
    [5, 10, 5, 6.873845044524, 3.476458616921],
    [5, 20, -15, 12.988376655561, -10.214366019879],
    [5, 0, 20, 0, 13.43011351487],
  ])("R = 40 mm, H = 160 mm, tilt %d°: lon %d, lat %d", (omega, lon, lat, x, y) => {
    const t = tilted(40, 160, omega);
    expect(off(t, lon, lat, x, y)).toBeLessThan(1e-9);
    const [[a, b], [a1, b1]] = [t.flat(lon, lat), t.flatAt(x, y)];
    expect(Math.hypot(a1 - a, b1 - b)).toBeLessThan(1e-9);
  });

  // PROJ's own cases, test/gie/builtins.gie; 0.1 mm on a globe in metres.
  it.each([
    [2, 1, 213598.340357101, 113687.930830744],
    [2, -1, 231609.982792523, -123274.645577324],
  ])("+proj=tpers +a=6400000 +h=1000000 +tilt=20: %d %d", (lon, lat, x, y) => {
    expect(off(tilted(6_400_000, 1_000_000, 20), lon, lat, x, y)).toBeLessThan(1e-4);
  });

  it("d3-geo-projection's geoSatelliteRaw(1 + H/R, ω), tilted both ways (1e-9 mm)", () => {
    for (const [radius, height] of [
      [40, 160],
      [36.5, 200],
      [45, 545],
    ] as const)
      for (const share of [-0.9, -0.5, -0.1, 0, 0.3, 0.8]) {
        const omega = Math.asin((share * radius) / (radius + height)) / DEG;
        const t = tilted(radius, height, omega);
        const raw = geoSatelliteRaw(1 + height / radius, omega * DEG);
        for (let lon = -44; lon <= 44; lon += 11)
          for (let lat = -21; lat <= 21; lat += 7) {
            const [x, y] = raw(lon * DEG, lat * DEG);
            expect(off(t, lon, lat, radius * x, radius * y)).toBeLessThan(1e-9);
          }
      }
  });
});

/** Plain vectors (X, Y, up) from the crown at the placement point. */
type Vector = readonly [number, number, number];
const dot = (p: Vector, q: Vector): number => p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
const plus = (p: Vector, t: number, q: Vector): Vector => [p[0] + t * q[0], p[1] + t * q[1], p[2] + t * q[2]];

interface Cup {
  readonly top: number;
  readonly bottom: number;
  readonly height: number;
  readonly belowRim: number;
  /** How far the rim is lifted (radians). */
  readonly tilt: number;
}
interface Beam {
  readonly across: number;
  readonly along: number;
  readonly belowCrown: number;
}

/** The cone as an implicit surface: distance from its axis less its radius there. */
function coneOf({ top, bottom, height, belowRim, tilt }: Cup) {
  const grows = (bottom - top) / 2 / height;
  const r0 = top / 2 + grows * belowRim;
  // Down along the axis toward the base, and from the axis to the crown.
  const axis: Vector = [0, Math.cos(tilt), -Math.sin(tilt)];
  const crown: Vector = [0, Math.sin(tilt), Math.cos(tilt)];
  const centre = plus([0, 0, 0], -r0, crown);
  const cylindrical = (p: Vector) => {
    const from = plus(p, -1, centre);
    const y = dot(from, axis);
    return { y, from: plus(from, -y, axis) };
  };
  return {
    gap(p: Vector): number {
      const { y, from } = cylindrical(p);
      return Math.sqrt(dot(from, from)) - (r0 + grows * y);
    },
    y: (p: Vector): number => cylindrical(p).y,
    flat(p: Vector): readonly [a: number, b: number] {
      const { y, from } = cylindrical(p);
      return [r0 * Math.atan2(from[0], dot(from, crown)), y * Math.hypot(1, grows)];
    },
    normal(p: Vector): Vector {
      const { from } = cylindrical(p);
      const w = Math.hypot(1, grows);
      return plus(
        [0, 0, 0],
        1 / w,
        plus(plus([0, 0, 0], 1 / Math.sqrt(dot(from, from)), from), -grows, axis),
      );
    },
  };
}

/** Down along the beam by half millimetres until it is inside, then by halving; null where it never is. */
function follow(cup: Cup, { across, along, belowCrown }: Beam, u: number, v: number): Vector | null {
  const cone = coneOf(cup);
  const at = (s: number): Vector => [
    u * (1 + (s - belowCrown) / across),
    v * (1 + (s - belowCrown) / along),
    -s,
  ];
  let s = -80;
  while (cone.gap(at(s)) > 0) {
    s += 0.5;
    if (s > 120) return null;
  }
  let [lo, hi] = [s - 0.5, s];
  for (let i = 0; i < 60; i++) {
    const middle = (lo + hi) / 2;
    if (cone.gap(at(middle)) > 0) lo = middle;
    else hi = middle;
  }
  return at((lo + hi) / 2);
}

describe("a beam followed step by step onto a cone in any pose", () => {
  const cups = fc.record({
    top: evenly(50, 100),
    bottom: evenly(50, 100),
    height: evenly(60, 150),
    belowRim: evenly(25, 35),
    tilt: evenly(-0.35, 0.35),
  });
  const beams = fc.record({
    across: evenly(120, 900),
    along: evenly(100, 900),
    belowCrown: evenly(-5, 12),
  });

  it("flat ↔ command to 1e-9 mm where it is not near grazing, and the incidence to 1e-9", () => {
    let met = 0;
    fc.assert(
      fc.property(cups, beams, evenly(-35, 35), evenly(-40, 40), (cup, beam, u, v) => {
        const p = follow(cup, beam, u, v);
        if (!p) return;
        const cone = coneOf(cup);
        const y = cone.y(p);
        if (y < -cup.belowRim + 0.01 || y > cup.height - cup.belowRim - 0.01) return;
        const n = cone.normal(p);
        const rise: Vector = [u / beam.across, v / beam.along, -1];
        const cos = -dot(n, rise) / Math.sqrt(dot(rise, rise));
        if (cos < 0.05) return;
        met++;
        const outline = coneOutline(cup.top, cup.bottom, cup.height, cup.belowRim);
        const warp = new Warp(revolved(outline, girthChart(outline, 0), cup.tilt), {
          pivotAcross: beam.across,
          pivotAlong: beam.along,
          field: 300,
          belowCrown: beam.belowCrown,
        });
        const [a, b] = cone.flat(p);
        const flat = warp.inverse({ x: u, y: v });
        if (typeof flat === "string") throw new Error(flat);
        expect(Math.hypot(flat.x - a, flat.y - b)).toBeLessThan(1e-9);
        const m = warp.meeting(a, b);
        if (typeof m === "string") throw new Error(m);
        expect(Math.hypot(m.u - u, m.v - v)).toBeLessThan(1e-9);
        expect(Math.abs(m.drop + p[2])).toBeLessThan(1e-9);
        expect(Math.abs(m.cosIncidence - cos)).toBeLessThan(1e-9);
      }),
      { numRuns: 1000, seed: 11 },
    );
    expect(met).toBeGreaterThan(450);
  });

  it("what it passes by is named", () => {
    let missed = 0;
    fc.assert(
      fc.property(cups, beams, evenly(-90, 90), evenly(-20, 20), (cup, beam, u, v) => {
        if (follow(cup, beam, u, v)) return;
        missed++;
        const outline = coneOutline(cup.top, cup.bottom, cup.height, cup.belowRim);
        const warp = new Warp(revolved(outline, girthChart(outline, 0), cup.tilt), {
          pivotAcross: beam.across,
          pivotAlong: beam.along,
          field: 300,
          belowCrown: beam.belowCrown,
        });
        expect(warp.inverse({ x: u, y: v })).toBe("misses-vessel");
      }),
      { numRuns: 300, seed: 12 },
    );
    expect(missed).toBeGreaterThan(100);
  });
});

describe("the poses of a cone, by its own vectors", () => {
  const shapes: [string, [number, number, number, number]][] = [
    ["wider at the base", [64, 88, 100, 40]],
    ["wider at the rim", [90, 66, 130, 60]],
  ];
  const s = new Float64Array(12);
  describe.each(shapes)("%s", (_, [top, bottom, height, belowRim]) => {
    const outline = coneOutline(top, bottom, height, belowRim);
    const chart = girthChart(outline, 0);
    const ends = [outline.from, outline.to];
    const drops = (tilt: number, around: number): number[] =>
      ends.map((m) => {
        revolved(outline, chart, tilt).at(around * outline.radius, m, s);
        return s[2]!;
      });

    it("levelled: the crown line is level", () => {
      for (const drop of drops(tiltOf(outline, "levelled"), 0)) expect(Math.abs(drop)).toBeLessThan(1e-13);
    });

    it("axis: the axis is level, so the crown line falls by the difference of the radii", () => {
      const [rim, base] = drops(tiltOf(outline, "axis"), 0);
      expect(rim! - base!).toBeCloseTo((bottom - top) / 2, 12);
    });

    it("lying: the lowest line is level, and the crown line falls by twice the half-angle", () => {
      const tilt = tiltOf(outline, "lying");
      const [rim, base] = drops(tilt, Math.PI);
      expect(Math.abs(rim! - base!)).toBeLessThan(1e-12);
      const slant = Math.hypot((bottom - top) / 2, height);
      const fall = slant * Math.sin(2 * Math.atan((bottom - top) / 2 / height));
      const [high, low] = drops(tilt, 0);
      expect(high! - low!).toBeCloseTo(fall, 11);
    });

    it("an angle: positive lifts the rim, by its sine along the axis", () => {
      // A point of the axis is halfway between the crown and the lowest line at one height.
      const middle = (deg: number): number[] => {
        const [crown, low] = [drops(deg * DEG, 0), drops(deg * DEG, Math.PI)];
        return crown.map((drop, i) => (drop + low[i]!) / 2);
      };
      const [rim, base] = middle(7);
      expect(base! - rim!).toBeCloseTo(height * Math.sin(7 * DEG), 11);
      expect(tiltOf(outline, 7)).toBeCloseTo(7 * DEG, 15);
    });
  });
});
