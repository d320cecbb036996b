/** Each surface's four debts: round trip, derivative, (reference numbers: tests/reference), named failure. */
import { describe, expect, it } from "vitest";
import type { Fidelity } from "../../src/vessel/chart.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";

const heads = [
  { name: "two pivots", pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 },
  { name: "short lens", pivotAcross: 128, pivotAlong: 114, field: 70, belowCrown: 0.4 },
  { name: "telecentric", pivotAcross: Infinity, pivotAlong: Infinity, field: 110, belowCrown: -2 },
];
const fidelities: Fidelity[] = ["girth", "sight"];

describe.each(fidelities)("%s", (fidelity) => {
  describe.each(heads)("$name", (head) => {
    const surface = cylinder(41, fidelity);
    const warp = new Warp(surface, head);
    const places = [-0.38, -0.2, -0.05, 0, 0.011, 0.17, 0.3].flatMap((f) =>
      [-40, -3, 0, 22].map((b) => [f * surface.halfWidth * (fidelity === "girth" ? 1 : 2.2), b] as const),
    );

    it("comes back from the command plane (1e-9 mm)", () => {
      for (const [a, b] of places) {
        const command = warp.forward({ x: a, y: b });
        if (typeof command === "string") throw new Error(`${a}, ${b}: ${command}`);
        const flat = warp.inverse(command);
        if (typeof flat === "string") throw new Error(flat);
        expect(Math.hypot(flat.x - a, flat.y - b)).toBeLessThan(1e-9);
      }
    });

    it("has the derivative that central differences show (1e-8)", () => {
      const h = 1e-4;
      const jet = new Float64Array(7);
      const near = new Float64Array(7);
      const far = new Float64Array(7);
      for (const [a, b] of places) {
        warp.at(a, b, jet);
        warp.at(a + h, b, far);
        warp.at(a - h, b, near);
        expect(Math.abs((far[0]! - near[0]!) / (2 * h) - jet[2]!)).toBeLessThan(1e-8);
        expect(Math.abs((far[1]! - near[1]!) / (2 * h) - jet[4]!)).toBeLessThan(1e-8);
        warp.at(a, b + h, far);
        warp.at(a, b - h, near);
        expect(Math.abs((far[0]! - near[0]!) / (2 * h) - jet[3]!)).toBeLessThan(1e-8);
        expect(Math.abs((far[1]! - near[1]!) / (2 * h) - jet[5]!)).toBeLessThan(1e-8);
      }
    });

    it("scales no direction on the surface by less than its scale", () => {
      const jet = new Float64Array(7);
      const at = new Float64Array(12);
      for (const [a, b] of places) {
        warp.at(a, b, jet);
        surface.at(a, b, at);
        let least = Infinity;
        for (let i = 0; i < 720; i++) {
          const [da, db] = [Math.cos((i * Math.PI) / 720), Math.sin((i * Math.PI) / 720)];
          const onVessel = Math.hypot(
            at[3]! * da + at[4]! * db,
            at[5]! * da + at[6]! * db,
            at[7]! * da + at[8]! * db,
          );
          const inCommand = Math.hypot(jet[2]! * da + jet[3]! * db, jet[4]! * da + jet[5]! * db);
          least = Math.min(least, inCommand / onVessel);
        }
        expect(jet[6]!).toBeLessThanOrEqual(least + 1e-12);
        expect(jet[6]!).toBeGreaterThan(least - 1e-4);
      }
    });
  });

  it("names the failure just outside the domain", () => {
    const surface = cylinder(41, fidelity);
    const warp = new Warp(surface, heads[0]!);
    const outside = fidelity === "girth" ? "behind-the-vessel" : "off-profile";
    expect(warp.meeting(surface.halfWidth, 0)).toBe(outside);
    expect(warp.meeting(-surface.halfWidth * 1.5, 0)).toBe(outside);
    expect(warp.meeting(Number.NaN, 0)).toBe(outside);
    expect(warp.meeting(0, Infinity)).toBe(outside);
    expect(warp.meeting(surface.halfWidth * 0.9999, 0)).toBe("over-horizon");
    expect(warp.inverse({ x: 45, y: 0 })).toBe("misses-vessel");
  });
});

it("a pivot below the point is named, not mapped", () => {
  const warp = new Warp(cylinder(41, "girth"), { pivotAcross: 5, pivotAlong: 5, field: 300, belowCrown: 6 });
  expect(warp.meeting(0, 0)).toBe("above-pivot");
});

it("girth keeps lengths on the vessel, sight keeps them as seen", () => {
  const at = new Float64Array(12);
  cylinder(41, "girth").at(20, 3, at);
  expect(Math.hypot(at[3]!, at[5]!, at[7]!)).toBeCloseTo(1, 14);
  cylinder(41, "sight").at(20, 3, at);
  expect([at[0], at[3]]).toEqual([20, 1]);
});
