/**
 * What readMeasures says of measured rows. Its bounds (75°, 0.5 mm, 1 mm and five medians) are our own choices; what is
 * outside here is the truth that the rows were made from: smooth vessels with one slip each.
 */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type MeasureAsked, readMeasures } from "../../src/job/measures.ts";

/** Rows as given: height and diameter, numbered from 1, lines from 2 as under a header. */
const given = (...list: (readonly [number, number])[]): MeasureAsked[] =>
  list.map(([heightMm, diameterMm], i) => ({ heightMm, diameterMm, row: i + 1, line: i + 2 }));
const cup = (count: number): [number, number][] =>
  Array.from({ length: count }, (_, i) => {
    const h = (110 * i) / (count - 1);
    return [h, 74 + 9 * Math.sin(h / 50)];
  });
const told = (rows: readonly MeasureAsked[]): string[] =>
  readMeasures(rows).problems.map(({ code, severity, message }) => `${severity} ${code}: ${message}`);

describe("good rows", () => {
  it("come back as they are, from base to rim", () => {
    const rows = cup(12).map(([heightMm, diameterMm]) => ({ heightMm, diameterMm }));
    expect(readMeasures(given(...cup(12)))).toEqual({ rows, problems: [] });
    expect(readMeasures(given(...cup(12).reverse()))).toEqual({ rows, problems: [] });
  });

  it("may say the girth instead: 250 mm around are 79.5775 mm across (250/π)", () => {
    const { rows, problems } = readMeasures([
      { heightMm: 0, circumferenceMm: 250, row: 1 },
      { heightMm: 20, diameterMm: 79.6, circumferenceMm: 250, row: 2 },
      { heightMm: 40, diameterMm: 80, row: 3 },
    ]);
    expect(problems).toEqual([]);
    expect(rows.map(({ diameterMm }) => diameterMm)).toEqual([
      expect.closeTo(79.57747154594767, 12),
      79.6,
      80,
    ]);
  });

  it("are never cautioned about for reading errors of a twentieth of a millimetre", () => {
    const errors = fc.array(fc.double({ min: -0.05, max: 0.05, noNaN: true }), {
      minLength: 23,
      maxLength: 23,
    });
    fc.assert(
      fc.property(errors, (list) => {
        expect(told(given(...cup(23).map(([h, d], i) => [h, d + list[i]!] as const)))).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });
});

describe("errors name their row", () => {
  const bad = (row: Partial<MeasureAsked>): string[] =>
    told([...given([0, 80], [10, 81], [20, 82]), { row: 4, line: 9, ...row }]);

  it("too few rows", () => {
    expect(told([])).toEqual(["error profile-short: the profile has 0 rows, three are needed"]);
    expect(told(given([0, 80]))).toEqual(["error profile-short: the profile has one row, three are needed"]);
    const { problems } = readMeasures(given([0, 80], [90, 70]));
    expect(problems.map(({ code }) => code)).toEqual(["profile-short"]);
    expect(problems[0]!.hint).toContain("--taper");
  });

  it.each<[Partial<MeasureAsked>, string]>([
    [{ diameterMm: 80 }, "no height"],
    [{ heightMm: 30 }, "no diameter"],
    [{ heightMm: Number.NaN, diameterMm: 80 }, "the height is NaN"],
    [{ heightMm: -3, diameterMm: 80 }, "the height is -3"],
    [{ heightMm: 30, diameterMm: 0 }, "the diameter is 0"],
    [{ heightMm: 30, diameterMm: -82 }, "the diameter is -82"],
    [{ heightMm: 30, diameterMm: Infinity }, "the diameter is Infinity"],
    [{ heightMm: 30, circumferenceMm: Number.NaN }, "the circumference is NaN"],
    [{ heightMm: 30, circumferenceMm: 2 }, "the circumference is 2"],
    [{ heightMm: 30, diameterMm: 82, circumferenceMm: Number.NaN }, "the circumference is NaN"],
  ])("no number or out of bounds: %o", (row, what) => {
    expect(bad(row)).toEqual([`error profile-number: row 4: ${what}`]);
  });

  it("keep the line of the file", () => {
    const { problems } = readMeasures([
      ...given([0, 80], [10, 81], [20, 82]),
      { row: 4, line: 9, heightMm: 30 },
    ]);
    expect(problems[0]!.where).toEqual({ line: 9 });
  });

  it("diameter and circumference that disagree by more than half a millimetre", () => {
    const row = (off: number) => bad({ heightMm: 30, diameterMm: 83 + off, circumferenceMm: 83 * Math.PI });
    expect(row(0.49)).toEqual([]);
    expect(row(-0.49)).toEqual([]);
    expect(row(0.51)).toEqual([
      "error profile-twice: row 4: the diameter is 83.51 mm, but the circumference makes it 83.00 mm",
    ]);
  });

  it("the same height twice", () => {
    expect(told(given([0, 80], [10, 81], [10, 84], [20, 85]))).toEqual([
      "error profile-step: step at row 3: the height 10 mm is that of row 2 too",
    ]);
  });

  it("heights out of order, whichever way the rows go", () => {
    expect(told(given([0, 80], [10, 81], [30, 81], [20, 82], [40, 82], [50, 82]))).toEqual([
      "error profile-order: row 4: the height goes from 30 to 20 mm, but the other rows rise",
    ]);
    expect(told(given([50, 80], [40, 81], [30, 81], [35, 82], [20, 82]))).toEqual([
      "error profile-order: row 4: the height goes from 30 to 35 mm, but the other rows fall",
    ]);
  });

  it("a step: steeper than 75° between two rows (2 tan 75° = 7.464 mm of diameter per mm)", () => {
    const shoulder = (d: number) => told(given([0, 60], [10, 60], [11, 60 + d], [40, 60 + d]));
    expect(shoulder(7.46)).toEqual([
      "caution profile-steep: rows 2 and 3: between them the wall leans 75° from the axis, more than 60°",
    ]);
    expect(shoulder(7.47)).toEqual([
      "error profile-step: step at row 3: from row 2 the outline leans 75° from the axis, more than 75°",
    ]);
    expect(told(given([40, 72], [10, 72], [9, 60], [0, 60]))[0]).toContain("step at row 3: from row 2");
  });

  it("each bad row is told, and nothing is cautioned about beside an error", () => {
    const rows = given(...cup(12));
    rows[3] = { ...rows[3]!, diameterMm: -1 };
    rows[7] = { ...rows[7]!, heightMm: undefined };
    rows[9] = { ...rows[9]!, diameterMm: 90 };
    expect(told(rows).map((line) => line.slice(0, 35))).toEqual([
      "error profile-number: row 4: the di",
      "error profile-number: row 8: no hei",
    ]);
  });
});

describe("one row that stands off its neighbours' course", () => {
  it("is named wherever it lies, and no other (3 mm off among 23 rows)", () => {
    for (let at = 0; at < 23; at++) {
      for (const off of [3, -3]) {
        const rows = cup(23).map(([h, d], i) => [h, i === at ? d + off : d] as const);
        const { problems } = readMeasures(given(...rows));
        expect(problems.map(({ message }) => message)).toEqual([
          `row ${at + 1}: the diameter is 3.0 mm ${off > 0 ? "more" : "less"} than the rows around it make likely`,
        ]);
        expect(problems[0]).toMatchObject({ severity: "caution", where: { line: at + 2 } });
        expect(problems[0]!.hint).toContain(`measure row ${at + 1} again`);
      }
    }
  });

  it("is named by the row that was given, from rim to base too", () => {
    const rows = cup(23).map(([h, d], i) => [h, i === 5 ? d + 2 : d] as const);
    expect(told(given(...rows.reverse()))[0]).toContain("row 18: ");
  });

  it("two of them are both named", () => {
    const rows = cup(30).map(([h, d], i) => [h, i === 6 ? d + 4 : i === 20 ? d - 2.5 : d] as const);
    expect(told(given(...rows)).map((line) => line.slice(0, 40))).toEqual([
      "caution profile-off-course: row 7: the d",
      "caution profile-off-course: row 21: the ",
    ]);
  });

  it("is let pass within a millimetre, and where all rows scatter as much", () => {
    const one = cup(23).map(([h, d], i) => [h, i === 9 ? d + 0.95 : d] as const);
    expect(told(given(...one))).toEqual([]);
    const scattered = cup(23).map(([h, d], i) => [h, d + 1.2 * (i % 2 ? 1 : -1)] as const);
    expect(told(given(...scattered))).toEqual([]);
  });
});

describe("a slip of the pen in a coarse table", () => {
  const bottle: [number, number][] = [
    [0, 66],
    [15, 72],
    [60, 72.2],
    [120, 72.1],
    [150, 71],
    [175, 62],
    [200, 46],
    [230, 40],
  ];
  it("none in the table as it was measured, from either end", () => {
    expect(told(given(...bottle))).toEqual([]);
    expect(told(given(...bottle.toReversed()))).toEqual([]);
  });
  // A wrong figure or two figures swapped in one cell.
  it.each<[number, number, number]>([
    [60, 27.2, 3],
    [60, 67.2, 3],
    [60, 92.2, 3],
    [120, 52.2, 4],
    [120, 82.1, 4],
    [150, 17.0, 5],
    [150, 77.0, 5],
    [175, 26.0, 6],
    [175, 92.0, 6],
    [200, 64.0, 7],
  ])("at %d mm, %d for the diameter: one caution that names row %d", (height, wrong, row) => {
    const rows = bottle.map(([h, d]): [number, number] => [h, h === height ? wrong : d]);
    for (const [list, named] of [
      [rows, row],
      [rows.toReversed(), 9 - row],
    ] as const) {
      const { problems } = readMeasures(given(...list));
      expect(problems.map(({ code, severity }) => `${severity} ${code}`)).toEqual([
        "caution profile-off-course",
      ]);
      expect(problems[0]!.message).toMatch(new RegExp(`row ${named}\\b`));
      expect(problems[0]!.hint).toMatch(new RegExp(`\\b${named}\\b`));
    }
  });
  it("says both rows where either may be the wrong one", () => {
    const rows = bottle.map(([h, d]): [number, number] => [h, h === 200 ? 64 : d]);
    expect(told(given(...rows))).toEqual([
      "caution profile-off-course: row 7: the diameter is 12.0 mm more than the rows around it make likely, or that of row 6 5.5 mm less",
    ]);
  });
  it("is found in five rows, not in four", () => {
    const straight = [0, 30, 60, 90, 120].map((h): [number, number] => [h, h === 60 ? 47 : 74]);
    expect(told(given(...straight)).map((line) => line.slice(0, 33))).toEqual([
      "caution profile-off-course: row 3",
    ]);
    expect(told(given(...straight.slice(0, 4)))).toEqual([]);
  });
  it("is not seen in a waist or bulge that three rows know, wherever they fall on it", () => {
    // A raised cosine over 60 mm; rows 15 mm apart have at least three on it.
    const raised = (x: number): number => (Math.abs(x) < 30 ? (1 + Math.cos((Math.PI * x) / 30)) / 2 : 0);
    for (const deep of [-20, -8, 8, 20])
      for (let shift = 0; shift < 15; shift++) {
        const rows = Array.from({ length: 12 }, (_, i): [number, number] => [
          15 * i,
          74 + 0.05 * 15 * i + deep * raised(15 * i - 70 - shift),
        ]);
        expect(told(given(...rows)), `${deep} at ${shift}`).toEqual([]);
      }
  });
});

describe("profiles that are hardly meant so", () => {
  const cm = given([0, 6.6], [6, 7.2], [12, 7.2], [20, 4.6]);
  it("a table in centimetres, or diameters called circumferences", () => {
    expect(told(cm)).toEqual(["caution profile-small: the profile is 7.2 mm wide at most: hardly a vessel"]);
    expect(readMeasures(cm).problems[0]!.hint).toContain("in cm");
    const called = [0, 40, 110].map((heightMm, i) => ({ heightMm, circumferenceMm: 74, row: i + 1 }));
    // 74/π.
    expect(told(called)[0]).toContain("23.6 mm wide at most");
    expect(told(given([0, 72], [6, 73], [23, 73]))[0]).toContain("23 mm tall");
    expect(told(given([0, 24], [6, 25], [25, 25]))).toEqual([]);
  });
  it("a wall that leans more than 60° (2 tan 60° = 3.464 mm of diameter per mm), told once", () => {
    const shoulder = (...d: [number, number, number]) =>
      told(given([0, d[0]], [30, d[0]], [40, d[1]], [50, d[2]], [90, d[2]]));
    expect(shoulder(120, 86, 60)).toEqual([]);
    expect(shoulder(120, 85, 60)).toEqual([
      "caution profile-steep: rows 2 and 3: between them the wall leans 60° from the axis, more than 60°",
    ]);
    expect(shoulder(160, 120, 60)[0]).toMatch(/^caution profile-steep: rows 3 and 4: .* 72°.*in 1 more$/);
  });
});
