/** The flat drawing: true to size by an independent reader, a rule that measures 100 mm, figures that agree. */
import { describe, expect, test } from "vitest";
import { readDrawing } from "../../../src/artwork/read.ts";
import { pathBounds, uniteBoxes } from "../../../src/geometry/path.ts";
import type { Page, PageLine, PagePath, Paper } from "../../../src/picture/page/page.ts";
import { flatDrawing } from "../../../src/picture/proof/flatdrawing.ts";
import type { Plan } from "../../../src/plan/types.ts";
import { crestPlan, lettering, planOf } from "../helpers.ts";
import { collisions, extentOf, outsiders, says, textsOf } from "./pageitems.ts";
import { frameSvg, jobs, order, tumbler } from "./proofjobs.ts";

const letters = lettering();
const drawn = (plan: Plan, paper: Paper = "a4"): Page =>
  flatDrawing(
    { plan, title: "heron-reach-crest.svg", date: "2026-03-01" },
    paper,
    { number: 2, of: 2 },
    letters,
  );
const linesOf = (page: Page): PageLine[] => page.items.filter((item) => item.kind === "line");
const inkOf = (page: Page): PagePath[] =>
  page.items.filter((item) => item.kind === "path" && item.fill === "#333333") as PagePath[];

/** The ink's box as the artwork's own reader sees the paths, in mm on the paper. */
function inkBox(page: Page) {
  const paths = inkOf(page).map(({ d }) => `<path d="${d}"/>`);
  const { widthMm: w, heightMm: h } = page;
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${w}mm" height="${h}mm" viewBox="0 0 ${w} ${h}">${paths.join("")}</svg>`;
  const boxes = readDrawing(svg).items.flatMap((item) =>
    item.kind === "painted" ? [pathBounds(item.path)] : [],
  );
  return boxes.reduce(uniteBoxes)!;
}

/** "1:2" → 2, from the words in large letters. */
function reductionOf(page: Page): number {
  const said = textsOf(page).flatMap((t) => [...t.words.matchAll(/^scale 1:(\d+)$/g)]);
  expect(said.length).toBe(1);
  return Number(said[0]![1]);
}

const close = (a: number, b: number, by = 1e-4): boolean => Math.abs(a - b) < by;

test("the printed rule is 100 mm long, with a tick at each millimetre and a number at each ten", async () => {
  const page = drawn(await crestPlan());
  const level = linesOf(page).filter((l) => l.y1 === l.y2 && Math.abs(l.x2 - l.x1 - 100) < 1e-9);
  expect(level.length).toBe(1);
  const [{ x1, y1 }] = level as [PageLine];
  const ticks = linesOf(page).filter((l) => l.x1 === l.x2 && l.y1 === y1);
  expect(ticks.map((t) => t.x1 - x1).every((x, i) => close(x, i, 1e-9))).toBe(true);
  expect(ticks.length).toBe(101);
  const tall = ticks.map((t) => t.y2 - t.y1);
  expect(tall[10]! > tall[5]! && tall[5]! > tall[1]!).toBe(true);
  const numbers = textsOf(page).filter((t) => t.y > y1 && t.y < y1 + 10 && /^\d+$/.test(t.words));
  expect(numbers.map((t) => Number(t.words))).toEqual([0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100]);
  for (const number of numbers) expect(number.x - x1).toBeCloseTo(Number(number.words), 9);
  expect(says(page, "this scale is 100 mm")).toBe(true);
  expect(says(page, "print at 100 %, without fitting to the page")).toBe(true);
});

describe.each(Object.entries(jobs))("%s", (_, planned) => {
  test.each(["a4", "letter"] as const)(
    "the ink has its size in the scale that is told, on %s",
    async (paper) => {
      const plan = await planned();
      const page = drawn(plan, paper);
      const reduction = reductionOf(page);
      // ISO 5455: full size 1:1, reductions 1:2, 1:5, 1:10 and those times powers of ten.
      expect([1, 2, 5, 10, 20, 50, 100]).toContain(reduction);
      expect(says(page, "reduced, not true to size")).toBe(reduction > 1);
      const box = inkBox(page);
      const ink = plan.ink.box;
      expect(close((box.maxX - box.minX) * reduction, ink.maxX - ink.minX, 1e-4 * reduction)).toBe(true);
      expect(close((box.maxY - box.minY) * reduction, ink.maxY - ink.minY, 1e-4 * reduction)).toBe(true);
      expect(inkOf(page).length).toBe(plan.ink.shapes.length);
    },
  );

  test.each(["a4", "letter"] as const)(
    "all of it lies on the page, no words on others, on %s",
    async (paper) => {
      const page = drawn(await planned(), paper);
      expect(outsiders(page, letters, 5).map((i) => JSON.stringify(i).slice(0, 300))).toEqual([]);
      expect(collisions(page, letters)).toEqual([]);
    },
  );
});

/** Level dimension lines by the figure above them: their ends. */
const spansOf = (page: Page, words: string): [number, number][] =>
  textsOf(page)
    .filter((t) => t.words === words && !t.rotate)
    .flatMap((t) =>
      linesOf(page).filter(
        (l) =>
          l.y1 === l.y2 &&
          Math.abs(l.y1 - t.y - 0.8) < 0.01 &&
          Math.min(l.x1, l.x2) <= t.x &&
          Math.max(l.x1, l.x2) >= t.x,
      ),
    )
    .map((l) => [Math.min(l.x1, l.x2), Math.max(l.x1, l.x2)]);

test("dimensions are as long as their figures, and the figures are the plan's", async () => {
  const plan = await planOf(frameSvg(40, 30), {
    order,
    vessel: { ...tumbler, heightMm: 150, belowRimMm: 60 },
    placement: { atMm: [6, 0] },
  });
  const page = drawn(plan);
  const box = inkBox(page);
  // 40 wide with its middle 6 right of the crown line: 14 to its left, 26 to its right.
  const crown = box.minX + 14;
  expect(spansOf(page, "40")).toEqual([[expect.closeTo(box.minX, 4), expect.closeTo(box.maxX, 4)]]);
  expect(spansOf(page, "14")).toEqual([[expect.closeTo(box.minX, 4), expect.closeTo(crown, 4)]]);
  expect(spansOf(page, "26")).toEqual([[expect.closeTo(crown, 4), expect.closeTo(box.maxX, 4)]]);
  const upright = textsOf(page).filter((t) => t.rotate === -90);
  // Rim 60 above the placement point, ink 15 above and below it, base 90 below it.
  expect(upright.map((t) => t.words).sort()).toEqual(["30", "45", "75"]);
  for (const t of upright) {
    const line = linesOf(page).find(
      (l) =>
        l.x1 === l.x2 &&
        Math.abs(l.x1 - t.x - 0.8) < 0.01 &&
        Math.min(l.y1, l.y2) <= t.y &&
        Math.max(l.y1, l.y2) >= t.y,
    )!;
    expect(Math.abs(line.y2 - line.y1)).toBeCloseTo(Number(t.words), 4);
  }
});

/** Upright lines below the ink, less the crown line. */
const extensionsOf = (page: Page, bottom: number): PageLine[] =>
  linesOf(page).filter((l) => l.x1 === l.x2 && !l.dash && Math.abs(Math.min(l.y1, l.y2) - bottom - 1) < 1e-6);
const stroke = `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="40mm" viewBox="0 0 9 40"><path d="M4 2V38" fill="none" stroke="#000" stroke-width="0.1"/></svg>`;

test.each([
  [0, 0],
  [12, 1],
])(
  "an upright line %d mm off the crown line has no width to tell: %d extension lines, each to a dimension",
  async (a, extensions) => {
    const plan = await planOf(stroke, {
      vessel: { diameterMm: 82 },
      ink: { strokes: "centre-line" },
      placement: { atMm: [a, 0] },
    });
    expect(plan.ink.box.maxX - plan.ink.box.minX).toBe(0);
    const page = drawn(plan);
    const [ink] = page.items.filter((i) => i.kind === "path" && i.stroke === "#333333") as PagePath[];
    const found = extensionsOf(page, extentOf(ink!, letters).maxY - ink!.width! / 2);
    expect(found).toHaveLength(extensions);
    // Its distance from the crown line once, and its height.
    const level = textsOf(page).filter((t) => t.size === 3.5 && /^\d+$/.test(t.words) && !t.rotate);
    expect(level.map((t) => t.words)).toEqual(extensions ? [String(a)] : []);
    const [dimension] = extensions ? spansOf(page, String(a)) : [];
    if (dimension) {
      expect(dimension[1] - dimension[0]).toBeCloseTo(a, 4);
      expect(found[0]!.x1).toBeCloseTo(dimension[1], 4);
    }
  },
);

test("crown line, rim, base and handle stand where the measures put them", async () => {
  const plan = await planOf(frameSvg(40, 30), { vessel: { ...tumbler, heightMm: 150, belowRimMm: 60 } });
  const page = drawn(plan);
  const box = inkBox(page);
  const at = (words: string) => textsOf(page).find((t) => t.words === words)!;
  const dashed = linesOf(page).filter((l) => l.dash);
  const [x, y] = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
  // A quarter turn of a cup of 82 mm is π·82/4 mm on its girth.
  expect(dashed.map((l) => l.x1 - x).sort((a, b) => a - b)).toEqual([
    expect.closeTo(0, 4),
    expect.closeTo((Math.PI * 82) / 4, 4),
  ]);
  expect(at("crown line").x).toBeCloseTo(x, 4);
  expect(at("handle").x - x).toBeCloseTo((Math.PI * 82) / 4, 4);
  const wide = linesOf(page).filter((l) => l.width === 0.5 && l.y1 === l.y2 && l.x2 - l.x1 < 180);
  expect(wide.map((l) => l.y1 - y)).toEqual([expect.closeTo(-60, 4), expect.closeTo(90, 4)]);
  expect(at("rim").y).toBeLessThan(box.minY);
  expect(at("base").y).toBeGreaterThan(box.maxY);
  // The seam, 170° to the left, has no room beside the ink; its place is told.
  expect(
    says(page, "from the seam: the artwork's middle 170° to the right of the seam's, 121.6 mm around"),
  ).toBe(true);
});

test("no line runs through the figure of a level dimension where there is room beside it", async () => {
  const plan = await crestPlan({
    vessel: { diameterMm: 82, heightMm: 150, belowRimMm: 60, handleDeg: 30, seamDeg: -20 },
  });
  const page = drawn(plan);
  const figures = textsOf(page).filter((t) => !t.rotate && ["25", "50"].includes(t.words) && t.y < 200);
  expect(figures.length).toBe(3);
  const crossing = linesOf(page).filter((l) => l.dash);
  for (const figure of figures) {
    const { minX, maxX, minY } = extentOf(figure, letters);
    const through = crossing.filter((l) => l.x1 > minX && l.x1 < maxX && l.y2 > minY && l.y1 < figure.y);
    expect(through).toEqual([]);
  }
});

test("what is not given is said to be so, and what lies beyond the rim as well", async () => {
  expect(says(drawn(await jobs.bare!()), "not given: rim, base, handle, seam")).toBe(true);
  const plan = await jobs["beyond the rim"]!();
  const top = plan.ink.box.minY + 10;
  expect(top).toBeLessThan(0);
  const page = drawn(plan);
  const { minY, maxY } = plan.ink.box;
  expect(textsOf(page).flatMap((t) => (t.rotate ? [t.words] : []))).toEqual([(maxY - minY).toFixed(1)]);
  expect(says(page, `top edge: ${(-top).toFixed(1)} mm beyond the rim`)).toBe(true);
});

test("ink that is wider than the sheet turns the page, and only then is it reduced", async () => {
  const turned = drawn(await jobs["160 mm wide"]!());
  expect([turned.widthMm, turned.heightMm, reductionOf(turned)]).toEqual([297, 210, 1]);
  const upright = drawn(await jobs["with everything"]!());
  expect([upright.widthMm, upright.heightMm, reductionOf(upright)]).toEqual([210, 297, 1]);
  const tall = drawn(await jobs["240 mm tall"]!());
  expect(reductionOf(tall)).toBe(2);
  expect(says(tall, "the rule's own scale is 1:1; the drawing's is 1:2")).toBe(true);
});

test("arrowheads are closed and of 15° (ISO 129-1, from memory)", async () => {
  const page = drawn(await crestPlan());
  const heads = page.items.flatMap((item) =>
    item.kind === "path" && /^M[^LCh]+L[^L]+L[^L]+Z$/.test(item.d) ? [item.d] : [],
  );
  expect(heads.length).toBe(8);
  for (const d of heads) {
    const p = d.match(/-?[\d.]+/g)!.map(Number);
    const way = (i: number): number => Math.atan2(p[i + 1]! - p[1]!, p[i]! - p[0]!);
    const turn = Math.abs(way(2) - way(4));
    expect((Math.min(turn, 2 * Math.PI - turn) * 180) / Math.PI).toBeCloseTo(15, 1);
  }
});

describe("areas that stay free", () => {
  const hatched = (page: Page): PagePath[] =>
    page.items.filter((item) => item.kind === "path" && item.fill === "#ded8d5") as PagePath[];

  test("are drawn where they are: beside the ink, between their angles and heights", async () => {
    const plan = await planOf(frameSvg(30, 20), {
      vessel: {
        diameterMm: 80,
        heightMm: 100,
        belowRimMm: 50,
        blocked: [{ name: "badge", aroundDeg: [30, 45], belowRimMm: [30, 60] }],
      },
    });
    const page = drawn(plan);
    const [area] = hatched(page);
    const { minX, maxX, minY, maxY } = extentOf(area!, letters);
    const ink = inkBox(page);
    // The ink's middle is the crown line at the placement point: 40 mm · 30° is 20.94 mm, 15° are 10.47 mm.
    const [x, y] = [(ink.minX + ink.maxX) / 2, (ink.minY + ink.maxY) / 2];
    expect(minX - x).toBeCloseTo((40 * Math.PI) / 6, 3);
    expect(maxX - minX).toBeCloseTo((40 * Math.PI) / 12, 3);
    expect([minY - y, maxY - y].map((v) => Math.round(1000 * v) / 1000)).toEqual([-20, 10]);
    expect(textsOf(page).filter(({ words }) => /^(keep free: )?badge$/.test(words))).toHaveLength(1);
    expect(says(page, "hatched: keep free")).toBe(true);
  });

  test("on the other side they are named alone", async () => {
    const plan = await crestPlan({
      vessel: { diameterMm: 82, blocked: [{ name: "loop", aroundDeg: [150, 210] }] },
    });
    const page = drawn(plan);
    expect(hatched(page)).toEqual([]);
    expect(says(page, "not on this page: keep free: loop")).toBe(true);
  });

  test("across the back they stand at both ends of artwork that goes around", async () => {
    const page = drawn(await jobs["around in three turns"]!());
    const ink = inkBox(page);
    const sides = hatched(page).flatMap(({ d }) =>
      d
        .split("Z")
        .slice(0, -1)
        .map((ring) => extentOf({ kind: "path", d: `${ring}Z` }, letters)),
    );
    expect(sides).toHaveLength(2);
    for (const end of [ink.minX, ink.maxX])
      expect(sides.some(({ minX, maxX }) => close(minX, end, 0.01) || close(maxX, end, 0.01))).toBe(true);
  });
});

test("the rim of a taper laid on as a sheet is the arc of its development", async () => {
  const page = drawn(await jobs["a taper laid on as a sheet"]!());
  const arcs = page.items.filter(
    (item) => item.kind === "path" && item.fill === "none" && item.width === 0.5 && !/[hZ]/.test(item.d),
  ) as PagePath[];
  // A frustum unrolls into a ring between r/sin α of its ends (Ask Dr. Math 2004, see vessel/straight.ts).
  const sin = 12 / Math.hypot(12, 110);
  const radii = arcs.map(({ d }) => {
    const points = d
      .slice(1)
      .split("L")
      .map((p) => p.split(" ").map(Number) as [number, number]);
    const [p, q] = [points[0]!, points.at(-1)!];
    const chord = Math.hypot(q[0] - p[0], q[1] - p[1]);
    const sag = Math.max(
      ...points.map(([x, y]) => Math.abs((q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0])) / chord),
    );
    return (chord ** 2 / 4 + sag ** 2) / (2 * sag);
  });
  expect(radii).toHaveLength(2);
  for (const r of [44 / sin, 32 / sin]) expect(radii.some((one) => Math.abs(one / r - 1) < 0.01)).toBe(true);
});
