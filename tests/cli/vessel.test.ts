/** `vessel`: the table, JSON and CSV that say the same, the files, job files and measured profiles, what is refused. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { PNG } from "pngjs";
import { describe, expect, test } from "vitest";
import { readMeasures } from "../../src/job/measures.ts";
import type { VesselProfile } from "../../src/job/profiles.ts";
import { readProfiles } from "../../src/job/profiles.ts";
import type { VesselTable } from "../../src/plan/vesseltable.ts";
import { art, expectRefused, fallaway, folder, running, sharedJson } from "./helpers.ts";

const dir = folder();
const cone = ["--taper", "88,64,110"];

async function tableOf(args: readonly string[]): Promise<VesselTable> {
  const ran = await running(["vessel", ...args, "--json"]);
  expect(ran, args.join(" ")).toMatchObject({ code: 0, err: "" });
  return JSON.parse(ran.out) as VesselTable;
}

describe("the table", () => {
  test("says vessel, pose, lens, focus and printable area, a line for each place, and what the columns mean", async () => {
    const { code, out, err } = await running(["vessel", ...cone, "--vessel-name", "Heron Reach club cup"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toMatch(/^Heron Reach club cup: 88 to 64 mm diameter over 110 mm, 110 mm tall\n/);
    expect(out).toMatch(/pose +levelled: .* axis tilted 6\.2°, rim down\n/);
    expect(out).toMatch(/focus +focal plane [\d.]+ mm below the crown/);
    expect(out).toMatch(/printable +[\d.]+ cm², from 0\.0 to 110\.0 mm below the rim\n/);
    for (const place of ["rim", "placement", "base"]) expect(out).toMatch(new RegExp(`^${place} .*°`, "m"));
    expect(out).toMatch(/taper +of the wall against the axis: positive where it widens toward the rim/);
    expect(out).toMatch(/take care +class 4 laser/);
    expect(out).not.toMatch(/NaN|undefined|Infinity|null/);
  });
  test("says so where the crown stands above the focal plane's depth, with a focus that keeps it", async () => {
    const flat = await running(["vessel", ...cone, "--pose", "axis"]);
    // Half the difference of the radii along half the height: 6 mm.
    expect(flat.out).toMatch(/the crown rises to 6\.0 mm above that point/);
    const focus = /→ --focus ([\d.]+) keeps/.exec(flat.out)![1]!;
    const { rows } = await tableOf([...cone, "--pose", "axis", "--focus", focus]);
    expect(new Set(rows.map((row) => row.printable))).toEqual(new Set(["yes"]));
  });
});

test("columns that no row knows are left out, and without a rim the zone is told along the wall", async () => {
  const { out } = await running(["vessel", "--sphere", "70"]);
  expect(out).not.toMatch(/above base mm|below rim mm/);
  const { printable } = await tableOf(["--sphere", "70"]);
  const told = /from −([\d.]+) to ([\d.]+) mm along the wall from the placement point/.exec(out)!;
  expect(Number(told[1])).toBeCloseTo(-printable.fromMm!, 1);
  expect(Number(told[2])).toBeCloseTo(printable.toMm!, 1);
  const rim = (await running(["vessel", "--diameter", "76.4", "--below-rim", "30"])).out;
  expect(rim).toContain("below rim mm");
  expect(rim).not.toContain("above base mm");
  expect(rim).toContain("reach mm on the vessel");
});

test("a crown that rises a little is kept within the depth, and the words say so", async () => {
  const { out } = await running(["vessel", "--vessel", "waisted-travel-cup"]);
  const { focus, crownRiseMm } = await tableOf(["--vessel", "waisted-travel-cup"]);
  expect(focus.by).toBe("highest");
  expect(out).toContain(
    `as deep as leaves the crown usable where it is highest, ${crownRiseMm.toFixed(1)} mm above that point`,
  );
  expect(out).not.toMatch(/sides only +out of depth|the crown rises to/);
});

test("CSV says the same numbers as the JSON, empty where it has null", async () => {
  for (const args of [cone, ["--sphere", "70"], ["--diameter", "76.4"]]) {
    const { rows } = await tableOf(args);
    const { out } = await running(["vessel", ...args, "--csv"]);
    const [head, ...lines] = out.trimEnd().split("\r\n");
    expect(head!.split(",")).toEqual(Object.keys(rows[0]!));
    expect(lines).toHaveLength(rows.length);
    for (const [i, line] of lines.entries()) {
      const cells = line.split(",");
      Object.values(rows[i]!).forEach((value, k) => {
        expect(cells[k]).toBe(Array.isArray(value) ? value.join(" ") : String(value ?? ""));
      });
    }
  }
});

test("--out writes table and drawing, and standard output says where", () => {
  const out = join(dir, "out");
  const ran = fallaway(["vessel", ...cone, "--out", out]);
  expect(ran).toMatchObject({ code: 0, err: "" });
  const names = ["vessel.csv", "vessel.json", "vessel.png", "vessel.svg"];
  expect(readdirSync(out).sort()).toEqual(names);
  for (const name of names) expect(ran.out).toContain(join(out, name));
  const png = PNG.sync.read(readFileSync(join(out, "vessel.png")));
  expect(png.width).toBeGreaterThanOrEqual(1400);
  // A4 turned: 297 × 210.
  expect(png.width / png.height).toBeCloseTo(297 / 210, 2);
  expect(readFileSync(join(out, "vessel.svg"), "utf8")).not.toMatch(/<text|NaN|undefined|Infinity/);
  const json = fallaway(["vessel", ...cone, "--json"]);
  expect(json.out).toBe(readFileSync(join(out, "vessel.json"), "utf8"));
  expect(fallaway(["vessel", ...cone, "--csv"]).out).toBe(readFileSync(join(out, "vessel.csv"), "utf8"));
});

describe("a file", () => {
  const job = art(
    dir,
    "cup.json",
    JSON.stringify({ vessel: { taperMm: [88, 64, 110], belowRimMm: 30 }, pose: "axis" }),
  );
  const csv = art(
    dir,
    "bottle.csv",
    "height_mm,diameter_mm\n0,70\n20,73\n60,73\n100,73\n140,73\n160,66\n175,52\n190,44\n205,43\n",
  );
  test("may be a job, which options override", async () => {
    const table = await tableOf([job]);
    expect(table.tiltDeg).toBe(0);
    expect(table.rows.find((row) => row.places.includes("placement"))!.belowRimMm).toBe(30);
    expect(await tableOf(["--job", job])).toEqual(table);
    const levelled = await tableOf([job, "--pose", "levelled"]);
    expect(levelled.tiltDeg).toBeCloseTo((-Math.atan(12 / 110) * 180) / Math.PI, 9);
  });
  test("or a measured profile, as CSV and as JSON, which a station's job file may go with", async () => {
    const table = await tableOf([csv]);
    expect(table.shape).toBe("profile");
    expect(table.heightMm).toBe(205);
    expect(await tableOf(["--profile", csv])).toEqual(table);
    const rows = [0, 50, 100].map((heightMm) => ({ heightMm, diameterMm: 60 + heightMm / 10 }));
    const list = art(dir, "list.json", JSON.stringify(rows));
    const grouped = art(dir, "grouped.json", JSON.stringify({ profile: rows }));
    expect(await tableOf([list])).toEqual(await tableOf([grouped]));
    const station = art(dir, "station.json", JSON.stringify({ limits: { usableDepthMm: 2 } }));
    expect((await tableOf([csv, "--job", station])).limits.usableDepthMm).toBe(2);
    expect((await running(["vessel", csv])).out).toMatch(/^bottle\.csv: /);
  });
  test("that cannot be used is refused, with the row", async () => {
    const bad = art(dir, "bad.csv", "height_mm,diameter_mm\n0,70\n20,73\n20,75\n60,73\n");
    expectRefused(await running(["vessel", bad]), /row 3/);
    expectRefused(await running(["vessel", join(dir, "none.csv")]), /none\.csv does not exist/);
    expectRefused(await running(["vessel", job, "--job", job]), /--job/);
    expectRefused(await running(["vessel", csv, "--profile", csv]), /--profile/);
    expectRefused(await running(["vessel", art(dir, "broken.json", '{"vessel": ')]), /is not JSON/);
  });
});

test("what is missing or given twice is refused", async () => {
  expectRefused(await running(["vessel"]), /vessel's size/);
  expectRefused(await running(["vessel", ...cone, "--json", "--csv"]), /--json and --csv/);
  expectRefused(await running(["vessel", ...cone, "--sphere", "70"]), /taper and a sphere/);
  expectRefused(await running(["vessel", "--vessel", "pint"]), /pint-cup/);
});

describe("stored vessels", () => {
  const stored = sharedJson("vessels.json") as VesselProfile[];
  test("are listed, each with its shape", () => {
    const { code, out } = fallaway(["profiles", "vessels"]);
    expect(code).toBe(0);
    for (const { id, name } of stored) expect(out).toMatch(new RegExp(`^${id} .* mm .*${name}$`, "m"));
    expect(out).not.toMatch(/undefined|NaN|field-300/);
    expect(JSON.parse(fallaway(["profiles", "vessels", "--json"]).out)).toEqual(stored);
  });
  test("are generic: ids and names are common words, sources say invented or common practice", () => {
    expect(stored.length).toBeGreaterThanOrEqual(8);
    expect(new Set(stored.map(({ id }) => id)).size).toBe(stored.length);
    for (const one of stored) {
      expect(one.id).toMatch(/^[a-z]+(-[a-z]+)*$/);
      const sources = Object.values(one).flatMap((value) =>
        typeof value === "object" ? [value.source] : [],
      );
      expect(sources.length).toBeGreaterThan(0);
      for (const source of sources)
        expect(source).toMatch(/^(invented|common practice, no published source)$/);
    }
  });
  test("have profiles without a doubtful row, and a table each", async () => {
    for (const { profile } of stored) {
      const rows = (profile?.value ?? []).map((row, i) => ({ ...row, row: i + 1 }));
      if (rows.length > 0) expect(readMeasures(rows).problems).toEqual([]);
    }
    const tables = await Promise.all(stored.map(({ id }) => tableOf(["--vessel", id])));
    for (const { rows, printable } of tables) {
      expect(rows.length).toBeGreaterThanOrEqual(8);
      expect(printable.areaMm2).toBeGreaterThan(500);
    }
  });
  test("with two shapes, none, or heights that fall are no profiles", () => {
    const lists = { lenses: [], sources: [], coatings: [], metals: [] };
    const read = (change: object) => readProfiles({ ...lists, vessels: [{ ...stored[0], ...change }] });
    expect(read({}).vessels).toHaveLength(1);
    const sourced = (value: unknown) => ({ value, source: "invented" });
    expect(() => read({ sphereMm: sourced(70) })).toThrow(/exactly one shape/);
    expect(() => read({ diameterMm: undefined })).toThrow(/exactly one shape/);
    const profile = (heights: readonly number[]) => ({
      diameterMm: undefined,
      heightMm: undefined,
      profile: sourced(heights.map((heightMm) => ({ heightMm, diameterMm: 70 }))),
    });
    expect(read(profile([0, 50, 100])).vessels).toHaveLength(1);
    expect(() => read(profile([0, 50, 50]))).toThrow(/heights rise/);
    expect(() => read(profile([0, 50]))).toThrow();
    expect(() => read({ diameterMm: { value: 76 } })).toThrow();
  });
});
