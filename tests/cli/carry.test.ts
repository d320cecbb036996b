/** `carry` as a user runs it: the table, the JSON, job files, and what it refuses. */
import { describe, expect, test } from "vitest";
import type { Carriage, Carried } from "../../src/plan/carry.ts";
import { art, expectRefused, fallaway, folder, running } from "./helpers.ts";

type Side = Carriage & {
  readonly source: string;
  readonly lens: string;
  readonly powerPercent: number | null;
};
type Answer = Omit<Carried, "from" | "to"> & { readonly from: Side; readonly to: Side };

const dir = folder();
const worked = "--power 45% --speed 900 --frequency 50 --pitch 0.025".split(" ");
const from60 = ["--from", "60W", ...worked];

async function answer(args: readonly string[]): Promise<Answer> {
  const ran = await running(["carry", ...args, "--json"]);
  expect(ran, args.join(" ")).toMatchObject({ code: 0, err: "" });
  return JSON.parse(ran.out) as Answer;
}

test("the table: both stations, what holds, care", () => {
  const { code, out, err } = fallaway(["carry", ...from60, "--to", "30W"]);
  expect({ code, err }).toEqual({ code: 0, err: "" });
  for (const line of [
    /^ {2}quantity +from +to$/m,
    /^ {2}source +fibre-60, 60 W +fibre-30, 30 W$/m,
    /^ {2}lens +field-300 +field-300$/m,
    /^ {2}power +27 W \(45 %\) +27 W \(90 %\)$/m,
    /^ {2}frequency +50 kHz +50 kHz$/m,
    /^ {2}speed +900 mm\/s +900 mm\/s$/m,
    /^ {2}sets × passes +2 \(90°, 0°\) × 1 +2 \(90°, 0°\) × 1$/m,
    /^ {2}peak fluence at best focus +9\.25 J\/cm² +9\.25 J\/cm²$/m,
    /^ {2}holds +mean power, peak fluence, dose, pulses per spot \(within 0\.5 %\)$/m,
    /^ {2}gives +nothing$/m,
    /^ {2}note +pulse lengths differ/m,
    /^ {2}first +mark a spare cup/m,
    /^ {2}take care +class 4 laser.*1064 nm/m,
  ])
    expect(out).toMatch(line);
});

test("the table names what gives and its price", () => {
  const args = ["--from", "60W", "--power", "45W", ...worked.slice(2), "--to", "30W"];
  const { out } = fallaway(["carry", ...args, "--frequency", "100"]);
  expect(out).toMatch(/^ {2}gives +mean power × 0\.667: takes 1\.5 times as long$/m);
  expect(out).toMatch(/^ {2}time of the lines +1 +1\.5$/m);
});

test("--json: the same keys on both sides", async () => {
  const found = await answer([...from60, "--to", "fibre-30", "--angles", "90,45,0", "--passes", "2"]);
  expect(Object.keys(found)).toEqual(["from", "to", "keeps", "gives", "timeFactor", "notes"]);
  const side = { lens: "field-300", anglesDeg: [90, 45, 0], passes: 2, powerW: 27, frequencyKHz: 50 };
  expect(found.from).toMatchObject({ ...side, source: "fibre-60", powerPercent: 45, speedMmS: 900 });
  expect(found.to).toMatchObject({ ...side, source: "fibre-30", powerPercent: 90, speedMmS: 900 });
  expect(Object.keys(found.to)).toEqual(Object.keys(found.from));
  expect(Object.keys(found.to).slice(9)).toEqual([
    ...["waistDiameterMm", "pulseEnergyMj", "peakFluenceJPerCm2", "doseJPerCm2", "pulsesPerSpot"],
  ]);
  expect(found.keeps).toEqual(["meanPower", "peakFluence", "dose", "pulsesPerSpot"]);
  expect(found).toMatchObject({ gives: [], timeFactor: 1 });
});

describe("stations", () => {
  test.concurrent("a mean power that no profile has is a source of any power with it", async () => {
    const { from, to } = await answer([...from60, "--to", "45 w"]);
    expect([from.source, to.source]).toEqual(["fibre-60", "pulsed-fibre"]);
    expect(to.powerPercent).toBeCloseTo(60, 9);
  });
  test.concurrent("a source of any power: no percent, and no bound", async () => {
    const args = ["--from", "pulsed-fibre", "--power", "250W", ...worked.slice(2)];
    const { from, to } = await answer([...args, "--to", "pulsed-fibre", "--to-lens", "field-110"]);
    expect([from.powerPercent, to.powerPercent, to.powerW]).toEqual([null, null, 250]);
    expect([from.lens, to.lens]).toEqual(["field-300", "field-110"]);
    expect(to.pitchMm).toBeCloseTo((0.025 * 160) / 420, 12);
  });
  test.concurrent("--lens is that of both, --to-lens of the new one", async () => {
    const both = await answer([...from60, "--lens", "field-110", "--to", "60W"]);
    expect([both.from.lens, both.to.lens]).toEqual(["field-110", "field-110"]);
    const one = await answer([...from60, "--lens", "field-110", "--to", "60W", "--to-lens", "field-220"]);
    expect([one.from.lens, one.to.lens]).toEqual(["field-110", "field-220"]);
  });
});

describe("a job file", () => {
  const job = {
    artwork: { path: "heron-reach.svg" },
    source: { id: "fibre-60", m2: 1.3 },
    lens: { id: "field-220", focalLengthMm: 325 },
    settings: { powerPercent: 45, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025, passes: 2 },
  };
  const path = art(dir, "heron-reach.job.json", JSON.stringify(job));
  const waist = (m2: number, f: number): number => (4 * m2 * 1064e-6 * f) / (Math.PI * 7);

  test.concurrent("gives source, lens and settings; options go over it", async () => {
    const { from, to } = await answer(["--job", path, "--speed", "800", "--to", "30W"]);
    expect(from).toMatchObject({
      source: "fibre-60",
      lens: "field-220",
      powerW: 27,
      speedMmS: 800,
      passes: 2,
    });
    expect(from.waistDiameterMm).toBeCloseTo(waist(1.3, 325), 12);
    // The new source leaves the old one's M² behind, the lens stays as it was measured.
    expect(to.waistDiameterMm).toBeCloseTo(waist(1.5, 325), 12);
  });
  test.concurrent("the same source and another lens: the source's own figures stay", async () => {
    const { to } = await answer(["--job", path, "--to", "60W", "--to-lens", "field-110"]);
    expect(to.waistDiameterMm).toBeCloseTo(waist(1.3, 160), 12);
  });
  test.concurrent("--from goes over its source", async () => {
    const { from } = await answer(["--job", path, "--from", "100W", "--to", "30W"]);
    expect(from).toMatchObject({ source: "fibre-100", powerW: 45 });
  });
});

describe("refused in one line", () => {
  const broken = art(dir, "broken.job.json", "{");
  const bare = art(dir, "bare.job.json", "{}");
  test.each([
    [[...from60], /--to /],
    [[...worked, "--to", "30W"], /source.*not given.*--from/],
    [["--from", "60W", "--to", "30W"], /lack --power, --speed.*or a job file/],
    [["--job", bare, "--to", "30W"], /lack --power/],
    [["--job", broken, "--to", "30W"], /broken\.job\.json is not JSON/],
    [[...from60, "--to", "fibre-31"], /--to: .*"fibre-31": nearest: fibre-30/],
    [[...from60, "--to", "30"], /--to: .*"30": nearest: fibre-30/],
    [[...from60, "--to", "0W"], /--to cannot be "0W": give a mean power/],
    [["--from", "fibre-6", ...worked, "--to", "30W"], /--from: .*"fibre-6": nearest: fibre-60/],
    [[...from60, "--lens", "field-330", "--to", "30W"], /--lens: .*nearest: .*field-300/],
    [[...from60, "--to", "30W", "--to-lens", "field-111"], /--to-lens: .*nearest: field-110/],
    [
      ["--from", "30W", "--power", "40W", ...worked.slice(2), "--to", "60W"],
      /40 W is more than the 30 W.*--from/,
    ],
    [["--from", "pulsed-fibre", ...worked, "--to", "30W"], /45 % of which power.*--from fibre-60/],
    [
      ["--from", "30W", ...worked, "--frequency", "20", "--to", "60W"],
      /20 kHz lies outside the 30 to 80 kHz/,
    ],
    [[...from60, "--power", "27", "--to", "30W"], /--power cannot be "27".*27W or 45%/],
    [[...from60, "--passes", "0", "--to", "30W"], /--passes must be at least 1/],
  ])("%j", (args, names) => {
    expectRefused(fallaway(["carry", ...args]), names);
  });
});
