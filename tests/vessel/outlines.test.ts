/** What every outline owes (src/vessel/meridian.ts): unit speed, exact derivative, inverse, first meeting with a line. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type MeasuredRow, measuredOutline } from "../../src/vessel/measured.ts";
import type { Meridian } from "../../src/vessel/meridian.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../../src/vessel/straight.ts";

/** 61 rows over 120 mm, from base to rim. */
const rows = (diameter: (h: number) => number): MeasuredRow[] =>
  Array.from({ length: 61 }, (_, i) => ({ heightMm: 2 * i, diameterMm: diameter(2 * i) }));
/** Below a millimetre, the same in every run. */
const scatter = (h: number): number => 0.3 * Math.sin(h * h * 12.9898);

const bulging = measuredOutline(
  rows((h) => 90 - ((h - 60) / 20) ** 2),
  55,
);
const waisted = measuredOutline(
  rows((h) => 70 + 12 * Math.cos((h * Math.PI) / 60)),
  50,
);
const scattered = measuredOutline(
  rows((h) => 80 + h / 10 + scatter(h)),
  63,
);
const few = measuredOutline(
  [
    { heightMm: 0, diameterMm: 50 },
    { heightMm: 5, diameterMm: 72 },
    { heightMm: 90, diameterMm: 84 },
    { heightMm: 120, diameterMm: 84 },
  ],
  0,
);
const measured: [string, Meridian][] = [
  ["measured, bulging", bulging],
  ["measured, waisted", waisted],
  ["measured, scattered", scattered],
  ["measured, four rows", few],
];
const all: [string, Meridian][] = [
  ["cylinder", cylinderOutline(41)],
  ["cone to the base", coneOutline(90, 66, 130, 60)],
  ["cone to the rim", coneOutline(60, 88, 70, 10)],
  ["sphere", sphereOutline(45)],
  ...measured,
];

/** 81 places from rim to base, both ends among them. */
const places = ({ from, to }: Meridian): number[] => {
  const [a, b] = [Math.max(from, -80), Math.min(to, 80)];
  return Array.from({ length: 81 }, (_, i) => (i === 80 ? b : a + ((b - a) * i) / 80));
};
const jet = (meridian: Meridian, m: number): Float64Array => {
  const o = new Float64Array(4);
  meridian.at(m, o);
  return o;
};
/** The line through a point of the body along d, which it reaches at t = 200. */
const lineTo = (p: readonly number[], d: readonly number[]): Float64Array =>
  Float64Array.from([0, 1, 2].flatMap((k) => [p[k]! - 200 * d[k]!, d[k]!]));

describe.each(all)("%s", (name, meridian) => {
  const closed = !name.startsWith("measured");

  it("is 0 at the placement point, where it has its radius", () => {
    const o = jet(meridian, 0);
    expect(o[0]).toBe(meridian.radius);
    expect(Math.abs(o[1]!)).toBeLessThan(1e-14);
    expect(Math.abs(meridian.arcAt(0))).toBeLessThan(1e-14);
    expect(meridian.from).toBeLessThanOrEqual(0);
    expect(meridian.to).toBeGreaterThan(0);
  });

  it(`goes at unit speed toward the base (${closed ? "1e-15" : "2e-10"})`, () => {
    for (const m of places(meridian)) {
      const [, , dr, dy] = jet(meridian, m);
      expect(Math.abs(dr! * dr! + dy! * dy! - 1)).toBeLessThan(closed ? 1e-15 : 2e-10);
      expect(dy).toBeGreaterThan(0);
    }
  });

  it("has the derivative that central differences show (2e-8)", () => {
    const h = 1e-4;
    for (const m of places(meridian).slice(1, -1)) {
      const [o, near, far] = [jet(meridian, m), jet(meridian, m - h), jet(meridian, m + h)];
      expect(Math.abs((far[0]! - near[0]!) / (2 * h) - o[2]!)).toBeLessThan(2e-8);
      expect(Math.abs((far[1]! - near[1]!) / (2 * h) - o[3]!)).toBeLessThan(2e-8);
    }
  });

  it("goes on smoothly a hair beyond its ends", () => {
    for (const end of [meridian.from, meridian.to].filter(Number.isFinite)) {
      const beyond = end + Math.sign(end || -1) * 1e-9;
      const [at, past] = [jet(meridian, end), jet(meridian, beyond)];
      for (let k = 0; k < 2; k++)
        expect(Math.abs(past[k]! - at[k]! - (beyond - end) * at[k + 2]!)).toBeLessThan(1e-13);
      expect(Math.abs(meridian.arcAt(at[1]!) - end)).toBeLessThan(1e-11);
    }
  });

  it("finds m again from y (1e-11 mm), and none outside", () => {
    for (const m of places(meridian))
      expect(Math.abs(meridian.arcAt(jet(meridian, m)[1]!) - m)).toBeLessThan(1e-11);
    for (const end of [meridian.from, meridian.to].filter(Number.isFinite)) {
      const out = jet(meridian, end)[1]! + Math.sign(end || -1) * 1e-6;
      expect(meridian.arcAt(out)).toBeNaN();
      expect(meridian.arcAt(out + 30 * Math.sign(out))).toBeNaN();
    }
    expect(meridian.arcAt(Number.NaN)).toBeNaN();
  });

  it("is met at a point seen square on, from any side (1e-9 mm)", () => {
    for (const m of places(meridian)) {
      const [r, y] = jet(meridian, m);
      for (const theta of [-3, -1.2, 0, 0.4, 2]) {
        const [sin, cos] = [Math.sin(theta), Math.cos(theta)];
        const t = meridian.hit(lineTo([r! * sin, y!, r! * cos], [-sin, 0, -cos]));
        expect(Math.abs(t - 200)).toBeLessThan(1e-9);
      }
    }
  });

  it("is met at a point seen aslant, where nothing else of a convex body can stand before it (1e-8 mm)", () => {
    if (!meridian.convex) return;
    let seen = 0;
    for (const m of places(meridian).slice(1, -1)) {
      const [r, y, dr, dy] = jet(meridian, m);
      for (const [along, across] of [
        [0.6, 0.2],
        [-0.7, 0.9],
        [0, -2.5],
        [0.3, 0],
      ] as const) {
        // The beam comes down, leaning by `along` and `across`; n = (0, −dr, dy) at θ = 0.
        const w = Math.hypot(1, along, across);
        const d = [across / w, along / w, -1 / w];
        const cos = dr! * d[1]! - dy! * d[2]!;
        if (cos < 0.05) continue;
        seen++;
        expect(Math.abs(meridian.hit(lineTo([0, y!, r!], d)) - 200)).toBeLessThan(1e-8);
      }
    }
    expect(seen).toBeGreaterThan(200);
  });

  it("is passed by beside it and beyond its ends", () => {
    const widest = Math.max(...places(meridian).map((m) => jet(meridian, m)[0]!));
    expect(meridian.hit(Float64Array.of(widest + 1e-6, 0, 0, 0, 200, -1))).toBeNaN();
    if (meridian.from === -Infinity) return;
    const end = jet(meridian, meridian.to)[1]!;
    expect(meridian.hit(Float64Array.of(0, 0, end + 1e-3, 0, 200, -1))).toBeNaN();
    expect(
      meridian.hit(Float64Array.of(0, 0, jet(meridian, meridian.from)[1]! - 1e-3, 0, 200, -1)),
    ).toBeNaN();
  });

  it("does not count from inside: a line through the mouth passes by, also where it leaves through the wall", () => {
    if (meridian.from === -Infinity) return;
    const [r, y] = jet(meridian, meridian.from);
    for (const lean of [0, 0.3, 1, 5])
      expect(meridian.hit(Float64Array.of(0, 0, y! - 100, 1, r! / 2 - 100 * lean, lean))).toBeNaN();
  });
});

it("knows which measured bodies are convex", () => {
  expect(measured.map(([, { convex }]) => convex)).toEqual([true, false, false, false]);
});

describe.each(measured)("%s: the first meeting", (_, meridian) => {
  const o = new Float64Array(4);
  /** g(t) by the outline's other way: y → m → r; NaN beyond the ends. */
  const gap = (line: Float64Array, t: number): number => {
    const m = meridian.arcAt(line[2]! + line[3]! * t);
    if (Number.isNaN(m)) return Number.NaN;
    meridian.at(m, o);
    return Math.hypot(line[0]! + line[1]! * t, line[4]! + line[5]! * t) - o[0]!;
  };
  /** By small steps and halving; null where a meeting is too near to missing to be told by steps. */
  const searched = (line: Float64Array): number | null => {
    const step = 0.05;
    let before = Number.NaN;
    for (let t = 0; t < 600; t += step) {
      const now = gap(line, t);
      if (Math.abs(now) < 1e-3) return null;
      if (now < 0) {
        // Inside from an open end, or just by it.
        if (Number.isNaN(before)) return t > step && gap(line, t - step / 64) > -0.2 ? null : Number.NaN;
        let [lo, hi] = [t - step, t];
        for (let pass = 0; pass < 60; pass++) {
          const middle = (lo + hi) / 2;
          if (gap(line, middle) > 0) lo = middle;
          else hi = middle;
        }
        return lo;
      }
      before = now;
    }
    return Number.NaN;
  };
  const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
  const share = fc.double({ min: -1, max: 1, noNaN: true });

  it("is what small steps find, on lines from all around (1e-9 mm)", () => {
    let [met, missed] = [0, 0];
    const middle = (jet(meridian, meridian.from)[1]! + jet(meridian, meridian.to)[1]!) / 2;
    fc.assert(
      fc.property(angle, share, share, share, share, (theta, up, x, y, z) => {
        const from = [300 * Math.sin(theta), middle + 90 * up, 300 * Math.cos(theta)];
        const to = [50 * x, middle + 55 * y, 50 * z];
        const length = Math.hypot(...to.map((v, k) => v - from[k]!));
        const line = Float64Array.from(from.flatMap((v, k) => [v, (to[k]! - v) / length]));
        const be = searched(line);
        if (be === null) return;
        const is = meridian.hit(line);
        if (Number.isNaN(be)) {
          missed++;
          expect(is).toBeNaN();
        } else {
          met++;
          expect(Math.abs(is - be)).toBeLessThan(1e-9);
        }
      }),
      { numRuns: 600, seed: 7 },
    );
    expect(met).toBeGreaterThan(80);
    expect(missed).toBeGreaterThan(20);
  });

  it("is told from a miss within a nanometre of grazing", () => {
    for (const m of places(meridian).slice(5, -5)) {
      const [r, y] = jet(meridian, m);
      expect(meridian.hit(Float64Array.of(r! - 1e-6, 0, y!, 0, 200, -1))).toBeGreaterThan(190);
      expect(meridian.hit(Float64Array.of(r! + 1e-6, 0, y!, 0, 200, -1))).toBeNaN();
    }
  });
});

it("a waisted body stands before itself: a flat beam meets the belly, not the waist behind it", () => {
  const [r, y] = jet(waisted, waisted.arcAt(-10));
  // The waist (height 60) lies at y = 10; the beam comes low over the rim's belly down into it.
  const waist = jet(waisted, waisted.arcAt(10));
  const d = [0, Math.sqrt(0.96), -0.2];
  const line = lineTo([0, waist[1]!, waist[0]!], d);
  const t = waisted.hit(line);
  expect(t).toBeLessThan(199);
  const p = [line[2]! + line[3]! * t, line[4]! + line[5]! * t];
  expect(Math.abs(p[1]! - jet(waisted, waisted.arcAt(p[0]!))[0]!)).toBeLessThan(1e-9);
  expect(p[0]).toBeLessThan(y!);
  expect(p[1]).toBeGreaterThan(r! - 5);
});
