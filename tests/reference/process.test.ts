/** Pulse, removal and incubation against published, library and quadrature numbers. */
import { describe, expect, it } from "vitest";
import { metalThreshold } from "../../src/beam/metal.ts";
import {
  arealDose,
  footprint,
  footprintArea,
  peakFluence,
  pulseDensity,
  pulseEnergy,
} from "../../src/beam/pulse.ts";
import { pulseDepth, pulseVolume, removedDiameter } from "../../src/beam/removal.ts";
import { focusedSpot } from "../../src/beam/spot.ts";
import { maximise } from "../../src/geometry/roots.ts";
import { girthChart } from "../../src/vessel/chart.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { Warp } from "../../src/warp/warp.ts";
import { profiles } from "../support/profiles.ts";
import { layLines, Patch, seeded, type Tilt, tiltedPlane } from "../support/pulses.ts";

const DEG = Math.PI / 180;
const relative = (value: number, expected: number): number => Math.abs(value / expected - 1);
/** Midpoint rule of f(r) over circles from 0 to `end`: ∫ f 2πr dr. */
const overDisc = (f: (r: number) => number, end: number): number => {
  const n = 20_000;
  const h = end / n;
  let sum = 0;
  for (let k = 0; k < n; k++) sum += f((k + 0.5) * h) * (k + 0.5) * h;
  return 2 * Math.PI * h * sum;
};

describe("ISO 11146: w is the 1/e² radius, w = 2σ", () => {
  // Prahl, "ISO 11146 Beam Size Definitions" (scottprahl/laserbeamsize docs/01-Definitions.ipynb): D4σ = 2w.
  it("the Gaussian under the peak fluence has D4σ = 2w, on a lean D4σ = 2w/cos i", () => {
    const w = 0.04; // mm
    for (const cos of [1, 0.5]) {
      const { acrossMm, alongMm } = footprint(w, cos);
      // The second moment along the lean of what falls there: r² → y² cos² i from the beam's axis.
      let [mass, second] = [0, 0];
      for (let k = -4000; k <= 4000; k++) {
        const y = (k / 4000) * 6 * alongMm;
        const f = Math.exp(-2 * ((y * cos) / w) ** 2);
        mass += f;
        second += f * y * y;
      }
      expect(relative(4 * Math.sqrt(second / mass), 2 * alongMm)).toBeLessThan(1e-9);
      expect(acrossMm).toBe(w);
      expect(relative(Math.PI * acrossMm * alongMm, footprintArea(w, cos))).toBeLessThan(1e-14);
    }
  });

  // 1 − exp(−2r²/w²), double arithmetic, Python 3.11.
  it.each([
    [0.5, 0.3934693402873666],
    [1, 0.8646647167633873],
    [1.5, 0.9888910034617577],
    [2, 0.9996645373720975],
  ])("the peak fluence's profile holds inside r = %d w the share %d of the energy", (r, share) => {
    const [energy, w] = [0.8, 0.031]; // mJ, mm
    // 1 J/cm² over 1 mm² is 10 mJ.
    const inside = overDisc((x) => 10 * peakFluence(energy, w, 1) * Math.exp((-2 * x * x) / w ** 2), r * w);
    expect(relative(inside / energy, share)).toBeLessThan(1e-8);
  });

  it("1 mJ in w₀ = 25 µm: 2E/(πw₀²) = 101.859163578813 J/cm² (double arithmetic, Python 3.11)", () => {
    expect(relative(peakFluence(pulseEnergy(30, 30), 0.025, 1), 101.859163578813)).toBeLessThan(1e-14);
    expect(peakFluence(1, 0.025, -0.1)).toBe(0);
  });
});

describe("peak fluence of 1 mJ behind a lens, λ = 1064 nm, against double arithmetic (Python 3.11)", () => {
  // Last column: SymPy 1.11.1, exact thin lens (waist at the lens) for M² = 1, d₀ in µm.
  it.each([
    // f mm, D mm, M², J/cm², SymPy d₀ µm
    [100, 6, 1, 499.504174245, 22.5786214],
    [100, 10, 1, 1387.51159513, 13.5472563],
    [100, 7, 1.5, 302.169191827, null],
    [160, 6, 1, 195.118818064, 36.1253952],
    [160, 10, 1, 541.996716846, 21.6755791],
    [160, 7, 1.5, 118.034840558, null],
    [163, 6, 1, 188.002624956, 36.8027211],
    [163, 10, 1, 522.229513766, 22.0819942],
    [163, 7, 1.5, 113.729982998, null],
    [210, 6, 1, 113.266252663, 47.4139602],
    [210, 10, 1, 314.62847962, 28.4491493],
    [210, 7, 1.5, 68.5190911173, null],
    [254, 6, 1, 77.4233018546, 57.3474848],
    [254, 10, 1, 215.064727374, 34.4098589],
    [254, 7, 1.5, 46.8363184059, null],
    [290, 6, 1, 59.3940754156, 65.4745669],
    [290, 10, 1, 164.983542821, 39.2867762],
    [290, 7, 1.5, 35.9297493255, null],
    [330, 6, 1, 45.868151905, 74.5042335],
    [330, 10, 1, 127.411533069, 44.7055401],
    [330, 7, 1.5, 27.7474005351, null],
    [420, 6, 1, 28.3165631658, 94.819039],
    [420, 10, 1, 78.6571199051, 56.8976078],
    [420, 7, 1.5, 17.1297727793, null],
  ] as [number, number, number, number, number | null][])(
    "f = %d, D = %d, M² = %d",
    (f, d, m2, fluence, thin) => {
      const { waistDiameterMm } = focusedSpot({ wavelengthNm: 1064, beamDiameterMm: d, m2 }, f);
      expect(relative(peakFluence(1, waistDiameterMm / 2, 1), fluence)).toBeLessThan(1e-11);
      if (thin === null) return;
      // The thin lens keeps f² + z_in² under its root where the kernel keeps z_in alone.
      const into = (Math.PI * d * d) / (4 * 1064e-6);
      expect(Math.abs((1000 * waistDiameterMm) / Math.hypot(1, f / into) - thin)).toBeLessThan(6e-7); // µm
    },
  );
});

describe("removal by the logarithmic law", () => {
  // D² = 2w₀² ln q (J. M. Liu, Opt. Lett. 7, 196, 1982), depth ln q, V = (π/4)w₀²δ ln² q; efficiency against that
  // at q = e², 2δ/(e² F_th) (Furmanski 2007, Neuenschwander 2010, from memory). Values computed, to 15 digits.
  it.each([
    // q = F₀/F_th, D/w₀, depth/δ, V/(πw₀²δ/4), efficiency/largest
    [1.2, 0.603856865149275, 0.182321556793955, 0.0332411500717712, 0.0511709838902688],
    [1.5, 0.900516638500549, 0.405465108108164, 0.164401953893165, 0.202462543348402],
    [2, 1.17741002251547, Math.LN2, 0.480453013918201, 0.443761784092737],
    [3, 1.48230380736751, 1.09861228866811, 1.20694896081258, 0.743184464999185],
    [5, 1.7941225779941, 1.6094379124341, 2.59029039398024, 0.956990051682057],
    [7.38905609893065, 2, 2, 4, 1],
    [10, 2.14596602628935, Math.LN10, 5.3018981104784, 0.979400564228482],
    [15, 2.32725168432734, 2.70805020110221, 7.33353589168972, 0.903131801786946],
    [20, 2.44774683068082, 2.99573227355399, 8.97441185481296, 0.828905408126516],
    [50, 2.79714962253654, 3.91202300542815, 15.3039239949991, 0.565407764664095],
  ])("q = %d", (q, diameter, depth, volume, efficiency) => {
    const [w, delta, threshold] = [0.03, 0.004, 1.3]; // mm, mm, J/cm²
    const fluence = q * threshold;
    expect(relative(removedDiameter(fluence, threshold, w) / w, diameter)).toBeLessThan(1e-12);
    expect(relative(pulseDepth(fluence, threshold, delta) / delta, depth)).toBeLessThan(1e-12);
    const v = pulseVolume(fluence, threshold, delta, footprintArea(w, 1));
    expect(relative(v / ((Math.PI * w * w * delta) / 4), volume)).toBeLessThan(1e-12);
    // E = F₀ πw²/2; 1 J/cm² is 10 mJ/mm².
    const energy = (10 * fluence * Math.PI * w * w) / 2;
    const best = (2 * delta) / (Math.exp(2) * 10 * threshold);
    expect(relative(v / energy / best, efficiency)).toBeLessThan(1e-12);
  });

  it("leaves all at and below the threshold", () => {
    expect([pulseDepth(1.3, 1.3, 4), removedDiameter(1.3, 1.3, 4), pulseVolume(1.2, 1.3, 4, 1)]).toEqual([
      0, 0, 0,
    ]);
  });

  // w₀ = 25 µm, F_th = 1.2 J/cm², computed by D² = 2w₀² ln(F₀/F_th) (Liu 1982).
  it.each([
    // µJ, F₀ J/cm², D µm
    [20, 2.0371832716, 25.7207734069728],
    [30, 3.0557749074, 34.18171396796897],
    [50, 5.0929581789, 42.507900436219295],
    [80, 8.1487330863, 48.93287377676385],
    [120, 12.2230996295, 53.863322596994585],
    [200, 20.3718327158, 59.496130553972975],
  ])("Liu's plot: %d µJ", (microjoules, fluence, diameter) => {
    const peak = peakFluence(microjoules / 1000, 0.025, 1);
    expect(Math.abs(peak - fluence)).toBeLessThan(6e-11);
    expect(Math.abs(removedDiameter(peak, 1.2, 25) - diameter)).toBeLessThan(1e-11);
  });

  it("V/E is largest at q = e²: 7.389056204 (bounded minimisation, SciPy 1.10.1), and there 2δ/(e² F_th)", () => {
    const efficiency = (q: number): number => {
      const [w, delta] = [0.02, 0.003]; // mm
      const energy = 0.4 * q; // mJ
      const threshold = peakFluence(0.4, w, 1);
      return pulseVolume(peakFluence(energy, w, 1), threshold, delta, footprintArea(w, 1)) / energy;
    };
    const q = maximise(efficiency, 1.01, 60);
    expect(Math.abs(q - 7.389056204)).toBeLessThan(1e-6);
    const best = (2 * 0.003) / (Math.exp(2) * 10 * peakFluence(0.4, 0.02, 1)); // mm³/mJ
    expect(relative(efficiency(q), best)).toBeLessThan(1e-12);
  });

  it.each([0, 30, 60])(
    "the volume is the depth over the footprint, by quadrature, at %d° of incidence",
    (deg) => {
      const [w, delta, energy, cos] = [0.03, 0.004, 0.5, Math.cos(deg * DEG)];
      const peak = peakFluence(energy, w, cos);
      const n = 800;
      for (const q of [1.2, 3, 15]) {
        const reach = 1.3 * w;
        let [volume, removed] = [0, 0];
        for (let j = 0; j < n; j++) {
          // y on the surface along the lean; y cos i of it lies across the beam.
          const y = ((j + 0.5) / n) * (reach / cos);
          for (let i = 0; i < n; i++) {
            const x = ((i + 0.5) / n) * reach;
            const fluence = peak * Math.exp((-2 * (x * x + (y * cos) ** 2)) / (w * w));
            volume += pulseDepth(fluence, peak / q, delta);
            if (fluence > peak / q) removed++;
          }
        }
        const cell = (4 * reach * reach) / cos / (n * n);
        const area = footprintArea(w, cos);
        expect(relative(volume * cell, pulseVolume(peak, peak / q, delta, area))).toBeLessThan(1e-5);
        // What is bared is the ellipse of Liu's diameter across and 1/cos i of it along.
        const bared = ((Math.PI / 4) * removedDiameter(peak, peak / q, w) ** 2) / cos;
        expect(relative(removed * cell, bared)).toBeLessThan(1e-3);
      }
    },
  );
});

describe("incubation N^(S−1) (Jee, Becker, Walser, J. Opt. Soc. Am. B 5, 648, 1988, from memory)", () => {
  const pulses = [1, 2, 5, 10, 50, 100, 1000]; // factors computed, ten digits
  // S: stainless steel 0.81 at 1030 nm, 0.80 at 515 nm, cemented tungsten carbide 0.90 at 1030 nm ("Fundamental
  // investigations of ultrashort pulsed laser ablation on stainless steel and cemented tungsten carbide").
  it.each([
    [0.81, [1, 0.8766057213, 0.7365389175, 0.645654229, 0.4755494669, 0.4168693835, 0.2691534804]],
    [0.8, [1, 0.8705505633, 0.7247796637, 0.6309573445, 0.4573050519, 0.3981071706, 0.2511886432]],
    [0.9, [1, 0.9330329915, 0.8513399225, 0.7943282347, 0.6762433378, 0.6309573445, 0.5011872336]],
  ])("S = %d", (s, factors) => {
    for (const [i, n] of pulses.entries())
      expect(Math.abs(metalThreshold(1, s, n) - factors[i]!)).toBeLessThan(1e-9);
    expect(metalThreshold(5, s, 10)).toBeCloseTo(5 * factors[3]!, 8);
    expect(metalThreshold(5, s, 0.4)).toBe(5);
  });
});

describe("area ratio on a sphere, R = 40 mm under a pivot 160 mm above its crown, is Snyder's h′k′", () => {
  const R = 40;
  /** a = R·longitude, b = R·latitude: two coordinates that keep neither area nor angle. */
  const outline = sphereOutline(R);
  const sphere = revolved(outline, girthChart(outline, 0), 0);
  const warp = new Warp(sphere, { pivotAcross: 160, pivotAlong: 160, field: 1000, belowCrown: 0 });
  // Snyder, USGS PP 1395, 1987, eq. 23-2, 23-3 (PROJ 9.1.1 `proj -S` prints h′, k′, h′k′ to six digits).
  it.each([
    // longitude, latitude deg, h′, h′k′, cos i
    [0, 0, 1, 1, 1],
    [10, 0, 0.973600060525148, 0.969916258685292, 0.976385178946242],
    [20, 0, 0.897353285060579, 0.884024977669813, 0.907668035253081],
    [30, 0, 0.779444475370574, 0.754184097874346, 0.799722718443792],
    [40, 0, 0.63152120386742, 0.596625255398415, 0.660885361007153],
    [50, 0, 0.466453112689849, 0.42821241739496, 0.500433628273649],
    [60, 0, 0.296296296296296, 0.263374485596708, 0.327326835353989],
    [70, 0, 0.130913589250501, 0.112420914884737, 0.149437612116566],
    [20, 15, 0.845127571573979, 0.826060721179344, 0.860123402524692],
    [35, 25, 0.598444468124994, 0.562236953216591, 0.629241186101166],
  ])("%d°, %d°", (longitude, latitude, h, hk, cosIncidence) => {
    const c = Math.acos(Math.cos(longitude * DEG) * Math.cos(latitude * DEG));
    const jet = new Float64Array(7);
    const check = (lon: number, lat: number): void => {
      const m = warp.meeting(R * lon, R * lat);
      if (typeof m === "string") throw new Error(m);
      expect(Math.abs(m.areaRatio - hk)).toBeLessThan(1e-12);
      expect(Math.abs(m.cosIncidence - cosIncidence)).toBeLessThan(1e-12);
      warp.at(R * lon, R * lat, jet);
      expect(Math.abs(jet[6]! - h)).toBeLessThan(1e-7); // the smaller singular value; its root loses digits at h = k
    };
    check(longitude * DEG, latitude * DEG);
    // h′k′ goes with the distance from the crown alone: the same at other azimuths.
    for (const azimuth of [0.4, 2, -2.6])
      check(
        Math.atan2(Math.sin(c) * Math.sin(azimuth), Math.cos(c)),
        Math.asin(Math.sin(c) * Math.cos(azimuth)),
      );
  });
});

describe("a raster laid down pulse by pulse on a tilted plane", () => {
  const [w, energyMj, frequencyKHz, delta] = [0.05, 0.4, 40, 0.003]; // mm, mJ, kHz, mm
  const lines = { pitchMm: 0.5 * w, speedMmS: 1000 };
  /** Depth and dose (mean over a patch far from the lines' ends) that `sets` sets leave, over the closed forms. */
  function measured(tilt: Tilt, pivotMm: number, at: { a: number; b: number }, q: number, sets: number) {
    const head = { pivotAcross: pivotMm, pivotAlong: pivotMm, field: 1000, belowCrown: 0 };
    const m = new Warp(tiltedPlane(tilt), head).meeting(at.a, at.b);
    if (typeof m === "string") throw new Error(m);
    const { cosIncidence, areaRatio } = m;
    const peak = peakFluence(energyMj, w, cosIncidence);
    const half = { a: 20 * w, b: (20 * w) / Math.cos(tilt.angle) };
    const removal = new Patch(tilt, at, half, w / 8);
    const dose = new Patch(tilt, at, half, w / 4);
    const pulses = { radiusMm: w, energyMj, pivotMm };
    const random = seeded(1000 * q + sets);
    const reach = 1.001 * w * Math.sqrt(Math.log(q) / 2);
    for (let set = 0; set < sets; set++) {
      const laid = { ...lines, stepMm: lines.speedMmS / (1000 * frequencyKHz), turn: 1.1 * set + 0.2 };
      layLines(laid, { u: m.u, v: m.v, radius: 32 * w }, random, (u, v) => {
        removal.strike(u, v, pulses, reach, (fluence) => pulseDepth(fluence, peak / q, delta));
        dose.strike(u, v, pulses, 2.5 * w, (fluence) => fluence);
      });
    }
    const volume = pulseVolume(peak, peak / q, delta, footprintArea(w, cosIncidence));
    return {
      cosIncidence,
      areaRatio,
      depth: removal.mean() / (sets * pulseDensity(frequencyKHz, lines) * areaRatio * volume),
      dose: dose.mean() / (arealDose(energyMj * frequencyKHz, lines, sets) * areaRatio),
    };
  }
  const fluences: [q: number, sets: number][] = [
    [1.2, 3],
    [3, 1],
    [Math.exp(2), 2],
    [15, 1],
  ];

  it.each([0, 45, 60])("telecentric at %d°: J = cos i, mean depth NρJV, dose NP/(vh)·J", (deg) => {
    for (const [q, sets] of fluences) {
      const r = measured({ dropMm: 0, angle: deg * DEG }, Infinity, { a: 0, b: 0 }, q, sets);
      expect(r.cosIncidence).toBeCloseTo(Math.cos(deg * DEG), 14);
      expect(r.areaRatio).toBeCloseTo(Math.cos(deg * DEG), 14);
      expect(Math.abs(r.depth - 1)).toBeLessThan(1e-3);
      expect(Math.abs(r.dose - 1)).toBeLessThan(1e-3);
    }
  });

  it("under a pivot, off the axis and out of focus, where J is not cos i", () => {
    for (const [q, sets] of fluences) {
      const r = measured({ dropMm: 12, angle: 35 * DEG }, 150, { a: 45, b: 40 }, q, sets);
      expect(Math.abs(r.areaRatio / r.cosIncidence - 1)).toBeGreaterThan(0.1);
      expect(Math.abs(r.depth - 1)).toBeLessThan(1e-3);
      expect(Math.abs(r.dose - 1)).toBeLessThan(1e-3);
    }
  });
});

describe("published removal lies inside the ranges of the stored coatings and metals", () => {
  const of = (kind: string) => profiles.coatings.filter((c) => c.kind === kind);
  /** µm per pulse at its place of largest fluence (J/cm²), by the middle figures. */
  const middle = (c: (typeof profiles.coatings)[number], fluence: number): number =>
    pulseDepth(fluence, c.thresholdJPerCm2.value, c.depthUm.value);

  it("one shot of 0.7 J/cm² removed 60 µm of polyester powder coat (Kumar et al., Appl. Phys. A 119, 853, 2015)", () => {
    // Its colour is not told: the profile for any colour must allow it by its most favourable ends.
    const any = of("powder coat").find((c) => c.colour === "any")!;
    expect(pulseDepth(0.7, any.thresholdJPerCm2.low, any.depthUm.high)).toBeGreaterThanOrEqual(60);
    expect(any.thicknessUm.low).toBeLessThanOrEqual(60);
    expect(any.thicknessUm.high).toBeGreaterThanOrEqual(60);
  });

  it("paint at 1.5 J/cm²: 0.3 mm³/J, 4.5 µm a pulse (Brygo et al., Appl. Surf. Sci. 252, 2131, 2006; 532 nm)", () => {
    expect(0.3 * 0.015 * 1000).toBeCloseTo(4.5, 12); // mm³/J · J/mm², in µm
    for (const { thresholdJPerCm2: threshold, depthUm } of of("paint")) {
      expect(pulseDepth(1.5, threshold.high, depthUm.low)).toBeLessThan(4.5);
      expect(pulseDepth(1.5, threshold.low, depthUm.high)).toBeGreaterThan(4.5);
    }
    const middles = of("paint").map((c) => middle(c, 1.5));
    expect(Math.min(...middles)).toBeLessThan(4.5);
    expect(Math.max(...middles)).toBeGreaterThan(4.5);
  });

  it("polyurethane paint on aluminium: 1.8 J/cm² leaves some, 3.2 removes (Zhang et al., Appl. Phys. A, 2022)", () => {
    // 10.1007/s00339-022-05296-4. By the middle figures, after one and the same number of pulses.
    for (const paint of of("paint")) {
      const pulses = Math.ceil(paint.thicknessUm.value / middle(paint, 3.2));
      expect(pulses * middle(paint, 1.8)).toBeLessThan(paint.thicknessUm.value);
      expect(pulses * middle(paint, 3.2)).toBeGreaterThanOrEqual(paint.thicknessUm.value);
    }
  });

  it("thresholds: coats 0.1 to 2 J/cm², metals overlap 1 to 6 J/cm² (from memory: ns pulses, 1064 nm)", () => {
    for (const { thresholdJPerCm2: f } of profiles.coatings) {
      expect(f.low).toBeGreaterThanOrEqual(0.1);
      expect(f.high).toBeLessThanOrEqual(2);
    }
    for (const { thresholdJPerCm2: f } of profiles.metals) {
      expect(f.low).toBeLessThan(6);
      expect(f.high).toBeGreaterThan(1);
    }
  });

  it("saturated red and white need more pulses than black, blue, grey (common practice, no published source)", () => {
    const kinds = new Set(profiles.coatings.map((c) => c.kind));
    expect(kinds.size).toBeGreaterThanOrEqual(2);
    for (const kind of kinds) {
      const pulses = (...colours: string[]): number[] =>
        of(kind)
          .filter((c) => colours.includes(c.colour))
          .map((c) => c.thicknessUm.value / middle(c, 3));
      const [hard, easy] = [pulses("red", "white"), pulses("black", "blue", "grey")];
      expect(hard.length).toBe(2);
      expect(easy.length).toBeGreaterThanOrEqual(2);
      expect(Math.min(...hard)).toBeGreaterThan(1.5 * Math.max(...easy));
    }
  });
});
