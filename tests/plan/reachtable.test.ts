/** The table of lenses: closed forms, each limit in turn, the column, and numbers on any vessel. */
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import { type ReachRow, reachCurves, reachTable } from "../../src/plan/reachtable.ts";
import { type Lens, stationOf } from "../../src/plan/station.ts";
import { zoneAt } from "../../src/plan/zones.ts";
import { cylinder } from "../../src/vessel/cylinder.ts";
import { Warp } from "../../src/warp/warp.ts";
import { profiles } from "../support/profiles.ts";

const lenses: Lens[] = profiles.lenses.map((p) => resolveJob({}, job({ lens: { id: p.id } }), profiles).lens);
function job(more: JobFile = {}): JobFile {
  return { vessel: { diameterMm: 76.4 }, ...more };
}
const tableOf = (more: JobFile = {}): ReachRow[] => reachTable(lenses, resolveJob({}, job(more), profiles));
const rowOf = (lens: string, more: JobFile = {}): ReachRow => tableOf(more).find((r) => r.lens === lens)!;

/** z_R = π d₀²/(4 M² λ), d₀ = 4 M² λ f/(π D): ISO 11146-1; here at M² 1.5, 1064 nm, D 7 mm. */
function rayleigh(f: number): number {
  const waist = (4 * 1.5 * 1064e-6 * f) / (Math.PI * 7);
  return (Math.PI * waist ** 2) / (4 * 1.5 * 1064e-6);
}

describe("rows that the depth limits", () => {
  it.each([60, 76.4, 82, 120])("%d mm: cos θ = 1 − 2 z_u/R, around and as seen", (diameterMm) => {
    const radius = diameterMm / 2;
    const around = tableOf({ vessel: { diameterMm }, limits: { usableDepthMm: 3 } });
    const seen = tableOf({
      vessel: { diameterMm },
      limits: { usableDepthMm: 3 },
      placement: { fidelity: "sight" },
    });
    // Height of a circular segment, Machinery's Handbook, 31st ed., p. 79.
    const theta = Math.acos(1 - 6 / radius);
    expect(around.map((r) => r.lens)).toEqual(profiles.lenses.map((p) => p.id));
    for (const [i, { limitedBy, reachMm }] of around.entries()) {
      expect(limitedBy).toBe("depth");
      expect(reachMm).toBeCloseTo(2 * radius * theta, 8);
      expect(seen[i]!.reachMm).toBeCloseTo(2 * radius * Math.sin(theta), 8);
    }
  });

  it("by the Rayleigh range where no depth is given; crown and edge then share the limit", () => {
    for (const [i, found] of tableOf().entries()) {
      const z = rayleigh(lenses[i]!.focalLengthMm);
      expect(found.depthOfFocusMm).toBeCloseTo(2 * z, 9);
      expect(found.reachMm).toBeCloseTo(76.4 * Math.acos(1 - (2 * z) / 38.2), 8);
      expect(found.bestFocusMm).toBeCloseTo(z, 6);
      // φ halves at z_R for upright incidence (ISO 11146: the beam's area doubles), and less so at the crown.
      expect(found.falloffRatio).toBeLessThan(0.5);
      expect(found.falloffRatio).toBeGreaterThan(0.3);
    }
  });

  it("a longer lens reaches further, with a larger spot and a deeper focus", () => {
    const rows = tableOf();
    expect(rows.every((r) => r.limitedBy === "depth")).toBe(true);
    for (const key of ["reachMm", "waistDiameterMm", "depthOfFocusMm", "bestFocusMm"] as const) {
      const list = rows.map((r) => r[key]);
      expect(list, key).toEqual([...list].sort((a, b) => a - b));
    }
  });

  it("a larger vessel carries wider artwork", () => {
    const ask = resolveJob({}, job(), profiles);
    for (const { reachMm } of reachCurves(lenses, ask, [30, 60, 90, 120]))
      expect(reachMm).toEqual([...reachMm].sort((a, b) => a - b));
  });
});

describe("other limits", () => {
  it("a small field ends the reach on a large vessel: the chord, drawn in by the pivot, is the field", () => {
    const found = rowOf("field-70", { vessel: { diameterMm: 1500 }, limits: { usableDepthMm: 5 } });
    expect(found.limitedBy).toBe("field");
    const chord = 1500 * Math.sin(found.reachMm / 1500);
    // The edge lies 5 mm below the focal plane, the pivot across 128 mm above it.
    expect(chord / (1 + 5 / 128)).toBeCloseTo(70, 8);
  });

  it("where the depth is ample, incidence ends it: θ + α = 60°", () => {
    const depth = 60;
    for (const [i, found] of tableOf({ limits: { usableDepthMm: depth } }).entries()) {
      expect(found.limitedBy).toBe("incidence");
      const theta = found.reachMm / 76.4;
      const pivot = lenses[i]!.pivotMm[0] as number;
      const alpha = Math.atan((38.2 * Math.sin(theta)) / (pivot + depth));
      expect(((theta + alpha) * 180) / Math.PI).toBeCloseTo(60, 8);
    }
  });

  it("on a thin tube the incidence too", () => {
    for (const found of tableOf({ vessel: { diameterMm: 1 } })) expect(found.limitedBy).toBe("incidence");
  });

  it("a vessel across the bed is met by the other mirror", () => {
    const limits = { usableDepthMm: 60 };
    const x = rowOf("field-70", { axis: "x", limits });
    // The nearer pivot, 114 against 128 mm, leans the beam more.
    expect(x.reachMm).toBeLessThan(rowOf("field-70", { limits }).reachMm);
  });
});

describe("the column", () => {
  // Common practice, no published source: a long lens of 457 mm working distance is out of a short column's reach.
  const long = { id: "field-300", workingDistanceMm: 457 };
  const columnFor = (travelMm?: number): ReachRow["column"] => {
    const ask = resolveJob(
      { lens: long },
      job({ column: { restHeightMm: 20, ...(travelMm === undefined ? {} : { travelMm }) } }),
      profiles,
    );
    return reachTable([ask.lens], ask)[0]!.column;
  };

  it("of 500 mm is short of a 76.4 mm vessel, one of 800 mm is not", () => {
    const needed = 457 + 20 + 76.4 - rowOf("field-300").bestFocusMm;
    expect(columnFor(500).neededMm).toBeCloseTo(needed, 9);
    expect(columnFor(500).shortMm).toBeCloseTo(needed - 500, 9);
    expect(columnFor(500).shortMm).toBeGreaterThan(0);
    expect(columnFor(800)).toEqual({ neededMm: columnFor(500).neededMm, shortMm: 0 });
  });

  it("of unknown height says nothing", () => {
    expect(columnFor().shortMm).toBeNull();
  });
});

it("every number is one, on any vessel and within any limits", () => {
  fc.assert(
    fc.property(
      fc.oneof(fc.constantFrom(1, 2000), fc.double({ min: 1, max: 2000, noNaN: true })),
      fc.oneof(fc.constant("rayleigh" as const), fc.double({ min: 0.001, max: 1000, noNaN: true })),
      fc.double({ min: 0.1, max: 89.9, noNaN: true }),
      fc.constantFrom("girth" as const, "sight" as const),
      (diameterMm, usableDepthMm, maxIncidenceDeg, fidelity) => {
        const rows = tableOf({
          vessel: { diameterMm },
          limits: { usableDepthMm, maxIncidenceDeg },
          placement: { fidelity },
        });
        for (const { lens: _, limitedBy, column, ...numbers } of rows) {
          for (const [key, value] of Object.entries({ ...numbers, needed: column.neededMm }))
            expect(Number.isFinite(value), `${key} ${value}`).toBe(true);
          expect(["depth", "incidence", "field"]).toContain(limitedBy);
          expect(numbers.reachMm).toBeGreaterThan(0);
          expect(numbers.reachMm).toBeLessThan(fidelity === "girth" ? Math.PI * diameterMm : diameterMm);
          expect(numbers.bestFocusMm).toBeGreaterThanOrEqual(0);
          expect(numbers.falloffRatio).toBeGreaterThanOrEqual(0);
          expect(numbers.falloffRatio).toBeLessThanOrEqual(1);
        }
      },
    ),
    { numRuns: 60, seed: 764 },
  );
});

it("where incidence or field limits the reach, at the focus listed it is less by under one percent", () => {
  let limited = 0;
  for (const diameterMm of [5, 12, 20, 30, 40, 55]) {
    const ask = resolveJob({}, { vessel: { diameterMm } }, profiles);
    for (const lens of lenses) {
      const [row] = reachTable([lens], ask);
      if (row!.limitedBy === "depth") continue;
      limited++;
      const { base, limits } = stationOf(ask, lens);
      const warp = new Warp(cylinder(diameterMm / 2, "girth"), { ...base, belowCrown: row!.bestFocusMm });
      expect(zoneAt(warp, limits, 0.495 * row!.reachMm, 0), `${lens.id}, ${diameterMm} mm`).toBe("usable");
    }
  }
  expect(limited).toBeGreaterThan(10);
});
