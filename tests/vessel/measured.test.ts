/**
 * The measured outline: its spline's promises as properties, its order of accuracy, and arc lengths, areas and geodesics
 * against numbers from outside the project (named beside each).
 */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { arcLength } from "../../src/geometry/arclength.ts";
import { gauss8 } from "../../src/geometry/quadrature.ts";
import { pieceFinder } from "../../src/geometry/quintic.ts";
import { measuredOutline } from "../../src/vessel/measured.ts";
import type { Meridian } from "../../src/vessel/meridian.ts";
import { monotoneSpline } from "../../src/vessel/spline.ts";
import { coneOutline } from "../../src/vessel/straight.ts";

const DEG = Math.PI / 180;
const jet = (meridian: Meridian, m: number): Float64Array => {
  const o = new Float64Array(4);
  meridian.at(m, o);
  return o;
};

/** A point of the ellipse with semi-axes a (radius) and c (axis) by its normal latitude: r and height. */
const onEllipse = (a: number, c: number, deg: number): { r: number; z: number } => {
  const w = Math.hypot(a * Math.cos(deg * DEG), c * Math.sin(deg * DEG));
  return { r: (a * a * Math.cos(deg * DEG)) / w, z: (c * c * Math.sin(deg * DEG)) / w };
};

/** An ellipsoid measured at `count` latitudes from −most to most; its equator is the placement point. */
function ellipsoid(a: number, c: number, count: number, most: number): Meridian {
  const rows = Array.from({ length: count }, (_, i) => {
    const { r, z } = onEllipse(a, c, most * ((2 * i) / (count - 1) - 1));
    return { heightMm: z, diameterMm: 2 * r };
  });
  return measuredOutline(rows, rows.at(-1)!.heightMm);
}

describe("the spline through any measurements", () => {
  const steps = fc.array(
    fc.tuple(
      fc.double({ min: 1e-3, max: 50, noNaN: true }),
      fc.oneof(fc.constant(0), fc.double({ min: 1e-9, max: 30, noNaN: true })),
      fc.boolean(),
    ),
    { minLength: 2, maxLength: 30 },
  );
  const curve = (list: readonly (readonly [number, number, boolean])[], oneWay: boolean) => {
    const [x, f] = [[0], [40]];
    for (const [dx, df, up] of list) {
      x.push(x.at(-1)! + dx);
      f.push(f.at(-1)! + (oneWay || up ? df : -df));
    }
    return { x: Float64Array.from(x), f: Float64Array.from(f) };
  };
  const o = new Float64Array(3);

  it.each([true, false])("passes them and turns only at them (one way only: %s)", (oneWay) => {
    fc.assert(
      fc.property(steps, (list) => {
        const { x, f } = curve(list, oneWay);
        const spline = monotoneSpline(x, f);
        const size = Math.max(...f.map(Math.abs));
        for (let i = 0; i + 1 < x.length; i++) {
          const up = Math.sign(f[i + 1]! - f[i]!);
          let before = f[i]!;
          for (let k = 0; k <= 40; k++) {
            spline.at(i, x[i]! + ((x[i + 1]! - x[i]!) * k) / 40, o);
            if (k === 0 || k === 40) expect(Math.abs(o[0]! - f[i + k / 40]!)).toBeLessThan(1e-12 * size);
            // Where nothing rises nothing may; else only rounding may fall.
            if (up === 0) expect(Math.abs(o[0]! - f[i]!)).toBeLessThan(1e-12 * size);
            else expect(up * (o[0]! - before)).toBeGreaterThan(-1e-12 * size);
            before = o[0]!;
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  it("is twice continuously differentiable at every measurement", () => {
    fc.assert(
      fc.property(steps, (list) => {
        const { x, f } = curve(list, false);
        const spline = monotoneSpline(x, f);
        const after = new Float64Array(3);
        for (let i = 1; i + 1 < x.length; i++) {
          spline.at(i - 1, x[i]!, o);
          spline.at(i, x[i]!, after);
          // What rounding of f makes of a derivative over the piece before.
          const [h, size] = [x[i]! - x[i - 1]!, Math.max(...f.map(Math.abs))];
          expect(Math.abs(o[1]! - after[1]!)).toBeLessThan((1e-13 * size) / h);
          expect(Math.abs(o[2]! - after[2]!)).toBeLessThan((1e-12 * size) / (h * h));
        }
      }),
      { numRuns: 300 },
    );
  });

  it("lies level at a row that is wider than both its neighbours", () => {
    const spline = monotoneSpline(Float64Array.of(0, 4, 9, 15), Float64Array.of(30, 37, 36, 20));
    spline.at(1, 4, o);
    expect(o[1]).toBe(0);
    expect(o[2]).toBeLessThanOrEqual(0);
  });

  it("finds the piece where knots crowd as well as a search does", () => {
    const gap = fc.oneof(
      fc.double({ min: 1e-7, max: 1e-6, noNaN: true }),
      fc.double({ min: 1, max: 90, noNaN: true }),
    );
    fc.assert(
      fc.property(
        fc.array(gap, { minLength: 1, maxLength: 60 }),
        fc.double({ min: -0.1, max: 1.1, noNaN: true }),
        (gaps, share) => {
          const knots = [0];
          for (const g of gaps) knots.push(knots.at(-1)! + g);
          const find = pieceFinder(Float64Array.from(knots));
          for (const x of [share * knots.at(-1)!, ...knots]) {
            const sought = knots.findLastIndex((knot) => knot <= x);
            expect(find(x)).toBe(Math.min(gaps.length - 1, Math.max(0, sought)));
          }
        },
      ),
    );
  });

  it("refuses what is no curve", () => {
    const rows = (...list: [number, number][]) =>
      list.map(([heightMm, diameterMm]) => ({ heightMm, diameterMm }));
    expect(() => measuredOutline(rows([0, 80], [9, 80]), 5)).toThrow(RangeError);
    expect(() => measuredOutline(rows([0, 80], [9, 80], [9, 70]), 5)).toThrow(RangeError);
    expect(() => measuredOutline(rows([0, 80], [9, Number.NaN], [12, 70]), 5)).toThrow(RangeError);
    expect(() => measuredOutline(rows([0, 80], [9, -8], [12, 70]), 5)).toThrow(RangeError);
    expect(() => measuredOutline(rows([0, 80], [9, 80], [12, 70]), 12.5)).toThrow(RangeError);
    expect(() => measuredOutline([], 0)).toThrow(RangeError);
  });

  it("lies where it is placed, on a row but for rounding and between rows (1e-12)", () => {
    // 120.3 − 80.1 − 40.2 is not quite 0.
    const rows = [20.7, 60, 80.1, 100, 120.3].map((h) => ({ heightMm: h, diameterMm: 90 - h / 10 }));
    for (const below of [40.2, 40.2 + 1e-9, 40.3, 0, 99.6]) {
      const [r, y, dr, dy] = jet(measuredOutline(rows, below), 0);
      expect(Math.abs(r! - (90 - (120.3 - below) / 10) / 2)).toBeLessThan(1e-12);
      expect(Math.abs(y!)).toBeLessThan(1e-12);
      expect(Math.abs(dr! / dy! - 0.05)).toBeLessThan(1e-12);
    }
  });
});

describe("accuracy", () => {
  it("rows from a straight cone give the cone back (1e-9 mm; measured: 6e-14)", () => {
    const cone = coneOutline(90, 70, 120, 50);
    const rows = [0, 7, 20, 44, 45, 46, 80, 100, 120].map((h) => ({
      heightMm: h,
      diameterMm: 70 + (20 * h) / 120,
    }));
    const measured = measuredOutline(rows, 50);
    expect([measured.kind, measured.slope, measured.convex]).toEqual(["profile", null, true]);
    expect(Math.abs(measured.radius - cone.radius)).toBeLessThan(1e-9);
    expect(Math.abs(measured.from - cone.from)).toBeLessThan(1e-9);
    expect(Math.abs(measured.to - cone.to)).toBeLessThan(1e-9);
    for (let i = 0; i <= 200; i++) {
      const m = cone.from + ((cone.to - cone.from) * i) / 200;
      const [is, be] = [jet(measured, m), jet(cone, m)];
      for (let k = 0; k < 4; k++) expect(Math.abs(is[k]! - be[k]!)).toBeLessThan(1e-9);
    }
  });

  it("through smooth rows the error falls with the fifth power of their distance", () => {
    const worst = (count: number): number => {
      const rows = Array.from({ length: count }, (_, i) => (100 * i) / (count - 1));
      const measured = measuredOutline(
        rows.map((h) => ({ heightMm: h, diameterMm: 60 + 20 * Math.sin(h / 70) })),
        50,
      );
      let most = 0;
      for (let y = -50; y <= 50; y += 0.37) {
        const r = jet(measured, measured.arcAt(y))[0]!;
        most = Math.max(most, Math.abs(r - 30 - 10 * Math.sin((50 - y) / 70)));
      }
      return most;
    };
    const [coarse, fine] = [worst(17), worst(33)];
    expect(coarse).toBeLessThan(1e-3);
    expect(coarse / fine).toBeGreaterThan(24);
  });
});

it("the table over m is the spline over its arc length, by Simpson's rule in 2000 steps a piece (1e-11 mm)", () => {
  const rows = [0, 14, 31, 44, 60, 81, 95].map((h) => ({
    heightMm: h,
    diameterMm: 90 - 30 * Math.cos(h / 30),
  }));
  const outline = measuredOutline(rows, 0);
  const y = Float64Array.from(rows, ({ heightMm }) => 95 - heightMm).reverse();
  const spline = monotoneSpline(y, Float64Array.from(rows, ({ diameterMm }) => diameterMm / 2).reverse());
  const o = new Float64Array(3);
  const speed = (piece: number, at: number): number => {
    spline.at(piece, at, o);
    return Math.hypot(1, o[1]!);
  };
  let m = 0;
  for (let i = 0; i + 1 < y.length; i++) {
    const h = (y[i + 1]! - y[i]!) / 2000;
    for (let k = 0; k < 2000; k++) {
      const at = y[i]! + k * h;
      m += (h / 6) * (speed(i, at) + 4 * speed(i, at + h / 2) + speed(i, at + h));
      const [r, place] = jet(outline, m);
      spline.at(i, at + h, o);
      expect(Math.abs(place! - at - h)).toBeLessThan(1e-11);
      expect(Math.abs(r! - o[0]!)).toBeLessThan(1e-11);
    }
  }
});

describe("arc length by quadrature", () => {
  const ellipse = (a: number, b: number, to = Math.PI / 2, from = 0): number =>
    arcLength((t) => Math.hypot(a * Math.sin(t), b * Math.cos(t)), from, to);

  // Quarter ellipses a E(1 − b²/a²): mpmath 1.2.1.
  it.each([
    [2, 1, 2.422112055136919],
    [5, 3, 6.381749715849532],
    [50, 40, 70.90416972243621],
    [55, 40, 75.07859307944578],
    [60, 40, 79.32719794645296],
    [10, 1, 10.15993545025224],
  ])("a quarter of the ellipse %d, %d (1e-13 of itself)", (a, b, quarter) => {
    expect(Math.abs(ellipse(a, b) - quarter)).toBeLessThan(1e-13 * quarter);
  });

  it("a piece of an ellipse: mpmath 1.2.1, in the setting of RConics' arcLengthEllipse (a = 5, b = 2, x from 3 to 0)", () => {
    expect(Math.abs(ellipse(5, 2, Math.PI / 2, Math.acos(3 / 5)) - 3.0368081275910055)).toBeLessThan(1e-13);
  });

  it("WGS84's quarter meridian: GeographicLib 2.1.2 (1e-7 m, 1e-14 of it)", () => {
    const a = 6378137;
    expect(Math.abs(ellipse(a, a * (1 - 1 / 298.257223563)) - 10001965.729312724)).toBeLessThan(1e-7);
  });
});

describe("arc length from measured points", () => {
  // Semi-axes r 40 and z 60 mm, by normal latitude: mpmath 1.2.1, and GeographicLib 2.1.2 (GeodSolve -E -e 40 -0.5).
  it.each([
    [10, 15.41888373784427],
    [20, 29.3110053264212],
    [30, 40.92583267215267],
    [40, 50.31531708641356],
    [45, 54.30848274608757],
    [50, 57.91959730101975],
    [60, 64.23727759346308],
    [70, 69.6953446278193],
  ])("prolate vessel, %d° (513 rows up to 75°; 5e-9 mm)", (deg, arc) => {
    const { r, z } = onEllipse(40, 60, deg);
    for (const y of [z, -z]) {
      const m = prolate.arcAt(y);
      expect(Math.abs(Math.abs(m) - arc)).toBeLessThan(5e-9);
      expect(Math.abs(jet(prolate, m)[0]! - r)).toBeLessThan(5e-9);
    }
  });
  const prolate = ellipsoid(40, 60, 513, 75);

  // Semi-axes r 50 and z 40 mm: GeographicLib 2.1.2, ten decimals.
  it.each([
    [10, 5.6157415707],
    [30, 17.5959455782],
    [45, 28.0081066038],
    [60, 40.3386250691],
  ])("oblate vessel, %d° (513 rows up to 70°; 5e-9 mm)", (deg, arc) => {
    const { z } = onEllipse(50, 40, deg);
    expect(Math.abs(ellipsoid(50, 40, 513, 70).arcAt(z) - arc)).toBeLessThan(5e-9);
  });

  // WGS84: GeodSolve 2.1.2, equal to mpmath to 1e-8 m. In metres; 1e-4 m of 6.4e6 is 1e-9 mm on a cup.
  it.each([
    [10, 1105854.833234372],
    [20, 2212366.254171633],
    [30, 3320113.397940383],
    [40, 4429529.030350516],
    [45, 4984944.377977744],
    [50, 5540847.041684149],
    [60, 6654072.819490512],
    [70, 7768980.727770193],
    [80, 8885139.871936874],
  ])("WGS84, %d° (681 points up to 85°; 1e-3 m)", (deg, arc) => {
    const { z } = onEllipse(earth.a, earth.c, deg);
    expect(Math.abs(wgs84.arcAt(z) - arc)).toBeLessThan(1e-3);
  });
  const earth = { a: 6378137, c: 6378137 * (1 - 1 / 298.257223563) };
  const wgs84 = ellipsoid(earth.a, earth.c, 681, 85);

  // r = a cosh(z/a): s = a sinh(z/a), area 0…z = πa(z + a sinh cosh): formulas from memory, values by mpmath 1.2.1.
  it.each([
    [30, 10, 31.68215603489818, 10.186216717684504, 1956.3366847343611],
    [30, 20, 36.91726740130902, 21.51475383033126, 4380.215572137881],
    [30, 40, 60.85897549198357, 52.951061348511764, 13893.84224883935],
    [25, 50, 94.05489227709079, 90.67151019617548, 30718.804374352963],
  ])("catenoid a = %d, z = %d: radius and arc 1e-8 mm, lateral area 1e-6 mm²", (a, z, r, arc, area) => {
    const tall = z + 5;
    const rows = Array.from({ length: 401 }, (_, i) => {
      const at = tall * (i / 200 - 1);
      return { heightMm: at + tall, diameterMm: 2 * a * Math.cosh(at / a) };
    });
    const waisted = measuredOutline(rows, tall);
    expect(waisted.convex).toBe(false);
    const m = waisted.arcAt(z);
    expect(Math.abs(m - arc)).toBeLessThan(1e-8);
    expect(Math.abs(jet(waisted, m)[0]! - r)).toBeLessThan(1e-8);
    // ∫2πr dm over 500 equal parts.
    let sum = 0;
    for (let i = 0; i < 500; i++) {
      for (const [k, node] of gauss8.nodes.entries())
        sum += gauss8.weights[k]! * jet(waisted, (m * (i + node)) / 500)[0]!;
    }
    expect(Math.abs(((2 * Math.PI * m) / 500) * sum - area)).toBeLessThan(1e-6);
  });
});

describe("a geodesic on the prolate vessel", () => {
  const vessel = ellipsoid(40, 60, 1025, 75);
  /** Fourth-order Runge–Kutta on θ′ = sin α/r, m′ = cos α, α′ = −(dr/dm) sin α/r; α from the meridian. */
  const shoot = (m0: number, azimuth: number, length: number) => {
    const f = ([, m, alpha]: readonly number[]): number[] => {
      const o = jet(vessel, m!);
      return [Math.sin(alpha!) / o[0]!, Math.cos(alpha!), (-o[2]! * Math.sin(alpha!)) / o[0]!];
    };
    const steps = 4000;
    const h = length / steps;
    let p: number[] = [0, m0, azimuth];
    let spread = 0;
    const clairaut = (): number => jet(vessel, p[1]!)[0]! * Math.sin(p[2]!);
    const begun = clairaut();
    const along = (q: readonly number[], k: readonly number[], step: number): number[] =>
      q.map((v, i) => v + step * k[i]!);
    for (let i = 0; i < steps; i++) {
      const k1 = f(p);
      const k2 = f(along(p, k1, h / 2));
      const k3 = f(along(p, k2, h / 2));
      const k4 = f(along(p, k3, h));
      p = p.map((v, j) => v + (h / 6) * (k1[j]! + 2 * k2[j]! + 2 * k3[j]! + k4[j]!));
      spread = Math.max(spread, Math.abs(clairaut() - begun));
    }
    return { theta: p[0]!, m: p[1]!, azimuth: p[2]!, clairaut: begun, spread };
  };
  const arcTo = (deg: number): number => vessel.arcAt(onEllipse(40, 60, deg).z);

  // GeographicLib 2.1.2 (azimuths, s12 to ten decimals); r sin(azimuth): mpmath 1.2.1.
  it.each([
    [0, 30, 60, 37.852805429137234, 54.268524260916216, 55.8681840469, 24.54540090829685],
    [10, 10, 90, 81.37305019957556, 98.62694980042444, 60.5315487734, 38.23275104352984],
    [-20, 40, 45, 19.422340491840767, 27.981377264029774, 84.3552457179, 11.67456667013912],
  ])(
    "from %d° to %d° over %d° ends where GeographicLib says (1e-8)",
    (lat1, lat2, dlon, azi1, azi2, s12, constant) => {
      const end = shoot(arcTo(lat1), azi1 * DEG, s12);
      expect(Math.abs(end.m - arcTo(lat2))).toBeLessThan(1e-8);
      expect(Math.abs(end.theta / DEG - dlon)).toBeLessThan(1e-8);
      expect(Math.abs(end.azimuth / DEG - azi2)).toBeLessThan(1e-7);
      // Clairaut: r sin(azimuth) is the same all along.
      expect(Math.abs(end.clairaut - constant)).toBeLessThan(1e-8);
      expect(end.spread).toBeLessThan(1e-8);
    },
  );
});
