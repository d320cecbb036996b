/**
 * What a line is worth: the logarithmic law written out (depth δ ln(F/F_c), Liu's D² = 2w² ln q, V = (π/4)(w²/cos i) δ ln² q;
 * J. M. Liu, Opt. Lett. 7, 196, 1982; Neuenschwander 2010, from memory), quadrature over the footprint, and its optimum.
 */
import { describe, expect, it } from "vitest";
import { maximise } from "../../../src/geometry/roots.ts";
import type { Job, JobFile } from "../../../src/job/job.ts";
import { worthOf } from "../../../src/plan/fill/worth.ts";
import { seeded } from "../../support/pulses.ts";
import { jobOf, relative } from "../process-helpers.ts";

const spot = { waistDiameterMm: 0.08, rayleighMm: 3 };
const [threshold, depthUm] = [0.7, 3];
const own: JobFile = {
  vessel: { diameterMm: 80 },
  source: { id: "fibre-60", maxPulseEnergyMj: 100 },
  settings: { powerW: 20, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.03, anglesDeg: [90, 0], passes: 3 },
  coating: { id: "powder-black", thresholdJPerCm2: threshold, depthUm },
};
const job: Job = jobOf(own);
const bare: Job = jobOf({ vessel: { diameterMm: 80 }, fill: { lines: "even", pitchMm: 0.04 } });

const met = (defocus = 0, cosIncidence = 1, slant = 1) => ({ defocus, cosIncidence, slant, areaRatio: 0.8 });
/** w (mm) and peak fluence (J/cm²) at a depth, by Gaussian optics (ISO 11146). */
function beam(power: number, { defocus, slant, cosIncidence }: ReturnType<typeof met>) {
  const w = 0.04 * Math.sqrt(1 + ((defocus * slant) / 3) ** 2);
  const joules = (power * 20) / 50e3;
  return { w, peak: ((2 * joules) / (Math.PI * (w / 10) ** 2)) * cosIncidence };
}
/** Pulses of all passes on each mm of commanded line. */
const perMm = (3 * 50e3) / 900;

describe("with a coating", () => {
  const worth = worthOf(job, spot, 3);

  it("is the law written out, over random beams", () => {
    const random = seeded(5);
    let removed = 0;
    for (let run = 0; run < 200; run++) {
      const at = met(8 * random() - 4, 0.2 + 0.8 * random(), 1 + 0.2 * random());
      const power = 0.02 + 2 * random();
      const { w, peak } = beam(power, at);
      const log = Math.max(0, Math.log(peak / threshold));
      const volume = (Math.PI / 4) * ((w * w) / at.cosIncidence) * (depthUm / 1000) * log * log;
      expect(Math.abs(worth.perMm(at, power) - perMm * volume)).toBeLessThan(1e-13);
      if (volume > 0) removed++;
      const { peak: full } = beam(1, at);
      const half = full > threshold ? Math.sqrt(2 * Math.log(full / threshold)) / 2 : 0;
      expect(worth.halfWidth(at)).toBeCloseTo(half, 12);
    }
    expect(worth.removal).toBe(true);
    expect(removed).toBeGreaterThan(100);
    expect(removed).toBeLessThan(200);
  });

  it("is the depth of a pulse summed over its footprint, aslant and out of focus", () => {
    for (const at of [met(), met(1.7), met(-2.5, 0.6, 1.05)]) {
      const { w, peak } = beam(1, at);
      // On the surface (x, y), x along the lean: across the beam x cos i. Midpoint rule.
      const [n, reach] = [1200, 2 * w];
      const wide = reach / at.cosIncidence;
      let sum = 0;
      for (let i = 0; i < n; i++) {
        const x = ((2 * i + 1) / n - 1) * wide;
        for (let j = 0; j < n; j++) {
          const y = ((2 * j + 1) / n - 1) * reach;
          const r2 = (x * at.cosIncidence) ** 2 + y * y;
          const fluence = peak * Math.exp((-2 * r2) / (w * w));
          if (fluence > threshold) sum += (depthUm / 1000) * Math.log(fluence / threshold);
        }
      }
      const volume = sum * ((2 * wide) / n) * ((2 * reach) / n);
      expect(relative(worth.perMm(at), perMm * volume)).toBeLessThan(1e-5);
    }
  });

  it("removes most per joule at F = e² F_c (Furmanski 2007, Neuenschwander 2010, from memory)", () => {
    for (const at of [met(), met(2), met(1, 0.5)]) {
      const best = maximise(
        (log) => worth.perMm(at, Math.exp(log)) / Math.exp(log),
        Math.log(0.01),
        Math.log(20),
      );
      const power = Math.exp(typeof best === "number" ? best : (best as { x: number }).x);
      expect(relative(beam(power, at).peak, Math.exp(2) * threshold)).toBeLessThan(1e-4);
    }
    // Of one pulse's energy most where defocus brings it down to the same fluence.
    const defocus = maximise((d) => worth.perMm(met(d)), 0, 12);
    const depth = typeof defocus === "number" ? defocus : (defocus as { x: number }).x;
    expect(relative(beam(1, met(depth)).peak, Math.exp(2) * threshold)).toBeLessThan(1e-4);
  });

  it("is nothing at the threshold, and rises from it", () => {
    const at = met();
    const power = threshold / beam(1, at).peak;
    expect(worth.perMm(at, power * (1 - 1e-12))).toBe(0);
    expect(worth.perMm(at, power * 1.01)).toBeGreaterThan(0);
    const steep = met(60);
    expect(beam(1, steep).peak).toBeLessThan(threshold);
    expect(worth.perMm(steep)).toBe(0);
    expect(worth.halfWidth(steep)).toBe(0);
  });

  it("goes with the passes, not with the area ratio", () => {
    expect(worthOf(job, spot, 6).perMm(met(1))).toBeCloseTo(2 * worth.perMm(met(1)), 14);
    expect(worth.perMm({ ...met(1), areaRatio: 0.1 })).toBe(worth.perMm(met(1)));
  });

  it("the beam turned away is worth nothing", () => {
    expect(worth.perMm(met(0, -0.2))).toBe(0);
    expect(worth.halfWidth(met(0, 0))).toBe(0);
  });
});

describe("without a coating, or without settings", () => {
  it.each([
    ["no settings", bare],
    [
      "settings alone",
      jobOf({ vessel: { diameterMm: 80 }, source: { id: "fibre-60" }, settings: own.settings! }),
    ],
  ])("%s: φ = (w₀²/w²) cos i, as often as it is marked and as strong", (_, of) => {
    const worth = worthOf(of, spot, 2);
    expect(worth.removal).toBe(false);
    for (const at of [met(), met(3), met(-1.2, 0.7, 1.1)]) {
      const { w } = beam(1, at);
      expect(worth.perMm(at)).toBeCloseTo(2 * (0.04 / w) ** 2 * at.cosIncidence, 13);
      expect(worth.perMm(at, 2.5)).toBeCloseTo(2.5 * worth.perMm(at), 13);
      expect(worth.halfWidth(at)).toBe(1);
    }
    // At w = √2 w₀ half, by the Rayleigh range's definition (ISO 11146).
    expect(worth.perMm(met(3))).toBeCloseTo(1, 14);
    expect(worth.perMm(met(0, -0.1))).toBe(0);
  });
});
