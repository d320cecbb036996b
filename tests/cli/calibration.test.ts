/** `--calibration` and a job file that names one: taken, repeated, refused, called foreign or old. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Calibration } from "../../src/job/calibration.ts";
import { boathouse } from "../support/calibration.ts";
import { art, checked, expectRefused, fallaway, folder, page, prepared, running, square } from "./helpers.ts";

const dir = folder();
const piece = art(dir, "square.svg", square);
const shop = [
  ...["--diameter", "76.4", "--power", "27W", "--speed", "900", "--frequency", "50", "--pitch", "0.025"],
  ...["--date", "2026-11-20"],
];
const ours = [...shop, "--lens", "field-300", "--source", "fibre-60", "--coating", "powder-black"];
const file = (name: string, change: Partial<Calibration> = {}): string =>
  art(dir, name, JSON.stringify(boathouse(change)));
const calibration = file("station.json");
const named = ["--calibration", calibration];
const textOf = (...path: string[]): string => readFileSync(join(...path), "utf8");
const codes = (report: { reasons: { code: string }[] }): string[] =>
  report.reasons.map((r) => r.code).filter((code) => code.startsWith("calibration"));

describe("a calibration by option", () => {
  it("narrows the report, drops the labels, and is told once", async () => {
    const [plain, known] = await Promise.all([
      checked([piece, ...ours]),
      checked([piece, ...ours, ...named]),
    ]);
    expect(plain.calibration).toBeNull();
    expect(known.calibration).toMatchObject({
      date: "2026-11-02",
      machine: "Boathouse",
      coating: true,
      metal: true,
      spot: true,
    });
    expect(known.head).toMatchObject({ workingDistanceMm: 441.5, pivotMm: [480, 512] });
    expect(known.spot).toMatchObject({ waistDiameterMm: 0.128, rayleighMm: 7.9, usableDepthMm: 7.9 });
    const [wide, narrow] = [plain.process!.weakest!.cleared!, known.process!.weakest!.cleared!];
    expect(narrow.high / narrow.low).toBeLessThan(0.5 * (wide.high / wide.low));
    expect(codes(known)).toEqual([]);
    expect(JSON.stringify(known)).not.toMatch(/uncalibrated/);
    const said = (await running(["check", piece, ...ours, ...named])).out;
    expect(said).toMatch(/^ {2}calibrated 2026-11-02, Boathouse: spot, coating, metal$/m);
    expect(said).not.toMatch(/uncalibrated/i);
  });

  it("is written into the job, which repeats the run, with what options took from it", async () => {
    for (const [name, more] of [
      ["all", []],
      ["thick", ["--coating-thickness", "80", "--pivot", "470,500"]],
      ["beam", ["--m2", "1.4"]],
      ["longer", ["--lens", "field-220"]],
    ] as [string, string[]][]) {
      const [first, second] = [join(dir, `${name}-1`), join(dir, `${name}-2`)];
      const one = await prepared(piece, first, [...ours, ...named, ...more]);
      const job = join(first, "square.job.json");
      expect(JSON.parse(textOf(job)).calibration).toMatchObject({
        path: "../station.json",
        sha256: expect.stringMatching(/^[0-9a-f]{64}$/),
      });
      const two = await prepared(piece, second, ["--job", job]);
      for (const end of ["job.json", "warped.svg"])
        expect(textOf(second, `square.${end}`), `${name} ${end}`).toBe(textOf(first, `square.${end}`));
      expect(two.report).toEqual(one.report);
    }
    expect(JSON.parse(textOf(dir, "thick-1", "square.job.json")).calibration.own).toEqual([
      "pivotMm",
      "coating",
    ]);
  });

  it("a changed one is told", async () => {
    const changing = file("changing.json");
    const out = join(dir, "changing");
    await prepared(piece, out, [...ours, "--calibration", changing]);
    writeFileSync(changing, JSON.stringify(boathouse({ machine: "Boathouse, new window" })));
    const job = join(out, "square.job.json");
    expect(codes(await checked([piece, "--job", job]))).toEqual(["calibration-changed"]);
    expect(codes(await checked([piece, "--job", job, ...named]))).toEqual([]);
  });

  it("a sheet keeps what prepare wrote for the same calibrated job, and says the day", async () => {
    const out = join(dir, "both");
    await prepared(piece, out, [...ours, ...named, "--fill", "even"]);
    const warped = textOf(out, "square.warped.svg");
    const ran = await running(["sheet", piece, "--out", out, ...ours, ...named, "--fill", "even"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(textOf(out, "square.warped.svg")).toBe(warped);
    const html = textOf(out, "square.sheet.html");
    expect(html).toMatch(/Calibrated 2026-11-02 on this coating\./);
    expect(html).not.toMatch(/uncalibrated/i);
  });
});

describe("a job file that names one", () => {
  it("takes it relative to itself; check, vessel, reach and carry all do", async () => {
    mkdirSync(join(dir, "jobs"), { recursive: true });
    const job = art(
      join(dir, "jobs"),
      "cup.json",
      JSON.stringify({
        vessel: { diameterMm: 76.4 },
        settings: { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 },
        order: { date: "2026-11-20" },
        calibration: "../station.json",
      }),
    );
    const report = await checked([piece, "--job", job]);
    expect(report.calibration).toMatchObject({ coating: true, metal: true, spot: true });
    expect(report.process).toMatchObject({ calibrated: true, coating: "powder-black" });
    const answer = async (args: string[]) => JSON.parse((await running([...args, "--json"])).out);
    const rows = (await answer(["reach", "--job", job])) as { lens: string; waistDiameterMm: number }[];
    expect(rows.find((r) => r.lens === "field-300")!.waistDiameterMm).toBe(0.128);
    const carried = await answer(["carry", "--job", job, "--to", "30W"]);
    expect(carried.from.waistDiameterMm).toBe(0.128);
    expect(carried.to.waistDiameterMm).not.toBe(0.128);
    expect((await running(["vessel", job])).code).toBe(0);
  });

  it("a spot measured by other means stands without one", async () => {
    const job = art(
      dir,
      "spot.json",
      JSON.stringify({ lens: { spotUm: { value: 140, low: 130, high: 150 }, rayleighMm: 9 } }),
    );
    const report = await checked([piece, ...shop, "--coating", "powder-black", "--job", job]);
    expect(report.spot).toEqual({ waistDiameterMm: 0.14, rayleighMm: 9, usableDepthMm: 9 });
    expect(report.process!.calibrated).toBe(false);
    const other = await checked([piece, ...shop, "--job", job, "--m2", "1.2"]);
    expect(other.spot.waistDiameterMm).not.toBe(0.14);
    const out = join(dir, "spot");
    const { report: once } = await prepared(piece, out, [...shop, "--job", job]);
    expect((await checked([piece, "--job", join(out, "square.job.json")])).spot).toEqual(once.spot);
    const half = art(dir, "half.json", JSON.stringify({ lens: { spotUm: 140 } }));
    expectRefused(
      fallaway(["check", piece, ...shop, "--job", half]),
      /lens\.spotUm is given without lens\.rayleighMm/,
    );
  });
});

describe("not this one", () => {
  it.each([
    [["--lens", "field-220"], /for the lens field-300, the job has field-220/],
    [["--source", "fibre-100"], /for the source fibre-60, the job has fibre-100/],
    [["--coating", "powder-red"], /for the coating powder-black, the job has powder-red/],
    [["--metal", "steel-bright"], /for the metal steel-brushed, the job has steel-bright/],
  ])("%j is foreign, and uncalibrated", async (other, words) => {
    const report = await checked([piece, ...ours, ...other, ...named]);
    const reason = report.reasons.find((r) => r.code === "calibration-foreign")!;
    expect(reason).toMatchObject({ severity: "caution", message: expect.stringMatching(words) });
    expect(report.verdict).toBe("caution");
    expect(report.process!.calibrated).toBe(other[0] === "--metal");
    expect((await running(["check", piece, ...ours, ...other, ...named])).out).toMatch(/ uncalibrated: /);
  });

  it("an old one, and one from the future", async () => {
    const of = async (date: string) => codes(await checked([piece, ...ours, "--date", date, ...named]));
    expect(await of("2027-09-01")).toEqual(["calibration-old"]);
    expect(await of("2026-01-01")).toEqual(["calibration-future"]);
  });

  it.each([
    ["{", /is not JSON/],
    ["{}", /schema must be "fallaway-calibration-1"/],
    [JSON.stringify({ ...boathouse(), machines: "two" }), /unknown key "machines".*did you mean "machine"/],
    [JSON.stringify({ ...boathouse(), metal: 3 }), /metal must be a string, found 3/],
    [
      JSON.stringify({ ...boathouse(), correlation: { names: [], rows: [] } }),
      /correlation\.names lacks spotUm/,
    ],
    ["[1]", /the calibration must be an object/],
    ["", /is empty/],
  ])("broken file %# is refused in one line, and nothing is written", (text, words) => {
    const broken = art(dir, "broken.json", text);
    const out = join(dir, "never");
    expectRefused(
      fallaway(["prepare", piece, "--out", out, ...ours, "--calibration", broken]),
      new RegExp(`broken\\.json.*${words.source}`),
      out,
    );
  });

  it("a missing one, also where a job file names it", () => {
    expectRefused(
      fallaway(["check", piece, ...ours, "--calibration", join(dir, "none.json")]),
      /none\.json does not exist: give the path of a calibration/,
    );
    const job = art(dir, "lost.json", JSON.stringify({ calibration: "lost/c.json" }));
    expectRefused(fallaway(["check", piece, ...ours, "--job", job]), /lost\/c\.json does not exist/);
  });
});

it("a contact sheet has it too", async () => {
  const many = join(dir, "many");
  mkdirSync(many);
  art(many, "a.svg", page('<path d="M0 0H20V20H0z"/>'));
  const ran = await running([
    ...["proof", many, "--out", join(dir, "contact"), "--json", ...ours, "--lens", "field-220", ...named],
  ]);
  expect(ran).toMatchObject({ code: 0, err: "" });
  expect(ran.out).toMatch(/calibration-foreign/);
});
