/** The pitches of the sets: alike on the vessel and in the command plane, and evened. */
import { describe, expect, it } from "vitest";
import type { Spot } from "../../../src/beam/spot.ts";
import type { ScanHead } from "../../../src/head/scanhead.ts";
import { isAlong, Lying } from "../../../src/plan/fill/lie.ts";
import { type Pitches, pitchAt } from "../../../src/plan/fill/pitch.ts";
import { alikePitches, evenPitches } from "../../../src/plan/fill/pitches.ts";
import { type Worth, worthOf } from "../../../src/plan/fill/worth.ts";
import { type Cell, cellsOf } from "../../../src/plan/process/cells.ts";
import { cylinder } from "../../../src/vessel/cylinder.ts";
import type { Surface } from "../../../src/vessel/surface.ts";
import { Warp } from "../../../src/warp/warp.ts";
import { seeded } from "../../support/pulses.ts";
import { circle, inkOf, rectangle } from "../../support/shapes.ts";
import { posed } from "../../support/surfaces.ts";
import { jobOf } from "../process-helpers.ts";

const long: ScanHead = { pivotAcross: 545, pivotAlong: 531, field: 1000, belowCrown: 4 };
const straight: ScanHead = { ...long, pivotAcross: Infinity, pivotAlong: Infinity };
const spot: Spot = { waistDiameterMm: 0.09, rayleighMm: 4 };

const boxed = (warp: Warp, x: number, y: number, w: number, h: number): Cell[] =>
  cellsOf(inkOf([{ contours: [rectangle(x, y, w, h)] }]).shapes, warp);
const alike = (
  cells: readonly Cell[],
  warp: Warp,
  anglesDeg: readonly number[],
  pitchMm: number,
): Pitches[] => anglesDeg.map((angle) => alikePitches(cells, warp, angle, pitchMm, "vessel"));

const plainWorth = worthOf(
  jobOf({ vessel: { diameterMm: 80 }, fill: { lines: "even", pitchMm: 0.04 } }),
  spot,
  1,
);
const coated = (thresholdJPerCm2: number): Worth =>
  worthOf(
    jobOf({
      vessel: { diameterMm: 80 },
      source: { id: "fibre-60" },
      settings: { powerW: 20, speedMmS: 1000, frequencyKHz: 200, pitchMm: 0.04, anglesDeg: [90, 0] },
      coating: { id: "powder-black", thresholdJPerCm2 },
    }),
    spot,
    1,
  );

describe("alike", () => {
  const warp = new Warp(cylinder(40, "girth"), long);
  const cells = boxed(warp, -30, -15, 60, 30);

  it("on a cylinder's vessel it is the pitch asked for, at any angle", () => {
    for (const angle of [90, 0, 33, -60]) {
      const { pitchMm } = alikePitches(cells, warp, angle, 0.05, "vessel");
      expect(pitchMm.length).toBe(1);
      expect(pitchMm[0]!).toBeCloseTo(0.05, 12);
    }
  });

  it("in the command plane neighbours along the axis lie so far apart, by the map itself", () => {
    const of = alikePitches(cells, warp, 90, 0.05, "command");
    for (let a = -28; a <= 28; a += 3.5) {
      const h = pitchAt(of, a);
      const [p, q] = [warp.forward({ x: a - h / 2, y: 3 }), warp.forward({ x: a + h / 2, y: 3 })];
      if (typeof p === "string" || typeof q === "string") throw new Error("no image");
      // Straight lines between means of 96 bins over 30 mm, and at the crown the pitch of the first bin.
      expect(Math.abs(Math.abs(q.x - p.x) / 0.05 - 1)).toBeLessThan(1e-3);
    }
  });

  it("telecentric: h / cos θ around, as X = R sin θ (Snyder eq. 20-3), and h along", () => {
    const flat = new Warp(cylinder(40, "girth"), straight);
    const some = boxed(flat, -30, -15, 60, 30);
    const of = alikePitches(some, flat, 90, 0.05, "command");
    for (const a of [1, 7, 15, 22, 29]) expect(pitchAt(of, a) * Math.cos(a / 40)).toBeCloseTo(0.05, 4);
    expect(pitchAt(alikePitches(some, flat, 0, 0.05, "command"), 5)).toBeCloseTo(0.05, 12);
  });

  it.each(
    posed.filter(({ name }) => !name.includes("sight")).map((p) => [p.name, p.surface] as [string, Surface]),
  )("%s: on the vessel, as mean over the ink at each t", (_, surface) => {
    const on = new Warp(surface, long);
    const ink = boxed(on, -18, -12, 36, 24);
    for (const angle of [90, 0]) {
      const of = alikePitches(ink, on, angle, 0.05, "vessel");
      const lying = new Lying(on, angle);
      // The flat's pitch against what each place asks for: over all of it the mean is the same.
      let [asked, given, worst] = [0, 0, 0];
      for (const { a, b, areaMm2 } of ink) {
        const { stretch, area } = lying.at(a, b);
        const at = pitchAt(of, angle === 90 ? a : b);
        asked += (areaMm2 * 0.05 * stretch) / area;
        given += areaMm2 * at;
        worst = Math.max(worst, Math.abs((at * area) / stretch / 0.05 - 1));
      }
      expect(Math.abs(given / asked - 1)).toBeLessThan(1e-3);
      // A line crosses what is wider and narrower: 24 mm of these cones, or of a sphere.
      expect(worst).toBeLessThan(0.16);
    }
  });
});

/** Depths at a place at the pitches as they are: of the lines along the axis and of all others. */
interface Place {
  readonly share: number;
  readonly along: number;
  readonly fixed: number;
}

/** The places of each column, |a| ascending; a place is both sides of a cell. */
function placesOf(
  cells: readonly Cell[],
  warp: Warp,
  worth: Worth,
  angles: readonly number[],
  pitches: readonly Pitches[],
): [a: number, places: Place[]][] {
  const columns = new Map<number, Place[]>();
  const lying = angles.map((angle) => new Lying(warp, angle));
  for (const { a, b, met, areaMm2 } of cells) {
    const place = { share: areaMm2, along: 0, fixed: 0 };
    angles.forEach((angle, i) => {
      const turn = (angle * Math.PI) / 180;
      for (const x of [a, -a]) {
        const { along, area } = lying[i]!.at(x, b);
        // Across: a quarter turn further than along.
        const t = isAlong(angle) ? x : -x * Math.sin(turn) + b * Math.cos(turn);
        place[isAlong(angle) ? "along" : "fixed"] +=
          (worth.perMm(met) * along) / area / pitchAt(pitches[i]!, t) / 2;
      }
    });
    columns.set(a, [...(columns.get(a) ?? []), place]);
  }
  return [...columns].sort(([p], [q]) => p - q);
}

const sum = (places: readonly Place[], of: (place: Place) => number): number =>
  places.reduce((all, place) => all + place.share * of(place), 0);
/** Mean of along and fixed, weighed by what the lines along leave. */
const means = (places: readonly Place[]): [number, number] => {
  const weight = sum(places, (p) => p.along);
  return [sum(places, (p) => p.along ** 2) / weight, sum(places, (p) => p.along * p.fixed) / weight];
};

describe("evened", () => {
  it("every column is as near to one depth as it can be, within the limits; where not, it is named", () => {
    const random = seeded(21);
    const surfaces = posed.filter((_, i) => i % 3 === 0);
    let [even, bound, never] = [0, 0, 0];
    for (let run = 0; run < 45; run++) {
      const { name, surface } = surfaces[run % surfaces.length]!;
      const warp = new Warp(surface, run % 4 === 0 ? straight : { ...long, belowCrown: 6 * random() });
      const w = 8 + 52 * random();
      const cells =
        run % 2 === 0
          ? boxed(warp, -w / 2, -10, w, 20)
          : cellsOf(inkOf([{ contours: [circle(4 * random(), 0, 6 + 8 * random())] }]).shapes, warp);
      const angles = [[90], [90, 0], [0, 90], [-90, 35, 0], [270, 90, 12]][run % 5]!;
      const pitchMm = 0.02 + 0.05 * random();
      const limits = [pitchMm * (0.1 + 0.85 * random()), pitchMm * (1 + random())] as [number, number];
      const worth = run % 3 === 0 ? plainWorth : coated(0.1 + 2.6 * random());
      const plain = alike(cells, warp, angles, pitchMm);
      const made = evenPitches(
        cells,
        warp,
        worth,
        { anglesDeg: angles, pitchMm, pitchLimitsMm: limits },
        plain,
      )!;
      const [before, after] = [
        placesOf(cells, warp, worth, angles, plain),
        placesOf(cells, warp, worth, angles, made.pitches),
      ];
      const [least, most] = [pitchMm / limits[1], pitchMm / limits[0]];
      const target = Math.max(
        ...before
          .filter(([, places]) => sum(places, (p) => p.along) > 0)
          .map(([, places]) => {
            const [along, fixed] = means(places);
            return least * along + fixed;
          }),
      );
      after.forEach(([a, places], i) => {
        const was = before[i]![1];
        const D = sum(places, (p) => p.along) / sum(was, (p) => p.along);
        const here = made.uneven.filter((u) => a > u.fromMm && a < u.toMm);
        const below = here.find((u) => u.reason === "below-threshold");
        // Named too where only part of the column is worth nothing.
        expect(below !== undefined, name).toBe(was.some((p) => p.along === 0));
        const named = here.find((u) => u.reason === "smallest-pitch");
        if (sum(was, (p) => p.along) === 0) {
          never++;
          const first = angles.findIndex(isAlong);
          expect(pitchAt(made.pitches[first]!, a), name).toBe(pitchAt(plain[first]!, a));
          return;
        }
        expect(D, name).toBeGreaterThanOrEqual(least * (1 - 1e-9));
        expect(D, name).toBeLessThanOrEqual(most * (1 + 1e-9));
        // Another pitch in this column is further from the depth wanted, in the least squares' sense.
        const off = (factor: number): number =>
          sum(places, (p) => (factor * p.along + p.fixed - target) ** 2);
        if (named) {
          bound++;
          expect(D).toBeCloseTo(most, 9);
          const [along, fixed] = means(places);
          expect((along + fixed) / target, name).toBeLessThan(1 - 1e-10);
        } else {
          even++;
          const [along, fixed] = means(places);
          expect(Math.abs((along + fixed) / target - 1), name).toBeLessThan(1e-9);
          for (const other of [0.99, 1.01]) expect(off(other), name).toBeGreaterThan(off(1));
        }
      });
      for (const [i, angle] of angles.entries()) if (!isAlong(angle)) expect(made.pitches[i]).toBe(plain[i]);
      for (const u of made.uneven) expect(u.share).toBeGreaterThan(0);
    }
    expect(even).toBeGreaterThan(1000);
    expect(bound).toBeGreaterThan(50);
    expect(never).toBeGreaterThan(20);
  });

  it("the known answer: telecentric, no coating. φ = cos θ / (1 + (d/z_R)²), D = Z/φ less the other sets", () => {
    // Commanded lines along are as long as they lie, lines around cos θ of it (orthographic, Snyder eq. 20-3).
    const R = 40;
    const warp = new Warp(cylinder(R, "girth"), straight);
    const cells = boxed(warp, -32, -10, 64, 20);
    const asked = { pitchMm: 0.04, pitchLimitsMm: [0.004, 0.04] as [number, number] };
    const phi = (a: number): number =>
      Math.cos(a / R) / (1 + ((R * (1 - Math.cos(a / R)) - 4) / spot.rayleighMm) ** 2);
    const columns = [...new Set(cells.map((cell) => cell.a))];
    for (const [anglesDeg, around] of [
      [[90], 0],
      [[90, 0], 1],
      [[0, 90, 180], 2],
    ] as const) {
      const plain = alike(cells, warp, anglesDeg, asked.pitchMm);
      const { pitches, uneven } = evenPitches(
        cells,
        warp,
        plainWorth,
        { ...asked, anglesDeg: [...anglesDeg] },
        plain,
      )!;
      const along = pitches[anglesDeg.indexOf(90 as never)]!;
      const Z = Math.max(...columns.map((a) => phi(a) * (1 + around * Math.cos(a / R))));
      for (const a of columns) {
        const D = Z / phi(a) - around * Math.cos(a / R);
        if (D <= 10) expect(0.04 / pitchAt(along, a)).toBeCloseTo(D, 8);
        else expect(uneven.some((u) => a > u.fromMm && a < u.toMm)).toBe(true);
      }
    }
  });

  it("what is named runs on without a break, and its shares sum to the ink's", () => {
    const warp = new Warp(cylinder(40, "girth"), long);
    const cells = boxed(warp, -34, -10, 68, 20);
    const [anglesDeg, pitchMm] = [[90, 0], 0.04];
    const plain = alike(cells, warp, anglesDeg, pitchMm);
    const { uneven } = evenPitches(
      cells,
      warp,
      coated(0.9),
      { anglesDeg, pitchMm, pitchLimitsMm: [0.02, 0.04] },
      plain,
    )!;
    expect(uneven.map((u) => u.reason)).toContain("below-threshold");
    expect(uneven.map((u) => u.reason)).toContain("smallest-pitch");
    expect(uneven.at(-1)!.toMm).toBeCloseTo(34, 9);
    // A panel: the share of the ink is the share of its width.
    for (const { share, fromMm, toMm } of uneven) expect(share).toBeCloseTo((toMm - fromMm) / 34, 3);
  });

  it("null without a set along the axis", () => {
    const warp = new Warp(cylinder(40, "girth"), long);
    const cells = boxed(warp, -5, -5, 10, 10);
    const asked = { anglesDeg: [0, 45], pitchMm: 0.04, pitchLimitsMm: [0.004, 0.04] as [number, number] };
    expect(evenPitches(cells, warp, plainWorth, asked, alike(cells, warp, [0, 45], 0.04))).toBeNull();
  });
});
