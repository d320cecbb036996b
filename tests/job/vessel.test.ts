/** The vessel's shape in a job: four ways to say it, which one wins, what it leaves behind. */
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { readJobFile, resolveJob } from "../../src/job/resolve.ts";
import { bedOf, diameterOf, outlineOf } from "../../src/plan/body.ts";
import { JobError } from "../../src/problem.ts";
import { profiles } from "../support/profiles.ts";

type Vessel = NonNullable<JobFile["vessel"]>;
const resolved = (file: Vessel, options: Vessel = {}) =>
  resolveJob({ vessel: file }, { vessel: options }, profiles).vessel;
const code = (file: Vessel, options: Vessel = {}): string => {
  try {
    resolved(file, options);
  } catch (error) {
    if (error instanceof JobError) return error.problem.code;
    throw error;
  }
  return "none";
};

const measured = [0, 40, 80, 110].map((heightMm, i) => ({ heightMm, diameterMm: 62 + 8 * i }));
const shapes: [string, Vessel, Partial<Vessel>][] = [
  ["cylinder", { diameterMm: 80 }, { diameterMm: 80 }],
  ["circumference", { circumferenceMm: 80 * Math.PI }, { diameterMm: 80 }],
  ["cone", { taperMm: [88, 64, 110] }, { taperMm: [88, 64, 110], heightMm: 110, belowRimMm: 55 }],
  ["sphere", { sphereMm: 70 }, { sphereMm: 70 }],
  ["profile", { profile: measured }, { profile: measured, heightMm: 110, belowRimMm: 55 }],
];

describe.each(shapes)("%s", (_, asked, wanted) => {
  it("is resolved, with its ends where it has some", () => {
    expect(resolved(asked)).toEqual(wanted);
  });

  it("resolved again it is the same", () => {
    const once = resolveJob({ vessel: asked }, {}, profiles);
    const file = readJobFile(JSON.parse(JSON.stringify(once)), "the written job");
    expect(resolveJob(file, {}, profiles)).toEqual(once);
  });

  it.each(shapes)("leaves every other shape's measures behind: over %s", (_name, before) => {
    expect(resolved(resolved(before) as Vessel, asked)).toEqual(wanted);
  });

  it("over a stored vessel too", () => {
    const { id: _id, ...stored } = resolved({ id: "slim-can" });
    expect(resolved({ id: "slim-can", ...stored } as Vessel, asked)).toMatchObject(wanted);
  });

  it("twice is refused", () => {
    expect(code({ ...asked, ...(asked.sphereMm ? { diameterMm: 50 } : { sphereMm: 50 }) })).toBe(
      "vessel-twice",
    );
    expect(code({}, { id: "slim-can", ...asked })).toBe("vessel-twice");
  });
});

it("a cylinder's ends stay when it is measured anew", () => {
  expect(resolved({ diameterMm: 80, heightMm: 120, belowRimMm: 50 }, { circumferenceMm: 250 })).toEqual({
    diameterMm: 250 / Math.PI,
    heightMm: 120,
    belowRimMm: 50,
  });
});

it("what cannot be has its own code", () => {
  expect(code({})).toBe("vessel-missing");
  expect(code({ taperMm: [88, 64, 110], heightMm: 120 })).toBe("vessel-height-twice");
  expect(code({ taperMm: [88, 64, 110], belowRimMm: 111 })).toBe("placement-below-base");
  expect(code({ taperMm: [300, 20, 30] })).toBe("taper-too-steep");
  expect(code({ sphereMm: 80, heightMm: 80 })).toBe("sphere-without-rim");
  expect(code({ profile: measured, heightMm: 100 })).toBe("vessel-height-low");
  expect(code({ profile: measured, heightMm: 130, belowRimMm: 5 })).toBe("placement-off-profile");
  expect(code({ profile: measured.slice(0, 2) })).toBe("profile-short");
});

describe("on the bed", () => {
  it("the placement point's diameter: half way down a taper the mean", () => {
    expect(diameterOf(resolved({ taperMm: [88, 64, 110] }))).toBeCloseTo(76, 12);
    expect(diameterOf(resolved({ taperMm: [88, 64, 110], belowRimMm: 110 }))).toBeCloseTo(64, 12);
    expect(outlineOf(resolved({ sphereMm: 70 })).radius).toBe(35);
  });

  it("a tilted straight cup stands on its edge: 80 sin 20° + 76 cos 20° = 98.8 mm below its crown", () => {
    const vessel = resolved({ diameterMm: 76, heightMm: 140, belowRimMm: 60 });
    const high = 80 * Math.sin((20 * Math.PI) / 180) + 76 * Math.cos((20 * Math.PI) / 180);
    expect(bedOf({ vessel, pose: 20 }).standsMm).toBeCloseTo(high, 9);
    expect(bedOf({ vessel, pose: "lying" }).standsMm).toBeCloseTo(76, 12);
  });

  it("a taper that lies touches the bed all along: the crown stands its diameter across the wall above", () => {
    // The lower line is level: from it to the crown at the placement point, at right angles to it, is 2 r cos α.
    const vessel = resolved({ taperMm: [88, 64, 110] });
    const alpha = Math.atan(12 / 110);
    expect(bedOf({ vessel, pose: "lying" }).standsMm).toBeCloseTo(76 * Math.cos(alpha), 9);
  });
});
