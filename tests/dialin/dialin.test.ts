import { describe, expect, it } from "vitest";
import { focusedSpot } from "../../src/beam/spot.ts";
import { dialIn } from "../../src/dialin/dialin.ts";
import type { JobFile } from "../../src/job/job.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import { meetsOf } from "../../src/plan/strip/meets.ts";
import { predictedOf } from "../../src/plan/strip/predict.ts";
import type { Ladder, Reading, ReadStrip } from "../../src/plan/strip/types.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";
import { seeded } from "../support/pulses.ts";
import { seenOf } from "./laid.ts";
import { readBySimulation } from "./simulated.ts";
import { middleTruth, type Truth } from "./truth.ts";

const asked: JobFile = {
  vessel,
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  settings: { ...usual, powerPercent: undefined, powerW: 27 } as never,
};
const truth: Truth = { ...middleTruth(jobOf(asked)), sidewaysMm: 1.2, focusErrorMm: -0.8 };
const read = (ladder: Ladder, own = {}, more: JobFile = {}, of: Truth = truth, seed = 1): ReadStrip => {
  const strip = stripOf(jobOf({ ...asked, ...more }), { ladder, ...own });
  return { strip, readings: readBySimulation(strip, of, seeded(seed)) };
};
const refusal = (strips: readonly ReadStrip[]): { code: string; message: string } => {
  try {
    dialIn(strips);
  } catch (error) {
    return (error as { problem: { code: string; message: string } }).problem;
  }
  return { code: "nothing", message: "" };
};

describe("what a strip would show, against its lines laid one by one (removal simulation, no code in common)", () => {
  const bodies: [string, JobFile, Ladder][] = [
    ["straight", {}, "settings"],
    ["straight, focus", {}, "focus"],
    ["tapered", { vessel: { taperMm: [88, 64, 110] } }, "settings"],
    ["ball", { vessel: { sphereMm: 80 } }, "settings"],
    ["along x, telecentric", { axis: "x", lens: { pivotMm: "telecentric" } }, "settings"],
    ["a ramp", {}, "ramp"],
  ];
  it.each(bodies)("%s: edges within a tenth of a bar", (_, more, ladder) => {
    const strip = stripOf(jobOf({ ...asked, ...more }), { ladder, marks: 4 });
    const { source, lens } = strip.job;
    const lies = ladder === "ramp" ? { ...truth, sidewaysMm: 0 } : truth;
    const spot = focusedSpot(
      { wavelengthNm: source.wavelengthNm, m2: lies.m2, beamDiameterMm: lies.beamDiameterMm },
      lens.focalLengthMm,
    );
    const world = {
      waistRadiusMm: spot.waistDiameterMm / 2,
      rayleighMm: spot.rayleighMm,
      metal: { threshold: lies.metalThresholdJPerCm2, incubation: lies.incubation },
      coating: {
        threshold: lies.thresholdJPerCm2,
        depthMm: lies.depthUm / 1000,
        thicknessMm: lies.thicknessUm / 1000,
      },
    };
    const pitch = strip.bars[1]!.atMm - strip.bars[0]!.atMm;
    let compared = 0;
    for (const mark of strip.marks) {
      const seen = seenOf(strip, mark, { ...lies, pivotMm: lens.pivotMm });
      const { sidewaysMm, focusErrorMm } = lies;
      const { clear } = predictedOf(strip, mark, meetsOf(strip, mark, { sidewaysMm, focusErrorMm }), world);
      expect(clear === null).toBe(seen.clear === null);
      if (!clear || !seen.clear) continue;
      const ends = [strip.bars[0]!.atMm, strip.bars.at(-1)!.atMm];
      for (const [one, other] of [
        [clear[0], seen.clear.from],
        [clear[1], seen.clear.to],
      ] as const) {
        if (other <= ends[0]! || other >= ends[1]!) continue;
        expect(Math.abs(one - other)).toBeLessThan(pitch / 10);
        compared++;
      }
    }
    expect(compared).toBeGreaterThanOrEqual(2);
  });
});

describe("one mark alone", () => {
  const one = dialIn([read("settings", { marks: 1 }, {}, truth, 5)]);

  it("tells how far to the right the vessel stood, and not the beam", () => {
    const { value, low, high, unit } = one.estimates.sidewaysMm!;
    expect(Math.abs(value - 1.2)).toBeLessThan(0.8);
    expect(low).toBeLessThan(1.2);
    expect(high).toBeGreaterThan(1.2);
    expect(unit).toBe("mm");
    expect(one.unresolved).not.toContain("sidewaysMm");
    expect(one.unresolved).toEqual(expect.arrayContaining(["rayleighMm", "pivotXMm", "pivotYMm"]));
  });

  it("metal that shows nowhere is no interval of its threshold", () => {
    const strip = stripOf(jobOf(asked), { ladder: "settings", marks: 1 });
    const readings = [{ mark: 1, row: 1, clear: [20, 65] as const, metal: "none" as const }];
    expect(dialIn([{ strip, readings }]).unresolved).toContain("metalThresholdJPerCm2");
  });

  it("and names the strips that would tell the rest", () => {
    const named = one.suggestions.flatMap(({ names }) => names);
    expect(new Set(named).size).toBe(named.length);
    for (const name of ["rayleighMm", "pivotXMm", "pivotYMm"]) expect(named).toContain(name);
    expect(one.suggestions.find(({ names }) => names.includes("pivotXMm"))!.option).toBe("--ladder squares");
    for (const { option } of one.suggestions)
      expect(option).toMatch(/^--ladder (settings|focus|ramp|squares)$/);
  });
});

describe("a mark on one side and its mirror image", () => {
  it("differ in the sign of what lies sideways alone", () => {
    const strip = stripOf(jobOf(asked), { ladder: "settings" });
    const { bars } = strip;
    const readings = readBySimulation(strip, truth, seeded(3), 0);
    const turned = (ends: Reading["clear"]): Reading["clear"] =>
      ends === undefined || ends === "none" ? ends : [bars.length + 1 - ends[1], bars.length + 1 - ends[0]];
    const mirrored = readings.map((r) => ({
      ...r,
      clear: turned(r.clear)!,
      gap: turned(r.gap)!,
      metal: turned(r.metal)!,
    }));
    const [here, there] = [readings, mirrored].map((list) => dialIn([{ strip, readings: list }]).estimates);
    expect(here!.sidewaysMm!.value + there!.sidewaysMm!.value).toBeLessThan(0.01);
    expect(Math.abs(here!.rayleighMm!.value / there!.rayleighMm!.value - 1)).toBeLessThan(0.01);
  });
});

describe("strips together", () => {
  const both = dialIn([read("settings"), read("focus", {}, {}, truth, 2)]);

  it("tell all but the pivots; squares would tell those", () => {
    expect(both.unresolved).toEqual(["pivotXMm", "pivotYMm"]);
    expect(both.suggestions).toEqual([{ names: ["pivotXMm", "pivotYMm"], option: "--ladder squares" }]);
    expect(Object.keys(both.estimates)).toContain("sidewaysMm:focus");
    expect(both.rms).toBeLessThan(1.5);
  });

  it("with a correlation that is one", () => {
    const { names, rows } = both.correlation;
    expect(names).toEqual([
      "spotUm",
      "rayleighMm",
      "thresholdJPerCm2",
      "depthUm",
      "metalThresholdJPerCm2",
      "incubation",
    ]);
    rows.forEach((r, i) => {
      r.forEach((v, j) => {
        expect(Math.abs(v)).toBeLessThanOrEqual(1);
        expect(v).toBeCloseTo(rows[j]![i]!, 12);
      });
      expect(r[i]).toBe(1);
    });
  });

  it("give the same again from the same readings", () => {
    const again = dialIn([read("settings"), read("focus", {}, {}, truth, 2)]);
    expect(again.estimates).toEqual(both.estimates);
  });

  it("every reading of a bar has its residual, within a few of its own errors", () => {
    const told = both.residuals.filter(({ what }) => what === "first clear" && true);
    expect(told.length).toBeGreaterThanOrEqual(16);
    for (const { off } of both.residuals) expect(Math.abs(off)).toBeLessThan(4);
  });
});

it("a ramp tells focus and Rayleigh range without a vessel", () => {
  const { estimates, unresolved } = dialIn([read("ramp", { marks: 6 })]);
  expect(unresolved).not.toContain("focusErrorMm");
  expect(Math.abs(estimates.focusErrorMm!.value + 0.8)).toBeLessThan(0.6);
  expect(estimates.sidewaysMm).toBeUndefined();
});

describe("readings that cannot be", () => {
  const good = read("settings");
  const but = (mark: number, change: Partial<Reading>): ReadStrip => ({
    ...good,
    readings: good.readings.map((r) => (r.mark === mark ? { ...r, ...change } : r)),
  });
  const whole = (mark: number): [number, number] => good.readings[mark - 1]!.clear as [number, number];

  it("a row read five bars off on one side is refused, and named", () => {
    const [first, last] = whole(5);
    const problem = refusal([but(5, { clear: [first + 6, last], metal: "none", gap: "none" })]);
    expect(problem.code).toBe("readings-contradict");
    expect(problem.message).toContain("row 5");
  });

  it("a row of another lens height is refused", () => {
    const other = read("settings", {}, {}, { ...truth, focusErrorMm: 6 });
    const mixed = { ...good, readings: good.readings.map((r, i) => (i % 2 ? other.readings[i]! : r)) };
    expect(refusal([mixed]).code).toBe("readings-contradict");
  });

  it("what follows from a reading is told with that reading", () => {
    const [first, last] = whole(5);
    const told = dialIn([but(5, { clear: [first + 2, last] })]);
    for (const { what, read, row } of told.residuals) {
      const { clear } = good.readings[row - 1]!;
      if (row !== 5 && what === "first clear" && clear !== "none") expect(read).toBe(clear![0]);
    }
  });

  it("one bar misread by two is let pass", () => {
    const [first, last] = whole(5);
    expect(refusal([but(5, { clear: [first + 2, last] })]).code).toBe("nothing");
  });

  it("a beam far beyond its profile is told", () => {
    const poor = { ...truth, m2: 3.6 };
    const strips = [read("settings", {}, {}, poor), read("focus", {}, {}, poor, 2)];
    const problem = dialIn(strips).problems.find(({ code }) => code === "figure-beyond-profile");
    expect(problem?.message).toMatch(/rayleighMm|spotUm/);
  });
});
