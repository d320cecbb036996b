/** What is taken for a reading of a row, and what is refused. */
import { describe, expect, it } from "vitest";
import type { Strip } from "../../src/plan/strip/types.ts";
import { check, clear, problemOf, type Row, ramp, squares, strip } from "./rows.ts";

const refused = (of: Strip, ...rows: Row[]): string => {
  const { code, message, hint } = problemOf(() => check(of, ...rows));
  return `${code}: ${message}: ${hint}`;
};

describe("readings that can be", () => {
  it("are told as pairs, in the order of the rows, and rows without any are left out", () => {
    const all = { firstGap: 30, lastGap: 40, firstMetal: "none", lastMetal: "none" } as const;
    expect(check(strip, clear(3, 12, 60, all), { mark: 1 }, clear(2, "none", "none"))).toEqual([
      { mark: 3, row: 1, clear: [12, 60], gap: [30, 40], metal: "none" },
      { mark: 2, row: 3, clear: "none" },
    ]);
  });

  it("metal reaches one bar past what is clear, and into the ends of a gap", () => {
    const rows = check(
      strip,
      clear(3, 12, 60, { firstMetal: 11, lastMetal: 61 }),
      clear(1, 12, 60, { firstGap: 30, lastGap: 40, firstMetal: 20, lastMetal: 31 }),
    );
    expect(rows.map(({ metal }) => metal)).toEqual([
      [11, 61],
      [20, 31],
    ]);
  });

  it("a vessel's middle may be clear inside its gap, and show metal there", () => {
    const middle = { firstGap: 20, lastGap: 52, firstMetal: 30, lastMetal: 42 };
    expect(check(strip, clear(1, 12, 60, middle))[0]).toMatchObject({ gap: [20, 52], metal: [30, 42] });
  });

  it("past bars that were left out the next one is beside", () => {
    const left = { ...strip, bars: strip.bars.filter(({ number }) => number < 21 || number > 25) };
    expect(check(left, clear(1, 26, 60, { firstMetal: 20, lastMetal: 50 }))[0]!.metal).toEqual([20, 50]);
    expect(refused(left, clear(1, 26, 60, { firstMetal: 19, lastMetal: 50 }))).toContain("beyond");
    expect(refused(left, clear(1, 22, 60))).toContain("22, a bar that was left out of the strip");
  });

  it("a ramp's ends, 70 mm apart and 20 degrees down: 23.9 mm; left out where nobody looked at the mark", () => {
    const heights = { leftMm: 30.1, rightMm: 6 };
    expect(check(ramp, clear(1, 20, 50, heights), { mark: 2, ...heights })).toEqual([
      { mark: 1, row: 1, clear: [20, 50], endsMm: [30.1, 6] },
    ]);
    expect(check(ramp, clear(1, 20, 50), { mark: 2, firstMetal: 30, lastMetal: 40, ...heights })[1]).toEqual({
      mark: 2,
      row: 2,
      metal: [30, 40],
      endsMm: [30.1, 6],
    });
  });

  it("squares at two heights", () => {
    expect(check(squares, { mark: 1, xMm: 99.9, yMm: 100 }, { mark: 2, xMm: 104, yMm: 103.5 })).toEqual([
      { mark: 1, row: 1, sidesMm: [99.9, 100] },
      { mark: 2, row: 2, sidesMm: [104, 103.5] },
    ]);
  });
});

describe("a row that cannot be is refused with its row, its mark and what to do", () => {
  const good = clear(1, 12, 60);
  const heights = (leftMm: number, rightMm: number): Row => ({ ...good, leftMm, rightMm });
  it.each<[string, Strip, Row[], string]>([
    [
      "an unknown mark",
      strip,
      [good, clear(5, 1, 2)],
      "row 2: mark 5 is not on the strip, which has marks 1 to 4",
    ],
    ["half a mark", strip, [clear(1.5, 1, 2)], "row 1: mark 1.5 is not on the strip"],
    ["a mark twice", strip, [good, { mark: 2 }, good], "row 3: mark 1 is read twice, in row 1 too"],
    ["bar 0", strip, [clear(1, 0, 60)], "has first_clear 0, and the strip has bars 1 to 71"],
    ["a bar past the last", strip, [clear(1, 12, 72)], "has last_clear 72, and the strip has bars 1 to 71"],
    ["half a bar", strip, [clear(1, 12.5, 60)], "has first_clear 12.5"],
    ["the first alone", strip, [{ mark: 1, firstClear: 12 }], "has a first_clear and no last_clear"],
    ["the last alone", strip, [{ mark: 1, lastMetal: 12 }], "has a last_metal and no first_metal"],
    ["none and a bar", strip, [clear(1, "none", 12)], "has none for one of first_clear and last_clear"],
    [
      "sides changed over",
      strip,
      [clear(1, 60, 12)],
      "right of last_clear 12: sides swapped?: the first bar is the left one, seen from the lens with the rim up",
    ],
    [
      "a gap past what is clear",
      strip,
      [clear(1, 12, 60, { firstGap: 50, lastGap: 65 })],
      "has a gap from bar 50 to 65",
    ],
    [
      "a gap from the first clear bar",
      strip,
      [clear(1, 12, 60, { firstGap: 12, lastGap: 20 })],
      "which does not lie between its clear bars 12 and 60",
    ],
    [
      "a gap in nothing",
      strip,
      [clear(1, "none", "none", { firstGap: 12, lastGap: 20 })],
      "has a gap and nothing that is clear",
    ],
    ["a gap alone", strip, [{ mark: 1, firstGap: 12, lastGap: 20 }], "has a gap and nothing that is clear"],
    [
      "metal in nothing",
      strip,
      [clear(1, "none", "none", { firstMetal: 12, lastMetal: 20 })],
      "shows metal, and no bar is clear",
    ],
    [
      "metal beyond",
      strip,
      [clear(1, 12, 60, { firstMetal: 10, lastMetal: 30 })],
      "shows metal from bar 10 to 30, beyond its clear bars 12 to 60",
    ],
    [
      "metal beyond, right",
      strip,
      [clear(1, 12, 60, { firstMetal: 12, lastMetal: 62 })],
      "beyond its clear bars",
    ],
    [
      "metal in a coupon's gap",
      ramp,
      [clear(1, 12, 60, { firstGap: 30, lastGap: 40, firstMetal: 20, lastMetal: 35 })],
      "shows metal at bar 35, inside its gap from bar 30 to 40",
    ],
    [
      "a square's side on a vessel",
      strip,
      [clear(1, 12, 60, { xMm: 100 })],
      "has x_mm, which is not read of this strip (settings)",
    ],
    [
      "a coupon's height on a vessel",
      strip,
      [clear(1, 12, 60, { leftMm: 0 })],
      "has left_mm, which is not read",
    ],
    [
      "bars of squares",
      squares,
      [clear(1, 12, 60)],
      "has first_clear, which is not read of this strip (squares)",
    ],
    ["one height", ramp, [{ ...good, leftMm: 30 }], "has the height of one end alone"],
    [
      "heights changed over",
      ramp,
      [heights(6, 30)],
      "has its right end 24.0 mm above its left one: ends swapped?",
    ],
    [
      "a level ramp",
      ramp,
      [heights(6, 6)],
      "falls by 0.0 mm from end to end, and a tilt of 20 degrees makes 23.9 mm",
    ],
    ["a steep ramp", ramp, [heights(50, 6)], "falls by 44.0 mm"],
    ["below the bed", ramp, [heights(20, -4)], "has right_mm -4, no height over the bed"],
    [
      "heights without end",
      ramp,
      [heights(Infinity, Infinity)],
      "has left_mm Infinity, no height over the bed",
    ],
    ["one side", squares, [{ mark: 1, xMm: 100 }], "has one side alone"],
    [
      "a negative side",
      squares,
      [{ mark: 1, xMm: -100, yMm: 100 }],
      "has x_mm -100 mm, and the square was commanded 100 mm",
    ],
    ["a side in cm", squares, [{ mark: 1, xMm: 100, yMm: 10 }], "has y_mm 10 mm"],
    ["a side too long", squares, [{ mark: 1, xMm: 131, yMm: 100 }], "has x_mm 131 mm"],
  ])("%s", (_, of, rows, said) => {
    const line = refused(of, ...rows);
    expect(line).toContain(said);
    expect(line).toMatch(/^reading-wrong: row \d+: mark [\d.]+ /);
    expect(line).not.toContain("\n");
  });

  it("a side a tenth off is taken, and the bounds are the same on both sides", () => {
    for (const xMm of [71, 90, 110, 129])
      expect(check(squares, { mark: 1, xMm, yMm: 100 }, { mark: 2, xMm: 100, yMm: 100 })).toHaveLength(2);
    for (const xMm of [69, 131]) expect(refused(squares, { mark: 1, xMm, yMm: 100 })).toContain("x_mm");
  });
});

describe("too few readings, and which strip to mark instead", () => {
  it.each<[string, Strip, Row[], RegExp]>([
    ["none at all", strip, [{ mark: 1 }, { mark: 2 }], /no row has a reading: fill in first_clear/],
    ["no squares", squares, [{ mark: 1 }], /no row has a reading: fill in x_mm/],
    ["heights alone", ramp, [{ mark: 1, leftMm: 30, rightMm: 6 }], /no row has a reading/],
    ["metal alone", strip, [{ mark: 1, firstMetal: "none", lastMetal: "none" }], /no row says what is clear/],
    [
      "nothing clear",
      strip,
      [clear(1, "none", "none"), clear(2, "none", "none")],
      /no mark has a bar that is fully clear: .*more power or less speed/,
    ],
    [
      "all clear",
      strip,
      [clear(1, 1, 71), clear(2, 1, 71)],
      /first bar to its last: nothing tells.*less power or more speed/,
    ],
    [
      "all or nothing",
      strip,
      [clear(3, 1, 71), clear(2, "none", "none")],
      /as mark 3, or nowhere, as mark 2.*between those of these two/,
    ],
    ["one square", squares, [{ mark: 1, xMm: 100, yMm: 100 }], /squares at one height tell nothing/],
  ])("%s", (_, of, rows, said) => {
    const line = refused(of, ...rows);
    expect(line).toMatch(/^readings-too-few: /);
    expect(line).toMatch(said);
  });

  it("one end inside the strip is enough, and so is a gap", () => {
    expect(check(strip, clear(1, 2, 71), clear(2, "none", "none"))).toHaveLength(2);
    expect(check(strip, clear(1, 1, 71, { firstGap: 30, lastGap: 40 }))).toHaveLength(1);
  });
});
