/** The form for readings, and readings as people and spreadsheets hand them back. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import { fitReadings } from "../../src/cli/fit.ts";
import { readReadings } from "../../src/cli/readingsfile.ts";
import { readingsForm } from "../../src/cli/readingsform.ts";
import { stripJson } from "../../src/cli/strip.ts";
import { checkReadings } from "../../src/dialin/readings.ts";
import type { JobFile } from "../../src/job/job.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import type { Ladder, Strip } from "../../src/plan/strip/types.ts";
import { JobError } from "../../src/problem.ts";
import { jobOf, usual, vessel } from "../plan/process-helpers.ts";
import { folder } from "./helpers.ts";

const job = jobOf({
  vessel,
  source: { id: "fibre-60" },
  coating: { id: "powder-black" },
  settings: { ...usual, powerPercent: undefined, powerW: 27 } as JobFile["settings"],
});
const strip = (ladder: Ladder, marks = 3): Strip => stripOf(job, { ladder, marks, name: "cup" });
const settings = strip("settings");

const dir = folder();
const csv = join(dir, "cup.readings.csv");
const json = join(dir, "cup.readings.json");
beforeEach(() => writeFileSync(join(dir, "cup.strip.json"), stripJson(settings)));

const read = (content: string | Uint8Array, path = csv) => {
  writeFileSync(path, content);
  return readReadings(path).rows;
};
/** As a person sees it, without the folder. */
async function said(run: () => unknown): Promise<string> {
  try {
    await run();
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    const { code, message, hint } = error.problem;
    return `${code}: ${message}: ${hint}`.replaceAll(`${dir}/`, "");
  }
  throw new Error("nothing was refused");
}
const refused = (content: string | Uint8Array, path = csv): Promise<string> =>
  said(() => read(content, path));

/** The form with these cells in its rows. */
function filled(of: Strip, ...cells: string[]): string {
  const { marks } = of;
  return readingsForm(of).replace(/^(\d+,.*?),+$/gm, (line, start: string) => {
    const mark = marks.findIndex(({ number }) => line.startsWith(`${number},`));
    return cells[mark] === undefined ? line : `${start},${cells[mark]}`;
  });
}
const answers = ["12,60,none,none,none,none", "none,none,,,,", "20,52,30,40,,"];
const rows = [
  {
    row: 1,
    mark: 1,
    firstClear: 12,
    lastClear: 60,
    firstGap: "none",
    lastGap: "none",
    firstMetal: "none",
    lastMetal: "none",
  },
  { row: 2, mark: 2, firstClear: "none", lastClear: "none" },
  { row: 3, mark: 3, firstClear: 20, lastClear: 52, firstGap: 30, lastGap: 40 },
] as const;

describe("the form", () => {
  it("has a row for each mark with what was set for it, and nothing read", () => {
    const lines = readingsForm(settings).trimEnd().split("\n");
    const table = lines.filter((line) => !line.startsWith("#"));
    expect(table[0]).toBe(
      "mark,power_w,speed_mm_s,focus_mm,first_clear,last_clear,first_gap,last_gap,first_metal,last_metal",
    );
    const [{ powerW, speedMmS }] = settings.marks.map((mark) => mark.settings) as [
      Strip["marks"][0]["settings"],
    ];
    expect(table[1]).toBe(`1,${powerW},${speedMmS},0,,,,,,`);
    expect(table).toHaveLength(1 + 3);
    const remarks = lines.filter((line) => line.startsWith("#")).join("\n");
    expect(remarks).toContain("strip cup");
    expect(remarks).toContain("from the left, the rim up");
    expect(remarks).toMatch(/none: there is no such bar. An empty cell: nobody looked/);
  });

  it("of a ramp and of squares", () => {
    expect(readingsForm(strip("ramp"))).toContain(",first_metal,last_metal,left_mm,right_mm\n");
    const side = 0.6 * job.lens.fieldMm;
    const form = readingsForm(strip("squares", 2));
    expect(form).toContain(`mark,height_mm,side_mm,x_mm,y_mm\n1,0,${side},,\n2,20,${side},,\n`);
  });

  it("comes back blank, which is too few", async () => {
    const blank = read(readingsForm(settings));
    expect(blank.map(({ mark }) => mark)).toEqual([1, 2, 3]);
    expect(await said(() => checkReadings(settings, blank))).toContain(
      "readings-too-few: no row has a reading",
    );
    expect(await said(() => fitReadings([csv], {}))).toContain("readings-too-few: cup.readings.csv: no row");
  });

  it("comes back filled in, with what was set", () => {
    const back = read(filled(settings, ...answers));
    expect(back).toMatchObject(rows);
    expect(back.map(({ set }) => set)).toEqual(
      settings.marks.map(({ settings: { powerW, speedMmS } }) => ({
        ...{ power_w: powerW, speed_mm_s: speedMmS },
        focus_mm: 0,
      })),
    );
    expect(checkReadings(settings, back)).toEqual([
      { mark: 1, row: 1, clear: [12, 60], gap: "none", metal: "none" },
      { mark: 2, row: 2, clear: "none" },
      { mark: 3, row: 3, clear: [20, 52], gap: [30, 40] },
    ]);
  });

  it("of a ramp and of squares comes back filled in", () => {
    const tilted = strip("ramp", 1);
    const [ramp] = read(filled(tilted, "20,52,,,,,25.5,8.1"));
    expect(ramp).toMatchObject({ firstClear: 20, lastClear: 52, leftMm: 25.5, rightMm: 8.1 });
    expect(read(filled(strip("squares", 2), "66.1,66.0", "68.4,68.3"))).toMatchObject([
      { mark: 1, xMm: 66.1, yMm: 66 },
      { mark: 2, xMm: 68.4, yMm: 68.3 },
    ]);
  });
});

describe("the same readings however they are saved", () => {
  const form = filled(settings, ...answers);
  const semicolons = form.replaceAll(",", ";");
  const head = "mark,first_clear,last_clear,first_gap,last_gap,first_metal,last_metal\n";
  const list = rows.map(({ row: _, ...one }) => one);
  it.each<[string, string | Uint8Array]>([
    ["commas", form],
    ["semicolons and decimal commas", semicolons.replaceAll(".", ",")],
    ["semicolons and decimal points", semicolons],
    ["tabs", form.replaceAll(",", "\t")],
    ["decimal commas in quotes among commas", form.replace(/(\d+)\.(\d+)/g, '"$1,$2"')],
    [
      "everything in quotes",
      form.replace(/^[^#].*$/gm, (line) =>
        line
          .split(",")
          .map((c) => `"${c}"`)
          .join(","),
      ),
    ],
    ["remarks in quotes", form.replace(/^#.*$/gm, '"$&"')],
    ["line breaks of two kinds", form.replaceAll("\n", "\r\n")],
    ["a byte order mark", `\uFEFF${form}`],
    ["two-byte text", Buffer.from(`\uFEFF${form.replaceAll(",", "\t")}`, "utf16le")],
    ["two-byte text, the other way about", Buffer.from(`\uFEFF${form}`, "utf16le").swap16()],
    ["columns and rows left empty at the end", `${form.replace(/^([^#].*)$/gm, "$1,,,")},,,,,\n,,,\n\n`],
    ["empty cells left out at the end", form.replace(/,+$/gm, "")],
    ["capitals and blanks", form.replace(/none/g, " None ").replace("first_clear", " First_Clear ")],
    [
      "without what was set, columns and rows in another order",
      "last_clear,first_clear,mark,last_gap,first_gap,last_metal,first_metal\n60,12,1,none,none,none,none\nnone,none,2,,,,\n52,20,3,40,30,,\n",
    ],
    ["no remarks", `${head}1,${answers[0]}\n2,${answers[1]}\n3,${answers[2]}`],
    ["JSON, a list", JSON.stringify(list)],
    ["JSON under a name", JSON.stringify({ readings: list })],
    ["JSON with nothing said as null", JSON.stringify([list[0], { ...list[1], firstGap: null }, list[2]])],
  ])("%s", (_, content) => {
    expect(read(content)).toMatchObject(rows);
    expect(checkReadings(settings, read(content))).toHaveLength(3);
  });
});

describe("the strip that was read", () => {
  it("lies beside its readings under the same name", () => {
    read("mark,first_clear\n1,2\n");
    expect(readReadings(csv).stripPath).toBe(join(dir, "cup.strip.json"));
    writeFileSync(json, "[]");
    expect(readReadings(json).stripPath).toBe(join(dir, "cup.strip.json"));
  });

  it("is the one that JSON names, from where that lies, or the one that is asked for", () => {
    writeFileSync(json, '{ "strip": "other.strip.json", "readings": [] }');
    expect(readReadings(json).stripPath).toBe(join(dir, "other.strip.json"));
    expect(readReadings(json, "mine.json").stripPath).toBe("mine.json");
  });

  it("is asked for where it is not there", async () => {
    const path = join(dir, "saved as.csv");
    expect(await refused("mark,first_clear\n1,2\n", path)).toMatch(/^strip-missing: saved as.csv: .*--strip/);
  });

  it("has the powers, speeds and heights of the form", async () => {
    const [{ powerW, speedMmS }] = settings.marks.map((mark) => mark.settings) as [
      Strip["marks"][0]["settings"],
    ];
    for (const [was, given, column] of [
      [`1,${powerW},`, `1,${powerW + 1},`, "power_w"],
      [`1,${powerW},${speedMmS},`, `1,${powerW},${speedMmS / 2},`, "speed_mm_s"],
      [`1,${powerW},${speedMmS},0,`, `1,${powerW},${speedMmS},2,`, "focus_mm"],
    ] as const) {
      const form = filled(settings, ...answers).replace(was, given);
      expect(form).toContain(given);
      writeFileSync(csv, form);
      expect(await said(() => fitReadings([csv], {}))).toMatch(
        new RegExp(`^reading-wrong: cup.readings.csv: row 1: mark 1 has ${column} `),
      );
    }
  });

  it("has the columns of its kind", async () => {
    writeFileSync(csv, "mark,side_mm,first_clear,last_clear\n1,66,12,60\n");
    expect(await said(() => fitReadings([csv], {}))).toContain(
      "readings-columns: cup.readings.csv: the column side_mm belongs to another kind of strip than cup (settings)",
    );
  });
});

describe("what is refused, in one line with the file and the row", () => {
  const head = "mark,first_clear,last_clear\n";
  it.each<[string, string | Uint8Array, string]>([
    ["an empty file", "", "file-empty: cup.readings.csv is empty"],
    ["only remarks", "# nothing\n\n", "readings-empty: cup.readings.csv holds no readings"],
    [
      "a workbook",
      Buffer.from("504b0304140006000800", "hex"),
      "readings-not-text: cup.readings.csv is a ZIP archive",
    ],
    ["binary data", Buffer.from([1, 2, 0, 3, 10, 4]), "readings-not-text: cup.readings.csv holds zero bytes"],
    [
      "more than 1 MB",
      head.concat("1,2,3\n".repeat(200_000)),
      "readings-long: cup.readings.csv holds more than 1 MB",
    ],
    [
      "an unknown column",
      "mark,first_claer\n1,2\n",
      "readings-columns: cup.readings.csv: the column “first_claer” is not known: did you mean first_clear",
    ],
    [
      "a column of notes",
      "mark,first_clear,remarks on the day\n1,2,wet\n",
      "the column “remarks on the day” is not known",
    ],
    ["a column twice", "mark,first_clear,first_clear\n1,2,3\n", "two columns are called first_clear"],
    [
      "no marks",
      "first_clear,last_clear\n1,2\n",
      "readings-columns: cup.readings.csv: no column is called mark",
    ],
    [
      "a row without its mark",
      `${head}1,12,60\n,13,61\n`,
      "reading-number: cup.readings.csv: row 2 does not say its mark",
    ],
    [
      "a word",
      `${head}1,12,sixty\n`,
      "reading-number: cup.readings.csv: row 1: last_clear is “sixty”: write a bar's number, none, or nothing",
    ],
    ["a dash", `${head}1,-,-\n`, "row 1: first_clear is “-”"],
    ["half a bar", `${head}1,12.5,60\n`, "row 1: first_clear is “12.5”: write the whole number"],
    ["none of a length", "mark,x_mm\n1,none\n", "row 1: x_mm is “none”: write a plain number"],
    ["a unit", "mark,x_mm\n1,66 mm\n", "row 1: x_mm is “66 mm”"],
    [
      "a decimal comma among commas",
      "mark,x_mm,y_mm\n1,66,1,66,0\n",
      "readings-cells: cup.readings.csv: row 1 has 5 cells under 3 names: write decimals with a point, or put semicolons",
    ],
    ["broken JSON", "[{", "readings-json: cup.readings.csv is not JSON"],
    ["JSON of another kind", '{ "rows": [] }', "readings-json: cup.readings.csv is no list of readings"],
    ["a list of lists", "[[1, 2]]", "readings-json: cup.readings.csv: row 1 is no object"],
    [
      "an unknown key",
      '[{ "mark": 1, "firstClaer": 2 }]',
      'row 1 has the unknown key "firstClaer": did you mean firstClear',
    ],
    ["a number in quotes", '[{ "mark": 1, "firstClear": "12" }]', "row 1: firstClear is “12”"],
    ["no number at all", '[{ "mark": 1, "xMm": 1e999 }]', "row 1: xMm is “Infinity”"],
    ["JSON without marks", '[{ "firstClear": 12 }]', "row 1 does not say its mark"],
  ])("%s", async (_, content, wanted) => {
    const line = await refused(content);
    expect(line).toContain(wanted);
    expect(line).not.toContain("\n");
  });

  it("a cell as long as a page is told by its beginning", async () => {
    expect((await refused(`${head}1,${"x".repeat(5000)},2\n`)).length).toBeLessThan(250);
  });

  it("what rows say is refused with the file's name", async () => {
    writeFileSync(csv, filled(settings, "60,12,,,,"));
    expect(await said(() => fitReadings([csv], {}))).toMatch(
      /^reading-wrong: cup.readings.csv: row 1: mark 1 has first_clear 60, which is right of last_clear 12/,
    );
  });
});
