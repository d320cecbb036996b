/** `--profile FILE`: tables and JSON as people and spreadsheets write them, and what is refused, by file and row. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readMeasureFile } from "../../src/cli/measurefile.ts";
import { placeOf } from "../../src/cli/places.ts";
import { JobError } from "../../src/problem.ts";
import { folder } from "./helpers.ts";

const dir = folder();
const path = join(dir, "cup.csv");
const read = (content: string | Uint8Array) => {
  writeFileSync(path, content);
  return readMeasureFile(path);
};
/** The line that a person sees, without the folder. */
const refused = (content: string | Uint8Array): string => {
  try {
    read(content);
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    const { problem } = error;
    return `${problem.code}: ${problem.message}${placeOf(problem)}: ${problem.hint}`.replaceAll(
      `${dir}/`,
      "",
    );
  }
  throw new Error("nothing was wrong");
};
const rows = [
  { heightMm: 0, diameterMm: 70 },
  { heightMm: 12.5, diameterMm: 72.25 },
  { heightMm: 100, diameterMm: 84 },
];

describe("the same rows however they are written", () => {
  it.each([
    ["commas", "height_mm,diameter_mm\n0,70\n12.5,72.25\n100,84\n"],
    ["semicolons", "height_mm;diameter_mm\n0;70\n12.5;72.25\n100;84\n"],
    ["decimal commas", "height_mm;diameter_mm\n0;70\n12,5;72,25\n100;84,0\n"],
    ["tabs", "height_mm\tdiameter_mm\n0\t70\n12,5\t72.25\n100\t84\n"],
    ["no line break at the end", "height_mm,diameter_mm\n0,70\n12.5,72.25\n100,84"],
    ["line breaks of two kinds", "height_mm,diameter_mm\r\n0,70\r\n12.5,72.25\r100,84\r\n"],
    ["a byte order mark", "\uFEFFheight_mm,diameter_mm\n0,70\n12.5,72.25\n100,84\n"],
    ["blanks, capitals, quotes", ' Height_MM , "diameter_mm" \n 0 , 70 \n"12.5","72.25"\n100, 84 \n'],
    [
      "remarks and blank lines",
      "# a cup\n\nheight_mm,diameter_mm\n0,70\n  # waist\n\n12.5,72.25\n,\n100,84\n , ,\n",
    ],
    ["exponents and signs", "height_mm,diameter_mm\n0e0,7e1\n+1.25E1,7225e-2\n100.,84\n"],
    [
      "columns changed over, one of their own",
      "note,diameter_mm,height_mm\nfoot,70,0\n,72.25,12.5\nlip,84,100\n",
    ],
    ["cells left empty at the end", "height_mm,diameter_mm\n0,70,,\n12.5,72.25,\n100,84\n"],
    ["from rim to base", "height_mm,diameter_mm\n100,84\n12.5,72.25\n0,70\n"],
    ["JSON", JSON.stringify(rows)],
    ["JSON under a name", `\n ${JSON.stringify({ profile: rows }, null, 2)}`],
    ["JSON with a byte order mark", `\uFEFF${JSON.stringify(rows)}`],
  ])("%s", (_, content) => {
    expect(read(content)).toEqual({ rows, cautions: [] });
  });

  it("two-byte text, as spreadsheets save “Unicode text”", () => {
    const text = "\uFEFFheight_mm\tdiameter_mm\r\n0\t70\r\n12,5\t72,25\r\n100\t84\r\n";
    expect(read(Buffer.from(text, "utf16le")).rows).toEqual(rows);
  });

  it("one-byte text with a letter in a remark that is no UTF-8", () => {
    const text =
      "# gemessen mit Messschieber, \u00fcber alles\nheight_mm,diameter_mm\n0,70\n12.5,72.25\n100,84\n";
    expect(read(Buffer.from(text, "latin1")).rows).toEqual(rows);
  });

  it("circumferences: 250/π and 260/π", () => {
    const { rows: around } = read("height_mm,circumference_mm\n0,250\n50,255\n90,260\n");
    expect(around[0]!.diameterMm).toBeCloseTo(79.57747154594767, 12);
    expect(around[2]!.diameterMm).toBeCloseTo(82.76057040778556, 12);
  });

  it("below the rim: heights count from the lowest row, and the rim's height is told", () => {
    const content = "below_rim_mm;diameter_mm\n10,1;84\n60;72,25\n90,3;70\n";
    expect(read(content)).toEqual({
      rows: [
        { heightMm: 0, diameterMm: 70 },
        { heightMm: 30.3, diameterMm: 72.25 },
        { heightMm: 80.2, diameterMm: 84 },
      ],
      cautions: [],
      rimMm: 90.3,
    });
  });

  it("cautions come along, with the file's name and the line", () => {
    const table = Array.from({ length: 20 }, (_, i) => `${5 * i},${i === 8 ? 85 : 80}`);
    const { cautions } = read(`height_mm,diameter_mm\n${table.join("\n")}\n`);
    expect(cautions).toHaveLength(1);
    expect(cautions[0]).toMatchObject({
      severity: "caution",
      code: "profile-off-course",
      where: { line: 10 },
    });
    expect(cautions[0]!.message).toBe(
      `${path}: row 9: the diameter is 5.0 mm more than the rows around it make likely`,
    );
  });
});

describe("what is refused, in one line with the file and the row", () => {
  const table = (line: string) => `# cup\nheight_mm,diameter_mm\n0,70\n${line}\n100,84\n`;

  it.each([
    ["an empty file", "", "file-empty: cup.csv is empty"],
    ["only remarks", "# nothing\n\n", "profile-empty: cup.csv holds no measurements"],
    ["blanks", " \n \n", "profile-empty: cup.csv holds no measurements"],
    [
      "no header",
      "0,70\n50,80\n100,84\n",
      "profile-header: cup.csv: no column is called height_mm or below_rim_mm (line 1)",
    ],
    [
      "no diameters",
      "height_mm\n1\n",
      "profile-header: cup.csv: no column is called diameter_mm or circumference_mm (line 1)",
    ],
    [
      "inches",
      "height_in,diameter_in\n1,2\n",
      "profile-header: cup.csv: the column “height_in” is not known (line 1)",
    ],
    ["no unit", "height,diameter\n1,2\n", "did you mean height_mm? all in mm"],
    ["a column twice", "height_mm,diameter_mm,height_mm\n1,2,3\n", "two columns are called height_mm"],
    [
      "two kinds of height",
      "height_mm,below_rim_mm,diameter_mm\n1,2,3\n",
      "both height_mm and below_rim_mm are given",
    ],
    [
      "a header alone",
      "height_mm,diameter_mm\n",
      "profile-short: cup.csv: the profile has 0 rows, three are needed",
    ],
    ["text", table("50,wide"), "profile-number: cup.csv: row 2: diameter_mm “wide” is not a number (line 4)"],
    ["a unit", table("50,80 mm"), "row 2: diameter_mm “80 mm” is not a number (line 4)"],
    ["NaN", table("50,NaN"), "row 2: diameter_mm “NaN” is not a number (line 4)"],
    ["Infinity", table("Infinity,80"), "row 2: height_mm “Infinity” is not a number (line 4)"],
    ["too large", table("50,1e400"), "row 2: diameter_mm “1e400” is not a number (line 4)"],
    ["hexadecimal", table("50,0x50"), "row 2: diameter_mm “0x50” is not a number (line 4)"],
    [
      "a decimal comma among commas",
      table("50,5,80"),
      "profile-cells: cup.csv: row 2 has 3 cells under 2 names (line 4)",
    ],
    [
      "a thousand's comma",
      "height_mm;diameter_mm\n0;70\n50;1,080.5\n",
      "row 2: diameter_mm “1,080.5” is not a number (line 3)",
    ],
    ["a missing cell", table("50"), "profile-number: cup.csv: row 2: no diameter (line 4)"],
    ["a negative diameter", table("50,-80"), "profile-number: cup.csv: row 2: the diameter is -80 (line 4)"],
    ["above the rim", "below_rim_mm,diameter_mm\n0,70\n-5,71\n9,72\n", "row 2: below_rim_mm is -5 (line 3)"],
    [
      "a step",
      table("0,80"),
      "profile-step: cup.csv: step at row 2: the height 0 mm is that of row 1 too (line 4)",
    ],
    [
      "out of order",
      table("50,80\n40,81\n60,82"),
      "profile-order: cup.csv: row 3: the height goes from 50 to 40 mm, but the other rows rise (line 5)",
    ],
    ["broken JSON", "[{", "profile-json: cup.csv is not JSON"],
    ["JSON of another kind", '{"rows": []}', "profile-json: cup.csv is no list of measurements"],
    ["a list of lists", "[[0, 70], [50, 80], [100, 84]]", "profile-json: cup.csv: row 1 is no object"],
    ["JSON null", "[null]", "profile-json: cup.csv: row 1 is no object"],
    ["an unknown key", '[{"heightCm": 3}]', 'row 1 has the unknown key "heightCm": did you mean "heightMm"?'],
    ["a number in quotes", '[{"heightMm": "3"}]', "profile-number: cup.csv: row 1: heightMm is not a number"],
    ["JSON without diameters", '[{"heightMm": 0}, {}, {}]', "profile-number: cup.csv: row 1: no diameter"],
    [
      "an infinite number in JSON",
      '[{"heightMm": 1e999, "diameterMm": 80},{},{}]',
      "row 1: the height is Infinity",
    ],
  ])("%s", (_, content, said) => {
    const line = refused(content);
    expect(line).toContain(said);
    expect(line).toContain("cup.csv");
    expect(line).not.toContain("\n");
  });

  it("what is no text", () => {
    expect(refused(Buffer.from("504b0304140006000800", "hex"))).toContain(
      "cup.csv is a ZIP archive, not a table of text",
    );
    expect(refused(Buffer.from([1, 2, 0, 3, 10, 4]))).toContain("profile-not-text: cup.csv holds zero bytes");
    expect(refused(Buffer.from([0xfe, 0xfd, 0xfc, 0x0a, 0x80]))).toContain("profile-header");
  });

  it("more than 5000 rows, and more than 4 MB", () => {
    const many = (count: number) =>
      `height_mm,diameter_mm\n${Array.from({ length: count }, (_, i) => `${i / 10},80\n`).join("")}`;
    expect(read(many(5000)).rows).toHaveLength(5000);
    expect(refused(many(5001))).toContain("profile-long: cup.csv has 5001 rows, more than 5000");
    expect(refused(`[${'{"heightMm":1},'.repeat(5001)}{}]`)).toContain(
      "cup.csv has 5002 rows, more than 5000",
    );
    expect(refused("height_mm,diameter_mm\n".concat("1,2\n".repeat(1_000_000)))).toContain(
      "cup.csv has 1000000 rows",
    );
    expect(refused("height_mm,diameter_mm\n".concat("1,2\n".repeat(1_100_000)))).toContain(
      "cup.csv holds more than 4 MB",
    );
  });

  it("a file that is not there, a folder", () => {
    expect(() => readMeasureFile(join(dir, "none.csv"))).toThrow("does not exist");
    expect(() => readMeasureFile(dir)).toThrow("is a folder");
  });

  it("a cell as long as a page is told by its beginning", () => {
    expect(refused(table(`50,${"x".repeat(5000)}`)).length).toBeLessThan(250);
    expect(refused(`height${"x".repeat(5000)},diameter_mm\n1,2\n`).length).toBeLessThan(250);
  });
});
