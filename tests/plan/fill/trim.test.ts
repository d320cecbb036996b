/** Trimmed ends lie the spot's radius inside, across the beam as vectors have it; no line is lost. */
import { describe, expect, it } from "vitest";
import { focusedSpot } from "../../../src/beam/spot.ts";
import { type Rows, rowsAt } from "../../../src/geometry/rows.ts";
import type { ScanHead } from "../../../src/head/scanhead.ts";
import { pointOf } from "../../../src/plan/fill/order.ts";
import { trimmed } from "../../../src/plan/fill/trim.ts";
import { cylinder } from "../../../src/vessel/cylinder.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { seeded } from "../../support/pulses.ts";
import { circle, rectangle } from "../../support/shapes.ts";
import { atPoint, posed } from "../../support/surfaces.ts";

const head: ScanHead = { pivotAcross: 545, pivotAlong: 531, field: 1000, belowCrown: 2 };
const straight: ScanHead = { ...head, pivotAcross: Infinity, pivotAlong: Infinity };
const spot = focusedSpot({ wavelengthNm: 1064, beamDiameterMm: 7, m2: 1.5 }, 420);
/** w at a depth below the focal plane along a beam straight down (ISO 11146). */
const radius = (depth: number): number =>
  (spot.waistDiameterMm / 2) * Math.sqrt(1 + (depth / spot.rayleighMm) ** 2);

const row = (...s: number[]): Rows => ({ from: Int32Array.of(0, s.length), s: Float64Array.from(s) });

describe("by hand: a cylinder under beams straight down", () => {
  const R = 40;
  const warp = new Warp(cylinder(R, "girth"), straight);
  const depth = (a: number): number => R * (1 - Math.cos(a / R)) - 2;

  it("lines along the axis lose the radius at their depth at each end", () => {
    for (const a of [0, 11, -20, 33]) {
      const { s } = trimmed(row(-5, 7), Float64Array.of(-a), 90, warp, spot);
      expect(s[0]! + 5).toBeCloseTo(radius(depth(a)), 12);
      expect(7 - s[1]!).toBeCloseTo(radius(depth(a)), 12);
    }
  });

  it("lines around lose w / cos θ, the ellipse's longer half-axis, each end its own", () => {
    const { s } = trimmed(row(-12, 30), Float64Array.of(3), 0, warp, spot);
    expect(s[0]! + 12).toBeCloseTo(radius(depth(12)) / Math.cos(12 / R), 12);
    expect(30 - s[1]!).toBeCloseTo(radius(depth(30)) / Math.cos(30 / R), 12);
  });

  it("aslant by α: w / √(1 − cos²α sin²θ), the ellipse's half-diameter that way", () => {
    for (const angle of [20, 45, 70]) {
      const [s0, t] = [8, 6];
      const [a] = pointOf(s0, t, angle);
      const { s } = trimmed(row(s0, s0 + 10), Float64Array.of(t), angle, warp, spot);
      const seen = Math.sqrt(1 - (Math.cos((angle * Math.PI) / 180) * Math.sin(a / R)) ** 2);
      expect(s[0]! - s0).toBeCloseTo(radius(depth(a)) / seen, 11);
    }
  });

  it("of a line shorter than the spot a tenth of it stays about its middle, of a yet shorter one all", () => {
    const [w, at] = [radius(depth(0)), Float64Array.of(0)];
    const whole = (length: number): number[] => [...trimmed(row(1, 1 + length), at, 90, warp, spot).s];
    for (const share of [2.3, 2.201]) {
      const [from, to] = whole(share * w);
      expect(to! - from!).toBeCloseTo((share - 2) * w, 12);
    }
    for (const share of [2.199, 2, 1, 0.21]) {
      const [from, to] = whole(share * w);
      expect(to! - from!).toBeCloseTo(0.2 * w, 12);
      expect((from! + to!) / 2).toBeCloseTo(1 + (share * w) / 2, 12);
    }
    for (const share of [0.19, 0.01]) {
      const [from, to] = whole(share * w);
      expect(from).toBeCloseTo(1, 14);
      expect(to).toBeCloseTo(1 + share * w, 14);
    }
  });
});

describe.each(posed.filter((_, i) => i % 2 === 0).map((p) => [p.name, p.surface] as const))(
  "%s: by vectors",
  (_, surface) => {
    const warp = new Warp(surface, head);
    const hole = circle(3, -1, 4);
    // The other way around: y mirrored about the middle.
    const turned = hole.points.map((v, i) => (i % 2 === 0 ? v : -2 - v));
    const disc = { contours: [circle(3, -1, 9), { ...hole, points: turned }] };

    it("the end's spot just reaches the outline, seen along the beam", () => {
      let met = 0;
      for (const angle of [0, 90, 40]) {
        const at = Float64Array.from({ length: 37 }, (_, i) => -9 + i / 2);
        const rows = rowsAt([disc], angle, at);
        const { s } = trimmed(rows, at, angle, warp, spot);
        expect(s.length).toBe(rows.s.length);
        at.forEach((t, k) => {
          for (let i = rows.from[k]!; i < rows.from[k + 1]!; i++) {
            const inward = i % 2 === 0 ? s[i]! - rows.s[i]! : rows.s[i]! - s[i]!;
            expect(inward).toBeGreaterThanOrEqual(0);
            const pair = i - (i % 2);
            if (rows.s[pair + 1]! - rows.s[pair]! < 0.6) continue;
            // The step from the outline to the end in space, and the beam from the pivots to the outline's point.
            const edge = pointOf(rows.s[i]!, t, angle);
            const [x, y, drop] = atPoint(surface, ...edge) as unknown as [number, number, number];
            const end = atPoint(surface, ...pointOf(s[i]!, t, angle));
            const step = [end[0]! - x, end[1]! - y, end[2]! - drop];
            const d = drop - head.belowCrown;
            const beam = [x / (head.pivotAcross + d), y / (head.pivotAlong + d), 1];
            const long = Math.hypot(...beam);
            const along = step.reduce((sum, v, j) => sum + (v * beam[j]!) / long, 0);
            const seen = Math.sqrt(step.reduce((sum, v) => sum + v * v, 0) - along * along);
            // The chart is straight over a spot to a part in a hundred.
            expect(Math.abs(seen / radius(d * long) - 1)).toBeLessThan(0.01);
            met++;
          }
        });
      }
      expect(met).toBeGreaterThan(100);
    });
  },
);

it("every line stays one, inside itself and in order, however short", () => {
  const warp = new Warp(cylinder(36, "girth"), head);
  const random = seeded(3);
  const paths = Array.from({ length: 40 }, () => ({
    contours: [rectangle(40 * random() - 20, 30 * random() - 15, 0.02 + random() ** 4, 0.02 + 3 * random())],
  }));
  for (const angle of [0, 90, 12]) {
    const at = Float64Array.from({ length: 900 }, (_, i) => -22.5 + i * 0.05);
    const rows = rowsAt(paths, angle, at);
    const { from, s } = trimmed(rows, at, angle, warp, spot);
    expect(from).toEqual(rows.from);
    for (let i = 0; i < s.length; i += 2) {
      expect(s[i]!).toBeGreaterThanOrEqual(rows.s[i]! - 1e-12);
      expect(s[i + 1]!).toBeLessThanOrEqual(rows.s[i + 1]! + 1e-12);
      expect(s[i + 1]! - s[i]!).toBeGreaterThan(0);
    }
    expect(s.length).toBeGreaterThan(200);
  }
});
