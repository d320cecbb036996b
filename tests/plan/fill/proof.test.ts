/** The proof by simulation: what must come out by itself, without any figure of the simulation's own. */
import { describe, expect, it } from "vitest";
import { type Path, PathBuilder } from "../../../src/geometry/path.ts";
import type { JobFile } from "../../../src/job/job.ts";
import { spreadOf } from "../../../src/plan/fill/removalmap.ts";
import { rectangle, resolved } from "../../support/shapes.ts";
import { bare, coated, filled, weak } from "./fill-helpers.ts";

const panel = (width: number, height: number): Path<"flat"> => ({
  contours: [rectangle(-width / 2, -height / 2, width, height)],
});

describe("nothing to even", () => {
  /** As good as flat under a beam as good as straight: 25 mm of it drop by 0.08 mm. */
  const flat: JobFile = {
    ...coated,
    vessel: { diameterMm: 2000 },
    lens: { id: "field-300", pivotMm: "telecentric" },
  };

  it.each([
    ["with a coating", flat],
    ["without one", { ...bare, vessel: flat.vessel!, lens: flat.lens! }],
    ["three sets", { ...flat, settings: { ...weak, anglesDeg: [90, 30, 0] } }],
  ])("%s: plain fill is even, and the evened fill is the plain one", (_, options) => {
    const { spread } = filled(options, [panel(25, 25)], 0).fill;
    expect(spread.plain!.spread).toBeLessThan(0.01);
    expect(spread.even!.spread).toBeLessThan(0.01);
    expect(spread.even!.mean / spread.plain!.mean).toBeCloseTo(1, 2);
    expect(spread.plain!.cells).toBeGreaterThan(10_000);
  });

  it("and what it leaves is f/(v h) V of each set (Neuenschwander 2010, from memory)", () => {
    const { fill, job, spot } = filled({ ...flat, fill: { lines: "plain" } }, [panel(25, 25)], 3);
    const { thresholdJPerCm2, depthUm } = job.coating!;
    const w = (spot.waistDiameterMm / 2) * Math.hypot(1, 3 / spot.rayleighMm);
    const F = (2 * (20 / 200e3)) / (Math.PI * (w / 10) ** 2);
    const V = (Math.PI / 4) * w * w * (depthUm.value / 1000) * Math.log(F / thresholdJPerCm2.value) ** 2;
    expect(fill.spread.plain!.mean / (((2 * 200e3) / (1000 * 0.04)) * V)).toBeCloseTo(1, 2);
  });
});

describe("on a cup", () => {
  it("the spread falls as the pitch's limits widen", () => {
    const spreads: number[] = [];
    for (const least of [0.04, 0.034, 0.028, 0.022, 0.004]) {
      const { spread } = filled(
        { ...coated, fill: { pitchLimitsMm: [least, 0.04] } },
        [panel(65, 8)],
        6,
      ).fill;
      spreads.push(spread.even!.spread);
      if (least === 0.04) expect(spread.even!.spread).toBeCloseTo(spread.plain!.spread, 12);
    }
    for (let i = 1; i < spreads.length; i++) expect(spreads[i]!).toBeLessThan(spreads[i - 1]! + 1e-9);
    expect(spreads.at(-1)!).toBeLessThan(0.2 * spreads[0]!);
  });

  it("bands by speed and by power are one where worth goes with power; not with a threshold", () => {
    const bands = (options: JobFile, bandsBy: "speed" | "power") =>
      filled({ ...options, fill: { bands: 5, bandsBy } }, [panel(60, 8)], 5).fill.spread.bands!;
    const [speed, power] = [bands(bare, "speed"), bands(bare, "power")];
    // Single precision of the map.
    expect(Math.abs(power.spread / speed.spread - 1)).toBeLessThan(1e-4);
    expect(Math.abs(power.mean / speed.mean - 1)).toBeLessThan(1e-5);
    const [one, other] = [bands(coated, "speed"), bands(coated, "power")];
    expect(Math.abs(other.spread / one.spread - 1)).toBeGreaterThan(1e-3);
  });

  it("a mirrored ink has the same spreads", () => {
    const leaf = (side: 1 | -1): Path<"flat"> =>
      resolved(
        new PathBuilder<"flat">()
          .move(-25 * side, -9)
          .cubic(-8 * side, -15, 12 * side, 1, 24 * side, -5)
          .line(27 * side, 9)
          .cubic(12 * side, 4, 2 * side, 14, -14 * side, 12)
          .cubic(-22 * side, 9, -30 * side, 2, -25 * side, -9)
          .close()
          .build(),
        "nonzero",
      );
    // Sets at other angles would lie the other way on the twin.
    const [one, other] = [filled(coated, [leaf(1)], 4).fill, filled(coated, [leaf(-1)], 4).fill];
    for (const kind of ["plain", "even", "bands"] as const) {
      const [p, q] = [one.spread[kind]!, other.spread[kind]!];
      expect(q.cells).toBe(p.cells);
      expect(Math.abs(q.spread / p.spread - 1), kind).toBeLessThan(1e-9);
      expect(Math.abs(q.mean / p.mean - 1), kind).toBeLessThan(1e-9);
    }
  });

  it("of several turns the spread is that of all their cells together", () => {
    const { fill } = filled(coated, [panel(60, 6), panel(44, 9), panel(52, 7)], 5);
    expect(fill.proof.length).toBe(3);
    const made = fill.proof.map((turn) => turn!);
    for (const kind of ["plain", "even", "bands"] as const) {
      const depths = made.flatMap(({ maps, counts }) => [...maps[kind]!].filter((_, i) => counts[i] === 1));
      const { mean, low, high, cells } = fill.spread[kind]!;
      expect(cells).toBe(depths.length);
      expect(mean).toBeCloseTo(depths.reduce((sum, v) => sum + v, 0) / depths.length, 12);
      depths.sort((p, q) => p - q);
      // Percentiles by nearest rank (Hyndman & Fan, Am. Stat. 50, 361, 1996, definition 1), a rank's rounding apart.
      expect(Math.abs(depths[Math.ceil(0.05 * cells) - 1]! / low - 1)).toBeLessThan(1e-3);
      expect(Math.abs(depths[Math.ceil(0.95 * cells) - 1]! / high - 1)).toBeLessThan(1e-3);
    }
    // All turns are evened to one and the same depth.
    const each = made.map(({ maps, counts }) => spreadOf(maps.even!, counts)!.spread);
    expect(fill.spread.even!.spread).toBeGreaterThanOrEqual(Math.min(...each) * 0.9);
    expect(fill.spread.even!.spread).toBeLessThan(fill.spread.plain!.spread / 3);
  });

  it("nothing is said of the spread where there are too few cells", () => {
    const { fill } = filled(coated, [panel(0.5, 0.5)], 0);
    expect(fill.spread).toEqual({ plain: null, even: null, bands: null });
    expect(fill.sets.every((set) => set.lines > 0)).toBe(true);
  });
});
