/** The vessel's table: closed forms of cylinder, cone and sphere, a measured outline, blocked areas, what stands before. */
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import { studyVessel, type VesselRow, type VesselTable } from "../../src/plan/vesseltable.ts";
import { zoneOf } from "../../src/plan/vesselzone.ts";
import { profiles } from "../support/profiles.ts";

const study = (more: JobFile) => studyVessel(resolveJob({}, more, profiles));
const tableOf = (more: JobFile): VesselTable => study(more).table;
const at = (table: VesselTable, place: VesselRow["places"][number]): VesselRow =>
  table.rows.find((row) => row.places.includes(place))!;
/** Beams straight down, a field that ends nothing. */
const straight: JobFile = { lens: { pivotMm: "telecentric", fieldMm: 2000 } };
const rad = (deg: number): number => (deg * Math.PI) / 180;

describe("a cylinder", () => {
  it("reaches cos θ = 1 − 2 z_u/R at every height (height of a segment, Machinery's Handbook, 31st ed., p. 79)", () => {
    const table = tableOf({ vessel: { diameterMm: 76.4 }, limits: { usableDepthMm: 3 } });
    const theta = Math.acos(1 - 6 / 38.2);
    expect(table.focus).toEqual({ belowCrownMm: 3, by: "depth" });
    const inField = table.rows.filter((row) => row.limitedBy !== "off-field");
    expect(inField.length).toBeGreaterThan(10);
    for (const row of inField) {
      expect(row.limitedBy).toBe("out-of-depth");
      expect(rad(row.halfAngleDeg)).toBeCloseTo(theta, 8);
      expect(row.reachMm).toBeCloseTo(76.4 * theta, 7);
      expect(row).toMatchObject({ aboveBaseMm: null, belowRimMm: null, taperDeg: 0, crownDropMm: 0 });
    }
  });
  it("has its ends where the job has them, and an area of 2Rθ by its height", () => {
    const vessel = { diameterMm: 80, heightMm: 110, belowRimMm: 40 };
    const { table, zone } = study({ ...straight, vessel, limits: { usableDepthMm: 2.5 } });
    expect(at(table, "rim")).toMatchObject({ aboveBaseMm: 110, belowRimMm: 0, alongOutlineMm: -40 });
    expect(at(table, "placement")).toMatchObject({ aboveBaseMm: 70, belowRimMm: 40, alongOutlineMm: 0 });
    expect(at(table, "base")).toMatchObject({ aboveBaseMm: 0, belowRimMm: 110, alongOutlineMm: 70 });
    const theta = Math.acos(1 - 5 / 40);
    expect(table.printable.areaMm2).toBeCloseTo(2 * 40 * theta * 110, 5);
    expect(zone.every(({ spans }) => spans.length === 1)).toBe(true);
  });
  it("is cut off by the field, and by incidence where depth is plenty", () => {
    const vessel = { diameterMm: 80, heightMm: 300, belowRimMm: 150 };
    const short = tableOf({ vessel, lens: { fieldMm: 100, pivotMm: "telecentric" } });
    expect(at(short, "rim")).toMatchObject({ printable: "no", limitedBy: "off-field", reachMm: 0 });
    expect(short.printable.fromMm).toBeCloseTo(-50, 3);
    expect(short.printable.toMm).toBeCloseTo(50, 3);
    const deep = tableOf({ ...straight, vessel, limits: { usableDepthMm: 40, maxIncidenceDeg: 50 } });
    // Beams straight down meet a cylinder at the angle around from its crown line.
    for (const row of deep.rows)
      expect([row.limitedBy, row.halfAngleDeg.toFixed(6)]).toEqual(["oblique", "50.000000"]);
  });
  it("takes the focus that is asked for: above the usable depth the crown is out, the sides are not", () => {
    const vessel = { diameterMm: 80, heightMm: 110, belowRimMm: 40 };
    const row = at(tableOf({ ...straight, vessel, focus: 5, limits: { usableDepthMm: 3 } }), "placement");
    expect(row).toMatchObject({ printable: "sides", limitedBy: "out-of-depth", halfAngleDeg: 0, reachMm: 0 });
    const table = tableOf({ ...straight, vessel, focus: "crown", limits: { usableDepthMm: 3 } });
    expect(table.focus).toEqual({ belowCrownMm: 0, by: "asked" });
    // Only half of the depth lies below the crown.
    expect(rad(at(table, "placement").halfAngleDeg)).toBeCloseTo(Math.acos(1 - 3 / 40), 8);
  });
  it("is focused where a short column has its stop", () => {
    const vessel = { diameterMm: 80 };
    const table = tableOf({ vessel, lens: { workingDistanceMm: 450 }, column: { travelMm: 520 } });
    // 450 mm of working distance over a crown 80 mm high: 10 mm more than the column has.
    expect(table.focus.belowCrownMm).toBeCloseTo(10, 9);
    expect(table.focus.by).toBe("column");
  });
});

describe("a cone", () => {
  const vessel = { taperMm: [88, 64, 110] as [number, number, number], belowRimMm: 30 };
  it("has its girth and taper at every height (a frustum: tan of the half-angle is half the difference by the height)", () => {
    const table = tableOf({ vessel });
    expect(at(table, "rim").diameterMm).toBeCloseTo(88, 9);
    expect(at(table, "base").diameterMm).toBeCloseTo(64, 9);
    for (const row of table.rows) {
      expect(row.diameterMm).toBeCloseTo(88 - (24 * row.belowRimMm!) / 110, 9);
      expect(row.girthMm).toBeCloseTo(Math.PI * row.diameterMm, 9);
      expect(row.taperDeg).toBeCloseTo((Math.atan(12 / 110) * 180) / Math.PI, 9);
      expect(row.aboveBaseMm! + row.belowRimMm!).toBeCloseTo(110, 9);
    }
  });
  it("levelled its crown line is level; with its axis level the crown falls by the difference of the radii", () => {
    for (const row of tableOf({ vessel }).rows) expect(row.crownDropMm).toBeCloseTo(0, 9);
    const flat = tableOf({ vessel, pose: "axis" });
    expect(flat.tiltDeg).toBe(0);
    for (const row of flat.rows) expect(row.crownDropMm).toBeCloseTo((12 * (row.belowRimMm! - 30)) / 110, 9);
    // Toward the rim the crown then stands above the usable depth of any common lens.
    expect(at(flat, "rim").printable).not.toBe("yes");
  });
});

describe("a sphere under beams straight down", () => {
  it("has a printable cap of 2πR·h, h twice the usable depth (Archimedes; Machinery's Handbook, 31st ed.)", () => {
    const table = tableOf({ ...straight, vessel: { sphereMm: 70 }, limits: { usableDepthMm: 2 } });
    const cap = 2 * Math.PI * 35 * 4;
    expect(Math.abs(table.printable.areaMm2 / cap - 1)).toBeLessThan(2e-3);
    // Half of the cap's outline: cos φ = 1 − h/R.
    expect(table.printable.toMm).toBeCloseTo(35 * Math.acos(1 - 4 / 35), 3);
    expect(at(table, "widest").alongOutlineMm).toBeCloseTo(0, 5);
  });
  it("or of 2πR²(1 − cos i) where incidence ends it, and so says the row across its middle", () => {
    const table = tableOf({
      ...straight,
      vessel: { sphereMm: 70 },
      limits: { usableDepthMm: 40, maxIncidenceDeg: 35 },
    });
    const cap = 2 * Math.PI * 35 ** 2 * (1 - Math.cos(rad(35)));
    expect(Math.abs(table.printable.areaMm2 / cap - 1)).toBeLessThan(2e-3);
    expect(at(table, "widest").halfAngleDeg).toBeCloseTo(35, 6);
    for (const row of table.rows) {
      // Straight down, the angle to the normal on the crown line is the latitude.
      expect(row.crownIncidenceDeg).toBeCloseTo((Math.abs(row.alongOutlineMm) / 35) * (180 / Math.PI), 6);
      expect(row.printable).toBe(row.crownIncidenceDeg! <= 35 ? "yes" : "no");
    }
  });
});

describe("a measured outline", () => {
  const bottle = [
    ...[0, 20, 60, 120, 160].map((heightMm) => ({ heightMm, diameterMm: 73 })),
    ...[
      [175, 66],
      [190, 48],
      [205, 36],
      [225, 34],
    ].map(([heightMm, diameterMm]) => ({ heightMm: heightMm!, diameterMm: diameterMm! })),
  ];
  const vessel = { profile: bottle, belowRimMm: 140 };
  it("has rows at its measures, apart from each other, from the rim down", () => {
    const { rows, heightMm } = tableOf({ vessel });
    expect(heightMm).toBe(225);
    const measured = rows.filter((row) => row.places.includes("measured") || row.places.includes("rim"));
    expect(measured.length).toBeGreaterThan(3);
    for (const { aboveBaseMm, diameterMm } of measured) {
      const row = bottle.find((one) => Math.abs(one.heightMm - aboveBaseMm!) < 1e-6)!;
      expect(diameterMm).toBeCloseTo(row.diameterMm, 6);
    }
    const heights = rows.map((row) => row.aboveBaseMm!);
    expect(heights).toEqual([...heights].sort((p, q) => q - p));
    expect(heights.length).toBeGreaterThanOrEqual(12);
    expect(heights.length).toBeLessThanOrEqual(26);
    expect(at({ rows } as VesselTable, "narrowest").diameterMm).toBeLessThan(34.01);
  });
  it("is too deep on its shoulder where half the difference of diameters passes twice the usable depth", () => {
    const { rows, printable } = tableOf({ ...straight, vessel, limits: { usableDepthMm: 5 } });
    for (const row of rows) {
      expect(row.crownDropMm).toBeCloseTo((73 - row.diameterMm) / 2, 6);
      // Its axis level, beams straight down meet the crown at the wall's own angle.
      expect(row.crownIncidenceDeg).toBeCloseTo(Math.abs(row.taperDeg), 5);
      expect(row.printable, `${row.aboveBaseMm}`).toBe(row.diameterMm >= 53 ? "yes" : "no");
      if (row.printable === "no") expect(row.limitedBy).toBe("out-of-depth");
    }
    expect(printable.toMm).toBeCloseTo(85, 1);
    expect(printable.fromMm).toBeLessThan(-85);
  });
  it("is too steep there where the wall leans more than the limit", () => {
    const limits = { usableDepthMm: 30, maxIncidenceDeg: 25 };
    const { rows } = tableOf({ ...straight, vessel, limits });
    for (const row of rows) expect(row.printable).toBe(Math.abs(row.taperDeg) <= 25 ? "yes" : "no");
    expect(new Set(rows.map((row) => row.printable))).toEqual(new Set(["yes", "no"]));
    for (const row of rows) expect(row.limitedBy).toBe("oblique");
  });
  it("hides what stands behind a bulge, as lines drawn from the lens show", () => {
    // A flange of 80 mm in front of a groove of 60 mm, the rim lifted: the beam comes over the flange.
    const profile = [
      [0, 60],
      [30, 60],
      [40, 78],
      [45, 80],
      [50, 78],
      [60, 60],
      [90, 60],
    ].map(([heightMm, diameterMm]) => ({ heightMm: heightMm!, diameterMm: diameterMm! }));
    const { body } = study({
      ...straight,
      vessel: { profile, belowRimMm: 45 },
      pose: 40,
      limits: { usableDepthMm: 60, maxIncidenceDeg: 89 },
    });
    const { meridian } = body.warp.surface;
    const o = new Float64Array(4);
    // Beams straight down run along (sin τ, −cos τ) in y and z: the outline stands before them where it is higher there.
    const shaded = (m: number): boolean => {
      meridian.at(m, o);
      const [y0, z0] = [o[1]!, o[0]!];
      return Array.from({ length: 4000 }, (_, i) => 0.02 * (i + 1)).some((t) => {
        const m1 = meridian.arcAt(y0 - t * Math.sin(rad(40)));
        if (Number.isNaN(m1)) return false;
        meridian.at(m1, o);
        return o[0]! > z0 + t * Math.cos(rad(40)) + 1e-9;
      });
    };
    let [hidden, seen] = [0, 0];
    for (let m = meridian.from + 0.5; m < meridian.to; m += 0.5) {
      const crown = body.warp.meetingUnchecked(0, m);
      if (Math.abs(crown.cosIncidence) < 0.05) continue;
      const expected = crown.cosIncidence < 0 || shaded(m);
      expect(zoneOf(body, 0, m) === "hidden", `m ${m}`).toBe(expected);
      if (expected) hidden++;
      else seen++;
    }
    expect(hidden).toBeGreaterThan(5);
    expect(seen).toBeGreaterThan(20);
  });
});

describe("the focal plane where nothing is asked", () => {
  // Levelled at its middle, between two equal bulges: half the difference of the diameters is how far the crown rises.
  const waisted = (bulge: number): JobFile => ({
    ...straight,
    vessel: {
      profile: [0, 20, 40, 60, 80, 100, 120].map((heightMm, i) => ({
        heightMm,
        diameterMm: 74 + bulge * [0, 0.5, 1, 0, 1, 0.5, 0][i]!,
      })),
      belowRimMm: 60,
    },
    limits: { usableDepthMm: 6 },
  });
  it("keeps the highest crown within the depth where it rises by a third of it at most", () => {
    const table = tableOf(waisted(3));
    const rise = table.crownRiseMm;
    expect(rise).toBeCloseTo((at(table, "widest").diameterMm - 74) / 2, 5);
    expect(rise).toBeGreaterThan(1.49);
    expect(table.focus.by).toBe("highest");
    expect(6 - rise - table.focus.belowCrownMm).toBeGreaterThan(0);
    expect(6 - rise - table.focus.belowCrownMm).toBeLessThan(0.011);
    expect(table.rows.map((row) => row.printable)).not.toContain("sides");
  });
  it("lets the placement point decide where it rises by more", () => {
    const table = tableOf(waisted(5));
    expect(table.crownRiseMm).toBeGreaterThan(2);
    expect(table.focus).toEqual({ belowCrownMm: 6, by: "depth" });
    expect(at(table, "widest").printable).toBe("sides");
  });
  it("speaks of no rise under a twentieth of a millimetre, and yet keeps it", () => {
    const table = tableOf(waisted(0.06));
    expect(table.focus.by).toBe("depth");
    expect(table.rows.map((row) => row.printable)).not.toContain("sides");
  });
  it("does not count a crown that the field or incidence leaves out", () => {
    expect(tableOf({ ...waisted(3), lens: { fieldMm: 8, pivotMm: "telecentric" } }).crownRiseMm).toBeLessThan(
      0.5,
    );
  });
});

it("the reach is the arc on the vessel at that height, whatever the fidelity: 2·angle·r", () => {
  for (const fidelity of ["girth", "true-width", "sight"] as const) {
    const { rows } = tableOf({ vessel: { id: "shoulder-bottle" }, placement: { fidelity } });
    for (const row of rows) {
      expect(row.reachMm).toBeCloseTo(((2 * row.halfAngleDeg) / 360) * row.girthMm, 9);
      expect(row.reachMm).toBeLessThanOrEqual(row.girthMm);
    }
  }
});

describe("blocked areas", () => {
  const vessel = { diameterMm: 80, heightMm: 110, belowRimMm: 40 };
  const limits = { usableDepthMm: 10 };
  it("are cut out of the zone, and end the reach on the side that they are on", () => {
    const free = tableOf({ ...straight, vessel, limits });
    const blocked = [
      { name: "clip", aroundDeg: [10, 15] as [number, number], belowRimMm: [20, 50] as [number, number] },
    ];
    const table = tableOf({ ...straight, vessel: { ...vessel, blocked }, limits });
    expect(free.printable.areaMm2 - table.printable.areaMm2).toBeCloseTo(40 * rad(5) * 30, 1);
    expect(at(table, "placement").halfAngleDeg).toBeCloseTo(10, 6);
    expect(at(table, "placement").limitedBy).toBe("blocked");
    expect(at(table, "rim").halfAngleDeg).toBeCloseTo(at(free, "rim").halfAngleDeg, 8);
  });
  it("all around leave nothing at their height", () => {
    const blocked = [
      { name: "band", aroundDeg: [-180, 180] as [number, number], belowRimMm: [0, 30] as [number, number] },
    ];
    const table = tableOf({ ...straight, vessel: { ...vessel, blocked }, limits });
    expect(table.printable.fromMm).toBeCloseTo(-10, 3);
    const upper = table.rows.filter((row) => row.belowRimMm! > 0 && row.belowRimMm! < 29);
    expect(upper.length).toBeGreaterThanOrEqual(2);
    for (const row of upper) expect(row).toMatchObject({ printable: "no", limitedBy: "blocked" });
  });
});

it("every stored vessel and any cone in any pose has a table of finite numbers", () => {
  const finite = (table: VesselTable): void => {
    expect(table.rows.length).toBeGreaterThanOrEqual(8);
    expect(JSON.stringify(table)).not.toMatch(/NaN|Infinity/);
    for (const row of table.rows) {
      for (const value of Object.values(row))
        if (typeof value === "number") expect(Number.isFinite(value)).toBe(true);
      expect(row.halfAngleDeg > 0).toBe(row.printable === "yes");
    }
  };
  for (const { id } of profiles.vessels)
    for (const pose of ["levelled", "axis", "lying"] as const) finite(tableOf({ vessel: { id }, pose }));
  const size = fc.double({ min: 5, max: 400, noNaN: true });
  fc.assert(
    fc.property(size, size, fc.double({ min: -70, max: 70, noNaN: true }), (top, tall, pose) => {
      finite(tableOf({ vessel: { taperMm: [top, top * 0.8, Math.max(tall, top / 4)] }, pose }));
    }),
    { numRuns: 40, seed: 7 },
  );
});
