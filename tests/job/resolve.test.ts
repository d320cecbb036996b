/** Precedence, defaults and the errors that a job file can hold. */
import { describe, expect, it } from "vitest";
import { nearest } from "../../src/job/nearest.ts";
import { readJobFile, resolveJob } from "../../src/job/resolve.ts";
import { JobError } from "../../src/problem.ts";
import { profiles } from "../support/profiles.ts";

const cup = { vessel: { diameterMm: 82 } };
const problem = (run: () => unknown) => {
  try {
    run();
  } catch (error) {
    if (error instanceof JobError) return error.problem;
    throw error;
  }
  throw new Error("nothing was wrong");
};

describe("precedence", () => {
  it("default < profile < job file < option", () => {
    expect(resolveJob({}, cup, profiles).lens).toMatchObject({
      id: "field-300",
      focalLengthMm: 420,
      fieldMm: 300,
    });
    const file = readJobFile({ lens: { id: "field-110", fieldMm: 100 }, focus: "crown", ...cup }, "job.json");
    expect(resolveJob(file, {}, profiles)).toMatchObject({
      focus: "crown",
      lens: { focalLengthMm: 160, fieldMm: 100 },
    });
    expect(resolveJob(file, { lens: { fieldMm: 90 }, focus: 3 }, profiles)).toMatchObject({
      focus: 3,
      lens: { id: "field-110", fieldMm: 90 },
    });
  });

  it("a lens named by an option leaves no figure of the job file's lens behind", () => {
    const resolved = resolveJob({}, cup, profiles);
    expect(resolveJob(resolved as never, { lens: { id: "field-70" } }, profiles).lens.focalLengthMm).toBe(
      100,
    );
  });

  it("the same lens named by an option keeps the measured figures of the job file", () => {
    const file = readJobFile({ ...cup, lens: { id: "field-300", workingDistanceMm: 470 } }, "job.json");
    expect(resolveJob(file, { lens: { id: "field-300" } }, profiles).lens.workingDistanceMm).toBe(470);
    expect(resolveJob(file, { lens: { id: "field-220" } }, profiles).lens.workingDistanceMm).toBe(376);
  });

  it("a circumference given as option replaces the file's diameter", () => {
    const job = resolveJob(cup, { vessel: { circumferenceMm: 240 } }, profiles);
    expect(job.vessel.diameterMm! * Math.PI).toBeCloseTo(240, 12);
  });

  it("zero is a value: focus 0 and --at 0,0 stand against the file", () => {
    const file = readJobFile({ ...cup, focus: 6, placement: { atMm: [4, 5], rotateDeg: 90 } }, "job.json");
    const job = resolveJob(file, { focus: 0, placement: { atMm: [0, 0], rotateDeg: 0 } }, profiles);
    expect(job.focus).toBe(0);
    expect(job.placement).toMatchObject({ atMm: [0, 0], rotateDeg: 0 });
  });

  it("a resolved job resolves to itself", () => {
    const job = resolveJob({}, { ...cup, lens: { pivotMm: ["telecentric", 300] } }, profiles);
    expect(resolveJob(readJobFile(JSON.parse(JSON.stringify(job)), "job.json"), {}, profiles)).toEqual(job);
  });
});

describe("errors name the place and say what to do", () => {
  it.each([
    [{ vesel: {} }, "job-key", /unknown key "vesel"/, /"vessel"/],
    [{ vessel: { diameterCm: 8 } }, "job-key", /unknown key "vessel.diameterCm"/, /"diameterMm"/],
    [
      { vessel: { diameterMm: "82mm" } },
      "job-value",
      /vessel\.diameterMm takes a plain number in mm, found "82mm"/,
      /without a unit/,
    ],
    [
      { placement: { rotateDeg: "90°" } },
      "job-value",
      /rotateDeg takes a plain number in degrees/,
      /without a unit/,
    ],
    [{ vessel: { diameterMm: -1 } }, "job-value", /vessel\.diameterMm must be at least 1, found -1/, /mm/],
    [{ source: { m2: 0.5 } }, "job-value", /source\.m2 must be at least 1, found 0\.5/, /schema/],
    [{ axis: "z" }, "job-value", /axis must be one of "x", "y", found "z"/, /schema/],
    [{ limits: { maxIncidenceDeg: 90 } }, "job-value", /maxIncidenceDeg must be less than 90/, /degrees/],
    [[], "job-value", /the job must be an object/, /schema/],
  ])("%j", (value, code, message, hint) => {
    const found = problem(() => readJobFile(value, "cup.job.json"));
    expect(found.code).toBe(code);
    expect(found.message).toMatch(message);
    expect(found.message).toContain("cup.job.json");
    expect(found.hint).toMatch(hint);
  });

  it("no vessel, two vessels, an unknown lens", () => {
    expect(problem(() => resolveJob({}, {}, profiles)).hint).toMatch(/--diameter/);
    expect(
      problem(() => resolveJob({}, { vessel: { diameterMm: 82, circumferenceMm: 258 } }, profiles)).code,
    ).toBe("vessel-twice");
    const unknown = problem(() => resolveJob({}, { ...cup, lens: { id: "feild-300" } }, profiles));
    expect(unknown.hint).toMatch(/nearest: field-300/);
  });

  it("nearest names are near", () => {
    expect(nearest("diamter", ["diameterMm", "circumferenceMm"])).toEqual(["diameterMm"]);
    expect(nearest("300", ["field-300", "field-70"])).toContain("field-300");
    expect(nearest("xyzzy", ["field-300", "field-70"])).toEqual([]);
  });
});
