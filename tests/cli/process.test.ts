/** Settings, coating, layers and column on the command line: what is asked, refused, written and said. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { PNG } from "pngjs";
import { describe, expect, it } from "vitest";
import { art, checked, demo, expectRefused, fallaway, folder, results, running, square } from "./helpers.ts";

const dir = folder();
const piece = art(dir, "square.svg", square);
const cup = ["--diameter", "76.4"];
const shop = [
  "--source",
  "fibre-60",
  "--power",
  "45%",
  "--speed",
  "900",
  "--frequency",
  "50",
  "--pitch",
  "0.025",
];

describe("settings", () => {
  it("are told in the report with every range, and labelled uncalibrated", async () => {
    const report = await checked([piece, ...cup, ...shop, "--coating", "powder-black"]);
    const { process } = report;
    expect(process).toMatchObject({
      calibrated: false,
      coating: "powder-black",
      metal: { id: "steel-brushed", grain: "around" },
      // 45 % of 60 W at 50 kHz; across the grain first, along it last.
      settings: { powerW: 27, powerPercent: 45, anglesDeg: [90, 0], passes: 1, jumpSpeedMmS: 3000 },
      pulseEnergyMj: 0.54,
      pulseSpacingMm: 0.018,
    });
    // F = 2E/(πw₀²) with w₀ of f = 420 mm, D = 7 mm, M² = 1.5: 121.925418804/2 µm (plain double arithmetic).
    const focus = process!.inFocus.peakFluenceJPerCm2;
    expect(focus.value).toBeCloseTo((2 * 0.54e-3) / (Math.PI * (121.925418804e-4 / 2) ** 2), 4);
    expect(focus.low).toBeLessThan(focus.value);
    expect(focus.high).toBeGreaterThan(focus.value);
    expect(process!.profile.length).toBeGreaterThan(10);
    const zones = report.zones.map((z) => z.zone);
    for (const zone of ["clean", "metal", "residue"]) expect(zones).toContain(zone);
    expect(zones).not.toContain("usable");
    expect(report.zones.reduce((sum, z) => sum + z.share, 0)).toBeCloseTo(1, 9);
    const said = (await running(["check", piece, ...cup, ...shop, "--coating", "powder-black"])).out;
    for (const name of ["settings", "time", "pulse", "removal", "metal", "chance", "window"])
      expect(said).toMatch(new RegExp(`^  ${name} `, "m"));
    expect(said).toMatch(/removal +uncalibrated: .* \(.* to .*\)/);
  });

  it("without a coating say nothing of removal; a coating without settings says so", async () => {
    const bare = await checked([piece, ...cup, ...shop]);
    expect(bare.process).toMatchObject({
      coating: null,
      weakest: null,
      share: null,
      chance: null,
      window: [],
    });
    expect(bare.zones.map((z) => z.zone)).toContain("usable");
    expect(bare.reasons.map((r) => r.code)).toContain("settings-without-coating");
    const only = await checked([piece, ...cup, "--coating", "paint-red"]);
    expect(only.process).toBeNull();
    expect(only.reasons.map((r) => r.code)).toContain("coating-without-settings");
  });

  it.each([
    [["--power", "27"], /--power cannot be "27": give watts or percent/],
    [["--power", "45%"], /45 % of which power\?/],
    [["--power", "27 watts"], /--power cannot be/],
    [["--power", "120%"], /--power must be at most 100/],
    [["--power", "0W"], /--power must be at least/],
    [["--source", "fibre-20", "--power", "27W"], /more than the 20 W of the source "fibre-20"/],
    [["--source", "fibre-50", "--frequency", "20"], /outside the 45 to 170 kHz/],
    [["--pitch", "0"], /--pitch must be at least 0.001/],
    [["--passes", "1.5"], /--passes must be a whole number/],
    [["--angles", "90;0"], /--angles cannot be/],
    [["--coating", "red"], /nearest: paint-red, powder-red/],
    [["--coating-thickness", "80"], /not which coating: give --coating/],
    [["--metal", "gold"], /no metal profile "gold"/],
    [["--source", "fibre-45"], /no source profile "fibre-45": nearest/],
    [["--column-travel", "0"], /--column-travel must be at least 1/],
    [["--rest-height", "-1"], /--rest-height must be at least 0/],
  ])("%j is refused in one line", (more, names) => {
    const usual = ["--power", "27W", "--speed", "900", "--frequency", "50", "--pitch", "0.025"];
    expectRefused(fallaway(["check", piece, ...cup, ...usual, ...more]), names);
  });

  it("come together or not at all", () => {
    const ran = fallaway(["check", piece, ...cup, "--power", "27W", "--pitch", "0.03"]);
    expectRefused(ran, /the settings lack --speed, --frequency: give --power, --speed/);
  });

  it("in a job file give way to options; a power in one unit replaces one in the other", async () => {
    const job = art(
      dir,
      "settings.json",
      JSON.stringify({
        vessel: { diameterMm: 76.4 },
        source: { id: "fibre-60", m2: { value: 1.3, low: 1.2, high: 1.4 } },
        settings: { powerPercent: 45, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025, passes: 3 },
        coating: { id: "paint-blue", thicknessUm: 40 },
      }),
    );
    const kept = await checked([piece, "--job", job]);
    expect(kept.process!.settings).toMatchObject({ powerW: 27, passes: 3 });
    expect(kept.head.m2).toBe(1.3);
    const other = await checked([piece, "--job", job, "--power", "12W", "--passes", "1"]);
    expect(other.process!.settings).toMatchObject({ powerW: 12, powerPercent: 20, passes: 1 });
  });

  it("too coarse for the spot are cautions", async () => {
    const codes = async (...more: string[]) =>
      (await checked([piece, ...cup, ...shop, ...more])).reasons.map((r) => r.code);
    expect(await codes("--pitch", "0.2")).toContain("pitch-beyond-spot");
    expect(await codes("--speed", "9000")).toContain("pulses-apart");
    expect(await codes()).not.toContain("pitch-beyond-spot");
  });
});

describe("what the model does not hold is said where the settings go there", () => {
  const codes = async (...more: string[]) =>
    (await checked([piece, ...cup, ...shop, "--coating", "paint-black", ...more])).reasons;
  const find = async (code: string, ...more: string[]) =>
    (await codes(...more)).find((reason) => reason.code === code);

  it("heat: above 1000 J/cm² or 200 kHz a caution names the cause and a way", async () => {
    // D = N P/(v h): 2 · 27 W/(900 · 0.025 mm²/s) is 240 J/cm², five passes 1200.
    expect(await find("heat-builds-up", "--passes", "5")).toMatchObject({
      severity: "caution",
      message: expect.stringMatching(/^a dose of 1200 J\/cm² heats the cup/),
      hint: expect.stringMatching(/fewer --passes/),
    });
    const fast = await find("heat-builds-up", "--frequency", "400");
    expect(fast!.message).toMatch(/^400 kHz heats/);
    expect(fast!.hint).toMatch(/^give a lower --frequency;.*cool/);
    expect(await find("heat-builds-up", "--passes", "4")).toBeUndefined();
    expect(await find("heat-builds-up", "--frequency", "200")).toBeUndefined();
  });

  it("pulses larger than the source gives, and power below a tenth of it", async () => {
    // 27 W at 10 kHz are 2.7 mJ; the profile says 1.5 mJ, which 18 kHz are for.
    const large = await find("pulse-energy-beyond-source", "--frequency", "10");
    expect(large).toMatchObject({ severity: "caution" });
    expect(large!.hint).toMatch(/^give --frequency 18 or more/);
    expect(await find("pulse-energy-beyond-source", "--frequency", "18")).toBeUndefined();
    expect(await find("power-hardly-steady", "--power", "5.9W")).toMatchObject({ severity: "note" });
    expect(await find("power-hardly-steady", "--power", "6W")).toBeUndefined();
  });

  it("no power is suggested that the source does not give steadily, nor before pitch and pulses are in order", async () => {
    const { process } = await checked([piece, ...cup, ...shop, "--coating", "paint-black"]);
    for (const { bestW } of process!.window) if (bestW !== null) expect(bestW).toBeGreaterThanOrEqual(6);
    const stays = (await codes("--pitch", "0.5")).find((r) => r.code === "coating-stays");
    expect(stays!.hint).toMatch(/^first mend the pitch/);
  });
});

describe("hints in the terms of what was asked", () => {
  const crest = demo("crest");
  const hints = async (args: string[], code = 3) =>
    (await checked([crest, ...args], code)).reasons.map((r) => r.hint).join("\n");

  it("a height asked for is mended by a height, so that nothing is stretched", async () => {
    const hint = await hints(["--diameter", "82", "--height", "180"]);
    const height = /give --height ([\d.]+) or less/.exec(hint)![1]!;
    expect(hint).not.toContain("--width");
    const mended = await checked([crest, "--diameter", "82", "--height", height]);
    expect(mended.reasons.filter((r) => r.severity !== "note")).toEqual([]);
  });

  it("another lens is tried at its best focus, and the hint says so where one was given", async () => {
    const given = ["--diameter", "50", "--width", "20", "--column-travel", "530", "--focus", "crown"];
    const lens = /use --lens (\S+) --focus best/.exec(await hints(given))![1]!;
    const mended = await checked([crest, ...given, "--lens", lens, "--focus", "best"]);
    expect(mended.verdict).not.toBe("stop");
  });

  it("where the column sets the focus, the summary's head is what can be set", async () => {
    const args = [
      "check",
      crest,
      "--diameter",
      "82",
      "--width",
      "60",
      "--focus",
      "1",
      "--column-travel",
      "570",
    ];
    const { out } = await running(args);
    // 570 − 82: the stop above the crown.
    expect(out).toMatch(/^ {2}head +lens reference 488\.00 mm above the crown line$/m);
    expect(out).toMatch(
      /^ {2}focus .*5\.00 mm below the crown line, the column's stop \(wanted: 1\.00 mm\)$/m,
    );
    expect(out).toContain("give --focus best, which the column can set");
  });
});

describe("layers", () => {
  it("prepare draws the layer asked for and the sheet, and a run without settings clears the sheet away", async () => {
    const out = join(dir, "layers");
    const common = ["prepare", demo("crest"), "--out", out, "--diameter", "82", "--width", "50"];
    const ran = await running([...common, ...shop, "--coating", "powder-red", "--layer", "removal"]);
    expect(ran.code, ran.err).toBe(0);
    const files = readdirSync(out).sort();
    expect(files).toHaveLength(6);
    expect(files).toContain("heron-reach-crest.layers.png");
    const sheet = PNG.sync.read(readFileSync(join(out, "heron-reach-crest.layers.png")));
    expect(sheet.width).toBe(1600);
    const kinds = results(out).report.files.map((f) => f.kind);
    expect(kinds).toEqual(["warped", "heatmap", "layers", "zones", "job"]);
    // The job file repeats the run, ranges and all.
    const again = join(dir, "again");
    const job = join(out, "heron-reach-crest.job.json");
    expect((await running(["prepare", "--job", job, "--out", again, "--layer", "removal"])).code).toBe(0);
    for (const name of ["heatmap.png", "layers.png", "zones.svg", "warped.svg"]) {
      const [one, two] = [out, again].map((d) => readFileSync(join(d, `heron-reach-crest.${name}`)));
      expect(one!.equals(two!), name).toBe(true);
    }
    expect((await running(common)).code).toBe(0);
    expect(existsSync(join(out, "heron-reach-crest.layers.png"))).toBe(false);
  });

  it.each([
    [["--layer", "heat"], /must be one of "falloff", "dose", "removal", "metal"/],
    [["--layer", "dose"], /--layer dose needs the settings/],
    [[...shop, "--layer", "removal"], /--layer removal needs the coating/],
  ])("%j is refused before anything is written", (more, names) => {
    const out = join(dir, "none");
    expectRefused(fallaway(["prepare", piece, ...cup, "--out", out, ...more]), names, out);
  });
});

describe("column", () => {
  // Common practice, no published source: at a focal distance of 457 mm a 76.4 mm vessel cannot be focused on a
  // 500 mm column and can on one of 800 mm.
  const long = [piece, ...cup, "--working-distance", "457"];
  it("457 mm above a 76.4 mm vessel: not on 500 mm, but on 800 mm", async () => {
    const short = await checked([...long, "--column-travel", "500"], 3);
    const { neededMm, shortMm, atStop } = short.column;
    expect(neededMm).toBeCloseTo(457 + 76.4 - short.focus.belowCrownMm, 6);
    expect(shortMm).toBeCloseTo(neededMm - 500, 6);
    expect(atStop!.belowCrownMm).toBeCloseTo(short.focus.belowCrownMm + shortMm!, 6);
    expect(short.focus.plannedMm).toBe(atStop!.belowCrownMm);
    expect(atStop!.crownDefocusMm).toBeCloseTo(-atStop!.belowCrownMm, 9);
    expect(short.reasons[0]).toMatchObject({ code: "column-too-short", severity: "stop" });
    const tall = await checked([...long, "--column-travel", "800"]);
    expect(tall.column).toMatchObject({ shortMm: 0, travelMm: 800, atStop: null });
    expect(tall.reasons.map((r) => r.code)).not.toContain("column-too-short");
  });

  it("a rest lifts the vessel; without --column-travel nothing is concluded", async () => {
    const low = await checked(long);
    const high = await checked([...long, "--rest-height", "30"]);
    expect(high.column.neededMm - low.column.neededMm).toBeCloseTo(30, 9);
    expect(low.column).toMatchObject({ travelMm: null, shortMm: null, atStop: null });
  });
});
