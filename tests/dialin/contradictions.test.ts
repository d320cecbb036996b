/** What rows say against each other, and that honest ones never do. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { checkTogether } from "../../src/dialin/contradictions.ts";
import { checkReadings, type RawReading } from "../../src/dialin/readings.ts";
import type { JobFile } from "../../src/job/job.ts";
import { worldsOf } from "../../src/plan/process/worlds.ts";
import { stripOf } from "../../src/plan/strip/layout.ts";
import { meetsOf } from "../../src/plan/strip/meets.ts";
import { predictedOf, readingOf } from "../../src/plan/strip/predict.ts";
import type { Ladder, Reading, Strip } from "../../src/plan/strip/types.ts";
import { jobOf, vessel } from "../plan/process-helpers.ts";
import { seeded } from "../support/pulses.ts";
import { asked, check, clear, job, problemOf, type Row, ramp, squares, strip } from "./rows.ts";
import { barsRead, handStrip } from "./simulated.ts";

const together = (of: Strip, ...rows: Row[]): void =>
  checkTogether({ strip: of, readings: check(of, ...rows) });
const against = (of: Strip, ...rows: Row[]): string => {
  const { code, message } = problemOf(() => together(of, ...rows));
  return `${code}: ${message}`;
};
/** What was read as the form's row has it. */
function written({ row, mark, clear, gap, metal }: Reading): RawReading {
  const both = (first: string, last: string, ends: Reading["clear"]) =>
    ends === undefined
      ? {}
      : { [first]: ends === "none" ? ends : ends[0], [last]: ends === "none" ? ends : ends[1] };
  return {
    ...{ row, mark },
    ...both("firstClear", "lastClear", clear),
    ...both("firstGap", "lastGap", gap),
    ...both("firstMetal", "lastMetal", metal),
  };
}
const whole = { firstGap: "none", lastGap: "none" } as const;
const metal = (firstMetal: number | "none", lastMetal: number | "none") => ({ firstMetal, lastMetal });

describe("rows against each other", () => {
  // Marks of `strip`: 1 is 20 W at 500 mm/s, 2 20 W at 1000, 3 40 W at 500, 4 40 W at 1000.
  it.each<[string, Row[], string]>([
    [
      "more power, less clear",
      [clear(2, 20, 52), clear(4, 23, 49)],
      "rows 1 and 2: mark 4 has no less power and no more speed than mark 2, and is clear from bar 23 to 49, mark 2 from bar 20 to 52",
    ],
    ["on one side alone", [clear(2, 20, 52), clear(4, 19, 49)], "from bar 19 to 49"],
    ["less speed, less clear", [clear(1, 24, 48, whole), clear(2, 20, 52, whole)], "rows 2 and 1: mark 1"],
    ["both", [clear(3, 24, 48), clear(2, 20, 52)], "rows 2 and 1: mark 3"],
    [
      "nothing clear",
      [clear(2, 30, 42), clear(4, "none", "none")],
      "mark 4 has no less power and no more speed than mark 2, and is clear nowhere",
    ],
    [
      "less metal",
      [clear(2, 20, 52, metal(30, 42)), clear(4, 18, 54, metal(33, 39))],
      "and shows metal from bar 33 to 39, mark 2 from bar 30 to 42",
    ],
    [
      "no metal",
      [clear(2, 20, 52, metal(30, 42)), clear(4, 18, 54, metal("none", "none"))],
      "and shows metal nowhere",
    ],
    [
      "a gap where the weaker is clear",
      [clear(2, 20, 52, whole), clear(4, 18, 54, { firstGap: 33, lastGap: 39 })],
      "leaves coat between what is clear from bar 33 to 39, mark 2 nowhere",
    ],
    [
      "a wider gap",
      [clear(2, 10, 62, { firstGap: 32, lastGap: 40 }), clear(4, 9, 63, { firstGap: 28, lastGap: 44 })],
      "leaves coat between",
    ],
  ])("%s", (_, rows, said) => {
    const line = against(strip, ...rows);
    expect(line).toContain(said);
    expect(line).toMatch(/^readings-contradict: rows \d and \d: /);
  });

  it("a bar misread in each of two rows is no contradiction", () => {
    together(strip, clear(2, 20, 52, metal(30, 42)), clear(4, 22, 50, metal(32, 40)));
    together(strip, clear(2, 34, 37), clear(4, "none", "none"));
    together(
      strip,
      clear(2, 10, 62, { firstGap: 32, lastGap: 40 }),
      clear(4, 9, 63, { firstGap: 30, lastGap: 42 }),
    );
  });

  it("more power at more speed, another focus, another frequency and a moved lens are not compared", () => {
    together(strip, clear(1, 20, 52), clear(4, 24, 48));
    const apart = handStrip(job, [20, 40], [500], [0, 2]);
    together(apart, clear(1, 20, 52), clear(4, 24, 48));
    const [first, second] = handStrip(job, [20, 40], [500]).marks as [Strip["marks"][0], Strip["marks"][0]];
    const faster = { ...second, settings: { ...second.settings, frequencyKHz: 80 } };
    together({ ...strip, marks: [first, faster] }, clear(1, 20, 52), clear(2, 24, 48));
    together({ ...strip, ladder: "focus" }, clear(2, 20, 52), clear(4, 24, 48));
    expect(against(handStrip(job, [20, 40], [500]), clear(1, 20, 52), clear(2, 24, 48))).toContain("mark 2");
  });

  it("slivers on both sides, of which one was not seen, are no contradiction while settings are nearly alike", () => {
    const near = handStrip(job, [20, 21, 24], [500]);
    const ring = clear(1, 20, 52, { firstGap: 22, lastGap: 50 });
    together(near, ring, clear(2, 49, 52, whole));
    expect(against(near, ring, clear(3, 49, 52, whole))).toContain("mark 3");
  });

  it("a middle that is clear inside the stronger mark's gap may be all that the weaker one clears", () => {
    together(strip, clear(4, 12, 60, { firstGap: 20, lastGap: 52 }), clear(2, 31, 41, whole));
    expect(
      against(strip, clear(4, 12, 60, { firstGap: 20, lastGap: 52 }), clear(2, 17, 55, whole)),
    ).toContain("leaves coat between");
  });

  it("a thin gap may go unseen only while settings are nearly alike", () => {
    const near = handStrip(job, [20, 21, 24], [500]);
    const thin = { firstGap: 36, lastGap: 36 };
    together(near, clear(1, 20, 52, whole), clear(2, 20, 52, thin));
    expect(against(near, clear(1, 20, 52, whole), clear(3, 20, 52, thin))).toContain("mark 3");
  });

  it("ramps are compared where the coupon lay alike", () => {
    const rows = (rightMm: number) => [
      clear(2, 20, 52, { leftMm: 30, rightMm: 6 }),
      clear(4, 24, 48, { leftMm: 30, rightMm }),
    ];
    expect(against(ramp, ...rows(6.2))).toContain("mark 4");
    together(ramp, ...rows(7));
  });

  it("on a ball rows meet other drops: a gap may have something clear in it, and is not compared", () => {
    const ball = handStrip(jobOf({ ...asked, vessel: { sphereMm: 80 } }), [20, 40], [500]);
    const rows = [clear(1, 20, 52, whole), clear(2, 18, 54, { firstGap: 33, lastGap: 39 })];
    together(ball, ...rows);
    expect(against(handStrip(job, [20, 40], [500]), ...rows)).toContain("leaves coat between");
    expect(check(ball, clear(1, 12, 60, { firstGap: 30, lastGap: 40, ...metal(20, 35) }))).toHaveLength(1);
  });

  it("squares say nothing of each other", () =>
    together(squares, { mark: 1, xMm: 99, yMm: 100 }, { mark: 2, xMm: 80, yMm: 103 }));
});

describe("left and right changed over", () => {
  it("one row the mirror image of the others is named", () => {
    const line = against(strip, clear(1, 18, 60), clear(2, 20, 58), clear(3, 8, 56), clear(4, 18, 60));
    expect(line).toContain("readings-contradict: row 3: mark 3 reads as if left and right were swapped");
    expect(line).toContain("4.0 bars to the left of the crown line, that of row 1 3.0 bars to the right");
  });

  it("of two rows both are named", () =>
    expect(against(strip, clear(1, 18, 60), clear(2, 14, 52))).toMatch(
      /rows 1 and 2: one reads as if left and right were swapped/,
    ));

  it("on a focus ladder too, and not on a coupon", () => {
    const rows = [clear(1, 18, 60), clear(2, 20, 58), clear(3, 8, 56)];
    expect(against({ ...strip, ladder: "focus" }, ...rows)).toContain("row 3");
    expect(() => together(ramp, clear(1, 18, 60), clear(4, 8, 56))).not.toThrow();
  });

  it("what was read as far from the middle as noise and a bar may put it is not", () => {
    together(strip, clear(1, 17, 58), clear(2, 17, 52));
    // One end not seen: bar 1 is the strip's own.
    together(strip, clear(1, 1, 60), clear(2, 22, 57));
    // A sliver on one side of the crown line alone.
    together(strip, clear(3, 14, 52), clear(2, 48, 52), clear(4, 14, 52));
  });
});

/**
 * A row's edges by a smooth hump: what is met falls as exp(−(x/w)²) on both sides of where the vessel stood, and a mark clears
 * where its strength times that is over the least: |x − e| < w √ln(strength). Shares nothing with the product.
 */
interface Hump {
  readonly atBar: number;
  readonly wide: number;
  readonly least: number;
}
const wideOf = ({ wide, least }: Hump, powerW: number, speedMmS: number): number =>
  wide * Math.sqrt(Math.max(0, Math.log((powerW * Math.sqrt(1000 / speedMmS)) / least)));

describe("honest readings are never refused", () => {
  const many = handStrip(job, [8, 12, 13, 20, 40], [300, 700, 900]);
  const noise = fc.double({ min: -0.5, max: 0.5, noNaN: true });

  it("of a smooth hump, each edge seen up to half a bar off", () => {
    let bands = 0;
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: 4, max: 22, noNaN: true }),
        fc.double({ min: 5, max: 30, noNaN: true }),
        fc.array(fc.tuple(noise, noise, noise, noise), { minLength: 15, maxLength: 15 }),
        (atBar, wide, least, off) => {
          const readings = many.marks.map(({ number, settings }, i): Reading => {
            const stretch = (of: number, [from, to]: readonly [number, number]) => {
              const half = wideOf({ atBar, wide, least: of }, settings.powerW, settings.speedMmS);
              return half > 0 ? { from: atBar - half + from, to: atBar + half + to, gap: null } : null;
            };
            const [a, b, c, d] = off[i]!;
            const seen = { clear: stretch(least, [a, b]), metal: stretch(2 * least, [c, d]) };
            return { mark: number, row: i + 1, ...barsRead(many.bars, seen, [0, 0, 0, 0, 0, 0]) };
          });
          bands += readings.filter(({ clear }) => clear !== "none").length;
          checkTogether({ strip: many, readings });
        },
      ),
      { numRuns: 600, seed: 5 },
    );
    expect(bands).toBeGreaterThan(2000);
  });

  it("of a straight vessel whose middle is clear, and bare, between its two rings in focus", () => {
    const laid = stripOf(job, { ladder: "settings" });
    let middles = 0;
    for (const [i, world] of worldsOf(laid.job, 400).entries()) {
      const lay = { sidewaysMm: (i % 5) - 2, focusErrorMm: (i % 4) - 1.5 };
      const readings = laid.marks.map((mark, j): Reading => {
        const shown = predictedOf(laid, mark, meetsOf(laid, mark, lay), world);
        return { row: j + 1, ...readingOf(laid, mark, shown) };
      });
      middles += readings.filter(
        ({ gap, metal }) =>
          Array.isArray(gap) && Array.isArray(metal) && metal[0] > gap[0] && metal[1] < gap[1],
      ).length;
      const back = checkReadings(laid, readings.map(written));
      expect(back).toEqual(readings.map((reading) => expect.objectContaining(reading)));
      checkTogether({ strip: laid, readings: back });
    }
    expect(middles).toBeGreaterThan(0);
  });

  it.each<[string, JobFile["vessel"], Ladder]>([
    ["straight", vessel, "settings"],
    ["straight", vessel, "speed"],
    ["straight", vessel, "focus"],
    ["tapered", { taperMm: [88, 64, 110] }, "settings"],
    ["tapered", { taperMm: [88, 64, 110] }, "power"],
    ["ball", { sphereMm: 80 }, "settings"],
    ["ball", { sphereMm: 80 }, "speed"],
    ["ball", { sphereMm: 80 }, "focus"],
    ["ramp", vessel, "ramp"],
  ])("of a vessel to one side, out of focus, %s, %o, ladder %s", (_, of, ladder) => {
    const laid = stripOf(jobOf({ ...asked, vessel: of }), { ladder });
    const worlds = worldsOf(laid.job, 16);
    const rng = seeded(11);
    const pitch = laid.bars[1]!.atMm - laid.bars[0]!.atMm;
    const half = (): number => pitch * (rng() - 0.5);
    let bands = 0;
    for (const world of worlds) {
      const lay = { sidewaysMm: 4 * rng() - 2, focusErrorMm: 3 * rng() - 1.5 };
      const readings = laid.marks.map((mark, i): Reading => {
        const shown = predictedOf(laid, mark, meetsOf(laid, mark, lay), world);
        const off = shown.clear && ([shown.clear[0] + half(), shown.clear[1] + half()] as const);
        return { row: i + 1, ...readingOf(laid, mark, { ...shown, clear: off, gap: off && shown.gap }) };
      });
      bands += readings.filter(({ clear }) => clear !== "none").length;
      expect(() => checkTogether({ strip: laid, readings })).not.toThrow();
    }
    expect(bands).toBeGreaterThan(laid.marks.length * 3);
  });
});
