/** Best focus and reach: closed form, brute force, and facts of the trade. */
import { describe, expect, it } from "vitest";
import lenses from "../../shared/lenses.json" with { type: "json" };
import sources from "../../shared/sources.json" with { type: "json" };
import { focusedSpot, relativeFluence } from "../../src/beam/spot.ts";
import { bestFocus } from "../../src/plan/focus.ts";
import { reachOf } from "../../src/plan/reach.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";

const source = sources.find((s) => s.id === "pulsed-fibre")!;
const beam = {
  wavelengthNm: source.wavelengthNm.value,
  beamDiameterMm: source.beamDiameterMm.value,
  m2: source.m2.value,
};
function station(id: string) {
  const lens = lenses.find((l) => l.id === id)!;
  const [pivotAcross, pivotAlong] = lens.pivotMm.value as [number, number];
  return {
    spot: focusedSpot(beam, lens.focalLengthMm.value),
    head: { pivotAcross, pivotAlong, field: lens.fieldMm.value },
  };
}
const steep = { maxIncidenceDeg: 60 };
/** Points along the crown circle from −half to half, at b = 0. */
const across = (half: number): Float64Array =>
  Float64Array.from(Array.from({ length: 401 }, (_, i) => [(half * (i - 200)) / 200, 0]).flat());

/** The smallest relative fluence over a width, straight from the definitions. */
function smallest(radius: number, half: number, belowCrown: number, id: string): number {
  const { spot, head } = station(id);
  const warp = new Warp(cylinder(radius, "girth"), { ...head, belowCrown });
  let least = 1;
  for (let i = 0; i <= 400; i++) {
    const m = warp.meeting((half * (i - 200)) / 200, 0);
    least = Math.min(least, typeof m === "string" ? 0 : relativeFluence(m, spot));
  }
  return least;
}

describe("reach", () => {
  it.each([20, 38.2, 41, 60])("depth limit in closed form, cos θ = 1 − 2 z_u/R, R = %d mm", (radius) => {
    const { spot, head } = station("field-300");
    const limits = { ...steep, usableDepthMm: 3 };
    const reach = reachOf(cylinder(radius, "girth"), head, limits);
    expect(reach.limitedBy).toBe("depth");
    expect(reach.aroundMm).toBeCloseTo(2 * radius * Math.acos(1 - 6 / radius), 9);
    expect(spot.rayleighMm).toBeGreaterThan(3);
    // Seen straight on, the same limit is a chord.
    const seen = reachOf(cylinder(radius, "sight"), head, limits);
    expect(seen.aroundMm).toBeCloseTo(2 * radius * Math.sin(Math.acos(1 - 6 / radius)), 9);
  });

  it("incidence limit of a telecentric lens is θ = i_max", () => {
    const head = { pivotAcross: Infinity, pivotAlong: Infinity, field: 300 };
    const reach = reachOf(cylinder(41, "girth"), head, { maxIncidenceDeg: 50, usableDepthMm: 100 });
    expect(reach.limitedBy).toBe("incidence");
    expect(reach.aroundMm).toBeCloseTo((2 * 41 * 50 * Math.PI) / 180, 9);
  });

  it("incidence limit under a pivot: θ + α = i_max with tan α = X/(p + d), d = z_u at the edge", () => {
    const head = { pivotAcross: 200, pivotAlong: 200, field: 300 };
    const reach = reachOf(cylinder(41, "girth"), head, { maxIncidenceDeg: 50, usableDepthMm: 30 });
    expect(reach.limitedBy).toBe("incidence");
    const theta = reach.aroundMm / 2 / 41;
    const alpha = Math.atan((41 * Math.sin(theta)) / (200 + 30));
    // δ = s − z_u puts the edge z_u below the focal plane.
    expect(((theta + alpha) * 180) / Math.PI).toBeCloseTo(50, 9);
  });

  it("field limit: u = field/2, also where u comes back past the horizon", () => {
    const reach = reachOf(
      cylinder(60, "girth"),
      { pivotAcross: 128, pivotAlong: 114, field: 70 },
      { ...steep, usableDepthMm: 12 },
    );
    expect(reach.limitedBy).toBe("field");
    const theta = reach.aroundMm / 2 / 60;
    expect((60 * Math.sin(theta)) / (1 + 12 / 128)).toBeCloseTo(35, 9);
  });
});

describe("best focus", () => {
  it.each([
    [38.2, 30, "field-300"],
    [41, 25, "field-300"],
    [30, 20, "field-220"],
    [41, 8, "field-110"],
  ])("R = %d, half width %d, %s: no δ of a brute-force scan does better", (radius, half, id) => {
    const { spot, head } = station(id);
    const surface = cylinder(radius, "girth");
    const best = bestFocus(surface, head, spot, spot.rayleighMm, across(half));
    const found = smallest(radius, half, best, id);
    const drop = radius * (1 - Math.cos(half / radius));
    for (let i = 0; i <= 2000; i++) {
      const belowCrown = -1 + ((drop + 2) * i) / 2000;
      const inDepth = belowCrown <= spot.rayleighMm && drop - belowCrown <= spot.rayleighMm;
      if (inDepth) expect(smallest(radius, half, belowCrown, id)).toBeLessThanOrEqual(found + 1e-9);
    }
    expect(best).toBeLessThanOrEqual(spot.rayleighMm + 1e-9);
    expect(drop - best).toBeLessThanOrEqual(spot.rayleighMm + 1e-9);
  });

  it("keeps the crown line usable where the artwork is wider than any focus reaches", () => {
    const { spot, head } = station("field-300");
    expect(bestFocus(cylinder(41, "girth"), head, spot, 7, across(55))).toBe(7);
  });
});

// The workshop facts below: common practice, no published source.
describe("facts of the trade, on a 76.4 mm vessel", () => {
  const radius = 38.2;
  const long = station("field-300");
  const short = station("field-110");
  const reachWith = ({ spot, head }: typeof long) =>
    reachOf(cylinder(radius, "girth"), head, { ...steep, usableDepthMm: spot.rayleighMm }).aroundMm;

  it("60 to 65 mm around is workable through the 300 mm-field lens", () => {
    expect(reachWith(long)).toBeGreaterThan(65);
    expect(reachWith(long)).toBeLessThan(80);
  });

  it("a 110 mm-field lens reaches less than half of that", () => {
    expect(reachWith(short)).toBeLessThan(60 / 2);
  });

  it("the 110 mm-field lens has a depth of focus of single millimetres", () => {
    expect(2 * short.spot.rayleighMm).toBeGreaterThan(1);
    expect(2 * short.spot.rayleighMm).toBeLessThan(10);
  });

  it.each([55, 60, 65])("focusing at three quarters of the drop beats half way, %d mm around", (width) => {
    const drop = radius * (1 - Math.cos(width / 2 / radius));
    const at = (fraction: number): number => smallest(radius, width / 2, fraction * drop, "field-300");
    expect(at(0.75)).toBeGreaterThan(at(0.5));
  });

  it("best focus lies between two thirds and three quarters of the drop where the depth leaves it free", () => {
    const surface = cylinder(radius, "girth");
    const half = 24;
    const drop = radius * (1 - Math.cos(half / radius));
    const best = bestFocus(surface, long.head, long.spot, long.spot.rayleighMm, across(half)) / drop;
    expect(best).toBeGreaterThan(0.6);
    expect(best).toBeLessThan(0.78);
  });
});
