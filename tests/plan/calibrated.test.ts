/** Calibrated figures in the possible worlds and in all that is said of them: drawn together, narrower, without a label. */
import { describe, expect, it } from "vitest";
import { fillRows } from "../../src/cli/fillrows.ts";
import { processRows } from "../../src/cli/processrows.ts";
import { proofSummary } from "../../src/cli/proofsummary.ts";
import { readInk } from "../../src/ink/ink.ts";
import type { Calibration } from "../../src/job/calibration.ts";
import type { Job, JobFile } from "../../src/job/job.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import { scaleOf } from "../../src/picture/evenness/scale.ts";
import { layerOf } from "../../src/picture/layers.ts";
import { sheetContent } from "../../src/picture/sheet/content.ts";
import { zoneKeyItems } from "../../src/picture/zonekey.ts";
import { planJob } from "../../src/plan/plan.ts";
import { normalQuantile } from "../../src/plan/process/normal.ts";
import { type World, worldsOf } from "../../src/plan/process/worlds.ts";
import { reportOf } from "../../src/plan/report.ts";
import { stationOf } from "../../src/plan/station.ts";
import type { Plan } from "../../src/plan/types.ts";
import { boathouse, names } from "../support/calibration.ts";
import { profiles } from "../support/profiles.ts";
import { rectangle, usual, vessel } from "./process-helpers.ts";

const ours: JobFile = {
  vessel,
  lens: { id: "field-300" },
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  metal: { id: "steel-brushed" },
  settings: usual,
};
const jobWith = (calibration: Calibration | null, more: JobFile = {}): Job =>
  resolveJob(
    { ...ours, ...more },
    {},
    profiles,
    "a.job.json",
    calibration ? { path: "c.json", calibration } : undefined,
  );
const quantileOf = (values: number[], p: number): number =>
  values.toSorted((a, b) => a - b)[Math.round(p * (values.length - 1))]!;

describe("Φ⁻¹", () => {
  it("gives the percentage points of the tables", () => {
    // Abramowitz & Stegun, Handbook of Mathematical Functions, table 26.5 (from memory).
    for (const [u, z] of [
      [0.5, 0],
      [0.75, 0.6744897502],
      [0.95, 1.644853627],
      [0.975, 1.9599639845],
      [0.999, 3.0902323062],
      [1e-6, -4.7534243088],
    ] as const)
      expect(normalQuantile(u)).toBeCloseTo(z, 6);
  });

  it("turns the distribution round, summed by Simpson's rule, on all three of its pieces", () => {
    const density = (t: number): number => Math.exp((-t * t) / 2) / Math.sqrt(2 * Math.PI);
    const below = (z: number): number => {
      const n = 4000;
      const h = (z + 12) / n;
      let sum = density(-12) + density(z);
      for (let i = 1; i < n; i++) sum += (i % 2 === 0 ? 2 : 4) * density(-12 + i * h);
      return (sum * h) / 3;
    };
    // Seven digits of z, as the algorithm promises.
    for (const u of [1e-12, 1e-5, 0.03, 0.2, 0.45, 0.7, 0.93, 0.99999]) {
      const z = normalQuantile(u);
      expect(Math.abs(below(z) - u) / density(z)).toBeLessThan(2e-7 * Math.max(1, Math.abs(z)));
    }
    for (const end of [0, 1]) expect(Number.isFinite(normalQuantile(end))).toBe(true);
  });
});

describe("worlds", () => {
  const of: Record<(typeof names)[number], (w: World) => number> = {
    spotUm: (w) => 2000 * w.waistRadiusMm,
    rayleighMm: (w) => w.rayleighMm,
    thresholdJPerCm2: (w) => w.coating!.threshold,
    depthUm: (w) => 1000 * w.coating!.depthMm,
    metalThresholdJPerCm2: (w) => w.metal.threshold,
    incubation: (w) => w.metal.incubation,
  };
  const calibration = boathouse();
  const worlds = worldsOf(jobWith(calibration));
  const { lens, coating, metal } = calibration.figures;
  const figures = {
    ...lens,
    ...coating!,
    metalThresholdJPerCm2: metal!.thresholdJPerCm2,
    incubation: metal!.incubation,
  } as unknown as Record<(typeof names)[number], { value: number; low: number; high: number }>;

  it("begin with the calibration's values", () => {
    for (const name of names) expect(of[name](worlds[0]!)).toBeCloseTo(figures[name].value, 12);
    expect(worlds.every((w) => w.coating!.thicknessMm === 0.06)).toBe(true);
  });

  it("have the asked 5 %, 50 % and 95 % points", () => {
    for (const name of names) {
      const drawn = worlds.slice(1).map(of[name]);
      const { low, value, high } = figures[name];
      const sd = Math.log(high / low) / (2 * 1.6448536);
      for (const [p, asked] of [
        [0.05, low],
        [0.5, value],
        [0.95, high],
      ] as const)
        expect(Math.abs(Math.log(quantileOf(drawn, p) / asked)), `${name} at ${p}`).toBeLessThan(0.1 * sd);
    }
  });

  it("have the asked correlation of the logarithms", () => {
    const logs = names.map((name) => worlds.slice(1).map((w) => Math.log(of[name](w))));
    const centred = logs.map((l) => l.map((v) => v - l.reduce((a, b) => a + b, 0) / l.length));
    const dot = (a: number[], b: number[]): number => a.reduce((sum, v, i) => sum + v * b[i]!, 0);
    for (const [i, a] of centred.entries())
      for (const [j, b] of centred.entries())
        expect(
          Math.abs(dot(a, b) / Math.sqrt(dot(a, a) * dot(b, b)) - calibration.correlation.rows[i]![j]!),
          `${names[i]} with ${names[j]}`,
        ).toBeLessThan(1e-9);
  });

  it("a value off the middle of its interval moves neither end", () => {
    const skew = boathouse({
      figures: {
        ...calibration.figures,
        coating: { ...coating!, thresholdJPerCm2: { value: 0.5, low: 0.4, high: 0.51 } },
      },
    });
    const drawn = worldsOf(jobWith(skew)).slice(1).map(of.thresholdJPerCm2);
    expect(quantileOf(drawn, 0.05)).toBeCloseTo(0.4, 2);
    expect(quantileOf(drawn, 0.95)).toBeCloseTo(0.51, 2);
  });

  it("leave what the calibration does not hold as it is drawn without one", () => {
    const plain = worldsOf(jobWith(null));
    const foreign = worldsOf(jobWith(boathouse({ coating: "paint-red" })));
    expect(foreign.map((w) => w.coating)).toEqual(plain.map((w) => w.coating));
    expect(foreign.map(of.spotUm)).not.toEqual(plain.map(of.spotUm));
    expect(worldsOf(jobWith(boathouse({ lens: "field-220" })))).toEqual(plain);
  });

  it("figures that hang together wholly stay on one line", () => {
    const { coating: _, metal: __, ...figures } = calibration.figures;
    const rows = [
      [1, 1],
      [1, 1],
    ];
    const one = boathouse({
      coating: null,
      figures,
      correlation: { names: ["spotUm", "rayleighMm"], rows },
    });
    const [first, ...rest] = worldsOf(jobWith(one)).map((w) => [
      Math.log(of.spotUm(w)),
      Math.log(w.rayleighMm),
    ]);
    // sd of the two logarithms: 1.05 and 1.06 either way.
    const ratio = Math.log(1.06) / Math.log(1.05);
    for (const [d, z] of rest) expect(z! - first![1]!).toBeCloseTo(ratio * (d! - first![0]!), 6);
  });
});

it("a measured spot in a job file is the station's and every world's", () => {
  const measured = { id: "field-300", spotUm: 150, rayleighMm: { value: 8, low: 7, high: 9.5 } };
  const job = jobWith(null, { lens: measured });
  expect(stationOf(job, job.lens)).toMatchObject({
    spot: { waistDiameterMm: 0.15, rayleighMm: 8 },
    limits: { usableDepthMm: 8 },
  });
  const worlds = worldsOf(job);
  expect(worlds[0]).toMatchObject({ waistRadiusMm: 0.075, rayleighMm: 8 });
  for (const w of worlds) {
    expect(w.waistRadiusMm).toBe(0.075);
    expect(w.rayleighMm >= 7 && w.rayleighMm <= 9.5).toBe(true);
  }
  expect(new Set(worlds.map((w) => w.rayleighMm)).size).toBeGreaterThan(500);
  const plain = worldsOf(jobWith(null));
  expect(worlds.map((w) => w.coating)).toEqual(plain.map((w) => w.coating));
});

describe("what is said", () => {
  const fill: JobFile["fill"] = { lines: "even", bands: 3 };
  const planned = async (calibration: Calibration | null): Promise<Plan> =>
    planJob(await readInk(rectangle(60, 12)), jobWith(calibration, { fill }), () => {}, []);
  /** Everything in words that a plan comes to. */
  const texts = (plan: Plan): string[] => {
    const report = reportOf(plan);
    const facts = {
      ...{ title: "a.svg", marks: "a.fill.svg", sha256: "0".repeat(64), align: "a.align.svg" },
      ...{ html: "a.sheet.html", date: "2026-11-27", paper: "a4" as const },
    };
    return [
      ...plan.reasons.map((r) => r.message),
      ...processRows(report),
      ...fillRows(report),
      proofSummary(plan, report, [], "out"),
      ...(["removal", "metal"] as const).map((id) => layerOf(plan, id).said),
      ...zoneKeyItems(plan, ["residue", "metal"]).map((item) => item.words),
      scaleOf(plan, plan.fill!, plan.fill!.proof[0]!).title,
      JSON.stringify(sheetContent(plan, facts)),
    ];
  };

  it("without one everything keeps its label", async () => {
    const plan = await planned(null);
    expect(reportOf(plan)).toMatchObject({ calibration: null, process: { calibrated: false } });
    const said = texts(plan);
    expect(said.filter((text) => /uncalibrated/i.test(text)).length).toBeGreaterThan(8);
    expect(said.join(" ")).not.toMatch(/\bcalibrat(ed|ion)/i);
  });

  it("with one no label is left, and the day stands once in the summary's rows", async () => {
    const plan = await planned(boathouse());
    const report = reportOf(plan);
    expect(report.calibration).toMatchObject({
      date: "2026-11-02",
      machine: "Boathouse",
      coating: true,
      metal: true,
      spot: true,
    });
    expect(report.process!.calibrated).toBe(true);
    expect(report.spot.waistDiameterMm).toBe(0.128);
    const said = texts(plan);
    expect(said.join(" ")).not.toMatch(/uncalibrated/i);
    expect(said.join(" ")).not.toMatch(/profiles' middle/);
    const rows = [...processRows(report), ...fillRows(report)];
    expect(rows.filter((text) => text.includes("2026-11-02"))).toEqual([
      "  calibrated 2026-11-02, Boathouse: spot, coating, metal",
    ]);
    expect(said.join(" ")).toMatch(/Calibrated 2026-11-02 on this coating\./);
    expect(said.join(" ")).toMatch(/ink as the calibration's middle figures predict, calibrated 2026-11-02/);
  });

  it("with the coating's alone the metal keeps its label", async () => {
    const { metal: _, ...figures } = boathouse().figures;
    const four = names.slice(0, 4);
    const rows = boathouse()
      .correlation.rows.slice(0, 4)
      .map((row) => row.slice(0, 4));
    const plan = await planned(boathouse({ figures, correlation: { names: four, rows } }));
    const report = reportOf(plan);
    expect(report).toMatchObject({
      calibration: { coating: true, metal: false },
      process: { calibrated: true },
    });
    const rowOf = (name: string): string =>
      processRows(report).find((text) => text.startsWith(`  ${name} `))!;
    expect(rowOf("removal")).not.toMatch(/uncalibrated/);
    expect(rowOf("metal")).toMatch(/uncalibrated: /);
    expect(rowOf("window")).toMatch(/ it clears .*; uncalibrated: it spares /);
    expect(layerOf(plan, "metal").said).toMatch(/^uncalibrated: /);
    expect(layerOf(plan, "removal").said).not.toMatch(/uncalibrated/);
  });

  it("every range of the process shrinks", async () => {
    const [before, after] = [reportOf(await planned(null)), reportOf(await planned(boathouse()))];
    const share = (f: { low: number; high: number }): number => Math.log(f.high / f.low);
    for (const key of ["cleared", "removalUm", "metalMargin", "peakFluenceJPerCm2"] as const) {
      const [wide, narrow] = [before.process!.weakest![key]!, after.process!.weakest![key]!];
      expect(share(narrow), key).toBeLessThan(0.5 * share(wide));
    }
    const [wide, narrow] = [before.process!.window[0]!, after.process!.window[0]!];
    expect(share(narrow.clearsFromW)).toBeLessThan(0.5 * share(wide.clearsFromW));
  });
});
