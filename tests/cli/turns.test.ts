/** Other vessels, poses and several turns through the command line, as a shop would ask for them. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { Report } from "../../src/plan/report.ts";
import { demo, folder, running as run } from "./helpers.ts";

const crest = demo("crest");
const wrap = demo("wrap");
const report = (dir: string, name: string): Report =>
  JSON.parse(readFileSync(join(dir, `${name}.report.json`), "utf8")) as Report;

describe("a band around the whole cup", () => {
  const dir = folder();
  const args = ["--diameter", "76.4", "--width", "240.018", "--turns", "auto", "--no-pictures"];
  let said = "";
  beforeAll(async () => {
    const done = await run(["prepare", wrap, ...args, "--out", dir]);
    expect(done.code).toBe(0);
    said = done.out;
  });

  it("one file of marks for each turn, listed with its index", () => {
    const { turns, closing, seams, verdict } = report(dir, "heron-reach-wrap");
    expect(verdict).not.toBe("stop");
    expect(turns.map((t) => t.index)).toEqual([1, 2, 3, 4]);
    // A quarter turn each; a quarter of the girth by tape: 76.4 π/4 = 60.004 mm.
    for (const turn of turns.slice(1)) {
      expect(turn.stepDeg).toBeCloseTo(90, 3);
      expect(turn.stepArcMm).toBeCloseTo(60.004, 2);
    }
    for (const turn of turns) {
      expect(turn.files).toEqual([`heron-reach-wrap.turn-${turn.index}.warped.svg`]);
      expect(existsSync(join(dir, turn.files[0]!))).toBe(true);
      expect(turn.indexArcMm).toBeCloseTo((turn.indexAngleDeg / 360) * Math.PI * 76.4, 4);
      expect(turn.toMm).toBeGreaterThan(turn.fromMm);
      expect(turn.verdict).toBe("usable");
    }
    expect(Math.abs(closing!.errorMm)).toBeLessThan(0.001);
    // The waves go through every seam: two of them, 1.2 mm tall and thinner across where they slope.
    for (const { inkMm } of seams) {
      expect(inkMm).toBeGreaterThan(1.5);
      expect(inkMm).toBeLessThan(4);
    }
  });

  it("the summary has the index table and what to load", () => {
    expect(said).toMatch(/turn 1 {4,}index -135\.00°, -90\.01 mm on the girth/);
    expect(said).toMatch(/turn 4 .*90\.00°, 60\.00 mm on from the turn before/);
    expect(said).toContain("first and last meet");
    expect(said).toContain("heron-reach-wrap.turn-3.warped.svg");
  });

  it("the written job repeats the run byte for byte", async () => {
    const again = join(dir, "again");
    const done = await run([
      "prepare",
      "--job",
      join(dir, "heron-reach-wrap.job.json"),
      "--no-pictures",
      "--out",
      again,
    ]);
    expect(done.code).toBe(0);
    for (const name of readdirSync(dir).filter((n) => n.endsWith(".svg")))
      expect(readFileSync(join(again, name), "utf8")).toBe(readFileSync(join(dir, name), "utf8"));
  });

  it("a run of fewer turns leaves no files of the turns before", async () => {
    await run(["prepare", wrap, "--diameter", "76.4", "--width", "60", "--no-pictures", "--out", dir]);
    expect(readdirSync(dir).filter((name) => name.endsWith(".svg"))).toEqual(["heron-reach-wrap.warped.svg"]);
    expect(report(dir, "heron-reach-wrap").turns.map((t) => t.indexAngleDeg)).toEqual([0]);
  });
});

const here = folder();
const measured = join(here, "cup.csv");
writeFileSync(measured, "height_mm,diameter_mm\n0,62\n40,70.5\n80,79.2\n110,84\n");

describe("vessels, fidelities and poses", () => {
  it.each([
    ["cone", ["--taper", "88,64,110"]],
    ["cone", ["--taper", "64,88,110", "--fidelity", "sheet", "--pose", "axis"]],
    ["cone", ["--taper", "88,64,110", "--fidelity", "true-width", "--pose", "-3"]],
    ["sphere", ["--sphere", "90", "--fidelity", "sight", "--viewing-distance", "500"]],
    ["profile", ["--profile", measured, "--fidelity", "true-width"]],
    ["cylinder", ["--diameter", "76.4", "--fidelity", "sheet"]],
  ])("%s %j", async (kind, args) => {
    const done = await run(["check", crest, "--width", "32", ...args, "--json"]);
    expect(done.err).toBe("");
    expect(done.code).toBe(0);
    const { vessel, distortion, zones, fit } = JSON.parse(done.out) as Report;
    expect(vessel.kind).toBe(kind);
    expect(fit.certifiedErrorMm).toBeLessThanOrEqual(0.002);
    expect(zones.find((z) => z.zone === "usable")!.share).toBe(1);
    if (args.includes("sheet")) {
      expect(distortion.largestStretch).toBeCloseTo(1, 9);
      expect(distortion.smallestStretch).toBeCloseTo(1, 9);
    }
    if (args.includes("true-width")) expect(distortion.largestArea).toBeCloseTo(1, 9);
  });

  it("a stored vessel, its placement point where the profile says", async () => {
    const done = await run(["check", crest, "--width", "32", "--vessel", "tapered-tumbler", "--json"]);
    expect((JSON.parse(done.out) as Report).vessel).toMatchObject({
      kind: "cone",
      taperMm: [88, 66, 165],
      belowRimMm: 65,
    });
  });

  it("levelling a long tapered job that lies is told with its angle", async () => {
    const lying = ["check", crest, "--width", "50", "--taper", "88,64,110", "--pose", "lying"];
    const done = await run(lying);
    expect(done.code).toBe(3);
    // Twice the wall's angle, atan(12/110) = 6.226°: the rim goes down by it.
    expect(done.out).toMatch(/lower the rim by 12\.5°, and all of it is within the limits/);
    expect((await run([...lying.slice(0, -1), "levelled"])).code).toBe(0);
  });

  it("ink on a blocked area is a stop and a zone of its own", async () => {
    const dir = join(here, "blocked");
    const done = await run([
      ...["prepare", crest, "--width", "50", "--diameter", "76.4", "--out", dir, "--no-pictures"],
      ...["--blocked", "handle,20,60", "rivet,-5,5,40,60", "--below-rim", "50"],
    ]);
    expect(done.code).toBe(3);
    expect(done.out).toMatch(/lies on what is blocked \(handle, 40° around; rivet, 10° around\)/);
    expect(readFileSync(join(dir, "heron-reach-crest.warped.svg"), "utf8")).toContain('id="blocked"');
  });
});

describe("what cannot be is said in one line", () => {
  it.each([
    [["--sphere", "80", "--fidelity", "sheet"], /no flat sheet covers a sphere without stretch/],
    [["--profile", measured, "--fidelity", "sheet"], /no flat sheet covers a wall that curves both ways/],
    [["--taper", "88,64"], /--taper takes three numbers/],
    [["--taper", "300,20,30"], /leans 78° from the axis/],
    [["--taper", "88,64,110", "--diameter", "80"], /both a diameter and a taper/],
    [["--taper", "88,64,110", "--below-rim", "120"], /120 mm below the rim of a vessel 110 mm tall/],
    [["--sphere", "80", "--below-rim", "10"], /a sphere has no rim/],
    [["--diameter", "80", "--turns", "0"], /--turns must be/],
    [["--diameter", "80", "--turns", "2.5"], /--turns must be/],
    [["--diameter", "80", "--turns", "some"], /--turns cannot be "some"/],
    [["--diameter", "80", "--turns", "2", "--fidelity", "sight"], /one straight-on view/],
    [["--diameter", "80", "--pose", "90"], /--pose must be/],
    [["--diameter", "80", "--blocked", "handle"], /--blocked cannot be "handle"/],
    [["--diameter", "80", "--blocked", "ring,0,90,10,20"], /where the rim is is not known/],
    [
      ["--diameter", "80", "--below-rim", "50", "--blocked", "ring,0,90,20,10"],
      /begins 20 mm and ends 10 mm/,
    ],
    [["--vessel", "tapered-tumbler-2"], /there is no vessel profile "tapered-tumbler-2"/],
    [["--profile", wrap], /heron-reach-wrap\.svg/],
  ])("%j", async (args, words) => {
    const done = await run(["check", crest, "--width", "30", ...args]);
    expect(done.code).toBe(2);
    expect(done.err).toMatch(words);
    expect(done.err.trim().split("\n")).toHaveLength(1);
  });
});
