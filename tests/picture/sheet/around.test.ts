/** Where blocked areas stand in each turn, and when they point down: against plain arithmetic with degrees. */
import { describe, expect, it } from "vitest";
import type { JobFile } from "../../../src/job/job.ts";
import { downWords, isDown, standing, standsWords } from "../../../src/picture/sheet/around.ts";
import { sheetContent } from "../../../src/picture/sheet/content.ts";
import { sheetHtml } from "../../../src/picture/sheet/sheethtml.ts";
import { sheetPages } from "../../../src/picture/sheet/sheetpage.ts";
import type { SheetFacts } from "../../../src/picture/sheet/types.ts";
import { falloffAt } from "../../../src/plan/falloff.ts";
import { crestPlan, lettering, planOf } from "../helpers.ts";

const letters = lettering();
const bars = Array.from(
  { length: 48 },
  (_, i) => `<rect x="${(i * 226) / 48}" y="0" width="3" height="16"/>`,
).join("");
const wrap = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 226 16" width="226mm" height="16mm">${bars}</svg>`;
const blocked = [{ name: "handle", aroundDeg: [170, 190] as [number, number] }];
const job = (turns: number, more: JobFile["vessel"] = { blocked }): JobFile => ({
  vessel: { diameterMm: 76.4, heightMm: 95, belowRimMm: 47.5, ...more },
  turns,
  witnessMarks: true,
});
const facts = (count: number): SheetFacts => ({
  title: "wrap.svg",
  marks: `wrap.turn-1 to turn-${count}.warped.svg`,
  align: "wrap.align.svg",
  html: "wrap.sheet.html",
  sha256: "0123456789abcdef".repeat(4),
  date: "2026-03-01",
  paper: "a4",
  ...(count > 1
    ? {
        turnFiles: Array.from({ length: count }, (_, i) => ({
          name: `wrap.turn-${i + 1}.warped.svg`,
          sha256: (i % 10).toString().repeat(64),
        })),
      }
    : {}),
});
const pageWords = async (turns: number): Promise<string[]> => {
  const plan = await planOf(wrap, job(turns));
  expect(plan.turns).toHaveLength(turns);
  return sheetPages(sheetContent(plan, facts(turns)), letters)[0]!.items.flatMap((i) =>
    i.kind === "text" ? [i.words] : [],
  );
};

describe("what stands on the vessel", () => {
  it.each([
    [-62.88, -42.88, "63° to 43° left"],
    [42.9, 62.9, "43° to 63° right"],
    [-10, 25, "10° left to 25° right"],
    [170, 190, "170° right to 170° left"],
    [297.1, 317.1, "63° to 43° left"],
    [-180, 180, "all around"],
    [0, 40, "0° to 40° right"],
    [90, 90, "90° right"],
    // Both ends on the right, but by way of the back.
    [60, 400, "60° right to 40° right"],
  ])("from %f to %f: %s", (from, to, words) => {
    expect(standsWords({ from, to })).toBe(words);
  });

  it.each([
    [170, 190, 15, true],
    [-190, -170, 15, true],
    [128, 148, 15, false],
    [150, 165, 15, true],
    [150, 164.9, 15, false],
    [-165, -100, 15, true],
    [530, 540, 15, true],
    [120, 120, 60, true],
    [119, 119, 60, false],
    [-180, 180, 15, false],
  ])("from %f to %f, %f° near: straight down is %s", (from, to, near, down) => {
    expect(isDown({ from, to, near })).toBe(down);
  });

  it("goes around with the vessel: its place less the turn's index", async () => {
    const plan = await planOf(wrap, job(5));
    for (const turn of plan.turns) {
      const [handle] = standing(plan, turn);
      const angle = (turn.angle * 180) / Math.PI;
      const off = (handle!.from - (170 - angle)) / 360;
      expect(off).toBeCloseTo(Math.round(off), 9);
      expect(handle!.to - handle!.from).toBeCloseTo(20, 9);
    }
    // Straight down in a turn is what lies half the girth from its middle.
    const down = plan.turns.filter(({ angle }) => Math.abs((angle * 180) / Math.PI) <= 25);
    expect(downWords(plan)).toBe(
      down.length > 0 ? down.map(({ index }) => `turn ${index}: handle`).join("; ") : null,
    );
    expect(down.length).toBeGreaterThan(0);
  });

  it("a handle that is told alone goes around too, and one that is blocked as well is told once", async () => {
    const alone = await planOf(wrap, job(4, { handleDeg: 180 }));
    expect(standing(alone, alone.turns[0]!).map(({ name }) => name)).toEqual(["handle"]);
    const twice = await planOf(wrap, job(4, { handleDeg: 180, blocked }));
    expect(standing(twice, twice.turns[0]!).map(({ name }) => name)).toEqual(["handle"]);
  });
});

describe("the sheet", () => {
  it.each([8, 12, 16])(
    "%i turns: the whole index with the handle in each; where what has no room is, is said",
    async (turns) => {
      const said = await pageWords(turns);
      const text = said.join(" ");
      const plan = await planOf(wrap, job(turns));
      for (const turn of plan.turns) {
        expect(said).toContain(((turn.angle * 180) / Math.PI).toFixed(2).replace("-", "−"));
        expect(said).toContain(standsWords(standing(plan, turn)[0]!));
      }
      expect(text).toContain("Pointing down, the rest must leave it room: turn ");
      expect(text).toContain("Each file's SHA-256: in wrap.sheet.html.");
      expect(text).toContain("Figure: in wrap.sheet.html.");
      const html = sheetHtml(sheetContent(plan, facts(turns)));
      for (const file of facts(turns).turnFiles!) expect(html).toContain(file.name);
      expect(html).toContain('class="schematic"');
    },
  );

  it("counts angles from the artwork's crown line once there are others, and says what points down", async () => {
    const free = async (turns: number): Promise<string> => {
      const art = turns === 1 ? wrap.replace('width="226mm" height="16mm"', 'width="30mm"') : wrap;
      const sheet = sheetContent(await planOf(art, { ...job(turns), witnessMarks: false }), facts(turns));
      const rows = sheet.sections.flatMap(({ blocks }) =>
        blocks.flatMap((block) => (block.kind === "rows" ? block.rows : [])),
      );
      return rows.find(({ name }) => name === "keep free")!.value!;
    };
    expect(await free(4)).toBe(
      "handle: 170° to 190° to the right of the artwork's crown line, all along; it points down: the rest must leave it room; in each turn: see Turns",
    );
    expect(await free(1)).toBe(
      "handle: 170° to 190° to the right of the crown line, all along; it points down: the rest must leave it room",
    );
  });

  it("many areas have lines of their own, from each turn's crown line", async () => {
    const areas = ["handle", "badge", "seam guard"].map((name, i) => ({
      name,
      aroundDeg: [100 + 30 * i, 110 + 30 * i] as [number, number],
    }));
    const plan = await planOf(wrap, job(4, { blocked: areas }));
    const turns = sheetContent(plan, facts(4)).sections.find(({ title }) => title === "Turns")!;
    const words = turns.blocks.flatMap((block) => (block.kind === "words" ? [block.words] : [])).join(" ");
    expect(words).toContain("From each turn's own crown line: handle: turn 1 ");
    expect(words.match(/turn 4 \d+°/g)).toHaveLength(3);
  });
});

describe("the first article", () => {
  const section = async (title: string, options: JobFile): Promise<string> => {
    const sheet = sheetContent(await crestPlan(options), facts(1));
    return sheet.sections
      .filter((one) => one.title === title)
      .flatMap(({ blocks }) =>
        blocks.flatMap((b) => (b.kind === "words" ? [b.words] : b.kind === "steps" ? b.steps : [])),
      )
      .join("\n");
  };

  it("the weakest ink of all is told where it is weaker than the row across the middle", async () => {
    const bar = `<svg xmlns="http://www.w3.org/2000/svg" width="8mm" height="50mm" viewBox="0 0 8 50"><rect width="8" height="50"/></svg>`;
    const plan = await planOf(bar, { vessel: { sphereMm: 80 }, focus: "crown" });
    const { min, max } = plan.falloff;
    // A ball falls away along its axis too: φ at the ends of the bar is less than anywhere in the row of its middle.
    for (const a of [-4, 0, 4]) expect(falloffAt(plan.warp, plan.spot, a, 0)).toBeGreaterThan(min + 0.05);
    const whole = (v: number): string => (100 * v).toFixed(0);
    expect(JSON.stringify(sheetContent(plan, facts(1)).sections)).toContain(
      `The weakest ink of all gets ${whole(min)} %, which is ${whole(min / max)} % of the strongest.`,
    );
    const row = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="2mm" viewBox="0 0 40 2"><rect width="40" height="2"/></svg>`;
    const level = sheetContent(await planOf(row, { vessel: { diameterMm: 82 } }), facts(1));
    expect(JSON.stringify(level.sections)).not.toContain("The weakest ink of all");
  });

  it("top and bottom tell of the crown line only along a straight wall", async () => {
    expect(await section("First article", {})).toContain(
      "Top and bottom unlike: the crown line is not level.",
    );
    expect(
      await section("First article", { vessel: { sphereMm: 80 }, placement: { widthMm: 40 } }),
    ).not.toContain("Top and bottom");
  });
});

it("what stands below the code keeps clear of its light edge, four modules by ISO/IEC 18004", async () => {
  const sheet = sheetContent(await crestPlan(), facts(1));
  const { items } = sheetPages(sheet, letters)[0]!;
  const code = items.find((i) => i.kind === "path" && i.fill === "#000000" && i.d.length > 2000)!;
  const said = items.find((i) => i.kind === "text" && i.words === sheet.codeWords)!;
  if (code.kind !== "path" || said.kind !== "text") throw new Error("no code");
  const corners = [...code.d.matchAll(/M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)/g)].map((m) =>
    m.slice(1).map(Number),
  );
  const bottom = Math.max(...corners.map((c) => c[3]!));
  const module = Math.min(...corners.map((c) => c[3]! - c[1]!));
  // Tall letters rise by about 0.76 em in this typeface.
  expect(said.y - 0.76 * said.size - bottom).toBeGreaterThan(4 * module - 1e-3);
});

it("an index that has no room beside all else has a second page, whole, and the first one says so", async () => {
  const areas = ["handle", "badge", "seam guard"].map((name, i) => ({
    name,
    aroundDeg: [100 + 30 * i, 110 + 30 * i] as [number, number],
  }));
  const plan = await planOf(wrap, { ...job(40, { blocked: areas }) });
  const [first, second, ...more] = sheetPages(sheetContent(plan, facts(40)), letters);
  expect(more).toEqual([]);
  const [one, two] = [first!, second!].map(({ items }) =>
    items.flatMap((item) => (item.kind === "text" ? [item] : [])),
  );
  expect(one!.map(({ words }) => words).join(" ")).toContain("On the second page: each turn's index angle");
  expect(one!.map(({ words }) => words)).toContain("page 1 of 2, wrap.turn-1 to turn-40.warped.svg");
  const said = two!.map(({ words }) => words);
  expect(said).toContain("page 2 of 2, wrap.turn-1 to turn-40.warped.svg");
  for (const { angle, index } of plan.turns) {
    expect(said).toContain(String(index));
    expect(said).toContain(((angle * 180) / Math.PI).toFixed(2).replace("-", "−").replace("−0.00", "0.00"));
  }
  // A4 is 297 mm tall (ISO 216), with 10 mm of margin.
  for (const { y } of two!) expect(y).toBeLessThan(287.1);
});
