/** `reach`: the table, JSON and CSV that say the same, the files, a job's own lens, and what is refused. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { PNG } from "pngjs";
import { describe, expect, test } from "vitest";
import type { LensProfile } from "../../src/job/profiles.ts";
import type { ReachRow } from "../../src/plan/reachtable.ts";
import { art, expectRefused, fallaway, folder, running, sharedJson } from "./helpers.ts";

const dir = folder();
const cup = ["--diameter", "76.4"];
const ids = (sharedJson("lenses.json") as LensProfile[]).map((l) => l.id);

async function rowsOf(args: readonly string[]): Promise<ReachRow[]> {
  const ran = await running(["reach", ...args, "--json"]);
  expect(ran, args.join(" ")).toMatchObject({ code: 0, err: "" });
  return JSON.parse(ran.out) as ReachRow[];
}

/** RFC 4180 without its quoting of line breaks. */
function parseCsv(text: string): Record<string, string>[] {
  expect(text.endsWith("\r\n")).toBe(true);
  const [head, ...lines] = text
    .slice(0, -2)
    .split("\r\n")
    .map((one) => [...one.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map((m) => m[1]!).slice(0, 10));
  return lines.map((cells) => Object.fromEntries(head!.map((name, i) => [name, cells[i]!])));
}

describe("JSON", () => {
  test("is one row for each lens with exactly these keys", async () => {
    const rows = await rowsOf([...cup, "--column-travel", "800"]);
    expect(rows.map((r) => r.lens)).toEqual(ids);
    for (const row of rows) {
      expect(Object.keys(row)).toEqual([
        ...["lens", "fieldMm", "waistDiameterMm", "depthOfFocusMm", "bestFocusMm"],
        ...["reachMm", "limitedBy", "falloffRatio", "column"],
      ]);
      expect(Object.keys(row.column)).toEqual(["neededMm", "shortMm"]);
      expect(row.column.shortMm).toBe(0);
    }
  });
  test("of a circumference is that of the diameter; options have their effect", async () => {
    const rows = await rowsOf(cup);
    const girth = await rowsOf(["--circumference", String(Math.PI * 76.4)]);
    expect(girth.map((r) => r.reachMm.toFixed(6))).toEqual(rows.map((r) => r.reachMm.toFixed(6)));
    expect(rows[0]!.column.shortMm).toBeNull();
    const seen = await rowsOf([...cup, "--fidelity", "sight", "--usable-depth", "3"]);
    // Height of a circular segment, Machinery's Handbook, 31st ed., p. 79.
    for (const { reachMm } of seen) expect(reachMm).toBeCloseTo(76.4 * Math.sin(Math.acos(1 - 6 / 38.2)), 8);
    const steep = await rowsOf([...cup, "--usable-depth", "30", "--max-incidence", "40", "--axis", "x"]);
    expect(new Set(steep.map((r) => r.limitedBy))).toEqual(new Set(["incidence"]));
    // The depth of focus is the beam's, whatever depth is called usable: 2 z_R = 8 M² λ f²/(π D²), ISO 11146-1.
    expect(steep.map((r) => r.depthOfFocusMm)).toEqual(rows.map((r) => r.depthOfFocusMm));
    const finer = await rowsOf([...cup, "--source", "fibre-60", "--m2", "1.2"]);
    expect(finer[0]!.depthOfFocusMm).toBeCloseTo((rows[0]!.depthOfFocusMm * 1.2) / 1.5, 9);
  });
});

test("CSV says the same numbers, units in its names, empty where JSON has null", async () => {
  for (const more of [[], ["--column-travel", "400", "--rest-height", "20"]]) {
    const rows = await rowsOf([...cup, ...more]);
    const ran = await running(["reach", ...cup, ...more, "--csv"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    const parsed = parseCsv(ran.out).map(
      ({ columnNeededMm, columnShortMm, lens, limitedBy, ...numbers }) => ({
        lens,
        limitedBy,
        ...Object.fromEntries(Object.entries(numbers).map(([key, text]) => [key, Number(text)])),
        column: {
          neededMm: Number(columnNeededMm),
          shortMm: columnShortMm === "" ? null : Number(columnShortMm),
        },
      }),
    );
    expect(parsed).toEqual(rows);
  }
});

describe("the table", () => {
  test("names vessel and source, has a row for each lens, then what it means and care", async () => {
    const { code, out, err } = await running(["reach", ...cup, "--source", "fibre-60"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toMatch(/^vessel 76\.4 mm diameter, 240\.0 mm around; source fibre-60, 1064 nm/);
    const rows = out.split("\n").filter((l) => l.startsWith("field-"));
    expect(rows.map((l) => l.split(" ")[0])).toEqual(ids);
    for (const row of rows) expect(row).toMatch(/depth +\d+ % +—$/);
    expect(out).toMatch(/lens +the profiles' figures are generic: give your lens's own/);
    expect(out).toMatch(/take care +class 4 laser .*closed enclosure, eyewear for 1064 nm/);
    expect(out).not.toMatch(/NaN|undefined|Infinity/);
  });
  test("never promises more than the reach", async () => {
    const rows = await rowsOf(cup);
    const { out } = await running(["reach", ...cup]);
    const said = out.split("\n").flatMap((l) => /^field-.* ([\d.]+) +depth/.exec(l)?.[1] ?? []);
    for (const [i, { reachMm }] of rows.entries()) {
      expect(reachMm - Number(said[i])).toBeGreaterThanOrEqual(0);
      expect(reachMm - Number(said[i])).toBeLessThan(0.1);
    }
  });
});

describe("a job file", () => {
  // Common practice, no published source: a long lens of 457 mm working distance is out of a short column's reach.
  const own = art(
    dir,
    "crew-cups.json",
    JSON.stringify({ vessel: { diameterMm: 76.4 }, lens: { id: "field-300", workingDistanceMm: 457 } }),
  );
  test("its own lens figures stand in that lens's row alone; the column is short of 500 mm, not of 800", async () => {
    const [rows, usual] = [await rowsOf(["--job", own]), await rowsOf(cup)];
    expect(rows.slice(0, -1)).toEqual(usual.slice(0, -1));
    const { column, ...rest } = rows.at(-1)!;
    expect(rest).toEqual((({ column: _, ...r }) => r)(usual.at(-1)!));
    expect(column.neededMm).toBeCloseTo(457 + 76.4 - rest.bestFocusMm, 9);
    const short = await running(["reach", "--job", own, "--column-travel", "500"]);
    expect(short.out).toMatch(/field-300 .* 2\d\.\d mm short\n/);
    expect(short.out).toMatch(/lens +field-300 by the job's own figures/);
    const tall = await running(["reach", "--job", own, "--column-travel", "800"]);
    expect(tall.out).toMatch(/field-300 .* tall enough\n/);
  });
  test("options win over it", async () => {
    expect(await rowsOf(["--job", own, "--diameter", "90"])).not.toEqual(await rowsOf(["--job", own]));
  });
});

test("--out writes table and chart, and standard output says where", () => {
  const out = join(dir, "out");
  const ran = fallaway(["reach", ...cup, "--column-travel", "800", "--out", out]);
  expect(ran).toMatchObject({ code: 0, err: "" });
  const names = ["reach.csv", "reach.json", "reach.png", "reach.svg"];
  expect(readdirSync(out).sort()).toEqual(names);
  for (const name of names) expect(ran.out).toContain(join(out, name));
  const png = PNG.sync.read(readFileSync(join(out, "reach.png")));
  expect([png.width, png.height]).toEqual([1200, 800]);
  const svg = readFileSync(join(out, "reach.svg"), "utf8");
  expect(svg).not.toMatch(/<text|NaN|undefined|Infinity/);
  const json = fallaway(["reach", ...cup, "--column-travel", "800", "--out", out, "--json"]);
  expect(json.out).toBe(readFileSync(join(out, "reach.json"), "utf8"));
  const csv = fallaway(["reach", ...cup, "--column-travel", "800", "--csv"]);
  expect(csv.out).toBe(readFileSync(join(out, "reach.csv"), "utf8"));
});

describe("any vessel", () => {
  test.concurrent.each(["1", "2000"])("%s mm", async (diameter) => {
    const out = join(dir, `vessel-${diameter}`);
    const ran = await running(["reach", "--diameter", diameter, "--column-travel", "800", "--out", out]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    expect(ran.out).not.toMatch(/NaN|undefined|Infinity/);
    expect(readFileSync(join(out, "reach.json"), "utf8")).not.toMatch(/null/);
    expect(readFileSync(join(out, "reach.svg"), "utf8")).not.toMatch(/NaN|undefined|Infinity/);
  });
});

describe("refused, in one line, with nothing written", () => {
  const out = join(dir, "refused");
  const broken = art(dir, "broken.json", "{");
  test.concurrent.each([
    [[], /the vessel's size is not given/],
    [[...cup, "--json", "--csv"], /both --json and --csv are given: give one/],
    [[...cup, "--lens", "field-70"], /unknown option '--lens'/],
    [[...cup, "--field", "100"], /unknown option '--field'/],
    [[...cup, "--working-distance", "457"], /unknown option '--working-distance'/],
    [["--diameter", "cup"], /--diameter cannot be "cup"/],
    [["--diameter", "0.5"], /--diameter must be at least 1/],
    [[...cup, "--source", "fibre-61"], /there is no source profile "fibre-61"/],
    [[...cup, "--job", broken], /broken\.json is not JSON/],
    [[...cup, "--job", join(dir, "none.json")], /none\.json does not exist/],
    [[...cup, "crest.svg"], /too many arguments/],
  ] as const)("%j", async (args, names) => {
    expectRefused(await running(["reach", ...args, "--out", out]), names, out);
  });
  test("a folder that is a file", () => {
    expectRefused(fallaway(["reach", ...cup, "--out", broken]), /broken\.json cannot be written/);
    expectRefused(fallaway(["reach", ...cup, "--out", ""]), /--out is empty/);
  });
});

test("--help offers what matters and no lens", async () => {
  const { code, out } = await running(["reach", "--help"]);
  expect(code).toBe(0);
  for (const option of ["--diameter", "--column-travel", "--rest-height", "--source", "--usable-depth"])
    expect(out).toContain(option);
  for (const option of ["--job", "--json", "--csv", "--out", "--max-incidence", "--fidelity", "--axis"])
    expect(out).toContain(option);
  expect(out).not.toMatch(/--lens|--pivot|--focal-length|--field|--working-distance|--width|--power|--ink/);
});
