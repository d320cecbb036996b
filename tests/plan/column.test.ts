/** The column: what the focus needs of it, what becomes of a short one, and that its hints hold. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { columnOf } from "../../src/plan/column.ts";
import { reportOf } from "../../src/plan/report.ts";
import type { Plan } from "../../src/plan/types.ts";
import { alone, planned, reason, rectangle, vessel } from "./process-helpers.ts";

const short = (plan: Plan) => reason(plan, "column-too-short");
/** Drop of an edge a mm from the crown line, R = 38.2 mm: height of the segment (Machinery's Handbook). */
const drop = (a: number): number => 38.2 * (1 - Math.cos(a / 38.2));

describe("needed = working distance + rest + diameter − δ", () => {
  it.each([
    // working distance, rest, diameter, δ, travel: needed, short
    [457, 0, 76.4, 7, 500, 526.4, 26.4],
    [457, 0, 76.4, 7, 800, 526.4, 0],
    [108, 25, 90, 0.4, 222.6, 222.6, 0],
    [493, 12.5, 50, -2, undefined, 557.5, null],
  ])("%d + %d + %d − %d", (work, restHeightMm, diameter, delta, travelMm, needed, missing) => {
    const asked = { restHeightMm, ...(travelMm === undefined ? {} : { travelMm }) };
    const column = columnOf(asked, work, diameter, delta);
    expect(column.neededMm).toBeCloseTo(needed, 9);
    expect(column.crownHeightMm).toBeCloseTo(restHeightMm + diameter, 9);
    expect(column.travelMm).toBe(travelMm ?? null);
    if (missing === null) expect(column.shortMm).toBeNull();
    else expect(column.shortMm).toBeCloseTo(missing, 9);
  });

  it("is short by what is missing and never by less than nothing; a deeper focus asks for as much less", () => {
    const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        mm(1, 900),
        mm(0, 300),
        mm(1, 900),
        mm(1, 300),
        mm(-50, 50),
        (travelMm, restHeightMm, work, d, delta) => {
          const { neededMm, shortMm } = columnOf({ travelMm, restHeightMm }, work, d, delta);
          expect(shortMm).toBe(Math.max(0, neededMm - travelMm));
          const deeper = columnOf({ travelMm, restHeightMm }, work, d, delta + 3);
          expect(deeper.neededMm).toBeCloseTo(neededMm - 3, 8);
        },
      ),
      { seed: 61, numRuns: 200 },
    );
  });
});

describe("a lens of 457 mm working distance over a vessel of 76.4 mm (common practice, no published source)", () => {
  const job = (travelMm: number): JobFile => ({
    vessel,
    lens: { workingDistanceMm: 457 },
    column: { travelMm },
  });

  it.each([20, 40, 60])("%d mm around: not on a column of 500 mm, but on one of 800 mm", async (width) => {
    const low = await alone(rectangle(width, 30), job(500));
    expect(low.verdict).toBe("stop");
    // 533.4 mm less the focus, which no ink of 60 mm asks more than its drop of 11.2 mm deep.
    expect(low.column.shortMm).toBeCloseTo(33.4 - low.focus.bestMm, 9);
    expect(low.column.shortMm).toBeGreaterThan(33.4 - drop(30));
    expect(short(low)!.severity).toBe("stop");
    const high = await alone(rectangle(width, 30), job(800));
    expect(high.verdict).toBe("ready");
    expect(high.column).toMatchObject({ shortMm: 0, atStop: null, travelMm: 800 });
    expect(short(high)).toBeUndefined();
    // The best focus does not hang on the column; what is planned is the stop's, 533.4 − 500.
    expect(low.focus.bestMm).toBeCloseTo(high.focus.bestMm, 9);
    expect(low.focus.belowCrownMm).toBeCloseTo(33.4, 9);
    expect(high.focus.belowCrownMm).toBeCloseTo(high.focus.bestMm, 9);
  });
});

describe("with the head at its stop", () => {
  /** A column that lacks so many mm for ink of 40 mm around. */
  const lacking = async (mm: number, more: JobFile = {}): Promise<Plan> => {
    const { column } = await alone(rectangle(40, 30), { vessel, ...more });
    const travelMm = column.neededMm - mm;
    return alone(rectangle(40, 30), { vessel, ...more, column: { ...more.column, travelMm } });
  };

  it.each([
    [0.5, true],
    [3, true],
    // z_R = 7.3 mm: the crown is out of depth from δ + short = 7.3 on, δ = 3.4 mm.
    [4.5, false],
    [60, false],
  ])("%d mm short: the focal plane lies δ + short below the crown; usable %s", async (mm, usable) => {
    const plan = await lacking(mm);
    const { atStop, shortMm } = plan.column;
    expect(shortMm).toBeCloseTo(mm, 9);
    const plane = plan.focus.bestMm + mm;
    expect(atStop!.belowCrownMm).toBeCloseTo(plane, 9);
    expect(plan.focus.belowCrownMm).toBeCloseTo(plane, 9);
    // What defocus remains: of the crown, and of the edge 20 mm from it.
    expect(atStop!.crownDefocusMm).toBeCloseTo(-plane, 9);
    expect(atStop!.edgeDefocusMm).toBeCloseTo(drop(20) - plane, 6);
    const depth = plan.limits.usableDepthMm;
    expect(usable).toBe(plane <= depth && drop(20) - plane <= depth);
    expect(atStop!.usable).toBe(usable);
    expect(plan.verdict).toBe(usable ? "caution" : "stop");
    const { severity, message, hint } = short(plan)!;
    expect(severity).toBe(usable ? "caution" : "stop");
    expect(message).toContain(`${mm.toFixed(1)} mm too short`);
    expect(message).toContain(`${plane.toFixed(1)} mm above the focal plane`);
    if (usable) expect(hint).toContain(`${(100 * atStop!.falloffRatio).toFixed(0)} % of the strongest`);
    // The same as planned with the focus there on a column that is tall enough: marks and all.
    const there = await alone(rectangle(40, 30), { vessel, focus: plane });
    expect(atStop!.falloffRatio).toBeCloseTo(there.falloff.min / there.falloff.max, 9);
    expect(there.zones.map((z) => z.areaMm2)).toEqual(plan.zones.map((z) => expect.closeTo(z.areaMm2, 6)));
    expect(there.zones[0]!.share > 1 - 1e-9).toBe(usable);
    expect(plan.box.all!.maxX).toBeCloseTo(there.box.all!.maxX, 6);
  });

  it("a focus given that lies deeper needs less: the column is tall enough for it", async () => {
    const plan = await lacking(0.5);
    const focus = plan.focus.bestMm + 0.6;
    const column = { travelMm: plan.column.travelMm! };
    const after = await alone(rectangle(40, 30), { vessel, focus, column });
    expect([after.verdict, after.column.shortMm, after.column.atStop]).toEqual(["ready", 0, null]);
    expect(after.focus.belowCrownMm).toBe(focus);
  });

  it("the hint's rest is low enough", async () => {
    const plan = await lacking(6.23, { column: { restHeightMm: 20 } });
    expect(short(plan)!.hint).toContain("lower the rest by 6.3 mm");
    const column = { travelMm: plan.column.travelMm!, restHeightMm: 20 - 6.3 };
    expect((await alone(rectangle(40, 30), { vessel, column })).verdict).toBe("ready");
    // No rest can be lowered by more than it is high.
    expect(short(await lacking(6.23, { column: { restHeightMm: 6 } }))!.hint).not.toContain("lower the rest");
  });

  it("the hint's lens can be focused on this column", async () => {
    const column = { travelMm: 480 };
    const plan = await planned(rectangle(40, 30), { vessel, column });
    const id = /--lens ([\w-]+)/.exec(short(plan)!.hint)![1]!;
    const after = await planned(rectangle(40, 30), { vessel, column, lens: { id } });
    expect([id, after.verdict, after.column.shortMm]).toEqual([plan.changes!.lens!.id, "ready", 0]);
  });
});

describe("in the report", () => {
  it("every figure, to a nanometre", async () => {
    const plan = await alone(rectangle(40, 30), { vessel, column: { travelMm: 560, restHeightMm: 10 } });
    const { column } = reportOf(plan);
    // field-300: 493 mm.
    expect(column.neededMm).toBeCloseTo(493 + 86.4 - plan.focus.bestMm, 5);
    expect(column).toMatchObject({ travelMm: 560, crownHeightMm: 86.4, atStop: plan.column.atStop });
    expect(column.shortMm).toBeCloseTo(column.neededMm - 560, 5);
    expect(plan.focus.belowCrownMm).toBeCloseTo(493 + 86.4 - 560, 9); // the head at its stop
  });

  it("a travel that is not given: nothing is missing and nothing is said", async () => {
    const plan = await alone(rectangle(40, 30), { vessel, column: { restHeightMm: 300 } });
    expect(reportOf(plan).column).toMatchObject({
      travelMm: null,
      shortMm: null,
      atStop: null,
      crownHeightMm: 376.4,
    });
    expect([short(plan), plan.verdict]).toEqual([undefined, "ready"]);
  });

  it("a stop that puts the crown above the lens's own pivot is an error with a name", async () => {
    // 1 mm of travel: the focal plane 493 + 76.4 − 1 mm below the crown, the nearer pivot 531 mm above it.
    const job = { vessel, column: { travelMm: 1 } };
    await expect(alone(rectangle(40, 30), job)).rejects.toMatchObject({
      problem: { code: "column-far-too-short", message: expect.stringContaining("568 mm below the crown") },
    });
    // 45 mm of travel: 524 mm, below it; then it is a stop, and no number that is none is told.
    const plan = await alone(rectangle(40, 30), { vessel, column: { travelMm: 45 } });
    expect(plan.verdict).toBe("stop");
    expect(JSON.stringify([plan.reasons, reportOf(plan).column])).not.toMatch(/NaN|Infinity|null/);
  });
});
