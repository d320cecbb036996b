/** A calibration: what its file may say, how it lies over a job, when it is foreign, old or overridden. */
import { describe, expect, it } from "vitest";
import { layOver } from "../../src/job/calibrated.ts";
import { type Calibration, readCalibration } from "../../src/job/calibration.ts";
import { calibrationProblems } from "../../src/job/calibrationsaid.ts";
import type { Job, JobFile } from "../../src/job/job.ts";
import { readJobFile, resolveJob } from "../../src/job/resolve.ts";
import { jobFileOf } from "../../src/job/written.ts";
import { JobError, type Problem } from "../../src/problem.ts";
import { boathouse, correlationOf, names } from "../support/calibration.ts";
import { profiles } from "../support/profiles.ts";

const cup: JobFile = { vessel: { diameterMm: 82 } };
const refused = (run: () => unknown): Problem => {
  try {
    run();
  } catch (error) {
    if (error instanceof JobError) return error.problem;
    throw error;
  }
  throw new Error("nothing was wrong");
};
const resolved = (file: JobFile, options: JobFile = {}, calibration: Calibration = boathouse()): Job =>
  resolveJob({ ...cup, ...file }, options, profiles, "a.job.json", { path: "c.json", calibration });
const full = (value: number) => ({ value, low: value, high: value });
const ours: JobFile = {
  lens: { id: "field-300" },
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  metal: { id: "steel-brushed" },
};
const { lens: read, coating: coat, metal: bare } = boathouse().figures;
const without = (options: JobFile, file: JobFile = ours): Job =>
  resolveJob({ ...cup, ...file }, options, profiles);
const holding = ({ calibration }: Job) => {
  const { spot, coating, metal, own } = calibration!;
  return { spot, coating, metal, own };
};

describe("the file", () => {
  it("says what fit writes, and comes back as it is", () => {
    expect(readCalibration(JSON.parse(JSON.stringify(boathouse())), "c.json")).toEqual(boathouse());
    const { coating: _, metal: __, ...some } = boathouse().figures;
    const spot = boathouse({ coating: null, figures: some, correlation: correlationOf(names.slice(0, 2)) });
    expect(readCalibration(spot, "c.json")).toEqual(spot);
    const none = boathouse({ figures: {}, correlation: { names: [], rows: [] }, strips: [], placed: [] });
    expect(readCalibration(none, "c.json")).toEqual(none);
  });

  const rows = (change: (rows: number[][]) => void): Partial<Calibration> => {
    const correlation = correlationOf(names);
    change(correlation.rows);
    return { correlation };
  };
  const figures = (change: Partial<Calibration["figures"]>): Partial<Calibration> => ({
    figures: { ...boathouse().figures, ...change },
  });
  it.each<[Record<string, unknown>, RegExp]>([
    [{ schema: "fallaway-job-1" }, /^c\.json: schema must be "fallaway-calibration-1"/],
    [{ date: "2026-02-30" }, /^c\.json: date must be a day that the calendar has/],
    [{ machine: "" }, /^c\.json: machine must not be empty/],
    [{ machine: "x".repeat(201) }, /^c\.json: machine must be at most 200 characters/],
    [{ lens: undefined }, /^c\.json: lens must be a string/],
    [{ lense: "field-300" }, /^c\.json: unknown key "lense"/],
    [
      { placed: [{ strip: "a", sideways: 1, sidewaysMm: 1, focusErrorMm: 0 }] },
      /unknown key "placed\.0\.sideways"/,
    ],
    [
      { strips: [{ strip: { ...boathouse().strips[0]!.strip, ladder: "steps" }, readings: [] }] },
      /strips\.0\.strip\.ladder must be one of "settings"/,
    ],
    [
      { strips: [{ ...boathouse().strips[0]!, readings: [{ mark: 1, row: 1, clear: "all" }] }] },
      /strips\.0\.readings\.0\.clear must be/,
    ],
    [{ coating: null }, /^c\.json: coating is null, but there are figures of a coating/],
    [
      figures({ lens: { ...read, spotUm: { value: 120, low: 130, high: 140 } } }),
      /figures\.lens\.spotUm has/,
    ],
    [figures({ lens: { spotUm: 120 } }), /figures\.lens has one of spotUm and rayleighMm/],
    [
      figures({ coating: { ...coat!, depthUm: "4 um" as never } }),
      /figures\.coating\.depthUm takes a plain number in µm, found "4 um"/,
    ],
    [{ correlation: correlationOf(names.slice(1)) }, /correlation\.names lacks spotUm/],
    [
      { correlation: correlationOf([...names, "spotUm"]) },
      /correlation\.names has spotUm, which is there twice/,
    ],
    [rows((r) => r.pop()), /correlation\.rows must have 6 rows of 6 numbers/],
    [rows((r) => (r[2]![2] = 0.9)), /correlation\.rows has 0\.9 for thresholdJPerCm2 with itself/],
    [rows((r) => (r[0]![1] = -1.2)), /correlation\.rows has -1\.2 for spotUm with rayleighMm, beyond/],
    [rows((r) => (r[0]![1] = 0.2)), /correlation\.rows differs for spotUm with rayleighMm/],
    // Each well with the next, the first against the third: its determinant is 1 + 2·0.9·0.9·(−0.9) − 3·0.81 < 0.
    [
      rows((r) => {
        for (const [i, j, v] of [
          [0, 1, 0.9],
          [1, 2, 0.9],
          [0, 2, -0.9],
        ] as const)
          [r[i]![j], r[j]![i]] = [v, v];
      }),
      /correlation\.rows is no correlation/,
    ],
  ])("broken file %# is refused by its key", (change, words) => {
    const value = JSON.parse(JSON.stringify({ ...boathouse(), ...change }));
    const problem = refused(() => readCalibration(value, "c.json"));
    expect(problem.code).toBe("calibration-value");
    expect(problem.message).toMatch(words);
    expect(problem.hint).toMatch(/\S/);
  });

  it("figures that hang together wholly are let pass, rounded ones too", () => {
    const both = correlationOf(names.slice(0, 2));
    both.rows[0]![1] = both.rows[1]![0] = 1;
    const { coating: _, metal: __, ...some } = boathouse().figures;
    const value = boathouse({ coating: null, figures: some, correlation: both });
    expect(readCalibration(value, "c.json")).toEqual(value);
  });
});

describe("precedence", () => {
  it("option > calibration > job file > profile", () => {
    const file = {
      ...ours,
      lens: { id: "field-300", workingDistanceMm: 430, fieldMm: 290, pivotMm: 300 },
      coating: { id: "powder-black", depthUm: 9 },
    };
    const job = resolved(file, { lens: { workingDistanceMm: 450 } });
    expect(job.lens).toEqual({
      id: "field-300",
      focalLengthMm: 420,
      fieldMm: 290,
      workingDistanceMm: 450,
      pivotMm: [480, 512],
      spot: { diameterUm: read!.spotUm, rayleighMm: read!.rayleighMm },
    });
    expect(job.coating).toMatchObject({
      thicknessUm: full(60),
      thresholdJPerCm2: coat!.thresholdJPerCm2,
      depthUm: coat!.depthUm,
    });
    expect(job.metal.thresholdJPerCm2).toEqual(bare!.thresholdJPerCm2);
    expect(job.metal.incubation).toEqual(bare!.incubation);
    // What the calibration says nothing of is the profile's.
    expect(job.source).toEqual(without({}).source);
    expect(holding(job)).toEqual({ spot: true, coating: true, metal: true, own: ["workingDistanceMm"] });
  });

  it("what neither file nor option names is what the calibration is for", () => {
    const other = boathouse({ lens: "field-220", source: "fibre-30" });
    expect(holding(resolved({}, {}, other))).toMatchObject({ spot: true, coating: true, metal: true });
    expect(resolved({}, {}, other)).toMatchObject({
      lens: { id: "field-220", workingDistanceMm: 441.5 },
      source: { id: "fibre-30" },
      coating: { id: "powder-black" },
    });
  });

  it("an option that names what the calibration is for, where the file names another, takes it over", () => {
    const job = resolved({ ...ours, lens: { id: "field-220", fieldMm: 111 } }, { lens: { id: "field-300" } });
    expect(job.lens).toMatchObject({ fieldMm: 300, workingDistanceMm: 441.5, spot: {} });
    expect(holding(job)).toMatchObject({ spot: true, coating: true });
    const bareFile = resolved(
      { ...ours, lens: { fieldMm: 111 } },
      { lens: { id: "field-220" } },
      boathouse({ lens: "field-220" }),
    );
    expect(bareFile.lens).toMatchObject({ id: "field-220", workingDistanceMm: 441.5 });
    expect(bareFile.lens.fieldMm).not.toBe(111);
    const watts = resolved({ ...ours, source: { id: "fibre-30" } }, { source: { id: "60W" } });
    expect(holding(watts)).toMatchObject({ spot: true, coating: true });
  });

  it.each<[string, JobFile, object]>([
    ["m2", { source: { m2: 1.3 } }, { spot: false, coating: false, metal: false, own: ["spot"] }],
    ["beam", { source: { beamDiameterMm: 6 } }, { spot: false, coating: false, metal: false, own: ["spot"] }],
    ["wavelength", { source: { wavelengthNm: 1060 } }, { spot: false, own: ["spot"] }],
    ["focal length", { lens: { focalLengthMm: 400 } }, { spot: false, own: ["spot"] }],
    [
      "thickness",
      { coating: { thicknessUm: 80 } },
      { spot: true, coating: false, metal: true, own: ["coating"] },
    ],
    ["the same thickness", { coating: { thicknessUm: 60 } }, { spot: true, coating: true, own: [] }],
    ["pivot", { lens: { pivotMm: [300, 300] } }, { spot: true, coating: true, own: ["pivotMm"] }],
    [
      "metal",
      { metal: { thresholdJPerCm2: 3 } },
      { spot: true, coating: true, metal: false, own: ["metal"] },
    ],
  ])("an option on %s stands, and what it unsettles is left out", (_, options, held) => {
    const job = resolved(ours, options);
    expect(holding(job)).toMatchObject(held);
    const plain = without(options);
    if (!job.calibration!.spot) expect(job.lens.spot).toBeUndefined();
    if (!job.calibration!.coating) expect(job.coating).toEqual(plain.coating);
    if (!job.calibration!.metal) expect(job.metal).toEqual(plain.metal);
    if (options.lens?.pivotMm) expect(job.lens.pivotMm).toEqual([300, 300]);
    if (options.source) expect(job.source).toEqual(plain.source);
    const codes = calibrationProblems(job, boathouse(), "2026-11-20").map((p) => [p.code, p.severity]);
    expect(codes).toEqual(
      job.calibration!.own.map((part) => ["calibration-overridden", part === "pivotMm" ? "note" : "caution"]),
    );
  });

  it("a resolved job repeats itself, with options that went before and without", () => {
    for (const options of [
      {},
      { coating: { thicknessUm: 80 }, lens: { pivotMm: [300, 300] as [number, number] } },
      { source: { m2: 1.3 } },
      { lens: { id: "field-220" } },
      { coating: { id: "powder-red" } },
    ] as JobFile[]) {
      const job = resolved(ours, options);
      const file = readJobFile(JSON.parse(JSON.stringify(jobFileOf(job))), "a.job.json");
      expect(resolved(file)).toEqual(job);
      // What the calibration left in the file goes where it is foreign: nothing of another coat lingers.
      const red = resolved(file, { coating: { id: "powder-red", thicknessUm: 70 } });
      expect(red.coating).toEqual(without({ coating: { id: "powder-red", thicknessUm: 70 } }).coating);
    }
    const again = readJobFile(JSON.parse(JSON.stringify(jobFileOf(resolved(ours)))), "a.job.json");
    const longer = resolved(again, { lens: { id: "field-220" } });
    expect(longer.coating).toEqual(without({}).coating);
    expect(longer.metal).toEqual(without({}).metal);
    expect(longer.lens).toEqual(without({ lens: { id: "field-220" } }).lens);
  });
});

describe("foreign", () => {
  it.each<[string, JobFile, RegExp, object]>([
    ["lens", { lens: { id: "field-220" } }, /for the lens field-300, the job has field-220/, {}],
    ["source", { source: { id: "fibre-30" } }, /for the source fibre-60, the job has fibre-30/, {}],
    [
      "coating",
      { coating: { id: "paint-red" } },
      /for the coating powder-black/,
      { spot: true, metal: true },
    ],
    [
      "metal",
      { metal: { id: "steel-bright" } },
      /for the metal steel-brushed/,
      { spot: true, coating: true },
    ],
  ])("another %s: named, left out, uncalibrated", (_, other, words, held) => {
    for (const [file, options] of [
      [{ ...ours, ...other }, {}],
      [ours, other],
    ] as const) {
      const job = resolved(file, options);
      expect(holding(job)).toEqual({ spot: false, coating: false, metal: false, own: [], ...held });
      const plain = without({}, { ...ours, ...other });
      if (!job.calibration!.coating) expect(job.coating).toEqual(plain.coating);
      if (!job.calibration!.metal) expect(job.metal).toEqual(plain.metal);
      if (!job.calibration!.spot) expect(job.lens.spot).toBeUndefined();
      if (other.lens) expect(job.lens).toEqual(plain.lens);
      else expect(job.lens.pivotMm).toEqual([480, 512]);
      const said = calibrationProblems(job, boathouse(), "2026-11-20");
      expect(said).toMatchObject([{ code: "calibration-foreign", severity: "caution" }]);
      expect(said[0]!.message).toMatch(words);
      expect(said[0]!.message).toMatch(/uncalibrated/);
    }
  });

  it("a calibration of no coat is of none of them, and no word is lost on it", () => {
    const { coating: _, metal: __, ...figures } = boathouse().figures;
    const spot = boathouse({ coating: null, figures, correlation: correlationOf(names.slice(0, 2)) });
    const job = resolved(ours, {}, spot);
    expect(holding(job)).toMatchObject({ spot: true, coating: false, metal: false });
    expect(calibrationProblems(job, spot, "2026-11-20")).toEqual([]);
    expect(resolved({}, {}, spot).coating).toBeUndefined();
  });
});

describe("age", () => {
  const codes = (day: string, date?: string) =>
    calibrationProblems(resolved(ours, date ? { order: { date } } : {}), boathouse(), day).map((p) => p.code);
  it("180 days are not old, 181 are; the order's day goes before today's", () => {
    // 2026-11-02 + 180 days: 28 left of November, then 31, 31, 28, 31 and 30, and 1 of May.
    expect(codes("2027-05-01")).toEqual([]);
    expect(codes("2027-05-02")).toEqual(["calibration-old"]);
    expect(codes("2026-11-02")).toEqual([]);
    expect(codes("2026-11-01")).toEqual(["calibration-future"]);
    expect(codes("2030-01-01", "2026-12-01")).toEqual([]);
    expect(codes("2026-12-01", "2030-01-01")).toEqual(["calibration-old"]);
    expect(codes("2026-12-01", "2026-10-01")).toEqual(["calibration-future"]);
  });
});

describe("a measured spot", () => {
  const file: JobFile = {
    ...ours,
    lens: { id: "field-300", spotUm: 130, rayleighMm: { value: 8, low: 7, high: 9 } },
  };
  it("stands in the job, and a file with half of one is refused", () => {
    expect(without({}, file).lens.spot).toEqual({
      diameterUm: full(130),
      rayleighMm: { value: 8, low: 7, high: 9 },
    });
    expect(refused(() => without({}, { lens: { spotUm: 130 } }))).toMatchObject({
      code: "spot-incomplete",
      message: "lens.spotUm is given without lens.rayleighMm",
    });
    expect(
      refused(() => without({}, { lens: { spotUm: 130, rayleighMm: { value: 8, low: 9, high: 9 } } })).code,
    ).toBe("range-order");
  });

  it.each<[JobFile]>([
    [{ lens: { id: "field-220" } }],
    [{ lens: { focalLengthMm: 400 } }],
    [{ source: { id: "fibre-30" } }],
    [{ source: { m2: 1.2 } }],
    [{ source: { beamDiameterMm: 6 } }],
    [{ source: { wavelengthNm: 1060 } }],
  ])("%j leaves it behind", (options) => {
    expect(without(options, file).lens.spot).toBeUndefined();
  });

  it.each<[JobFile]>([
    [{ lens: { id: "field-300" } }],
    [{ source: { id: "60W" } }],
    [{ lens: { workingDistanceMm: 440 } }],
    [{ coating: { id: "powder-red" } }],
  ])("%j keeps it", (options) => {
    expect(without(options, file).lens.spot).toBeDefined();
  });

  it("gives way to the calibration's, and comes back where that is not taken", () => {
    expect(resolved(file).lens.spot).toEqual({ diameterUm: read!.spotUm, rayleighMm: read!.rayleighMm });
    expect(resolved(file, {}, boathouse({ source: "fibre-30" })).lens.spot).toMatchObject({
      diameterUm: full(130),
    });
  });
});

it("an unknown id in the calibration is taken for no lens of ours", () => {
  const named = { path: "c.json", calibration: boathouse({ lens: "field-999" }) };
  const { calibrated } = layOver(cup, {}, named, profiles, "a.job.json");
  expect(calibrated).toMatchObject({ spot: false, coating: false });
});
