/** What every fidelity owes (src/vessel/chart.ts): there and back, exact derivative, mirror, an end that is told. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sheetChart, sightChart } from "../../src/vessel/chart.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { atPoint, charted, evenly, NEAR, placesOf, vessels } from "../support/surfaces.ts";

describe.each(charted)("$name", ({ outline, chart, rule }) => {
  const sight = rule.startsWith("sight");
  const flat = new Float64Array(2);
  const jet = new Float64Array(6);
  const places = placesOf(outline, chart);

  it("comes back from the flat (1e-12 of a turn, 1e-11 mm)", () => {
    for (const [theta, m] of places) {
      expect(chart.from(theta, m, flat)).toBe(true);
      expect(chart.to(flat[0]!, flat[1]!, jet)).toBe(true);
      // Seen aslant a place is told less well.
      const slack = sight ? 1 / Math.cos(Math.abs(theta / chart.halfAngle(m)) * (Math.PI / 2)) : 1;
      expect(Math.abs(jet[0]! - theta)).toBeLessThan(1e-12 * slack);
      expect(Math.abs(jet[1]! - m)).toBeLessThan(1e-11 * slack);
    }
    expect(places.length).toBe(48);
  });

  it("has the crown line in its middle, upright", () => {
    for (const [, m] of places) {
      chart.from(0, m, flat);
      expect(Math.abs(flat[0]!)).toBe(0);
      chart.to(0, flat[1]!, jet);
      expect(Math.abs(jet[0]!)).toBe(0);
      expect(jet[2]).toBeGreaterThan(0);
      expect(jet[5]).toBeGreaterThan(0);
    }
    chart.from(0, 0, flat);
    expect(Math.abs(flat[1]!)).toBe(0);
  });

  it("mirrors left and right", () => {
    const other = new Float64Array(6);
    for (const [theta, m] of places) {
      chart.from(theta, m, flat);
      const [a, b] = [flat[0]!, flat[1]!];
      chart.from(-theta, m, flat);
      expect([flat[0]! + a, flat[1]! - b]).toEqual([0, 0]);
      chart.to(a, b, jet);
      chart.to(-a, b, other);
      const signs = [-1, 1, 1, -1, -1, 1];
      for (let k = 0; k < 6; k++) expect(Math.abs(other[k]! - signs[k]! * jet[k]!)).toBe(0);
    }
  });

  it("has the derivative that central differences show (2e-7 of its size)", () => {
    const h = 1e-4;
    const [near, far] = [new Float64Array(6), new Float64Array(6)];
    for (const [theta, m] of placesOf(outline, chart, sight ? 0.8 : 0.95)) {
      chart.from(theta, m, flat);
      const [a, b] = [flat[0]!, flat[1]!];
      chart.to(a, b, jet);
      for (const [da, db, first] of [
        [h, 0, 2],
        [0, h, 3],
      ] as const) {
        expect(chart.to(a - da, b - db, near) && chart.to(a + da, b + db, far)).toBe(true);
        for (const k of [0, 1]) {
          const slope = jet[first + 2 * k]!;
          const shown = (far[k]! - near[k]!) / (2 * h);
          expect(Math.abs(shown - slope)).toBeLessThan(2e-7 * Math.max(0.1, Math.abs(slope)));
        }
      }
    }
  });

  it("shows the vessel up to its half-angle and no further", () => {
    for (const [, m] of places) {
      const half = chart.halfAngle(m);
      expect(chart.from(half * (1 - 1e-9), m, flat)).toBe(true);
      const shown = chart.to(flat[0]!, flat[1]!, jet);
      // At the edge of a view rounding decides, but the edge of what goes around does not move.
      if (!sight) expect(shown).toBe(true);
      expect(half).toBeLessThanOrEqual(Math.PI);
      if (sight) expect(chart.from(half * (1 + 1e-9), m, flat)).toBe(false);
      else expect(half).toBe(Math.PI);
    }
  });

  it("gives no point where there is none", () => {
    for (const bad of [Number.NaN, Infinity]) {
      const places: [number, number][] = [
        [bad, 0],
        [0, bad],
      ];
      // Girth and true-width leave it to the vessel's ends and to θ.
      for (const [a, b] of places) {
        const shown = chart.to(a, b, jet);
        expect(shown && Math.abs(jet[0]!) < Math.PI && Math.abs(jet[1]!) < 1e6).toBe(false);
      }
    }
    if (!sight) return;
    chart.from(chart.halfAngle(0) * (1 - 1e-9), 0, flat);
    expect(chart.to(flat[0]! * (1 + 1e-6), flat[1]!, jet)).toBe(false);
    for (const end of [outline.from, outline.to].filter(Number.isFinite)) {
      const o = new Float64Array(4);
      outline.at(end, o);
      expect(chart.to(0, 1.5 * o[1]!, jet)).toBe(false);
    }
  });
});

describe("sight from near", () => {
  it.each(vessels)(
    "%s: the line from the eye through the flat's point meets the surface there, and there first",
    (_, outline) => {
      const surface = revolved(outline, sightChart(outline, NEAR), 0);
      const r0 = outline.radius;
      let met = 0;
      fc.assert(
        fc.property(evenly(-38, 38), evenly(-40, 45), (a, b) => {
          if (!surface.covers(a, b)) return;
          met++;
          const s = atPoint(surface, a, b);
          // X, Y, and up from the axis; the flat stands at the crown, the eye NEAR before it.
          const point = [s[0]!, s[1]!, r0 - s[2]!] as const;
          const eye = [0, 0, r0 + NEAR] as const;
          const through = [a, b, r0] as const;
          const [p, q] = [eye, eye].map((e, i) => [point, through][i]!.map((v, k) => v - e[k]!)) as [
            number[],
            number[],
          ];
          const cross = [0, 1, 2].map(
            (k) => p[(k + 1) % 3]! * q[(k + 2) % 3]! - p[(k + 2) % 3]! * q[(k + 1) % 3]!,
          );
          expect(Math.hypot(...cross) / Math.hypot(...q)).toBeLessThan(1e-10);
          expect(p[2]).toBeLessThan(0);
          // Nothing of the vessel before it: by small steps from the eye.
          for (let t = 0; t < 0.999; t += 0.01) {
            const [x, y, z] = eye.map((v, k) => v + p[k]! * t) as [number, number, number];
            const m = outline.arcAt(y);
            if (Number.isNaN(m)) continue;
            const o = new Float64Array(4);
            outline.at(m, o);
            expect(Math.hypot(x, z)).toBeGreaterThan(o[0]!);
          }
        }),
        { numRuns: 400, seed: 5 },
      );
      expect(met).toBeGreaterThan(150);
    },
  );

  it("what lies past the eye's own horizon is not shown: on a sphere beyond acos(R/(R + D))", () => {
    const chart = sightChart(sphereOutline(45), NEAR);
    const horizon = 45 * Math.acos(45 / (45 + NEAR));
    const flat = new Float64Array(2);
    // What grazes (a cosine of 1e-3) is left out.
    for (const side of [1, -1]) {
      expect(chart.from(0, side * (horizon - 0.1), flat)).toBe(true);
      expect(chart.from(0, side * (horizon + 1e-9), flat)).toBe(false);
      expect(chart.halfAngle(side * (horizon + 1e-9))).toBe(0);
    }
    expect(Math.abs(chart.halfAngle(0) - horizon / 45)).toBeLessThan(2e-3);
  });

  it.each(vessels)("%s: from very far it is the straight-on view (1e-5 mm from 10⁹ mm)", (_, outline) => {
    const [near, far] = [sightChart(outline, 1e9), sightChart(outline, Infinity)];
    const [p, q] = [new Float64Array(2), new Float64Array(2)];
    for (const [theta, m] of placesOf(outline, far, 0.9)) {
      if (!near.from(theta, m, p)) continue;
      expect(far.from(theta, m, q)).toBe(true);
      expect(Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!)).toBeLessThan(1e-5);
    }
  });
});

describe("sight from far", () => {
  it.each(vessels)("%s: X = a, Y = b with the axis level", (_, outline) => {
    const surface = revolved(outline, sightChart(outline, Infinity), 0);
    for (const [a, b] of [
      [0, 0],
      [20, -12],
      [-27, 30],
    ] as const) {
      const s = atPoint(surface, a, b);
      expect(Math.abs(s[0]! - a)).toBeLessThan(1e-13);
      expect(Math.abs(s[1]! - b)).toBeLessThan(1e-13);
    }
  });
});

it("no sheet covers a sphere", () => {
  expect(() => sheetChart(sphereOutline(45))).toThrow(RangeError);
});
