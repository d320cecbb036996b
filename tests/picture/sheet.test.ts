/** The station sheet: what it says against the plan and plain arithmetic, and that its page holds all of it. */
import jsQR from "jsqr";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../src/job/job.ts";
import { cautions } from "../../src/picture/cautions.ts";
import { type PageItem, type Paper, papers } from "../../src/picture/page/page.ts";
import { pageSvg } from "../../src/picture/page/pagesvg.ts";
import { alignBox, alignSvg } from "../../src/picture/sheet/align.ts";
import { sheetContent } from "../../src/picture/sheet/content.ts";
import { sheetHtml } from "../../src/picture/sheet/sheethtml.ts";
import { LEAST_SIZE, sheetPages } from "../../src/picture/sheet/sheetpage.ts";
import { fileList, type Sheet, type SheetFacts } from "../../src/picture/sheet/types.ts";
import { timeWords } from "../../src/plan/figures.ts";
import { firstArticle } from "../../src/plan/firstarticle.ts";
import { reportOf } from "../../src/plan/report.ts";
import type { Plan } from "../../src/plan/types.ts";
import { crestPlan, FORBIDDEN, lettering, planOf } from "./helpers.ts";

const letters = lettering();
const factsOf = (paper: Paper = "a4", name = "crest"): SheetFacts => ({
  title: `${name}.svg`,
  marks: `${name}.warped.svg`,
  align: `${name}.align.svg`,
  html: `${name}.sheet.html`,
  sha256: "0123456789abcdef".repeat(4),
  date: "2026-03-01",
  paper,
});
const settings = { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025, passes: 2 };
const whole: JobFile = {
  order: { name: "Crew cups", customer: "Heron Reach", revision: "B", quantity: 24 },
  vessel: { diameterMm: 82, name: "Tumbler", heightMm: 180, belowRimMm: 62, handleDeg: 90, seamDeg: -170 },
  source: { id: "fibre-60" },
  coating: { id: "powder-red" },
  settings,
};

const blocks = (sheet: Sheet, title: string) => sheet.sections.find((s) => s.title === title)!.blocks;
function row(sheet: Sheet, title: string, name: string) {
  const rows = blocks(sheet, title).flatMap((b) => (b.kind === "rows" ? b.rows : []));
  return rows.find((r) => r.name === name)!;
}
const steps = (sheet: Sheet, title: string): string =>
  blocks(sheet, title)
    .flatMap((b) => (b.kind === "steps" ? b.steps : []))
    .join("\n");
const tables = (sheet: Sheet, title: string) =>
  blocks(sheet, title).flatMap((b) => (b.kind === "table" ? [b] : []));

describe("what the sheet says", () => {
  it("of the lens's height: working distance less δ, from the crown and from the bed, and which way from a touch", async () => {
    const plan = await crestPlan({ ...whole, column: { restHeightMm: 12 }, focus: 4.75 });
    const sheet = sheetContent(plan, factsOf());
    const wd = plan.job.lens.workingDistanceMm;
    expect(row(sheet, "Lens height", "lens reference").value).toBe(
      `${(wd - 4.75).toFixed(1)} mm above the crown line`,
    );
    // Bed to crown: the rest and the vessel's diameter.
    expect(row(sheet, "Lens height", "from the bed").value).toContain(
      `${(wd - 4.75 + 12 + 82).toFixed(1)} mm`,
    );
    expect(steps(sheet, "Lens height")).toContain(
      `working distance, ${wd.toFixed(1)} mm: the same, take the stick away, and only then lower the head by 4.8 mm`,
    );
    expect(steps(sheet, "Lens height")).toContain("never below the glass");
    const above = sheetContent(await crestPlan({ focus: -1.5 }), factsOf());
    expect(steps(above, "Lens height")).toContain("only then raise the head by 1.5 mm");
    expect(above.schematic.focus).toBe("1.5 mm above crown");
    const crown = sheetContent(await crestPlan({ focus: "crown" }), factsOf());
    expect(steps(crown, "Lens height")).toContain("only then the height is right");
    expect(crown.schematic.side).toBe("on");
  });

  it("of a column too short: its stop, and how much higher the focus would be wanted", async () => {
    const plan = await crestPlan({ focus: 1, column: { travelMm: 571, restHeightMm: 0 } });
    expect(plan.column.atStop).not.toBeNull();
    const sheet = sheetContent(plan, factsOf());
    expect(row(sheet, "Lens height", "lens reference").value).toBe(
      `${(571 - 82).toFixed(1)} mm above the crown line: the column's stop`,
    );
    expect(row(sheet, "Lens height", "").value).toContain(
      `${(plan.focus.belowCrownMm - 1).toFixed(1)} mm higher`,
    );
    // A stick of the working distance on the crown would need more than the column has.
    expect(steps(sheet, "Lens height")).not.toContain("working distance,");
    const enough = sheetContent(await crestPlan({ column: { travelMm: 574, restHeightMm: 0 } }), factsOf());
    expect(steps(enough, "Lens height")).not.toContain("working distance,");
    const tall = sheetContent(await crestPlan({ column: { travelMm: 576, restHeightMm: 0 } }), factsOf());
    expect(steps(tall, "Lens height")).toContain("working distance,");
  });

  it("of the load: the report's box; with ink beyond the limits the groups to take and both boxes", async () => {
    const plan = await crestPlan(whole);
    const sheet = sheetContent(plan, factsOf());
    const { centreMm, sizeMm } = reportOf(plan).box!;
    const centre = `x ${centreMm[0].toFixed(3).replace("-", "−").replace("−0.000", "0.000")}, y ${centreMm[1].toFixed(3).replace("-", "−")} mm`;
    expect(row(sheet, "Load", "box centre").value).toBe(centre);
    expect(row(sheet, "Load", "box size").value).toContain(`× ${sizeMm[1].toFixed(2)} mm`);
    expect(row(sheet, "Load", "file").value).toBe("crest.warped.svg");
    expect(row(sheet, "Load", "groups").value).toBe("one, usable");
    const wide = sheetContent(await crestPlan({ placement: { widthMm: 90 } }), factsOf());
    expect(row(wide, "Load", "groups").value).toMatch(
      /group usable \(black\); out-of-depth \(grey\) lies beyond/,
    );
    expect(row(wide, "Load", "").value).toMatch(/^stop: not to be marked/);
    expect(row(wide, "Load", "centre, all").value).not.toBe(row(wide, "Load", "centre, usable").value);
    const drawn = sheetContent(
      await planOf(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 20" width="20mm" height="20mm"><path d="M2 2H18" stroke="#000"/></svg>',
        {
          vessel: { diameterMm: 82 },
          ink: { strokes: "centre-line" },
          settings,
          source: { id: "fibre-60" },
        },
      ),
      factsOf(),
    );
    expect(row(drawn, "Load", "lines").value).toMatch(/^open lines/);
    expect(tables(drawn, "Settings and turns")[0]!.rows).toHaveLength(1);
    const none = sheetContent(await crestPlan({ focus: -40 }), factsOf());
    expect(row(none, "Load", "groups").value).toMatch(/^none/);
  });

  it("of the vessel: what is known, and a line to write on for what is not", async () => {
    const sheet = sheetContent(await crestPlan(whole), factsOf());
    expect(row(sheet, "Vessel", "placement point").value).toBe("62.0 mm below the rim, on the crown line");
    // A quarter of the girth: π · 82 / 4.
    expect(row(sheet, "Vessel", "handle").value).toBe(
      "90° to the right of the crown line, 64.4 mm on the girth",
    );
    expect(row(sheet, "Vessel", "seam").value).toMatch(/^170° to the left of the crown line, 121\.6 mm/);
    const bare = sheetContent(await crestPlan({ axis: "x" }), factsOf());
    expect(row(bare, "Vessel", "placement point")).toMatchObject({
      value: null,
      after: expect.stringMatching(/^mm below the rim/),
    });
    expect(row(bare, "Vessel", "handle")).toBeUndefined();
    expect(row(bare, "Vessel", "lying").value).toMatch(/\+x/);
    expect(bare.head.filter((r) => r.value === null).map((r) => r.name)).toEqual([
      "customer",
      "revision",
      "quantity",
      "coating",
    ]);
  });

  it("of the settings: a row for each set in its order; the shares of the time are those of the parts", async () => {
    const plan = await crestPlan({ ...whole, settings: { ...settings, anglesDeg: [90, 0, 45] } });
    const sheet = sheetContent(plan, factsOf());
    const [table, turns] = tables(sheet, "Settings and turns");
    expect(table!.rows.map((r) => r.slice(0, 8))).toEqual([
      ["1", "90", "27", "45", "900", "50", "0.025", "2"],
      ["2", "0", "27", "45", "900", "50", "0.025", "2"],
      ["3", "45", "27", "45", "900", "50", "0.025", "2"],
    ]);
    const time = plan.forecast!.time;
    expect(table!.rows.map((r) => r[8])).toEqual(time.sets.map((s) => String(s.lines)));
    // A job with this set alone takes so much of the time of all three.
    for (const [i, { angleDeg }] of time.sets.entries()) {
      const alone = await crestPlan({ ...whole, settings: { ...settings, anglesDeg: [angleDeg] } });
      const share = alone.forecast!.time.seconds / time.seconds;
      expect(table!.rows[i]!.at(-1)).toBe(`${Math.round(100 * share)} %`);
    }
    expect(turns!.rows).toEqual([["1", "0.0", "0.0", "crest.warped.svg"]]);
    const words = blocks(sheet, "Settings and turns")
      .map((b) => (b.kind === "words" ? b.words : ""))
      .join(" ");
    expect(words).toMatch(/Uncalibrated/);
    expect(words).toMatch(/clockwise in the file/);
    expect(row(sheet, "Settings and turns", "marking time").value).toContain(
      `${timeWords(time.seconds)} a vessel; 24 vessels ${timeWords(24 * time.seconds)}`,
    );
  });

  it("with the axis along x the angles in the file are told too: a quarter on", async () => {
    const sheet = sheetContent(await crestPlan({ ...whole, axis: "x" }), factsOf());
    const [table] = tables(sheet, "Settings and turns");
    expect(table!.head[2]).toBe("in the file °");
    expect(table!.rows.map((r) => r.slice(1, 3))).toEqual([
      ["90", "0"],
      ["0", "90"],
    ]);
  });

  it("without settings: empty boxes, and that they are not in the job", async () => {
    const sheet = sheetContent(await crestPlan(), factsOf());
    const [table] = tables(sheet, "Settings and turns");
    expect(table!.rows.every((r) => r.slice(1).every((cell) => cell === ""))).toBe(true);
    expect(table!.rows).toHaveLength(2);
    expect(blocks(sheet, "Settings and turns")[0]).toMatchObject({
      words: expect.stringMatching(/not in the job/),
    });
    expect(row(sheet, "Settings and turns", "marking time").value).toBeNull();
  });

  it("of the first article: the kernel's numbers and its factor; none of the rule where the crown line is not in the ink", async () => {
    const plan = await crestPlan();
    const first = firstArticle(plan)!;
    const sheet = sheetContent(plan, factsOf());
    expect(tables(sheet, "Edges as planned")[0]!.rows.map((r) => r[1])).toEqual([
      ...first.rows.filter((r) => r.offMm > 0).map((r) => `${(100 * r.left).toFixed(0)} %`),
      `−${(-100 * first.slopePerMm.left).toFixed(1)} %`,
    ]);
    expect(steps(sheet, "First article")).toContain("from the artwork's middle");
    expect(steps(sheet, "First article")).toContain(`times ${(1 / first.share!).toFixed(2)}`);
    const beside = sheetContent(await crestPlan({ placement: { widthMm: 30, atMm: [5, 0] } }), factsOf());
    // Sides that are uneven by plan say nothing by how far they are clear.
    expect(steps(beside, "First article")).toContain("not alike by plan");
    expect(steps(beside, "First article")).not.toContain("half of the difference");
    expect(tables(beside, "Edges as planned")[0]!.rows).toHaveLength(7);
    const off = sheetContent(await crestPlan({ placement: { widthMm: 10, atMm: [9, 0] } }), factsOf());
    expect(steps(off, "First article")).not.toContain("half of the difference");
  });

  it("of the verdict: a stop says not to mark, with its reasons; and the cautions name the wavelength", async () => {
    const stop = sheetContent(
      await crestPlan({ placement: { widthMm: 90 }, source: { wavelengthNm: 1055 } }),
      factsOf(),
    );
    expect(stop.verdict).toMatchObject({ stop: true, words: expect.stringContaining("DO NOT MARK") });
    expect(stop.verdict.reasons[0]!.words).toMatch(/ outside the usable depth of focus$/);
    const care = blocks(stop, "Take care").map((b) => (b.kind === "words" ? b.words : ""));
    expect(care).toEqual(cautions(1055));
    expect(care.join(" ")).toContain("1055 nm");
    const ready = sheetContent(await crestPlan({ placement: { widthMm: 30 } }), factsOf());
    expect(ready.verdict.stop).toBe(false);
  });
});

describe("what the sheet says of vessels that are no plain cylinder", () => {
  const taper: JobFile = { vessel: { taperMm: [88, 64, 110] }, placement: { widthMm: 36 } };
  // Half the difference of the radii over the height: the angle that the wall leans from the axis.
  const lean = (Math.atan(12 / 110) * 180) / Math.PI;

  it("lying: how far the axis is off level, what a gauge shows, and how high the crown line is", async () => {
    const sheet = sheetContent(await crestPlan({ ...taper, pose: "lying" }), factsOf());
    // On its side the lower wall is level, the axis leans by the wall's angle and the crown line by twice that.
    expect(row(sheet, "Vessel", "pose").value).toContain(
      `the axis ${lean.toFixed(2)}° off level, the rim raised`,
    );
    expect(row(sheet, "Vessel", "check").value).toContain(
      `shows ${(2 * lean).toFixed(2)}°, higher toward the rim`,
    );
    // From the apex the crown line is r/sin α long to the placement point, and stands that times sin 2α above the bed.
    const height = 2 * 38 * Math.cos((lean * Math.PI) / 180);
    expect(row(sheet, "Vessel", "rest").value).toContain(
      `crown line ${height.toFixed(1)} mm above it at the placement point`,
    );
    expect(steps(sheet, "First article")).toContain("unlike by plan");
    expect(sheet.head.find(({ name }) => name === "vessel")!.value).toBe("88 to 64 mm diameter over 110 mm");
  });

  it("levelled: a level on the crown line; with the axis level, and tilted", async () => {
    const levelled = sheetContent(await crestPlan({ ...taper, pose: "levelled" }), factsOf());
    expect(row(levelled, "Vessel", "pose").value).toMatch(
      /^levelled: .* the axis 6\.23° off level, the rim lowered$/,
    );
    expect(row(levelled, "Vessel", "check").value).toContain("shows level");
    expect(row(levelled, "Vessel", "rest").value).toMatch(/, level$/);
    const axis = sheetContent(await crestPlan({ ...taper, pose: "axis" }), factsOf());
    expect(row(axis, "Vessel", "pose").value).toMatch(/^axis level/);
    expect(row(axis, "Vessel", "check").value).toContain(`shows ${lean.toFixed(2)}°, higher toward the rim`);
    const cup = { vessel: { diameterMm: 82 }, placement: { widthMm: 30 } };
    const tilted = sheetContent(await crestPlan({ ...cup, pose: -2 }), factsOf());
    expect(row(tilted, "Vessel", "pose").value).toBe("the axis 2° off level, the rim lowered");
    expect(row(sheetContent(await crestPlan(cup), factsOf()), "Vessel", "pose")).toBeUndefined();
  });

  it("of a ball: no rim to measure from", async () => {
    const sheet = sheetContent(
      await crestPlan({ vessel: { sphereMm: 70 }, placement: { widthMm: 30 } }),
      factsOf(),
    );
    expect(row(sheet, "Vessel", "placement point").value).toBe("where the ball is highest");
    expect(steps(sheet, "Crown line")).toContain("level across the ball");
    expect(sheet.head.find(({ name }) => name === "vessel")!.value).toBe("70 mm sphere");
  });

  it.each([
    [[150, 210], "150° to 210° to the right of the crown line", true],
    [[-60, -20], "60° to 20° to the left of the crown line", false],
    [
      [-30, 20],
      "from 30° to the left of the crown line, by way of the right, to 20° to the right of the crown line",
      false,
    ],
    [
      [60, -60],
      "from 60° to the right of the crown line, by way of the right, to 60° to the left of the crown line",
      true,
    ],
    [[-180, 180], "all around", false],
  ] as const)("what stays free: %s", async (aroundDeg, words, down) => {
    const blocked = [
      {
        name: "handle",
        aroundDeg: [...aroundDeg] as [number, number],
        belowRimMm: [10, 90] as [number, number],
      },
    ];
    const plan = await crestPlan({ vessel: { ...whole.vessel, blocked }, placement: { widthMm: 20 } });
    expect(row(sheetContent(plan, factsOf()), "Vessel", "keep free").value).toBe(
      `handle: ${words}, 10 to 90 mm below the rim${down ? "; it points down: the rest must leave it room" : ""}`,
    );
  });

  it("the alignment line of a taper ends at rim and base, wherever the beam meets them", async () => {
    const plan = await crestPlan({ ...taper, pose: "levelled", lens: { pivotMm: "telecentric" } });
    const ends = [...alignSvg(plan).matchAll(/ d="M0 ([\d.-]+)L0 ([\d.-]+)"/g)][0]!.slice(1).map(Number);
    // With the crown line level and beams side by side, it is as long as the wall.
    expect(ends[1]! - ends[0]!).toBeCloseTo(Math.hypot(12, 110), 3);
  });
});

describe("what the sheet says of turns", () => {
  const girth = 50 * Math.PI;
  const bars = Array.from(
    { length: 9 },
    (_, i) => `<rect x="${((i + 0.1) * girth) / 9}" y="2" width="${(0.8 * girth) / 9}" height="16"/>`,
  );
  const wrap = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${girth} 20" width="${girth}mm" height="20mm">${bars.join("")}</svg>`;
  const job: JobFile = {
    vessel: { diameterMm: 50, heightMm: 100, belowRimMm: 50 },
    turns: 3,
    witnessMarks: true,
    settings,
    source: { id: "fibre-60" },
  };
  const turnFacts = (count: number, paper: Paper = "a4"): SheetFacts => ({
    ...factsOf(paper),
    marks: `crest.turn-1 to turn-${count}.warped.svg`,
    turnFiles: Array.from({ length: count }, (_, i) => ({
      name: `crest.turn-${i + 1}.warped.svg`,
      sha256: String(i).repeat(64),
    })),
  });

  it("each one's index, the step to it, which way, its box, and where the pointer must fall", async () => {
    const plan = await planOf(wrap, { ...job, turns: 4 });
    const sheet = sheetContent(plan, turnFacts(4));
    const [index, files] = tables(sheet, "Turns");
    expect(index!.rows).toHaveLength(4);
    const number = (words: string): number => Number(words.replace("−", "-"));
    let before = 0;
    for (const [i, cells] of index!.rows.entries()) {
      const [turn, angle, step, arc, side, centre, size, pointer] = cells as string[];
      expect(turn).toBe(String(i + 1));
      expect(number(angle!) - before).toBeCloseTo(number(step!), 1);
      // On a girth of 50 π mm.
      expect(number(arc!)).toBeCloseTo((number(step!) / 360) * girth, 1);
      expect(side).toBe(number(step!) > 0 ? "right" : "left");
      const { box, aimMm } = plan.turns[i]!;
      expect(number(centre!.split(", ")[0]!)).toBeCloseTo((box.all!.minX + box.all!.maxX) / 2, 3);
      expect(number(size!.split(" × ")[1]!)).toBeCloseTo(box.all!.maxY - box.all!.minY, 2);
      if (aimMm) expect(number(pointer!.split(", ")[0]!)).toBeCloseTo(aimMm[0], 3);
      else expect(pointer).toBe("–");
      before = number(angle!);
    }
    expect(plan.turns.filter(({ aimMm }) => aimMm)).toHaveLength(3);
    // The wrap is even about its crown line.
    expect(number(index!.rows[0]![1]!)).toBeCloseTo(-number(index!.rows[3]![1]!), 1);
    expect(files!.rows.map((r) => r[1])).toEqual([
      "crest.turn-1.warped.svg",
      "crest.turn-2.warped.svg",
      "crest.turn-3.warped.svg",
      "crest.turn-4.warped.svg",
    ]);
    expect(files!.rows[2]![2]).toBe(Array<string>(8).fill("22222222").join(" "));
    expect(row(sheet, "Load", "files").value).toBe("crest.turn-1 to turn-4.warped.svg: see Turns");
    expect(row(sheet, "Load", "box centre")).toBeUndefined();
    expect(sheet.code).toContain(
      "files: crest.turn-1 to turn-4.warped.svg\nsha256 of their list: 0123456789abcdef",
    );
    // The forecast is of all turns already.
    expect(row(sheet, "Settings", "marking time").value).toContain(
      `about ${timeWords(plan.forecast!.time.seconds)} a vessel`,
    );
  });

  it("how first and last meet", async () => {
    const words = (plan: Plan): string =>
      blocks(sheetContent(plan, turnFacts(3)), "Turns")
        .map((b) => (b.kind === "words" ? b.words : ""))
        .join(" ");
    expect(words(await planOf(wrap, job))).toContain(
      `Closing: the artwork goes around ${girth.toFixed(2)} mm, the vessel ${girth.toFixed(2)} mm: first and last meet.`,
    );
    const wider = { ...job, vessel: { ...job.vessel, diameterMm: 50.5 } };
    expect(words(await planOf(wrap, wider))).toContain(`leave a gap of ${(0.5 * Math.PI).toFixed(2)} mm`);
  });

  it("what is hashed of several files is told, and is what a list of them as text gives", () => {
    // The layout of coreutils' checksum lists: digits, two blanks, name.
    expect(
      fileList([
        { name: "a.svg", sha256: "0a" },
        { name: "b.svg", sha256: "1b" },
      ]),
    ).toBe("0a  a.svg\n1b  b.svg\n");
  });

  it.each([
    [3, "a4"],
    [6, "letter"],
  ] as const)("%i turns: the page of %s holds the whole index, inside its margins", async (turns, paper) => {
    const plan = await planOf(wrap, { ...job, turns });
    expect(plan.turns).toHaveLength(turns);
    const page = sheetPages(sheetContent(plan, turnFacts(turns, paper)), letters)[0]!;
    const texts = page.items.flatMap((item) => (item.kind === "text" ? [item] : []));
    for (const t of texts) expect(t.y).toBeLessThan(papers[paper].heightMm - 9);
    const angles = plan.turns.map(({ angle }) => ((angle * 180) / Math.PI).toFixed(2).replace("-", "−"));
    const said = texts.map((t) => t.words);
    for (const angle of angles) expect(said).toContain(angle.replace("−0.00", "0.00"));
  });
});

describe("the alignment line", () => {
  const lines = (svg: string): number[][] =>
    [...svg.matchAll(/ d="M([\d.-]+) ([\d.-]+)L([\d.-]+) ([\d.-]+)"/g)].map((m) => m.slice(1).map(Number));

  it("runs from rim to base on u = 0, as far as the pivot has it, with the tick on (0, 0)", async () => {
    const plan = await crestPlan({ ...whole, lens: { pivotMm: [560, 480] }, focus: 4 });
    const svg = alignSvg(plan);
    const [line, tick] = lines(svg);
    // d = −4 on the crown line: v = Y / (1 − 4/480).
    const k = 1 / (1 - 4 / 480);
    expect(line![0]).toBe(0);
    expect(line![1]).toBeCloseTo(-62 * k, 3);
    expect(line![2]).toBe(0);
    expect(line![3]).toBeCloseTo(118 * k, 3);
    expect(tick).toEqual([-3, 0, 3, 0]);
    expect(svg).toContain('data-fallaway="bent"');
    expect(svg).toContain('viewBox="-150 -150 300 300"');
    expect(alignBox(plan).maxY).toBeCloseTo(118 * k, 3);
  });

  it("over the field where the height is not known, never beyond it, and turned with the axis", async () => {
    expect(lines(alignSvg(await crestPlan()))[0]).toEqual([0, -150, 0, 150]);
    const long = { diameterMm: 82, heightMm: 400, belowRimMm: 60 };
    const plan = await crestPlan({ vessel: long, axis: "x" });
    const [line, tick] = lines(alignSvg(plan));
    // (u, v) → (−v, u): the rim, up on the page, to the right.
    expect(line![1]).toBe(0);
    expect(line![0]).toBeGreaterThan(60);
    expect(line![2]).toBe(-150);
    expect(tick).toEqual([0, -3, 0, 3]);
    expect(alignBox(plan)).toMatchObject({ minX: -150, minY: -3, maxY: 3 });
  });
});

/** The most that a job may hold, or near it. */
const long = (n: number, word: string): string =>
  Array.from({ length: n }, () => word)
    .join(" ")
    .slice(0, 200);
const full: JobFile = {
  ...whole,
  order: {
    name: long(40, "Regatta cups"),
    customer: long(40, "Heron Reach"),
    revision: "W".repeat(200),
    quantity: 1_000_000,
  },
  vessel: { ...whole.vessel, name: long(60, "Tumbler") },
  settings: {
    ...settings,
    anglesDeg: [90, 0, 45, 135, 15, 30, 60, 75, 105, 120, 150, 165],
    frequencyKHz: 400,
  },
};

describe("the page", () => {
  const jobs: [string, JobFile, Paper, string][] = [
    ["plain", {}, "a4", "crest"],
    ["with settings", whole, "letter", "crest"],
    [
      "stopped, axis x",
      { placement: { widthMm: 90, atMm: [3, 2] }, axis: "x", vessel: { diameterMm: 82, handleDeg: 90 } },
      "letter",
      "crest",
    ],
    [
      "all at once, a4",
      {
        ...full,
        axis: "x",
        placement: { widthMm: 95, atMm: [6, 2] },
        column: { travelMm: 565, restHeightMm: 0 },
      },
      "a4",
      "w".repeat(200),
    ],
    [
      "all at once, letter",
      {
        ...full,
        axis: "x",
        placement: { widthMm: 95, atMm: [6, 2] },
        column: { travelMm: 565, restHeightMm: 0 },
      },
      "letter",
      long(60, "regatta-cup"),
    ],
  ];

  it.each(jobs)(
    "%s: everything lies inside the margins, readable, and no words on others",
    async (_, job, paper, name) => {
      const sheet = sheetContent(await crestPlan(job), factsOf(paper, name));
      const page = sheetPages(sheet, letters)[0]!;
      const { widthMm, heightMm } = papers[paper];
      expect(page).toMatchObject({ widthMm, heightMm });
      const texts = page.items.flatMap((item) => (item.kind === "text" ? [boxOf(item)] : []));
      for (const t of texts) {
        expect(t.size, t.words).toBeGreaterThanOrEqual(LEAST_SIZE - 1e-9);
        expect(t.left, t.words).toBeGreaterThan(9.9);
        expect(t.right, t.words).toBeLessThan(widthMm - 9.9);
        expect(t.top, t.words).toBeGreaterThan(7.9);
        expect(t.bottom, t.words).toBeLessThan(heightMm - 9);
      }
      const crossing = texts.flatMap((a, i) =>
        texts
          .slice(i + 1)
          .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
          .map((b) => [a.words, b.words]),
      );
      expect(crossing).toEqual([]);
      expect(pageSvg(page, letters, 4)).not.toMatch(FORBIDDEN);
      // The page holds every section, whatever was shortened.
      const said = texts.map((t) => t.words).join(" ");
      for (const { title } of sheet.sections) expect(said).toContain(title);
      expect(said).toContain(sheet.hash);
    },
  );

  const boxOf = (item: Extract<PageItem, { kind: "text" }>) => {
    const { words, x, y, size, weight = "regular", anchor = "start" } = item;
    const width = letters.width(words, size, weight);
    const left = anchor === "start" ? x : anchor === "middle" ? x - width / 2 : x - width;
    return { words, size, left, right: left + width, top: y - 0.72 * size, bottom: y + 0.05 * size };
  };

  it("reasons that have no room are counted, with where they are", async () => {
    const plan = await crestPlan(full);
    const reasons = Array.from({ length: 40 }, (_, i) => ({
      ...plan.reasons[0]!,
      severity: "caution" as const,
      code: "x",
      message: `reason ${i} ${long(20, "of some length")}`,
    }));
    const sheet = sheetContent({ ...plan, reasons }, factsOf("letter"));
    const said = sheetPages(sheet, letters)[0]!.items.flatMap((i) => (i.kind === "text" ? [i.words] : []));
    const more = said.find((words) => /^and \d+ more, and what to do, in crest\.sheet\.html$/.test(words))!;
    const told = said.filter((words) => /^reason \d+/.test(words)).length;
    expect(Number(/\d+/.exec(more)![0]) + told).toBe(40);
  });

  it("its QR code, read off the drawing by another library, holds name, file and hash", async () => {
    const sheet = sheetContent(await crestPlan({ order: { name: "Ruderboote für Łódź" } }), factsOf());
    const svg = pageSvg(sheetPages(sheet, letters)[0]!, letters, 8);
    const { data, info } = await sharp(Buffer.from(svg))
      .flatten({ background: "#ffffff" })
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const read = jsQR.default(new Uint8ClampedArray(data), info.width, info.height);
    expect(read?.data).toBe(
      `job: Ruderboote für Łódź\nfile: crest.warped.svg\nsha256: ${"0123456789abcdef".repeat(4)}`,
    );
  });
});

describe("the HTML", () => {
  const html = async (job: JobFile, plan?: Plan): Promise<string> =>
    sheetHtml(sheetContent(plan ?? (await crestPlan(job)), factsOf()));

  it("stands alone and says what the sheet says", async () => {
    const plan = await crestPlan(whole);
    const text = await html({}, plan);
    expect(text).not.toMatch(/<script|<link|<img|url\(|@import|https?:(?!\/\/www\.w3\.org)| on\w+=/);
    expect(text).not.toMatch(/NaN|undefined|Infinity|\[object/);
    expect(text).toMatch(/^<!DOCTYPE html>\n<html lang="en">/);
    expect(text).toContain('<meta name="viewport" content="width=device-width, initial-scale=1">');
    const sheet = sheetContent(plan, factsOf());
    const words = text.replace(/<[^>]+>/g, "");
    for (const section of sheet.sections)
      for (const block of section.blocks) {
        if (block.kind === "steps") for (const step of block.steps) expect(words).toContain(step);
        if (block.kind === "rows") for (const { value } of block.rows) expect(words).toContain(value ?? "");
      }
    expect(words).toContain(sheet.hash);
  });

  it("escapes what it is given", async () => {
    const text = await html({ order: { name: '<b>"Crew" & co</b>' } });
    expect(text).toContain("<h1>&lt;b&gt;&quot;Crew&quot; &amp; co&lt;/b&gt;</h1>");
    expect(text).not.toContain("<b>");
  });

  it("holds all reasons, and their hints", async () => {
    const plan = await crestPlan({ placement: { widthMm: 90 } });
    const text = await html({}, plan);
    const sheet = sheetContent(plan, factsOf());
    for (const { hint } of sheet.verdict.reasons) expect(text).toContain(`– ${hint.replace(/>/g, "&gt;")}`);
  });
});
