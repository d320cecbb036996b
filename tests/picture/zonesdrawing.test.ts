/** The zones' drawing: true to size, ids and rules kept, groups to switch off, areas that agree with the zones. */
import { areaPathsD } from "clipper2-ts";
import { SaxesParser } from "saxes";
import { describe, expect, test } from "vitest";
import { readDrawing } from "../../src/artwork/read.ts";
import { pathBounds, uniteBoxes } from "../../src/geometry/path.ts";
import { hatchLines, zoneAreas } from "../../src/picture/zoneareas.ts";
import { zonesSvg } from "../../src/picture/zonesdrawing.ts";
import { type Zone, zoneAt } from "../../src/plan/zones.ts";
import { crestPlan, FORBIDDEN, lettering, letteringPlan, planOf } from "./helpers.ts";

const letters = lettering();

interface Element {
  readonly name: string;
  readonly attributes: Record<string, string>;
  readonly groups: readonly string[];
}

function elements(svg: string): Element[] {
  const found: Element[] = [];
  const groups: string[] = [];
  const parser = new SaxesParser();
  parser.on("opentag", ({ name, attributes }) => {
    found.push({ name, attributes: { ...attributes }, groups: [...groups] });
    groups.push(attributes.id ?? "");
  });
  parser.on("closetag", () => void groups.pop());
  parser.write(svg).close();
  return found;
}

test("one user unit is one millimetre", async () => {
  const [root] = elements(zonesSvg(await crestPlan(), letters, "crest"));
  const [x, y, width, height] = root!.attributes.viewBox!.split(" ").map(Number);
  expect(root!.attributes.width).toBe(`${width}mm`);
  expect(root!.attributes.height).toBe(`${height}mm`);
  expect(x! < -35.8 && x! + width! > 35.8).toBe(true);
  expect(y! < -27.9 && y! + height! > 27.9).toBe(true);
});

test("the ink is true to size when the drawing is read back, with its ids", async () => {
  const plan = await crestPlan();
  const svg = zonesSvg(plan, letters, "crest");
  const ink = elements(svg).filter((e) => e.groups.at(-1) === "ink");
  expect(ink.map((e) => e.attributes.id)).toEqual(plan.ink.shapes.map((s) => s.id));
  const ids = new Set(plan.ink.shapes.map((s) => s.id));
  const back = readDrawing(svg).items.flatMap((s) => (s.kind === "painted" && ids.has(s.id) ? [s] : []));
  expect(back.map((s) => s.id)).toEqual(plan.ink.shapes.map((s) => s.id));
  const box = back.map((s) => pathBounds(s.path)).reduce(uniteBoxes);
  expect(box!.maxX - box!.minX).toBeCloseTo(50, 3);
});

test("groups have speaking names, and give way to the artwork's own", async () => {
  const svg = zonesSvg(await letteringPlan(220), letters, "lettering");
  const ids = elements(svg)
    .filter((e) => e.name === "g")
    .map((e) => e.attributes.id);
  expect(ids).toEqual([
    "ink",
    "reach",
    "crown-line",
    "zones",
    "zone-hidden",
    "zone-out-of-depth",
    "ruler",
    "key",
    "title",
  ]);
  const taken = await planOf(
    `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><rect id="ink" width="9" height="9"/><rect id="reach" width="4" height="9"/></svg>`,
    { vessel: { diameterMm: 82 }, ink: { keepShapes: true } },
  );
  const all = elements(zonesSvg(taken, letters, "taken")).flatMap((e) => e.attributes.id ?? []);
  expect(new Set(all).size).toBe(all.length);
  expect(all).toContain("ink-2");
});

describe.each([
  ["the crest", () => crestPlan()],
  ["a small field", () => crestPlan({ lens: { id: "field-110" } })],
  ["focus far below", () => crestPlan({ focus: 12 })],
  ["a telecentric lens", () => crestPlan({ lens: { pivotMm: ["telecentric", "telecentric"] } })],
  ["straight-on view", () => crestPlan({ placement: { widthMm: 80, fidelity: "sight" } })],
  ["past the back", () => letteringPlan(300)],
] as const)("%s", (_, planned) => {
  test("is well formed, with outlines for words, and the same each time", async () => {
    const plan = await planned();
    const svg = zonesSvg(plan, letters, `Ναυτικός <Όμιλος> & "Клуб"`);
    expect(svg).not.toMatch(FORBIDDEN);
    expect(new Set(elements(svg).map((e) => e.name))).toEqual(new Set(["svg", "g", "path"]));
    expect(zonesSvg(plan, lettering(), `Ναυτικός <Όμιλος> & "Клуб"`)).toBe(svg);
  });

  test("areas are those of the zones, point by point", async () => {
    const plan = await planned();
    const box = { minX: -62, minY: -40, maxX: 62, maxY: 40 };
    const count = new Map<Zone, number>();
    const n = 124;
    for (let i = 0; i < n; i++)
      for (let j = 0; j < 40; j++) {
        const zone = zoneAt(plan.warp, plan.limits, box.minX + i + 0.5, box.minY + 2 * j + 1);
        count.set(zone, (count.get(zone) ?? 0) + 2);
      }
    const areas = zoneAreas(plan, box);
    for (const [zone, area] of count) {
      if (zone === "usable") continue;
      const drawn = Math.abs(areaPathsD(areas.get(zone) ?? []));
      // A cell of the count may lie on either side along both edges of a zone.
      expect(Math.abs(drawn - area)).toBeLessThan(4 * 80);
    }
  });
});

test("hatch lines stay inside their rings and leave holes free", () => {
  const square = (s: number) => [
    { x: -s, y: -s },
    { x: s, y: -s },
    { x: s, y: s },
    { x: -s, y: s },
  ];
  const lines = hatchLines([square(10), square(4)], 45, 1.5);
  const long = lines.reduce((sum, [x0, y0, x1, y1]) => sum + Math.hypot(x1! - x0!, y1! - y0!), 0);
  // Length times distance is the area: 20² − 8².
  expect(Math.abs(long * 1.5 - 336)).toBeLessThan(8);
  for (const [x0, y0, x1, y1] of lines) {
    const [x, y] = [(x0! + x1!) / 2, (y0! + y1!) / 2];
    expect(Math.max(Math.abs(x), Math.abs(y))).toBeLessThan(10);
    expect(Math.max(Math.abs(x), Math.abs(y))).toBeGreaterThan(4);
  }
});
