/** The four debts of every vessel, fidelity and pose under a lens; what the cylinder's short way must agree with. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { ScanHead } from "../../src/head/scanhead.ts";
import { type Fidelity, fidelities } from "../../src/vessel/chart.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../../src/vessel/straight.ts";
import { Warp } from "../../src/warp/warp.ts";
import { atPoint, chartBy, evenly, flatPlaces, posed } from "../support/surfaces.ts";

const heads: readonly ScanHead[] = [
  { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 },
  { pivotAcross: 168, pivotAlong: 154, field: 70, belowCrown: 0.4 },
  { pivotAcross: Infinity, pivotAlong: Infinity, field: 110, belowCrown: -2 },
];

describe.each(posed)("$name", ({ surface }) => {
  const { chart, meridian } = surface;
  const sight = chart.fidelity === "sight";
  const places = flatPlaces(surface);
  const inner = flatPlaces(surface, 0.8);

  it("comes back from the command plane (1e-9 mm)", () => {
    for (const head of heads) {
      const warp = new Warp(surface, head);
      let seen = 0;
      for (const [a, b] of places) {
        const m = warp.meeting(a, b);
        if (typeof m === "string" || m.cosIncidence < 0.05) continue;
        seen++;
        const flat = warp.inverse({ x: m.u, y: m.v });
        if (typeof flat === "string") throw new Error(`${a}, ${b}: ${flat}`);
        expect(Math.hypot(flat.x - a, flat.y - b)).toBeLessThan(1e-9);
      }
      expect(seen).toBeGreaterThan(8);
    }
  });

  it("comes back from the vessel, its back too (1e-9 mm)", () => {
    const out = new Float64Array(2);
    for (const [a, b] of inner) {
      const s = atPoint(surface, a, b);
      surface.flatOf(s[0]!, s[1]!, s[2]!, out);
      expect(Math.hypot(out[0]! - a, out[1]! - b)).toBeLessThan(1e-9);
    }
  });

  it("has the derivative that central differences show (2e-7 of its size)", () => {
    const h = 1e-4;
    const like = (shown: number, slope: number): void =>
      expect(Math.abs(shown - slope)).toBeLessThan(2e-7 * Math.max(1, Math.abs(slope)));
    const [jet, near, far] = [new Float64Array(7), new Float64Array(7), new Float64Array(7)];
    const warp = new Warp(surface, heads[0]!);
    for (const [a, b] of inner)
      for (const [da, db, k] of [
        [h, 0, 0],
        [0, h, 1],
      ] as const) {
        const at = atPoint(surface, a, b);
        const [p, q] = [atPoint(surface, a - da, b - db), atPoint(surface, a + da, b + db)];
        for (const i of [0, 1, 2]) like((q[i]! - p[i]!) / (2 * h), at[3 + 2 * i + k]!);
        warp.at(a, b, jet);
        warp.at(a - da, b - db, near);
        warp.at(a + da, b + db, far);
        for (const i of [0, 1]) like((far[i]! - near[i]!) / (2 * h), jet[2 + 2 * i + k]!);
      }
  });

  it("has its normal square to the surface, a unit long, outward", () => {
    for (const [a, b] of inner) {
      const s = atPoint(surface, a, b);
      const [x, y, up] = [s[9]!, s[10]!, s[11]!];
      expect(Math.abs(Math.hypot(x, y, up) - 1)).toBeLessThan(1e-14);
      // s grows downward.
      for (const k of [3, 4]) {
        const long = Math.hypot(s[k]!, s[k + 2]!, s[k + 4]!);
        expect(Math.abs(x * s[k]! + y * s[k + 2]! - up * s[k + 4]!)).toBeLessThan(1e-12 * long);
      }
      const area = s[3]! * s[6]! - s[4]! * s[5]!;
      // Seen from above the page is not turned over where the surface looks up.
      expect(area * up).toBeGreaterThanOrEqual(0);
    }
  });

  it("is met there by a line from outside (1e-9 mm)", () => {
    let met = 0;
    for (const [a, b] of inner) {
      const s = atPoint(surface, a, b);
      for (const [x1, y1] of [
        [0, 0],
        [0.2, -0.1],
        [-0.35, 0.3],
      ] as const) {
        const cos = (s[11]! - x1 * s[9]! - y1 * s[10]!) / Math.hypot(1, x1, y1);
        if (cos < 0.05) continue;
        met++;
        const drop = surface.firstHit(s[0]! - x1 * s[2]!, x1, s[1]! - y1 * s[2]!, y1);
        expect(Math.abs(drop - s[2]!)).toBeLessThan(1e-9);
      }
    }
    expect(met).toBeGreaterThan(40);
  });

  it("names the failure just outside", () => {
    const warp = new Warp(surface, heads[0]!);
    const named = sight ? "off-profile" : "behind-the-vessel";
    expect(surface.outside).toBe(named);
    const told = (a: number, b: number): void => {
      expect(surface.covers(a, b)).toBe(false);
      expect(warp.failureAt(a, b)).toBe(named);
      expect(warp.meeting(a, b)).toBe(named);
    };
    expect(surface.covers(surface.halfWidth * (1 - 1e-5), 0)).toBe(true);
    told(surface.halfWidth * (1 + 1e-5), 0);
    told(-surface.halfWidth * (1 + 1e-5), 0);
    told(Number.NaN, 0);
    told(0, Number.NaN);
    told(Infinity, 0);
    told(0, Infinity);
    const flat = new Float64Array(2);
    for (const end of [meridian.from, meridian.to].filter(Number.isFinite)) {
      const out = Math.sign(end);
      // On a sphere the eye does not see so far.
      if (!chart.from(0.1, end - out * 1e-6, flat)) continue;
      expect(surface.covers(flat[0]!, flat[1]!)).toBe(true);
      chart.from(0.1, end + out * 1e-6, flat);
      told(flat[0]!, flat[1]!);
    }
  });

  it("never gives what is no number where it covers, nor an unnamed failure where it does not", () => {
    const warp = new Warp(surface, heads[1]!);
    const coordinate = fc.oneof(evenly(-150, 150), evenly(-50, 50), fc.double({ noNaN: false }));
    let [covered, not] = [0, 0];
    fc.assert(
      fc.property(coordinate, coordinate, (a, b) => {
        const jet = new Float64Array(7);
        if (surface.covers(a, b)) {
          covered++;
          for (const v of atPoint(surface, a, b)) expect(Number.isFinite(v)).toBe(true);
          if (warp.failureAt(a, b) !== null) return;
          warp.at(a, b, jet);
          for (const v of jet) expect(Number.isFinite(v)).toBe(true);
          for (const v of Object.values(warp.meetingUnchecked(a, b))) expect(Number.isFinite(v)).toBe(true);
        } else {
          not++;
          expect(warp.forward({ x: a, y: b })).toBe(surface.outside);
        }
        const back = warp.inverse({ x: a, y: b });
        if (typeof back !== "string") expect(typeof warp.forward(back)).toBe("object");
      }),
      { numRuns: 250, seed: 8 },
    );
    expect(covered).toBeGreaterThan(20);
    expect(not).toBeGreaterThan(20);
  });
});

describe.each([0.5, 41, 400])(
  "cylinder R = %d: its short way and the general one agree to 1e-12 of R",
  (radius) => {
    const outline = cylinderOutline(radius);
    it.each<Fidelity>([...fidelities])("%s", (fidelity) => {
      const short = cylinder(radius, fidelity);
      const long = revolved(
        outline,
        chartBy(fidelity === "sight" ? "sight from far" : fidelity, outline)!,
        0,
      );
      const slack = 1e-12 * Math.max(1, radius);
      const [p, q] = [new Float64Array(2), new Float64Array(2)];
      for (const f of [-0.95, -0.6, -0.2, -1e-5, 0, 1e-9, 0.33, 0.8, 0.95])
        for (const b of [-30, 0, 0.1, 55]) {
          const a = f * short.halfWidth;
          const [s, l] = [atPoint(short, a, b), atPoint(long, a, b)];
          for (let k = 0; k < 12; k++) expect(Math.abs(s[k]! - l[k]!)).toBeLessThan(slack);
          short.flatOf(s[0]!, s[1]!, s[2]!, p);
          long.flatOf(s[0]!, s[1]!, s[2]!, q);
          expect(Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!)).toBeLessThan(slack);
          const [x0, x1, y0, y1] = [0.7 * radius * f, 0.2 * f, b, -0.1] as const;
          expect(Math.abs(short.firstHit(x0, x1, y0, y1) - long.firstHit(x0, x1, y0, y1))).toBeLessThan(
            slack,
          );
        }
      expect(short.firstHit(1.1 * radius, 0, 0, 0)).toBeNaN();
      expect(long.firstHit(1.1 * radius, 0, 0, 0)).toBeNaN();
      expect(Math.abs(short.halfWidth - long.halfWidth)).toBeLessThan(slack);
      for (const key of ["outside", "alikeAlong", "tilt"] as const) expect(short[key]).toBe(long[key]);
      expect(short.chart.fidelity).toBe(long.chart.fidelity);
      for (const surface of [short, long])
        expect([1 - 1e-12, 1 + 1e-12].map((f) => surface.covers(f * surface.halfWidth, 0))).toEqual([
          true,
          false,
        ]);
      expect([long.covers(0, 1e9), long.covers(0, Number.NaN)]).toEqual([true, false]);
    });
  },
);

it("alike along the axis is only a level cylinder without ends, seen from far", () => {
  const told = posed.filter(({ surface }) => surface.alikeAlong).map(({ name }) => name);
  const level = ["levelled", "axis", "lying"];
  const by = ["girth", "true-width", "sheet", "sight from far"];
  expect(told).toEqual(by.flatMap((rule) => level.map((pose) => `cylinder, ${rule}, ${pose}`)));
});

describe("a vessel is met only from outside", () => {
  it("a line through a cone's mouth onto the inside of its wall passes by", () => {
    const cone = coneOutline(90, 66, 130, 60);
    // At the rim (y = −60) it is 35 mm from the axis, inside the radius of 45; it reaches the wall at y ≈ −31.
    expect(cone.hit(Float64Array.of(0, 0, -200, 1, 0, 0.25))).toBeNaN();
    const surface = revolved(cone, chartBy("girth", cone)!, 0.3);
    const head = { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 };
    // The rim lifted: straight down past the crown's end, into the mouth.
    const rim = atPoint(surface, 0, cone.from);
    const warp = new Warp(surface, head);
    const at = (y: number): string | object => warp.inverse({ x: 0, y: y / (1 + (rim[2]! - 6) / 531) });
    expect(typeof at(rim[1]! + 0.5)).toBe("object");
    expect(at(rim[1]! - 0.5)).toBe("misses-vessel");
  });

  it("a line into a sphere by the pole that its flat leaves out does not come to its inside", () => {
    expect(sphereOutline(45).hit(Float64Array.of(0, 0, -200, 1, 0, 0.002))).toBeNaN();
  });
});

it("a pivot below the point is named, and past the horizon too, on every vessel", () => {
  for (const { surface } of posed) {
    if (surface.chart.fidelity !== "girth") continue;
    const low = new Warp(surface, { pivotAcross: 5, pivotAlong: 5, field: 300, belowCrown: 6 });
    expect(low.meeting(0, 0)).toBe("above-pivot");
    const high = new Warp(surface, heads[0]!);
    expect(high.meeting(surface.halfWidth * 0.6, 0)).toBe("over-horizon");
  }
});
