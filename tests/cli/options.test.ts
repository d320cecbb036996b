/** Every option of `check` and `prepare` has the effect that its help promises. */
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { jobOfOptions, optionAt } from "../../src/cli/options.ts";
import { inkSpecs, specs } from "../../src/cli/optionspecs.ts";
import { jobFileSchema } from "../../src/job/job.ts";
import type { LensProfile } from "../../src/job/profiles.ts";
import type { Report } from "../../src/plan/report.ts";
import { art, checked, folder, page, prepared, running, sharedJson, square } from "./helpers.ts";

const dir = folder();
const squareArt = art(dir, "square.svg", square);
// 20 mm around, 10 mm along.
const bar = art(dir, "bar.svg", page('<rect id="bar" x="10" y="10" width="20" height="10"/>'));
const cup = ["--diameter", "82"];
const base = await checked([bar, ...cup]);
const lenses = sharedJson("lenses.json") as LensProfile[];
const lens = (id: string): LensProfile => lenses.find((l) => l.id === id)!;

test("every option has a place of its own in the job file, and messages about that place name it", () => {
  const all = [...inkSpecs, ...specs].flatMap((spec) =>
    [spec.path, ...(spec.also ? [spec.also.path] : [])].map((path) => ({
      path,
      option: spec.flags.split(" ")[0],
    })),
  );
  const groups = jobFileSchema.shape as Record<string, { unwrap(): { shape?: Record<string, unknown> } }>;
  for (const { path, option } of all) {
    const [group, field] = path;
    expect(Object.keys(groups), option).toContain(group);
    if (field !== undefined) expect(Object.keys(groups[group]!.unwrap().shape!), option).toContain(field);
    expect(optionAt(path)).toBe(option);
  }
  expect(new Set(all.map(({ path }) => path.join("."))).size).toBe(all.length);
  expect(jobOfOptions({ handleAt: "-90", customer: "Heron Reach", below: "no option" })).toEqual({
    vessel: { handleDeg: -90 },
    order: { customer: "Heron Reach" },
  });
});

test.concurrent("nothing but a diameter: the documented defaults", async () => {
  expect(base).toMatchObject({
    schema: "fallaway-report-1",
    verdict: "ready",
    artwork: {
      widthMm: 20,
      heightMm: 10,
      segments: 4,
      inkAreaMm2: 200,
      aroundMm: [-10, 10],
      alongMm: [-5, 5],
    },
    vessel: { kind: "cylinder", diameterMm: 82, fidelity: "girth", axis: "y" },
    head: { lens: "field-300", fieldMm: 300, maxIncidenceDeg: 60 },
    fit: { toleranceMm: 0.002 },
  });
  expect(base.vessel.girthMm).toBeCloseTo(Math.PI * 82, 9);
  expect(base.focus.belowCrownMm).toBe(base.focus.bestMm);
});

test.concurrent("a circumference is π diameters", async () => {
  const girth = await checked([bar, "--circumference", String(Math.PI * 82)]);
  expect(girth.vessel.diameterMm).toBeCloseTo(82, 10);
  expect(girth.reach.aroundMm).toBeCloseTo(base.reach.aroundMm, 6);
  expect(girth.focus.belowCrownMm).toBeCloseTo(base.focus.belowCrownMm, 4);
});

describe("size, turn and place", () => {
  test.concurrent.each([
    [
      ["--width", "40"],
      [40, 20],
      [0, 0],
    ],
    [["--height", "40"], [80, 40], [0, 0], 3],
    [
      ["--width", "40", "--height", "30"],
      [40, 30],
      [0, 0],
    ],
    [
      ["--rotate", "90"],
      [10, 20],
      [0, 0],
    ],
    [
      ["--rotate", "90", "--width", "20"],
      [20, 40],
      [0, 0],
    ],
    [
      ["--at", "12.5,-40"],
      [20, 10],
      [12.5, -40],
    ],
    [["--at=-12.5,40"], [20, 10], [-12.5, 40]],
  ] as const)("%j", async (args, [w, h], [a, b], code: number = 0) => {
    const { artwork } = await checked([bar, ...cup, ...args], code);
    expect(artwork.widthMm).toBeCloseTo(w, 6);
    expect(artwork.heightMm).toBeCloseTo(h, 6);
    expect(artwork.inkAreaMm2).toBeCloseTo(w * h, 3);
    expect(artwork.aroundMm[0]).toBeCloseTo(a - w / 2, 6);
    expect(artwork.aroundMm[1]).toBeCloseTo(a + w / 2, 6);
    expect(artwork.alongMm[0]).toBeCloseTo(b - h / 2, 6);
    expect(artwork.alongMm[1]).toBeCloseTo(b + h / 2, 6);
  });
});

describe("a lens brings all its figures, single ones go over it", () => {
  test.concurrent.each(["field-110", "field-145"])("%s", async (id) => {
    const { focalLengthMm, fieldMm, workingDistanceMm, pivotMm } = lens(id);
    expect((await checked([bar, ...cup, "--lens", id, "--usable-depth", "9"])).head).toMatchObject({
      lens: id,
      focalLengthMm: focalLengthMm.value,
      fieldMm: fieldMm.value,
      workingDistanceMm: workingDistanceMm.value,
      pivotMm: pivotMm.value,
      maxIncidenceDeg: 60,
    });
  });

  test.concurrent.each([
    [["--focal-length", "400"], { focalLengthMm: 400 }],
    [["--field", "250.5"], { fieldMm: 250.5 }],
    [["--working-distance", "480"], { workingDistanceMm: 480 }],
    [["--pivot", "600"], { pivotMm: [600, 600] }],
    [["--pivot", "600,500"], { pivotMm: [600, 500] }],
    [["--pivot", "telecentric"], { pivotMm: ["telecentric", "telecentric"] }],
    [["--max-incidence", "45"], { maxIncidenceDeg: 45 }],
  ] as const)("%j changes that figure of the head and no other", async (args, change) => {
    const { head } = await checked([bar, ...cup, ...args]);
    expect(head).toMatchObject({ ...base.head, ...change });
  });

  /** Waist and Rayleigh range (ISO 11146; CVI Melles Griot, "Lens Selection", eq. 2.33), mm. */
  const spot = (f: number, beam: number, m2: number, nm: number): [number, number] => {
    const waist = (4 * m2 * nm * 1e-6 * f) / (Math.PI * beam);
    return [waist, (Math.PI * waist ** 2) / (4 * m2 * nm * 1e-6)];
  };
  test.concurrent.each([
    [
      ["--beam-diameter", "8"],
      [420, 8, 1.5, 1064],
    ],
    [
      ["--m2", "1.2"],
      [420, 7, 1.2, 1064],
    ],
    [
      ["--wavelength", "532"],
      [420, 7, 1.5, 532],
    ],
    [
      ["--focal-length", "330"],
      [330, 7, 1.5, 1064],
    ],
  ] as const)("%j goes into the spot", async (args, [f, beam, m2, nm]) => {
    const found = (await checked([bar, ...cup, ...args])).spot;
    const [waist, rayleigh] = spot(f, beam, m2, nm);
    expect(found.waistDiameterMm).toBeCloseTo(waist, 12);
    expect(found.rayleighMm).toBeCloseTo(rayleigh, 9);
    expect(found.usableDepthMm).toBe(found.rayleighMm);
  });
});

describe("limits", () => {
  // model: circular-segment relations, Machinery's Handbook 31st ed. p. 79: height h of the segment of angle 2θ.
  const theta = (zu: number, radius: number): number => Math.acos(1 - (2 * zu) / radius);
  test.concurrent.each([
    [["--usable-depth", "4"], 4],
    [["--usable-depth", "0.01"], 0.01],
    [["--usable-depth", "rayleigh"], base.spot.rayleighMm],
  ] as const)("%j limits the reach to cos θ = 1 − 2 z/R", async (args, zu) => {
    const found = await checked([bar, ...cup, ...args], zu < 1 ? 3 : 0);
    expect(found.spot).toEqual({ ...base.spot, usableDepthMm: zu });
    expect(found.reach.limitedBy).toBe("depth");
    expect(found.reach.aroundMm).toBeCloseTo(2 * 41 * theta(zu, 41), 6);
  });

  test.concurrent("--fidelity sight measures the reach as it is seen", async () => {
    const found = await checked([bar, ...cup, "--fidelity", "sight"]);
    expect(found.vessel.fidelity).toBe("sight");
    expect(found.reach.aroundMm).toBeCloseTo(2 * 41 * Math.sin(theta(base.spot.rayleighMm, 41)), 6);
  });

  test.concurrent("--max-incidence limits the reach: telecentric, the incidence is the angle around", async () => {
    const found = await checked([bar, ...cup, "--max-incidence", "25", "--pivot", "telecentric"]);
    expect(found.reach.limitedBy).toBe("incidence");
    expect(found.reach.aroundMm).toBeCloseTo((2 * 41 * 25 * Math.PI) / 180, 6);
  });

  test.concurrent.each([
    ["74", 3],
    ["70", 0],
    ["66", 0],
    ["60", 0],
  ])("ink %s mm wide against a reach of 71.5 mm is what the reach says", async (width, code) => {
    expect(base.reach.aroundMm).toBeCloseTo(71.5, 1);
    const ran = await running(["check", bar, ...cup, "--width", width]);
    expect(ran.code, ran.out).toBe(code);
  });
});

describe("focus", () => {
  const given = (where: string): Promise<Report> => checked([bar, ...cup, "--width", "40", "--focus", where]);
  test.concurrent("best, crown, or millimetres below the crown line", async () => {
    const best = await given("best");
    const drop = 41 * (1 - Math.cos(20 / 41));
    expect(best.focus.belowCrownMm).toBeGreaterThan(drop / 2);
    expect(best.focus.belowCrownMm).toBeLessThan(drop);
    expect(best.focus.fractionOfDrop).toBeCloseTo(best.focus.belowCrownMm / drop, 6);
    for (const [where, below] of [
      ["crown", 0],
      ["2.25", 2.25],
      ["-1", -1],
    ] as const) {
      const found = await given(where);
      expect(found.focus.belowCrownMm).toBe(below);
      expect(found.focus.lensToCrownMm).toBe(493 - below);
      expect(found.focus.bestMm).toBeCloseTo(best.focus.bestMm, 6);
      expect(found.falloff.min).toBeLessThan(best.falloff.min);
    }
  });
});

test.concurrent("--axis x turns the output a quarter and swaps the pivots", async () => {
  const out = (name: string, args: readonly string[]) =>
    prepared(bar, join(dir, name), [...cup, "--at", "9,30", ...args]);
  const y = await out("axis-y", ["--pivot", "600,500"]);
  const x = await out("axis-x", ["--axis", "x", "--pivot", "500,600"]);
  const [bx, by] = y.report.box!.centreMm;
  expect(x.report.box!.centreMm[0]).toBeCloseTo(-by, 9);
  expect(x.report.box!.centreMm[1]).toBeCloseTo(bx, 9);
  expect(x.report.box!.sizeMm).toEqual([...y.report.box!.sizeMm].reverse());
  expect(x.report.vessel.axis).toBe("x");
  expect({ ...x.report.focus }).toEqual({ ...y.report.focus });
});

test.concurrent.each(["0.1", "0.01", "0.0005"])("--tolerance %s is kept and used", async (tolerance) => {
  const { fit } = await checked([squareArt, ...cup, "--width", "50", "--tolerance", tolerance]);
  expect(fit.toleranceMm).toBe(Number(tolerance));
  expect(fit.certifiedErrorMm).toBeGreaterThan(0);
  expect(fit.certifiedErrorMm).toBeLessThanOrEqual(Number(tolerance));
});

describe("--json", () => {
  test.concurrent.each([
    [["check", bar, ...cup], 0],
    [["check", bar, ...cup, "--at", "60,0"], 3],
  ] as const)("%j gives one JSON document and nothing else", async (args, code) => {
    const ran = await running([...args, "--json"]);
    expect(ran).toMatchObject({ code, err: "" });
    expect(ran.out.startsWith("{") && ran.out.endsWith("}\n")).toBe(true);
    expect(JSON.parse(ran.out)).toMatchObject({ schema: "fallaway-report-1", files: [] });
  });
  test.concurrent("a refused job says nothing on standard output", async () => {
    expect(await running(["check", bar, "--json"])).toMatchObject({ code: 2, out: "" });
  });
});

describe("the summary", () => {
  test.concurrent("verdict first, then width against reach, focus, falloff, what to do", async () => {
    const { out, code } = await running(["check", bar, ...cup, "--width", "100"]);
    expect(code).toBe(3);
    const order = [/^STOP\n/, /100\.0 mm around.*reach is 71\.5 mm/, /focus/, /falloff/, /--width/];
    const places = order.map((pattern) => out.search(pattern));
    expect(places.every((p) => p >= 0)).toBe(true);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });
  test.concurrent("a caution is said and exits with 0", async () => {
    const over = art(dir, "over.svg", page('<path d="M90 50H110V60H90z"/>'));
    const { out, code, err } = await running(["check", over, ...cup]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toMatch(/^CAUTION\n/);
    expect(out).toMatch(/caution +100 mm² of ink reaches beyond the page/);
  });
});
