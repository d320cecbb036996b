/** The JSON Schemas in shared/ say what the code says; `npm run schemas` writes them anew. */
import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, it } from "vitest";
import { z } from "zod";
import { readInk } from "../src/ink/ink.ts";
import { calibrationSchema } from "../src/job/calibration.ts";
import { type JobFile, jobFileSchema } from "../src/job/job.ts";
import { lensOf } from "../src/job/profiles.ts";
import { resolveJob } from "../src/job/resolve.ts";
import { stripFileSchema } from "../src/job/stripfile.ts";
import { jobFileOf } from "../src/job/written.ts";
import { planJob } from "../src/plan/plan.ts";
import { reportOf, reportSchema } from "../src/plan/report.ts";
import { profiles } from "./support/profiles.ts";

const shared = (name: string): string => readFileSync(new URL(`../shared/${name}`, import.meta.url), "utf8");

it.each([
  ["report.schema.json", "fallaway report: lengths in mm, angles in degrees", reportSchema],
  [
    "job.schema.json",
    "fallaway job file: lengths in mm, angles in degrees; any part may be left out",
    jobFileSchema,
  ],
  ["strip.schema.json", "fallaway strip: lengths in mm, angles in degrees", stripFileSchema],
  ["calibration.schema.json", "fallaway calibration: ranges are 90 % intervals", calibrationSchema],
] as const)("%s is up to date", async (name, title, schema) => {
  const text = `${JSON.stringify({ title, ...z.toJSONSchema(schema) }, null, 2)}\n`;
  await expect(text).toMatchFileSnapshot(`../shared/${name}`);
});

it("reports and resolved jobs fit their schemas, for ready and stop, fills and lines, with and without settings", async () => {
  const report = new Ajv2020().compile(JSON.parse(shared("report.schema.json")));
  const job = new Ajv2020().compile(JSON.parse(shared("job.schema.json")));
  const drawings = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20"><path id="a" d="M0 0H40V20H0z"/></svg>`,
    `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="20mm" viewBox="0 0 300 20"><path d="M0 0H300V20H0z"/></svg>`,
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path fill="none" stroke="#000" d="M0 0L40 20"/></svg>`,
  ].map((text, i) => ({ text, strokes: i === 2 ? ("centre-line" as const) : ("outline" as const) }));
  const settings = { powerW: 20, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.03 };
  const more: JobFile[] = [
    {},
    { settings },
    { settings, coating: { id: "powder-red", thicknessUm: 80 }, column: { travelMm: 565 } },
  ];
  for (const [{ text, strokes }, with_] of drawings.flatMap((d) => more.map((m) => [d, m] as const))) {
    const asked = { vessel: { diameterMm: 82 }, lens: { pivotMm: ["telecentric", 500] }, ink: { strokes } };
    const resolved = resolveJob({}, { ...(asked as JobFile), ...with_ }, profiles);
    const lenses = profiles.lenses.map(lensOf);
    const plan = planJob(await readInk(text, { strokes }), resolved, () => {}, lenses);
    // A resolved job repeats the run: every range is in it.
    expect(resolveJob(jobFileOf(resolved), {}, profiles)).toEqual(resolved);
    const written = JSON.parse(
      JSON.stringify(reportOf(plan, [{ kind: "warped", path: "a.svg", bytes: 1, sha256: "0" }])),
    );
    expect(report(written), JSON.stringify(report.errors)).toBe(true);
    expect(job(JSON.parse(JSON.stringify(jobFileOf(resolved)))), JSON.stringify(job.errors)).toBe(true);
    expect(reportSchema.parse(written)).toEqual(written);
  }
});

it("every figure of every profile has a source, and the usual fields are there", () => {
  expect(profiles.lenses.map((l) => l.fieldMm.value)).toEqual([70, 110, 145, 175, 200, 220, 300]);
  // Second-hand data sheets: f = 100 mm with a 70 mm field, f = 160 mm with 110 mm; 28° on the diagonal, side = 2 f θ/√2.
  for (const [field, f] of [
    [70, 100],
    [110, 160],
  ] as const) {
    const lens = profiles.lenses.find((l) => l.fieldMm.value === field)!;
    expect(lens.focalLengthMm.value).toBe(f);
    expect(Math.abs((2 * f * 28 * Math.PI) / 180 / Math.SQRT2 - field)).toBeLessThan(1);
  }
});

it("ranges of profiles hold their value; hard coats, sources and metals are there", () => {
  expect(profiles.sources.map((s) => s.meanPowerW?.value ?? null)).toEqual([null, 20, 30, 50, 60, 100]);
  expect(new Set(profiles.coatings.map((c) => c.kind))).toEqual(new Set(["powder coat", "paint"]));
  for (const kind of ["powder", "paint"])
    for (const colour of ["any", "black", "blue", "red", "white"])
      expect(profiles.coatings.map((c) => c.id)).toContain(`${kind}-${colour}`);
  // Common practice, no published source: the brushed grain under a coated cup usually runs around it.
  expect(profiles.metals[0]!.grain.value).toBe("around");
  // A figure that is not published says so.
  const figures = [...profiles.coatings, ...profiles.metals].flatMap((p) =>
    Object.values(p).flatMap((v) => (typeof v === "object" ? [v] : [])),
  );
  for (const { source } of figures)
    expect(source).toMatch(/from memory|common practice|Appl\. |Fundamental investigations/);
});
