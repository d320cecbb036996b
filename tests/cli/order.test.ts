/** The options about the order and the vessel: what goes into the job, what is refused, what the vessel's ends say. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import type { CoatingProfile } from "../../src/job/profiles.ts";
import {
  art,
  checked,
  demo,
  expectRefused,
  fallaway,
  folder,
  page,
  prepared,
  running,
  sharedJson,
  theFile,
} from "./helpers.ts";

const dir = folder();
// 20 mm around, 10 mm along.
const bar = art(dir, "bar.svg", page('<rect id="bar" x="10" y="10" width="20" height="10"/>'));
const cup = ["--diameter", "82"];

const order = [
  ...["--job-name", "Crest for the eight", "--customer", "Heron Reach", "--revision", "B"],
  ...["--quantity", "24", "--date", "2026-11-26"],
];
const vessel = [
  ...["--vessel-height", "120.5", "--below-rim", "60", "--handle-at", "-90", "--seam-at", "270"],
  ...["--vessel-name", "tumbler, 590 ml", "--coating-colour", "#A1C", "--gloss", "85"],
];
const said = {
  order: {
    name: "Crest for the eight",
    customer: "Heron Reach",
    revision: "B",
    quantity: 24,
    date: "2026-11-26",
  },
  // CSS Color 4, 5.2: #A1C is #AA11CC.
  vessel: {
    diameterMm: 82,
    name: "tumbler, 590 ml",
    heightMm: 120.5,
    belowRimMm: 60,
    handleDeg: -90,
    seamDeg: -90,
    colour: "#aa11cc",
    gloss: 85,
  },
};
const jobText = (folder: string): string => readFileSync(join(folder, theFile(folder, ".job.json")), "utf8");

describe("the written job", () => {
  test.concurrent("holds every field and repeats the run byte for byte", async () => {
    const [first, again] = [join(dir, "first"), join(dir, "again")];
    await prepared(bar, first, [...cup, ...order, ...vessel]);
    expect(JSON.parse(jobText(first))).toMatchObject(said);
    const job = join(first, theFile(first, ".job.json"));
    const ran = await running(["prepare", "--job", job, "--out", again, "--no-pictures"]);
    expect(ran).toMatchObject({ code: 0, err: "" });
    for (const end of [".job.json", ".report.json", ".warped.svg"])
      expect(readFileSync(join(again, theFile(again, end)), "utf8"), end).toBe(
        readFileSync(join(first, theFile(first, end)), "utf8"),
      );
  });

  test.concurrent("takes options over its fields, each by itself, and writes them in one order", async () => {
    const out = join(dir, "over");
    const file = art(dir, "over.job.json", JSON.stringify({ order: said.order, vessel: said.vessel }));
    const now = ["--revision", "C", "--date", "2026-12-01", "--gloss", "0", "--below-rim", "55.5"];
    await prepared(bar, out, ["--job", file, ...now]);
    const job = JSON.parse(jobText(out));
    expect(job.order).toEqual({ ...said.order, revision: "C", date: "2026-12-01" });
    expect(job.vessel).toEqual({ ...said.vessel, gloss: 0, belowRimMm: 55.5 });
    expect(Object.keys(job.vessel)).toEqual(Object.keys(said.vessel));
    expect(Object.keys(job.order)).toEqual(Object.keys(said.order));
  });

  test.concurrent("looks as the coating's profile says, and another coating brings its own look", async () => {
    const look = (id: string) =>
      (sharedJson("coatings.json") as CoatingProfile[]).find((c) => c.id === id)!.look;
    const [black, red] = [join(dir, "black"), join(dir, "red")];
    await prepared(bar, black, [...cup, "--coating", "powder-black"]);
    expect(JSON.parse(jobText(black)).vessel).toEqual({
      diameterMm: 82,
      colour: look("powder-black").colour,
      gloss: look("powder-black").gloss,
    });
    await prepared(bar, red, [
      "--job",
      join(black, "bar.job.json"),
      "--coating",
      "paint-red",
      "--gloss",
      "12",
    ]);
    expect(JSON.parse(jobText(red)).vessel).toEqual({
      diameterMm: 82,
      colour: look("paint-red").colour,
      gloss: 12,
    });
  });

  test.concurrent("holds texts on one line", async () => {
    const out = join(dir, "lines");
    await prepared(bar, out, [...cup, "--customer", " Heron\r\n Reach\t", "--vessel-name", "cafe\u0301 cup"]);
    expect(JSON.parse(jobText(out))).toMatchObject({
      order: { customer: "Heron Reach" },
      vessel: { name: "caf\u00e9 cup" },
    });
  });
});

describe("what is refused, in the option's terms", () => {
  const date = (text: string, why: string): readonly [string, string, string] => [
    "--date",
    text,
    `--date must be ${why}, found "${text}": see --help`,
  ];
  test.concurrent.each([
    date("26.11.2026", "a day of the form YYYY-MM-DD"),
    date("tomorrow", "a day of the form YYYY-MM-DD"),
    date("2026-02-30", "a day that the calendar has"),
    date("2027-02-29", "a day that the calendar has"),
    [
      "--coating-colour",
      "black",
      '--coating-colour must be a colour of the form #rrggbb, found "black": see --help',
    ],
    [
      "--coating-colour",
      "#ggg",
      '--coating-colour must be a colour of the form #rrggbb, found "#ggg": see --help',
    ],
    ["--gloss", "101", "--gloss must be at most 100, found 101: see --help"],
    ["--gloss", "-1", "--gloss must be at least 0, found -1: see --help"],
    ["--gloss", "matt", '--gloss cannot be "matt": give a plain number of gloss units, without a unit'],
    ["--quantity", "2.5", '--quantity must be a whole number, found "2.5": as in --quantity 24'],
    ["--quantity", "a dozen", '--quantity must be a whole number, found "a dozen": as in --quantity 24'],
    ["--quantity", "0", "--quantity must be at least 1, found 0: see --help"],
    ["--quantity", "1000001", "--quantity must be at most 1000000, found 1000001: see --help"],
    ["--customer", "", '--customer must not be empty, found "": see --help'],
    ["--job-name", " \n ", '--job-name must not be empty, found " \\n ": see --help'],
    ["--revision", "\u200b", '--revision must not be empty, found "\u200b": see --help'],
    ["--handle-at", "361", "--handle-at must be at most 360, found 361: it is in degrees; see --help"],
    ["--seam-at", "90°", '--seam-at cannot be "90°": give a plain number of degrees, without a unit'],
    ["--below-rim", "4,5", '--below-rim cannot be "4,5": write a point for the comma: 4.5'],
    ["--vessel-height", "0", "--vessel-height must be at least 1, found 0: it is in mm; see --help"],
  ] as const)("%s %j", async (option, value, message) => {
    const ran = await running(["check", bar, ...cup, option, value]);
    expectRefused(ran, /./);
    expect(ran.err).toBe(`fallaway: ${message}\n`);
  });

  test.concurrent("a placement point below the base", async () => {
    const ran = await running(["check", bar, ...cup, "--vessel-height", "100", "--below-rim", "110"]);
    expectRefused(ran, /110 mm below the rim of a vessel 100 mm tall/);
  });
});

describe("the vessel's ends", () => {
  const crest = [demo("crest"), ...cup, "--width", "50"];
  test.concurrent("ink beyond the rim is a stop, said with what to do, and doing it makes the job ready", async () => {
    const args = [bar, ...cup, "--at", "-1.5,0", "--below-rim", "3", "--vessel-height", "100"];
    const { reasons } = await checked(args, 3);
    expect(reasons).toEqual([
      {
        code: "ink-beyond-rim",
        severity: "stop",
        message: "ink reaches 2.0 mm beyond the rim: bar",
        where: expect.objectContaining({ id: "bar" }),
        hint: "move it 22.0 mm down with --at -1.5,22, which leaves the upper 20 mm free",
      },
    ]);
    const moved = [bar, ...cup, "--at", "-1.5,22", "--below-rim", "3", "--vessel-height", "100"];
    expect(await checked(moved)).toMatchObject({ verdict: "ready", reasons: [] });
  });

  test.concurrent("cautions leave the exit code at 0 and stand in the summary", async () => {
    const { code, out } = await running(["check", ...crest, "--below-rim", "40", "--seam-at", "0"]);
    expect(code, out).toBe(0);
    expect(out).toMatch(/^CAUTION\n/);
    expect(out).toMatch(/caution +ink begins \d+\.\d mm below the rim/);
    expect(out).toMatch(/caution +ink lies on the seam's middle line, which is the crown line/);
  });
});

test("--help has the vessel's places beside its size, words and order last", () => {
  const { out } = fallaway(["prepare", "--help"]);
  const places = [
    ...[
      "--diameter",
      "--circumference",
      "--vessel-height",
      "--below-rim",
      "--handle-at",
      "--seam-at",
      "--width",
    ],
    ...["--tolerance", "--vessel-name", "--coating-colour", "--gloss"],
    ...["--job-name", "--customer", "--revision", "--quantity", "--date"],
  ].map((option) => out.search(new RegExp(`^ +${option} <`, "m")));
  expect(Math.min(...places)).toBeGreaterThan(0);
  expect(places).toEqual([...places].sort((a, b) => a - b));
});
