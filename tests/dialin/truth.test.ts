/** The simulated readings against the equations, written out here for a cylinder and a coupon; nothing of src is in that. */
import { describe, expect, it } from "vitest";
import type { Job, JobFile } from "../../src/job/job.ts";
import type { Bar, Reading, Strip, StripMark } from "../../src/plan/strip/types.ts";
import { jobOf, R } from "../plan/process-helpers.ts";
import { seeded } from "../support/pulses.ts";
import { seenOf } from "./laid.ts";
import { barsRead, handStrip, readBySimulation, readSquares } from "./simulated.ts";
import { drawFigure, drawTruth, middleTruth, normal, type Truth } from "./truth.ts";

const options: JobFile = {
  vessel: { diameterMm: 2 * R },
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  lens: { id: "field-300" },
  settings: {
    ...{ powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025, anglesDeg: [90, 0], passes: 1 },
  },
};
const job = jobOf(options);
const middle = middleTruth(job);
const hard: Truth = { ...middle, thresholdJPerCm2: 1.1, depthUm: 6 };
const mark = (strip: Strip): StripMark => strip.marks[0]!;

/** Where a beam comes down: drop, level distances, and the outward normal's X and up. */
type Lands = (u: number, delta: number, p: number) => { X: number; s: number; nX: number; nUp: number };

/** On a cylinder whose crown line is e to the right: e + R sin θ = u (1 + (R(1 − cos θ) − δ)/p), by bisection. */
const onCup =
  (e: number): Lands =>
  (u, delta, p) => {
    const off = (t: number): number => e + R * Math.sin(t) - u * (1 + (R * (1 - Math.cos(t)) - delta) / p);
    let [low, high] = [-1.35, 1.35];
    for (let i = 0; i < 60; i++) {
      const t = (low + high) / 2;
      if (off(t) < 0) low = t;
      else high = t;
    }
    const s = R * (1 - Math.cos(low));
    return { X: e + R * Math.sin(low), s, nX: Math.sin(low), nUp: Math.cos(low) };
  };
/** On a plane that falls to the right: X tan τ = s, X = u (1 + (s − δ)/p). */
const onCoupon =
  (tilt: number): Lands =>
  (u, delta, p) => {
    const X = (u * (1 - delta / p)) / (1 - (u * Math.tan(tilt)) / p);
    return { X, s: X * Math.tan(tilt), nX: Math.sin(tilt), nUp: Math.cos(tilt) };
  };

/** Coats cleared, and the metal's margin, at a flat point (a, b) of the artwork; `drop`: s and X where it was meant to be. */
function equations(j: Job, t: Truth, m: StripMark, lands: Lands, meant: { X: number; s: number }) {
  const distance = (p: number | "telecentric"): number => (p === "telecentric" ? Infinity : p);
  const [qx, qy] = j.lens.pivotMm.map(distance) as [number, number];
  const [px, py] = t.pivotMm.map(distance) as [number, number];
  const u = meant.X / (1 + (meant.s - m.belowCrownMm) / qx);
  const v = m.rowMm / (1 + (meant.s - m.belowCrownMm) / qy);
  const { X, s, nX, nUp } = lands(u, m.belowCrownMm + t.focusErrorMm, px);
  const d = s - m.belowCrownMm - t.focusErrorMm;
  const [lx, ly] = [u / px, v / py];
  const slant = Math.hypot(lx, ly, 1);
  const cos = (nUp - lx * nX) / slant;
  // ∂u/∂(arc): the arc moves X by nUp and s by nX.
  const J = Math.abs(nUp * (1 + d / px) - (X * nX) / px) / (1 + d / px) ** 2 / (1 + d / py);
  const w0 = (2 * t.m2 * j.source.wavelengthNm * 1e-6 * j.lens.focalLengthMm) / (Math.PI * t.beamDiameterMm);
  const zR = (Math.PI * w0 * w0) / (t.m2 * j.source.wavelengthNm * 1e-6);
  const w = w0 * Math.hypot(1, (d * slant) / zR);
  const { powerW, frequencyKHz, speedMmS, pitchMm, anglesDeg, passes } = m.settings;
  const F = (0.2 * (powerW / frequencyKHz) * cos) / (Math.PI * w * w);
  const laid = ((passes * anglesDeg.length * 1000 * frequencyKHz) / (speedMmS * pitchMm)) * J;
  const A = (Math.PI * w * w) / cos;
  const L = Math.max(0, Math.log(F / t.thresholdJPerCm2));
  const cleared = (laid * (A / 4) * (t.depthUm / 1000) * L * L) / (t.thicknessUm / 1000);
  const bare = cleared > 1 ? laid * A * (1 - 1 / cleared) : 0;
  return { cleared, margin: F / (t.metalThresholdJPerCm2 * (bare > 1 ? bare ** (t.incubation - 1) : 1)) };
}

/** First and last place, in steps of 0.01 mm, where both hold; none: null. */
function spans(half: number, holds: (a: number) => boolean): { from: number; to: number } | null {
  const yes: number[] = [];
  for (let a = -half; a <= half; a += 0.01) if (holds(a)) yes.push(a);
  return yes.length === 0 ? null : { from: yes[0]!, to: yes.at(-1)! };
}

const meantOnCup = (a: number): { X: number; s: number } => ({
  X: R * Math.sin(a / R),
  s: R * (1 - Math.cos(a / R)),
});

/** Of a bar's pitch, 1 mm. */
const CLOSE = 0.05;
/** In hand strips bars end at ±35.3 mm: what runs on past what is looked at is no edge. */
const LAST = 34.9;

function agree(seen: { from: number; to: number } | null, should: { from: number; to: number } | null) {
  expect(seen === null, "seen at all").toBe(should === null);
  if (!seen || !should) return 0;
  let edges = 0;
  for (const end of ["from", "to"] as const) {
    if (Math.abs(should[end]) > LAST) {
      expect(Math.abs(seen[end])).toBeGreaterThan(LAST - CLOSE);
      continue;
    }
    expect(Math.abs(seen[end] - should[end]), `${end}: ${seen[end]}, by hand ${should[end]}`).toBeLessThan(
      CLOSE,
    );
    edges++;
  }
  return edges;
}

describe("edges are those of the equations", () => {
  it.each([
    ["as meant", {}, [20], [2500], 0],
    ["to the right", { sidewaysMm: 1.7 }, [20], [2500], 0],
    ["to the left, focus too deep", { sidewaysMm: -1.2, focusErrorMm: 1.4 }, [15, 30], [1800, 3000], 0],
    ["focus too high", { focusErrorMm: -1.5 }, [20], [1500, 2500], 3],
    ["a large spot", { m2: 1.8, beamDiameterMm: 6 }, [20], [2200], 2],
    ["a hard coat", hard, [30, 45], [1500], 2],
    ["other pivots", { pivotMm: [400, 700] as const, sidewaysMm: 1 }, [20], [2500], 0],
  ])("%s", (_, change, powers, speeds, below) => {
    const truth: Truth = { ...middle, ...change };
    const strip = handStrip(job, powers, speeds, [below]);
    let edges = 0;
    for (const m of strip.marks) {
      const seen = seenOf(strip, m, truth);
      const at = (a: number) => equations(job, truth, m, onCup(truth.sidewaysMm), meantOnCup(a));
      edges += agree(
        seen.clear,
        spans(35.3, (a) => at(a).cleared >= 1),
      );
      edges += agree(
        seen.metal,
        spans(35.3, (a) => at(a).cleared >= 1 && at(a).margin > 1),
      );
      expect(seen.clear?.gap ?? null).toBeNull();
    }
    expect(edges, "edges inside the strip").toBeGreaterThanOrEqual(2 * strip.marks.length);
  });

  it("three sets of lines aslant", () => {
    const aslant = jobOf({ ...options, settings: { ...options.settings, anglesDeg: [90, 30, -45] } });
    const strip = handStrip(aslant, [20], [3700]);
    const at = (a: number) => equations(aslant, middle, mark(strip), onCup(0), meantOnCup(a));
    const should = spans(35.3, (a) => at(a).cleared >= 1);
    expect(agree(seenOf(strip, mark(strip), middle).clear, should)).toBe(2);
  });

  it("a focal plane far below the crown leaves a gap there", () => {
    const strip = handStrip(job, [20], [1750], [13]);
    const truth: Truth = { ...hard, sidewaysMm: 0.5 };
    const at = (a: number) => equations(job, truth, mark(strip), onCup(0.5), meantOnCup(a));
    const { clear } = seenOf(strip, mark(strip), truth);
    expect(
      agree(
        clear,
        spans(35.3, (a) => at(a).cleared >= 1),
      ),
    ).toBe(2);
    const should = spans(28, (a) => at(a).cleared < 1)!;
    expect(Math.abs(clear!.gap![0] - should.from)).toBeLessThan(CLOSE);
    expect(Math.abs(clear!.gap![1] - should.to)).toBeLessThan(CLOSE);
    expect(should.to - should.from).toBeGreaterThan(3);
  });

  it("a tilted coupon", () => {
    const tilt = Math.PI / 9;
    const strip: Strip = { ...handStrip(job, [20], [1500]), ladder: "ramp", tiltDeg: 20 };
    const truth: Truth = { ...hard, focusErrorMm: 1.2, sidewaysMm: 2 };
    const meant = (a: number) => ({ X: a * Math.cos(tilt), s: a * Math.sin(tilt) });
    const at = (a: number) => equations(job, truth, mark(strip), onCoupon(tilt), meant(a));
    const { clear } = seenOf(strip, mark(strip), truth);
    expect(
      agree(
        clear,
        spans(35.3, (a) => at(a).cleared >= 1),
      ),
    ).toBe(2);
    // Deepest in focus where the plane lies as low as the focal plane does: right of the middle.
    expect((clear!.from + clear!.to) / 2).toBeGreaterThan(2);
  });
});

describe("readings", () => {
  const strip = handStrip(job, [20, 30], [1700, 3000], [0, 13]);
  const read = (truth: Truth, seed = 1, noise = 0) => readBySimulation(strip, truth, seeded(seed), noise);

  it("are alike without noise, and the same again with the same seed", () => {
    const truth = { ...middle, sidewaysMm: 0.8, focusErrorMm: -0.6 };
    expect(read(truth, 1)).toEqual(read(truth, 2));
    expect(read(truth, 1, 0.5)).toEqual(read(truth, 1, 0.5));
    expect(read(truth, 1, 0.5)).not.toEqual(read(truth, 2, 0.5));
  });

  it("a vessel to the left reads as the mirror of one to the right", () => {
    const mirrored = (ends: readonly [number, number] | "none" | undefined) =>
      ends === undefined || ends === "none" ? ends : [72 - ends[1], 72 - ends[0]];
    for (const sidewaysMm of [0.4, 1.3]) {
      const [right, left] = [sidewaysMm, -sidewaysMm].map((mm) => read({ ...hard, sidewaysMm: mm })) as [
        Reading[],
        Reading[],
      ];
      expect(right).not.toEqual(left);
      expect(right.some(({ gap }) => gap && gap !== "none")).toBe(true);
      right.forEach(({ clear, gap, metal }, i) => {
        expect(left[i]).toMatchObject({ clear: mirrored(clear), metal: mirrored(metal) });
        expect(left[i]!.gap).toEqual(mirrored(gap));
      });
    }
  });

  it("a vessel to the right moves them to the right: by as much across, and by more around where the wall falls", () => {
    const seen = (sidewaysMm: number) => seenOf(strip, strip.marks[1]!, { ...middle, sidewaysMm }).clear!;
    const [straight, moved] = [seen(0), seen(2)];
    const off = (moved.from + moved.to) / 2;
    expect(straight.from + straight.to).toBeCloseTo(0, 6);
    expect(off).toBeGreaterThan(2);
    expect(off).toBeLessThan(2 / Math.cos(moved.to / R));
  });

  it("are off by the noise asked for", () => {
    const all71 = handStrip(job, [20], [2500]);
    // The left edge's part is enough.
    const one = { ...all71, bars: all71.bars.slice(0, 30) };
    const { from } = seenOf(one, mark(one), middle).clear!;
    // Φ by its series about 0 (Abramowitz and Stegun 26.2.10).
    const below = (z: number): number => {
      let [sum, term] = [z, z];
      for (let n = 1; n < 60; n++) {
        term *= (-z * z * (2 * n - 1)) / (2 * n * (2 * n + 1));
        sum += term;
      }
      return 0.5 + sum / Math.sqrt(2 * Math.PI);
    };
    const rng = seeded(11);
    const all = Array.from({ length: 250 }, () => readBySimulation(one, middle, rng, 0.8)[0]!.clear!);
    // Bar n, middle at n − 36, is in where its left edge is: the first is above n where the edge is seen right of that.
    const n = Math.ceil(from + 36 + 0.3);
    for (const number of [n - 1, n, n + 1]) {
      const share = all.filter((clear) => (clear[0] as number) > number).length / all.length;
      const should = 1 - below((number - 36 - 0.3 - from) / 0.8);
      // Three standard deviations of a share of 250.
      expect(Math.abs(share - should)).toBeLessThan(3 * Math.sqrt((should * (1 - should)) / 250) + 1e-3);
    }
  });
});

describe("what a reader writes down", () => {
  const bars: Bar[] = Array.from({ length: 11 }, (_, i) => ({ number: i + 1, atMm: i - 5, widthMm: 0.6 }));
  const still = [0, 0, 0, 0, 0, 0] as const;
  const whole = { from: -Infinity, to: Infinity, gap: null };

  it("to the strip's ends, and nothing at all", () => {
    expect(barsRead(bars, { clear: whole, metal: null }, still)).toEqual({
      clear: [1, 11],
      metal: "none",
      gap: "none",
    });
    expect(barsRead(bars, { clear: null, metal: null }, still)).toEqual({ clear: "none", metal: "none" });
    // Between two bars.
    const narrow = { from: -0.6, to: 0.2, gap: null };
    expect(barsRead(bars, { clear: narrow, metal: null }, still).clear).toBe("none");
  });

  it("a bar is clear as a whole, and in a gap or marked as soon as part of it is", () => {
    const clear = { from: -3.31, to: 4.29, gap: [-1.25, 1.31] as const };
    expect(barsRead(bars, { clear, metal: { from: 1.9, to: 3.71, gap: null } }, still)).toEqual({
      clear: [3, 9],
      gap: [5, 7],
      metal: [8, 10],
    });
    const off = [0.02, 0.02, -0.06, 0, 0, 0] as const;
    expect(barsRead(bars, { clear, metal: null }, off)).toEqual({
      clear: [4, 10],
      gap: [5, 7],
      metal: "none",
    });
    expect(barsRead(bars, { clear, metal: null }, [0, 0, -0.2, 0, 0, 0]).gap).toEqual([5, 7]);
    expect(barsRead(bars, { clear, metal: null }, [0, 0, -0.5, 0, 0, 0]).gap).toEqual([4, 7]);
  });

  it("no metal where the coat is", () => {
    const clear = { from: -2.5, to: 2.5, gap: null };
    const read = barsRead(bars, { clear, metal: { ...clear } }, [0, 0, 0, 0, -1, 1]);
    expect(read.metal).toEqual([4, 8]);
  });

  it("a coupon's ends give its tilt", () => {
    const ramp: Strip = { ...handStrip(job, [20], [1500]), ladder: "ramp", tiltDeg: 10 };
    const tilts = [0, 0.25].map((noise) => {
      const [left, right] = readBySimulation(ramp, middle, seeded(3), noise)[0]!.endsMm!;
      return (Math.asin((left - right) / 70) * 180) / Math.PI;
    });
    // Rounded by 0.05 mm at both ends of 70; propped up to within 0.5 mm otherwise.
    expect(Math.abs(tilts[0]! - 10)).toBeLessThan(0.09);
    expect(tilts[1]).not.toBe(tilts[0]);
    expect(Math.abs(tilts[1]! - 10)).toBeLessThan(0.6);
  });

  it("squares grow with their depth below the focal plane", () => {
    const plate: Strip = {
      ...handStrip(job, [20], [900], [0, -20]),
      ladder: "squares",
      sideMm: 180,
      bars: [],
    };
    const truth: Truth = { ...middle, pivotMm: [500, 450] };
    // 180 · (1 + 20/500) and (1 + 20/450).
    const sides = (t: Truth) => readBySimulation(plate, t, seeded(1), 0).map(({ sidesMm }) => sidesMm);
    expect(sides(truth)).toEqual([
      [180, 180],
      [187.2, 188],
    ]);
    // 180 · (1 + 15/500): the focal plane 5 mm deeper.
    expect(sides({ ...truth, focusErrorMm: 5 })[1]![0]).toBe(185.4);
    expect(sides({ ...truth, pivotMm: ["telecentric", 450] })[1]![0]).toBe(180);
    const rng = seeded(5);
    const off = Array.from({ length: 500 }, () => readSquares(plate, truth, rng)[1]!.sidesMm![0] - 187.2);
    const sd = Math.sqrt(off.reduce((sum, o) => sum + o * o, 0) / off.length);
    // A hand of 0.03 mm steps over 0.05 mm now and then: 0.1 · √0.0956 (normal tables).
    expect(sd).toBeGreaterThan(0.02);
    expect(sd).toBeLessThan(0.04);
  });
});

describe("truths", () => {
  it("a figure's value is the median, and halves of its logarithm are normal within the range", () => {
    const figure = { low: 1, value: 3, high: 45 };
    const rng = seeded(7);
    const all = Array.from({ length: 4000 }, () => drawFigure(figure, rng));
    const share = (low: number, high: number): number =>
      all.filter((x) => x >= low && x <= high).length / all.length;
    expect(share(1, 45)).toBe(1);
    expect(share(1, 3)).toBeCloseTo(0.5, 1);
    // P(|Z| < 0.82243)/P(|Z| < 1.6449) = 0.5892/0.9 (normal tables).
    expect(Math.abs(share(Math.sqrt(3), Math.sqrt(135)) - 0.6546)).toBeLessThan(0.025);
    expect(drawFigure({ low: 2, value: 2, high: 2 }, rng)).toBe(2);
  });

  it("normal deviates have mean 0 and variance 1", () => {
    const rng = seeded(9);
    const all = Array.from({ length: 5000 }, () => normal(rng));
    expect(Math.abs(all.reduce((sum, z) => sum + z, 0) / 5000)).toBeLessThan(0.05);
    expect(Math.abs(all.reduce((sum, z) => sum + z * z, 0) / 5000 - 1)).toBeLessThan(0.07);
  });

  it("lie within the job's profiles, the pivots only off where asked for", () => {
    const rng = seeded(2);
    const all = Array.from({ length: 200 }, () => drawTruth(job, rng));
    const { coating, metal, source } = job;
    for (const truth of all) {
      for (const [figure, x] of [
        [coating!.thresholdJPerCm2, truth.thresholdJPerCm2],
        [coating!.depthUm, truth.depthUm],
        [coating!.thicknessUm, truth.thicknessUm],
        [metal.thresholdJPerCm2, truth.metalThresholdJPerCm2],
        [metal.incubation, truth.incubation],
        [source.m2, truth.m2],
        [source.beamDiameterMm, truth.beamDiameterMm],
      ] as const) {
        expect(x).toBeGreaterThanOrEqual(figure.low);
        expect(x).toBeLessThanOrEqual(figure.high);
      }
      expect(truth.pivotMm).toEqual(job.lens.pivotMm);
    }
    const most = (of: (t: Truth) => number): number => Math.max(...all.map((t) => Math.abs(of(t))));
    expect(most((t) => t.sidewaysMm)).toBeLessThanOrEqual(2);
    expect(most((t) => t.sidewaysMm)).toBeGreaterThan(1.9);
    expect(most((t) => t.focusErrorMm)).toBeLessThanOrEqual(1.5);
    expect(most((t) => t.focusErrorMm)).toBeGreaterThan(1.4);
    const [px] = drawTruth(job, rng, 0.1).pivotMm;
    expect(px).not.toBe(job.lens.pivotMm[0]);
    expect(Math.abs(Number(job.lens.pivotMm[0]) / Number(px) - 1)).toBeLessThanOrEqual(0.1);
    expect(() => drawTruth({ ...job, coating: undefined } as unknown as Job, rng)).toThrow(/coat/);
  });
});
