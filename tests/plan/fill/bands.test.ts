/** Bands of equal falloff: where they part, and what makes them alike, against the law solved by hand. */
import { describe, expect, it } from "vitest";
import type { Spot } from "../../../src/beam/spot.ts";
import type { ScanHead } from "../../../src/head/scanhead.ts";
import type { JobFile } from "../../../src/job/job.ts";
import { placeOf } from "../../../src/plan/body.ts";
import { bandsOf } from "../../../src/plan/fill/bands.ts";
import type { Band, Bands } from "../../../src/plan/fill/types.ts";
import { type Worth, worthOf } from "../../../src/plan/fill/worth.ts";
import { type Cell, cellsOf } from "../../../src/plan/process/cells.ts";
import { cylinder } from "../../../src/vessel/cylinder.ts";
import { revolved } from "../../../src/vessel/revolved.ts";
import type { Surface } from "../../../src/vessel/surface.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { inkOf, rectangle } from "../../support/shapes.ts";
import { chartBy, vessels } from "../../support/surfaces.ts";
import { jobOf } from "../process-helpers.ts";

const RADIUS = 41;
const head: ScanHead = { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 0 };
const spot: Spot = { waistDiameterMm: 0.05, rayleighMm: 4 };
const level = (belowCrown = 0): Warp => new Warp(cylinder(RADIUS, "girth"), { ...head, belowCrown });
const inkCells = (warp: Warp, x: number, y: number, w: number, h: number): Cell[] =>
  cellsOf(inkOf([{ contours: [rectangle(x, y, w, h)] }]).shapes, warp);

const settings = {
  powerW: 6,
  speedMmS: 900,
  frequencyKHz: 50,
  pitchMm: 0.025,
  anglesDeg: [90],
  passes: 1,
  jumpSpeedMmS: 3000,
};
const coating = { id: "powder-black", thicknessUm: 10, thresholdJPerCm2: 0.5, depthUm: 3 };
function worthAt(powerW: number | null): Worth {
  const file: JobFile =
    powerW === null
      ? { vessel: { diameterMm: 82 } }
      : { vessel: { diameterMm: 82 }, settings: { ...settings, powerW }, coating };
  return worthOf(jobOf(file), spot, 1);
}
const coated = worthAt(6);
const bare = worthAt(null);

const strength = (worth: Worth, { met }: Cell, power = 1): number => worth.perMm(met, power) * met.areaRatio;

/** Area-weighted mean over a band's cells. */
function mean(cells: readonly Cell[], bands: Bands, k: number, of: (cell: Cell) => number): number {
  const own = cells.filter(({ a, b }) => bands.bandAt(a, b) === k);
  return (
    own.reduce((sum, cell) => sum + cell.areaMm2 * of(cell), 0) /
    own.reduce((sum, cell) => sum + cell.areaMm2, 0)
  );
}

const edgesOf = (bands: readonly Band[]): [number, number, band: number][] =>
  bands
    .flatMap(({ intervalsDeg }, k) =>
      intervalsDeg.map(([from, to]): [number, number, number] => [from, to, k]),
    )
    .sort((one, other) => one[0] - other[0]);

const surfaces: [string, Surface][] = vessels.flatMap(([name, outline]) =>
  (["girth", "true-width", "sheet", "sight from far"] as const).flatMap((rule): [string, Surface][] => {
    const chart = chartBy(rule, outline);
    return chart ? [[`${name}, ${rule}`, revolved(outline, chart, 0)]] : [];
  }),
);

describe.each([
  ["with a coating", coated],
  ["without a coating", bare],
] as const)("%s", (_, worth) => {
  it.each(surfaces)("on a %s the factors make all bands as strong as the strongest", (_, surface) => {
    const warp = new Warp(surface, head);
    const cells = inkCells(warp, -22, -20, 44, 40);
    const bands = bandsOf(cells, warp, worth, 5, "speed")!;
    expect(bands.bands.length).toBeGreaterThan(2);
    const target = mean(cells, bands, 0, (cell) => strength(worth, cell));
    bands.bands.forEach((band, k) => {
      const { speedFactor, powerFactor } = band;
      const bySpeed = mean(cells, bands, k, (cell) => strength(worth, cell) / speedFactor!);
      const byPower = mean(cells, bands, k, (cell) => strength(worth, cell, powerFactor!));
      expect(bySpeed / target).toBeCloseTo(1, 9);
      expect(byPower / target).toBeCloseTo(1, 6);
      expect(speedFactor).toBeLessThanOrEqual(k === 0 ? 1 : bands.bands[k - 1]!.speedFactor!);
      expect(band.falloff).toBe(speedFactor);
      if (!worth.removal) expect(powerFactor! * band.falloff).toBeCloseTo(1, 9);
    });
    expect(bands.bands.reduce((sum, band) => sum + band.share, 0)).toBeCloseTo(1, 12);
  });

  it.each([2, 5, 32])("%d bands part at equal ratios of the strength", (count) => {
    const warp = level();
    // So low that strength does not change along it.
    const cells = inkCells(warp, -30, -0.5, 60, 1);
    const { bands, bandAt } = bandsOf(cells, warp, worth, count, "speed")!;
    expect(bands.length).toBeGreaterThanOrEqual(Math.min(count, 16));
    expect(bands.length).toBeLessThanOrEqual(count);
    const all = cells.map((cell) => strength(worth, cell));
    const [max, min] = [Math.max(...all), Math.min(...all)];
    const seams = edgesOf(bands).slice(0, -1);
    for (const [, to] of seams) {
      const met = warp.meeting((to * Math.PI * RADIUS) / 180, 0);
      if (typeof met === "string") throw new Error(met);
      const place = (count * Math.log(max / (worth.perMm(met) * met.areaRatio))) / Math.log(max / min);
      // Between columns the strength is taken as straight: off by a fiftieth of a band where it bends most.
      expect(Math.abs(place - Math.round(place))).toBeLessThan(0.05);
    }
    // Relative fluence falls from the crown on: one interval each, in their order. What a pulse removes may rise at first:
    // it is most at F = e² F_c (beam/removal.ts).
    if (!worth.removal) expect(edgesOf(bands).map(([, , k]) => k)).toEqual(bands.map((_, k) => k));
    for (const [from, to, k] of edgesOf(bands)) {
      const a = ((from + to) / 2 / 180) * Math.PI * RADIUS;
      expect([bandAt(a, 0), bandAt(-a, 0)]).toEqual([k, k]);
    }
  });
});

it("the power that makes two places alike is that of the logarithmic law solved by hand", () => {
  const warp = level();
  const place = (a: number): Cell => {
    const met = warp.meeting(a, 0);
    if (typeof met === "string") throw new Error(met);
    return { a, b: 0, met, areaMm2: 1 };
  };
  const cells = [place(2), place(24)];
  const [strong, weak] = cells as [Cell, Cell];
  const { bands } = bandsOf(cells, warp, coated, 2, "power")!;
  expect(bands.length).toBe(2);
  // V = (π/4)(w²/cos i) δ ln²(F/F_c), the logarithmic law (B. Neuenschwander et al. 2010, from memory; as in
  // beam/removal.ts). Alike where J₁V₁ = J₂V₂: F = F_c exp √(ln²(F₁/F_c) · ratio), and F grows as the power does.
  const lawAt = ({ met: { defocus, slant, cosIncidence, areaRatio } }: Cell) => {
    const w2 = 0.025 ** 2 * (1 + ((defocus * slant) / spot.rayleighMm) ** 2);
    // mJ/mm² are tenths of J/cm².
    const fluence = (0.1 * 2 * (6 / 50) * cosIncidence) / (Math.PI * w2);
    return { fluence, weight: (areaRatio * w2) / cosIncidence };
  };
  const [one, two] = [lawAt(strong), lawAt(weak)];
  const needed = 0.5 * Math.exp(Math.sqrt(Math.log(one.fluence / 0.5) ** 2 * (one.weight / two.weight)));
  expect(bands[1]!.powerFactor).toBeCloseTo(needed / two.fluence, 9);
  expect(bands[1]!.speedFactor).toBeCloseTo(
    (two.weight * Math.log(two.fluence / 0.5) ** 2) / (one.weight * Math.log(one.fluence / 0.5) ** 2),
    9,
  );
});

it("a crown out of focus makes the outer strengths return: a band of three intervals on the vessel", () => {
  const warp = level(6);
  const cells = inkCells(warp, -28, -5, 56, 10);
  const { bands, bandAt } = bandsOf(cells, warp, bare, 3, "speed")!;
  const folded = bands.map(({ intervalsDeg }) => intervalsDeg.length);
  expect(Math.max(...folded)).toBe(2);
  const k = folded.indexOf(2);
  let runs = 0;
  for (let a = -28; a < 28; a += 0.05) if (bandAt(a, 0) === k && bandAt(a - 0.05, 0) !== k) runs++;
  expect(runs).toBe(bands[k]!.intervalsDeg[0]![0] === 0 ? 3 : 4);
  // The strongest lies off the crown.
  expect(bands[0]!.intervalsDeg[0]![0]).toBeGreaterThan(5);
});

it("bands begin and end with the ink, and go on beyond it", () => {
  const warp = level();
  const cells = inkCells(warp, 10, -5, 20, 10);
  const { bands, bandAt } = bandsOf(cells, warp, coated, 4, "speed")!;
  const deg = (a: number): number => (a / RADIUS) * (180 / Math.PI);
  const seams = edgesOf(bands);
  // To a column of 30 mm / 96.
  expect(Math.abs(seams[0]![0] - deg(10))).toBeLessThan(deg(30 / 96));
  expect(seams.at(-1)![1]).toBeCloseTo(deg(30), 9);
  seams.slice(1).forEach(([from], i) => {
    expect(from).toBe(seams[i]![1]);
  });
  expect(bandAt(0, 0)).toBe(0);
  expect(bandAt(35, 0)).toBe(bands.length - 1);
});

describe("below the threshold", () => {
  it("what is worth nothing is of the weakest band, whose factor is of the rest of it", () => {
    const weak = worthAt(0.55);
    const warp = level();
    const cells = inkCells(warp, -33, -5, 66, 10);
    const nothing = cells.filter((cell) => strength(weak, cell) === 0);
    expect(nothing.length).toBeGreaterThan(100);
    const bands = bandsOf(cells, warp, weak, 4, "speed")!;
    const last = bands.bands.length - 1;
    for (const { a, b } of nothing) expect(bands.bandAt(a, b)).toBe(last);
    const some = cells.filter((cell) => strength(weak, cell) > 0);
    const target = mean(some, bands, 0, (cell) => strength(weak, cell));
    const rest = mean(some, bands, last, (cell) => strength(weak, cell));
    expect(bands.bands[last]!.speedFactor).toBeCloseTo(rest / target, 9);
    // More power wakes what is worth nothing.
    const powered = mean(cells, bands, last, (cell) => strength(weak, cell, bands.bands[last]!.powerFactor!));
    expect(powered / target).toBeCloseTo(1, 6);
  });

  it("no bands where nothing is worth anything, or without cells", () => {
    const warp = level();
    expect(bandsOf(inkCells(warp, -5, -5, 10, 10), warp, worthAt(0.01), 5, "speed")).toBeNull();
    expect(bandsOf([], warp, coated, 5, "speed")).toBeNull();
  });
});

it("factorAt is the factor of bandAt's band by what was asked, NaN where the flat has no vessel", () => {
  const outline = vessels[0]![1];
  const surface = revolved(outline, chartBy("sight from far", outline)!, 0);
  const warp = new Warp(surface, head);
  const cells = inkCells(warp, -25, -10, 50, 20);
  for (const by of ["speed", "power"] as const) {
    const { bands, bandAt, factorAt } = bandsOf(cells, warp, coated, 5, by)!;
    for (const { a, b } of cells) {
      const band = bands[bandAt(-a, b)]!;
      expect(factorAt(-a, b)).toBe(by === "speed" ? band.speedFactor : band.powerFactor);
    }
    expect([bandAt(42, 0), factorAt(42, 0)]).toEqual([Number.NaN, Number.NaN]);
  }
});

it("no interval is narrower than a spot, and all alike is one band", () => {
  const warp = level();
  const cells = inkCells(warp, -30, -5, 60, 10);
  // A spot as large as 3 mm, so that some of 32 would be narrower.
  const { bands } = bandsOf(cells, warp, bare, 32, "speed", 3)!;
  for (const [from, to] of edgesOf(bands)) {
    expect(((to - from) * Math.PI * RADIUS) / 180).toBeGreaterThanOrEqual(3 - 1e-9);
  }
  const plain: Worth = { removal: false, perMm: (met) => 1 / met.areaRatio, halfWidth: () => 1 };
  const one = bandsOf(cells, warp, plain, 5, "speed")!;
  expect(one.bands.map((band) => band.speedFactor)).toEqual([1]);
  expect(placeOf(warp.surface, 30, 0)!.theta).toBeCloseTo(
    (one.bands[0]!.intervalsDeg[0]![1] * Math.PI) / 180,
    9,
  );
});

it.each([
  [0.1, 4],
  [0.3, 6],
])("a rise of %d of a band beyond a level parts the ink into %d intervals", (rise, intervals) => {
  const warp = level();
  const cells = inkCells(warp, -30, -0.5, 60, 1);
  // In bands below the strongest: 0 on the crown to 4 at the ink's edge, but for a rise over level 2.
  const place = (theta: number): number => {
    const share = (theta * RADIUS) / 30;
    if (share < 0.6) return (2.7 * share) / 0.6;
    const bump = Math.max(0, 1 - Math.abs(share - 0.7) / 0.1);
    return share < 0.8 ? 2.7 - (0.7 + rise) * bump : 2.7 + (1.3 * (share - 0.8)) / 0.2;
  };
  const worth: Worth = {
    removal: false,
    perMm: (met) => 2 ** -place(Math.acos(1 - met.defocus / RADIUS)) / met.areaRatio,
    halfWidth: () => 1,
  };
  const { bands } = bandsOf(cells, warp, worth, 4, "speed")!;
  expect(edgesOf(bands).length).toBe(intervals);
});
