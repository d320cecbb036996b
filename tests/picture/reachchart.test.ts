/** The chart of reaches: clean SVG, a name for each curve and none over another, dots on the curves. */
import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { resolveJob } from "../../src/job/resolve.ts";
import { apart, diametersAround, reachChart } from "../../src/picture/reachchart.ts";
import { reachCurves } from "../../src/plan/reachtable.ts";
import { profiles } from "../support/profiles.ts";
import { FORBIDDEN, lettering } from "./helpers.ts";

const letters = lettering();
const lenses = profiles.lenses.map(
  (p) => resolveJob({}, { vessel: { diameterMm: 60 }, lens: { id: p.id } }, profiles).lens,
);

function chartOf(
  diameterMm: number,
  usableDepthMm: number | "rayleigh",
  fidelity: "girth" | "sight",
): string {
  const job = resolveJob(
    {},
    { vessel: { diameterMm }, limits: { usableDepthMm }, placement: { fidelity } },
    profiles,
  );
  const diametersMm = diametersAround(diameterMm);
  const curves = reachCurves(lenses, job, diametersMm);
  const hereMm = reachCurves(lenses, job, [diameterMm]).map((c) => c.reachMm[0]!);
  const note = "Heron Reach, the crew's cups";
  return reachChart({ diameterMm, diametersMm, curves, hereMm, fidelity, note }, letters);
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}
function boxOf(d: string): Box {
  const numbers = d.match(/-?[\d.]+/g)!.map(Number);
  const [xs, ys] = [0, 1].map((k) => numbers.filter((_, i) => i % 2 === k));
  return { left: Math.min(...xs!), right: Math.max(...xs!), top: Math.min(...ys!), bottom: Math.max(...ys!) };
}
/** What the names at the curves' ends cover. */
const nameBoxes = (svg: string): Box[] =>
  [...svg.matchAll(/<g id="name-\d+"><path [^>]*\/><path d="([^"]+)"/g)].map((m) => boxOf(m[1]!));
/** The curves, as points. */
const curvesOf = (svg: string): [number, number][][] =>
  [...svg.matchAll(/<path d="([^"]+)" fill="none" stroke-width="4"/g)].map((m) =>
    m[1]!.match(/[\d.]+ [\d.]+/g)!.map((p) => p.split(" ").map(Number) as [number, number]),
  );

describe.each([
  [76.4, "rayleigh", "girth"],
  [76.4, "rayleigh", "sight"],
  [1, "rayleigh", "girth"],
  [24, 0.001, "girth"],
  [60, 30, "sight"],
  [300, 40, "girth"],
  [2000, "rayleigh", "girth"],
  [2000, 1000, "sight"],
] as const)("a %d mm vessel, usable depth %s, %s", (diameterMm, depth, fidelity) => {
  const svg = chartOf(diameterMm, depth, fidelity);

  test("holds shapes only, all of them numbers, and is the same each time", () => {
    expect(svg).not.toMatch(FORBIDDEN);
    expect(svg).toMatch(/^<svg [^>]*width="1200" height="800" viewBox="0 0 1200 800">/);
    expect(chartOf(diameterMm, depth, fidelity)).toBe(svg);
  });

  test("has one name for each lens, inside the picture and clear of the others", () => {
    const boxes = nameBoxes(svg).sort((p, q) => p.top - q.top);
    expect(boxes).toHaveLength(lenses.length);
    for (const [i, box] of boxes.entries()) {
      expect(box.left).toBeGreaterThan(1010);
      expect(box.right).toBeLessThan(1190);
      expect(box.bottom).toBeLessThan(800);
      if (i > 0) expect(box.top).toBeGreaterThan(boxes[i - 1]!.bottom + 2);
    }
  });

  test("draws each curve in its own colour and dashes, inside the frame, its dot on it", () => {
    const curves = curvesOf(svg);
    expect(curves).toHaveLength(lenses.length);
    const looks = [...svg.matchAll(/stroke-width="4" stroke="([^"]+)"(?: stroke-dasharray="([^"]+)")?/g)];
    expect(new Set(looks.map((m) => m[1])).size).toBe(lenses.length);
    expect(new Set(looks.map((m) => m[2])).size).toBe(lenses.length);
    const dots = [...svg.matchAll(/<circle cx="([\d.]+)" cy="([\d.]+)"/g)].map((m) => [+m[1]!, +m[2]!]);
    for (const [i, points] of curves.entries()) {
      for (const [x, y] of points) {
        expect(x).toBeGreaterThanOrEqual(140);
        expect(x).toBeLessThanOrEqual(1010);
        expect(y).toBeGreaterThanOrEqual(204);
        expect(y).toBeLessThanOrEqual(680);
      }
      const [x, y] = dots[i] as [number, number];
      const k = points.findIndex((p) => p[0] >= x - 0.01);
      const [before, after] = [points[Math.max(0, k - 1)]!, points[k]!];
      expect(y).toBeLessThanOrEqual(Math.max(before[1], after[1]) + 0.5);
      expect(y).toBeGreaterThanOrEqual(Math.min(before[1], after[1]) - 0.5);
    }
  });
});

test("the diameters shown hold the one asked about and end on a round number", () => {
  expect(diametersAround(76.4)[0]).toBe(20);
  expect(diametersAround(76.4).at(-1)).toBe(120);
  fc.assert(
    fc.property(fc.double({ min: 1, max: 2000, noNaN: true }), (d) => {
      const shown = diametersAround(d);
      expect(shown[0]).toBeGreaterThan(0);
      expect(shown[0]).toBeLessThan(d);
      expect(shown.at(-1)).toBeGreaterThanOrEqual(1.5 * d * (1 - 1e-9));
      expect(Number(shown.at(-1)!.toPrecision(2))).toBeCloseTo(shown.at(-1)!, 9);
    }),
  );
});

test("places are kept apart, in order, within bounds, and left alone where they are clear", () => {
  expect(apart([10, 60, 200], 30, 0, 300)).toEqual([10, 60, 200]);
  expect(apart([100, 100], 30, 0, 300)).toEqual([85, 115]);
  expect(apart([5, 5, 5], 30, 0, 300)).toEqual([0, 30, 60]);
  fc.assert(
    fc.property(fc.array(fc.double({ min: 0, max: 500, noNaN: true }), { maxLength: 12 }), (list) => {
      const found = apart(
        list.sort((p, q) => p - q),
        32,
        0,
        500,
      );
      expect(found).toHaveLength(list.length);
      for (const [i, place] of found.entries()) {
        expect(place).toBeGreaterThanOrEqual(0);
        expect(place).toBeLessThanOrEqual(500 + 1e-9);
        if (i > 0) expect(place - found[i - 1]!).toBeGreaterThanOrEqual(32 - 1e-9);
      }
    }),
  );
});
