/** The beam room against published and library numbers. */
import { describe, expect, it } from "vitest";
import { focusedSpot, relativeFluence, spotGrowth } from "../../src/beam/spot.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";

describe("waist and Rayleigh range, λ = 1064 nm", () => {
  // d₀ = 4 M² λ f/(π D), z_R = π d₀²/(4 M² λ): plain double arithmetic, Python 3.11; for M² = 1 SymPy 1.11.1's exact
  // thin lens (waist at the lens) gives 22.5786214 µm and 0.376307692 mm in the first row: 1.5e-5 less, as it should.
  it.each([
    // f mm, D mm, M², d₀ µm, z_R mm
    [100, 6, 1, 22.57878126, 0.376313021],
    [160, 7, 1.5, 46.4477785919, 1.06166351067],
    [254, 10, 1, 34.4100626402, 0.874015591061],
    [330, 7, 1.5, 95.7985433459, 4.51621704345],
    [420, 7, 1.5, 121.925418804, 7.31552512823],
    [420, 6, 1, 94.8308812919, 6.63816169043],
  ])("f = %d, D = %d, M² = %d", (f, beamDiameterMm, m2, waist, rayleigh) => {
    const spot = focusedSpot({ wavelengthNm: 1064, beamDiameterMm, m2 }, f);
    expect(Math.abs(1000 * spot.waistDiameterMm - waist)).toBeLessThan(1e-6);
    expect(Math.abs(spot.rayleighMm - rayleigh)).toBeLessThan(1e-8);
  });

  it("laserbeamsize tests/test_gaussian.py: w₀ = 1 mm, λ = 1 µm, M² = 2 has z_R = π/2 m", () => {
    // A waist of 2 mm diameter from D = 4 M² λ f/(π d₀).
    const f = 1000;
    const beamDiameterMm = (4 * 2 * 1e-3 * f) / (Math.PI * 2);
    const spot = focusedSpot({ wavelengthNm: 1000, beamDiameterMm, m2: 2 }, f);
    expect(spot.waistDiameterMm).toBeCloseTo(2, 12);
    expect(spot.rayleighMm).toBeCloseTo((1000 * Math.PI) / 2, 9);
  });
});

it("CVI Melles Griot, Lens Selection (25 LHR 151): HeNe, w₀ = 0.4 mm, 80.6 mm diameter at 80 m", () => {
  const rayleighMm = (Math.PI * 0.4 ** 2) / 632.8e-6;
  expect(0.8 * spotGrowth(80_000, { waistDiameterMm: 0.8, rayleighMm })).toBeCloseTo(80.57456996508392, 9);
});

it("SymPy BeamParameter(530 nm, 1 m, w₀ = 1 mm): w = 1.01413072159615 mm", () => {
  const rayleighMm = Math.PI / 530e-6;
  expect(rayleighMm).toBeCloseTo(5927.53330865999, 8);
  expect(spotGrowth(1000, { waistDiameterMm: 2, rayleighMm })).toBeCloseTo(1.01413072159615, 12);
});

it("defocus halves the fluence at one Rayleigh range (ISO 11146); 0.94117647 at a quarter, 0.2 at two", () => {
  const spot = { waistDiameterMm: 0.1, rayleighMm: 4 };
  const at = (q: number) => relativeFluence({ defocus: 4 * q, slant: 1, cosIncidence: 1 }, spot);
  expect([at(0), at(1), at(2)]).toEqual([1, 0.5, 0.2]);
  expect(at(-0.25)).toBeCloseTo(0.94117647, 8);
});

it("oblique: fluence goes with cos i (the product I₀ cos θ decides; pulsed laser on metal, scilit 44ed47b8…)", () => {
  const warp = new Warp(cylinder(40, "girth"), {
    pivotAcross: 160,
    pivotAlong: 160,
    field: 1000,
    belowCrown: 0,
  });
  const m = warp.meeting((40 * (40 * Math.PI)) / 180, 0);
  if (typeof m === "string") throw new Error(m);
  // R 40, H 160, θ = 40°: cos i 0.660885361007153, ray 171.298829272404 mm over 160 + 9.35822227524088 (mpmath 1.2.1).
  expect(m.cosIncidence).toBeCloseTo(0.660885361007153, 12);
  expect(m.slant).toBeCloseTo(171.298829272404 / 169.35822227524088, 12);
  const rayleighMm = 5;
  const along = (9.35822227524088 * 171.298829272404) / 169.35822227524088;
  expect(relativeFluence(m, { waistDiameterMm: 0.1, rayleighMm })).toBeCloseTo(
    0.660885361007153 / (1 + (along / 5) ** 2),
    12,
  );
});

it("is dark past the horizon, never negative", () => {
  expect(
    relativeFluence({ defocus: 0, slant: 1, cosIncidence: -0.2 }, { waistDiameterMm: 0.1, rayleighMm: 5 }),
  ).toBe(0);
});
