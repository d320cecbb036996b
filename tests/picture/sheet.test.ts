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
import { LEAST_SIZE, sheetPage } from "../../src/picture/sheet/sheetpage.ts";
import type { Sheet, SheetFacts } from "../../src/picture/sheet/types.ts";
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
      const page = sheetPage(sheet, letters);
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
    const said = sheetPage(sheet, letters).items.flatMap((i) => (i.kind === "text" ? [i.words] : []));
    const more = said.find((words) => /^and \d+ more, and what to do, in crest\.sheet\.html$/.test(words))!;
    const told = said.filter((words) => /^reason \d+/.test(words)).length;
    expect(Number(/\d+/.exec(more)![0]) + told).toBe(40);
  });

  it("its QR code, read off the drawing by another library, holds name, file and hash", async () => {
    const sheet = sheetContent(await crestPlan({ order: { name: "Ruderboote für Łódź" } }), factsOf());
    const svg = pageSvg(sheetPage(sheet, letters), letters, 8);
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
