/** The first article's kernel: what the edges get on a vessel that lies off, and how far off the clear mark tells. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { relativeFluence, type Spot } from "../../src/beam/spot.ts";
import { clearReach, falloffOnVessel, falloffWhenOff, firstArticle } from "../../src/plan/firstarticle.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";
import { crestPlan } from "../picture/helpers.ts";

const R = 41;
const spot: Spot = { waistDiameterMm: 0.12, rayleighMm: 7.3 };
const warpOf = (pivot: number, belowCrown: number, pivotAlong = pivot): Warp =>
  new Warp(cylinder(R, "girth"), { pivotAcross: pivot, pivotAlong, field: 300, belowCrown });

describe("a vessel off the optical axis", () => {
  it("telecentric: the drop is R(1 − cos asin((u − e)/R)), by plane geometry", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -30, max: 30, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.double({ min: -2, max: 8, noNaN: true }),
        (a, e, belowCrown) => {
          const u = R * Math.sin(a / R);
          const theta = Math.asin((u - e) / R);
          const defocus = R * (1 - Math.cos(theta)) - belowCrown;
          const phi = relativeFluence({ defocus, slant: 1, cosIncidence: Math.cos(theta) }, spot);
          const found = falloffWhenOff(warpOf(Infinity, belowCrown), spot, a, 0, e);
          expect(Math.abs(found - phi)).toBeLessThan(1e-12);
        },
      ),
    );
  });

  it("with a pivot: φ from the triangle of pivot, vessel's axis and the point met, worked out apart", () => {
    // In the plane b = 0: from the pivot, p above the focal plane on the optical axis, toward (u, focal plane).
    const [p, belowCrown] = [560, 4.7];
    const warp = warpOf(p, belowCrown);
    for (const [a, e] of [
      [25, 1],
      [-25, 1],
      [10, -2],
      [-31, 0.5],
    ] as const) {
      const { u } = warp.meeting(a, 0) as { u: number };
      // Height over the focal plane; the vessel's axis lies at (e, δ − R).
      const pivot = { x: 0, z: p };
      const axis = { x: e, z: belowCrown - R };
      const length = Math.hypot(u, p);
      const t = { x: u / length, z: -p / length };
      const to = { x: axis.x - pivot.x, z: axis.z - pivot.z };
      const along = to.x * t.x + to.z * t.z;
      const beside = Math.abs(to.x * t.z - to.z * t.x);
      const s = along - Math.sqrt(R * R - beside * beside);
      const z = pivot.z + s * t.z;
      const phi = relativeFluence(
        { defocus: -z, slant: -1 / t.z, cosIncidence: Math.sqrt(1 - (beside / R) ** 2) },
        spot,
      );
      expect(falloffWhenOff(warp, spot, a, 0, e)).toBeCloseTo(phi, 12);
    }
  });

  it("to the other side swaps the edges, and none is as planned", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 35, noNaN: true }),
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: -3, max: 3, noNaN: true }),
        (a, b, e) => {
          const warp = warpOf(560, 4.7, 480);
          const one = falloffWhenOff(warp, spot, a, b, e);
          expect(one).toBeCloseTo(falloffWhenOff(warp, spot, -a, b, -e), 12);
          const met = warp.meeting(a, b);
          if (typeof met !== "string")
            expect(falloffWhenOff(warp, spot, a, b, 0)).toBeCloseTo(relativeFluence(met, spot), 10);
        },
      ),
    );
  });

  it("a beam that passes by, or a point that none is meant for, gets nothing", () => {
    const warp = warpOf(Infinity, 0);
    const edge = R * Math.asin(40 / R);
    expect(falloffWhenOff(warp, spot, edge, 0, 0)).toBeGreaterThan(0);
    expect(falloffWhenOff(warp, spot, edge, 0, -2)).toBe(0);
    expect(falloffWhenOff(warp, spot, 100, 0, 0)).toBe(0);
    expect(falloffOnVessel(warp, spot, 100, 0, 0)).toBe(0);
  });
});

describe("how far what is clear reaches", () => {
  const half = (warp: Warp, s: Spot, level: number, e: number): number => {
    const { leftMm, rightMm } = clearReach(warp, s, level, 0, e)!;
    return (rightMm - leftMm) / 2;
  };

  it("telecentric: even about the crown line, so that half the difference is the arc R asin(e/R)", () => {
    for (const e of [-2, 0, 0.5, 2])
      expect(half(warpOf(Infinity, 4), spot, 0.5, e)).toBeCloseTo(R * Math.asin(e / R), 8);
  });

  it("incidence alone: even about the line that faces the pivot, R atan(e/L) off, by plane geometry", () => {
    const [p, belowCrown] = [300, 5];
    const long: Spot = { waistDiameterMm: 1, rayleighMm: 1e12 };
    const L = p - belowCrown + R;
    for (const e of [-2, 0.5, 1, 3]) {
      const told = half(warpOf(p, belowCrown), long, Math.cos(0.7), e);
      expect(told).toBeCloseTo(R * (Math.asin(e / R) - Math.atan(e / L)), 7);
    }
  });

  it("both together lie between, on the crown line's side", () => {
    const [p, belowCrown] = [560, 4.7];
    const told = half(warpOf(p, belowCrown), spot, 0.6, 1);
    expect(told).toBeLessThan(1);
    expect(told).toBeGreaterThan(1 - R / (p - belowCrown + R));
  });

  it("a level that is never reached has no ends", () => {
    expect(clearReach(warpOf(560, 4.7), spot, 1.5, 0, 1)).toBeNull();
  });
});

describe("the first article of a plan", () => {
  it("even artwork: rows mirrored, the slope as the rows run, the wider side told", async () => {
    const plan = await crestPlan();
    const first = firstArticle(plan)!;
    expect(first.leftMm).toBeCloseTo(-25, 6);
    expect(first.rightMm).toBeCloseTo(25, 6);
    expect(first.fluence.left).toBeCloseTo(first.fluence.right, 9);
    const at = (offMm: number) => first.rows.find((r) => r.offMm === offMm)!;
    for (const offMm of [0.5, 1, 2]) {
      expect(at(offMm).left).toBeCloseTo(at(-offMm).right, 9);
      expect(at(offMm).right).toBeCloseTo(at(-offMm).left, 9);
      // The crown line to the right: the right edge climbs toward it, the left falls away.
      expect(at(offMm).right).toBeGreaterThan(1);
      expect(at(offMm).left).toBeLessThan(1);
    }
    // A finite difference of its own, over a wider step, with its next term taken off.
    const mean = (h: number): number =>
      (falloffWhenOff(plan.warp, plan.spot, -25, 0, h) - falloffWhenOff(plan.warp, plan.spot, -25, 0, -h)) /
      (2 * h * first.fluence.left);
    expect(first.slopePerMm.left).toBeCloseTo((4 * mean(0.1) - mean(0.2)) / 3, 5);
    expect(first.slopePerMm.right).toBeCloseTo(-first.slopePerMm.left, 6);
    expect(first.share).toBeGreaterThan(0.9);
    expect(first.share).toBeLessThan(1.001);
  });

  it("ink beside the crown line: its own edges, each with its own slope", async () => {
    const first = firstArticle(await crestPlan({ placement: { widthMm: 30, atMm: [8, 3] } }))!;
    expect(first.leftMm).toBeCloseTo(-7, 6);
    expect(first.rightMm).toBeCloseTo(23, 6);
    expect(first.rowMm).toBeCloseTo(3, 6);
    expect(first.slopePerMm.right).toBeGreaterThan(Math.abs(first.slopePerMm.left));
  });

  it("is told of the usable ink alone, and not at all where none is usable", async () => {
    const wide = firstArticle(await crestPlan({ placement: { widthMm: 90 } }))!;
    expect(wide.rightMm).toBeLessThan(44);
    expect(wide.fluence.right).toBeGreaterThan(0);
    const none = await crestPlan({ focus: -40 });
    expect(none.pieces.get("usable") ?? []).toHaveLength(0);
    expect(firstArticle(none)).toBeNull();
  });
});
