/** The layers of the heat map: true colours, scales with their threshold, what is hatched, and the sheet of all. */
import { PNG } from "pngjs";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { layeredPng } from "../../src/cli/png.ts";
import type { JobFile } from "../../src/job/job.ts";
import { viridisHex, viridisIndex } from "../../src/picture/colours.ts";
import { heatmap } from "../../src/picture/heatmap.ts";
import { gridOf } from "../../src/picture/isolines.ts";
import { type LayerId, layerIds, layerNames, layerOf } from "../../src/picture/layers.ts";
import { layerSheet } from "../../src/picture/layersheet.ts";
import { outcomeAreas } from "../../src/picture/outcomeareas.ts";
import { zonesSvg } from "../../src/picture/zonesdrawing.ts";
import { effect } from "../../src/plan/process/process.ts";
import type { Plan } from "../../src/plan/types.ts";
import { crestPlan, FORBIDDEN, largestDifference, lettering, planOf } from "./helpers.ts";

const letters = lettering();
const settings = { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025 };
const coated: JobFile = { settings, coating: { id: "powder-black" } };
const disc = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20">
  <circle id="left" cx="10" cy="10" r="10"/><circle id="right" cx="52" cy="10" r="8"/></svg>`;

/** A layer's value at a point by the middle figures, from the process itself. */
function value(plan: Plan, id: LayerId, a: number, b: number): number {
  const met = plan.warp.meetingUnchecked(a, b);
  const { process } = plan.forecast!;
  const out = process.at(met, process.worlds[0]!, effect());
  return id === "dose" ? process.dose(met) : id === "removal" ? out.cleared : out.margin;
}

test("the job says which layers there are; others are refused", async () => {
  expect(layerNames(await crestPlan())).toEqual(["falloff"]);
  expect(layerNames(await crestPlan({ settings }))).toEqual(["falloff", "dose"]);
  const plan = await crestPlan(coated);
  expect(layerNames(plan)).toEqual([...layerIds]);
  expect(() => layerOf({ ...plan, forecast: null }, "dose")).toThrow("no layer dose");
});

test.each(["dose", "removal", "metal"] as const)("ink has the colour of its %s", async (id) => {
  const plan = await planOf(disc, { vessel: { diameterMm: 82 }, ...coated });
  const parts = heatmap(plan, letters, "discs", id);
  const layer = layerOf(plan, id);
  const png = PNG.sync.read(await layeredPng(parts));
  for (const [a, b] of [
    [-23, 3],
    [24, -2],
  ] as const) {
    const x = Math.floor(parts.view.x(a));
    const y = Math.floor(parts.view.y(b));
    const here = value(plan, id, parts.view.a(x + 0.5), parts.view.b(y + 0.5));
    expect(layer.at(parts.view.a(x + 0.5), parts.view.b(y + 0.5))).toBe(here);
    const hex = viridisHex(viridisIndex(layer.place(here)));
    const expected = Uint8Array.from([1, 3, 5].map((k) => Number.parseInt(hex.slice(k, k + 2), 16)));
    const at = 4 * (y * png.width + x);
    // A hatch may run over the pixel: the raster below it is what is asked.
    expect(largestDifference(parts.field.subarray(at, at + 3), expected)).toBeLessThanOrEqual(1);
  }
});

describe("scales", () => {
  const jobs: [string, JobFile][] = [
    ["usual", coated],
    ["weak", { settings: { ...settings, powerW: 0.01 }, coating: { id: "powder-white" } }],
    ["strong", { settings: { ...settings, powerW: 90_000, passes: 900 }, coating: { id: "paint-black" } }],
    ["no ink usable", { ...coated, placement: { widthMm: 10, atMm: [100, 0] } }],
  ];
  test.each(jobs)(
    "%s: rising ticks with 1 among multiples, values within, nothing but numbers",
    async (_, job) => {
      const plan = await crestPlan(job);
      for (const id of layerIds) {
        const layer = layerOf(plan, id);
        const places = layer.ticks.map((t) => layer.place(t.value));
        expect(places[0]).toBeCloseTo(0, 9);
        expect(places.at(-1)).toBeCloseTo(1, 9);
        places.forEach((p, i) => {
          if (i > 0) expect(p).toBeGreaterThan(places[i - 1]!);
        });
        if (id === "removal" || id === "metal") expect(layer.ticks.map((t) => t.value)).toContain(1);
        for (const v of [0, -1, 1e9, layer.at(0, 0), layer.at(500, 0)]) {
          expect(layer.place(v)).toBeGreaterThanOrEqual(0);
          expect(layer.place(v)).toBeLessThanOrEqual(1);
        }
        const grid = gridOf({ left: -40, top: -40, width: 80, height: 80 }, 2, (a, b) => layer.at(a, b));
        const { levels, words } = layer.levels(grid, 1);
        for (const level of levels) expect(words(level)).toMatch(/^[\d.]+$/);
        const range = layer.range(10);
        if (range) {
          expect(range.low).toBeLessThanOrEqual(layer.at(10, 0) * (1 + 1e-9));
          expect(range.high).toBeGreaterThanOrEqual(layer.at(10, 0) * (1 - 1e-9));
        }
        expect(layer.said).not.toMatch(FORBIDDEN);
        expect(heatmap(plan, letters, "crest", id).overlay).not.toMatch(FORBIDDEN);
      }
      expect(layerSheet(plan, letters, "crest").overlay).not.toMatch(FORBIDDEN);
    },
  );
});

test("residue and metal are hatched where they are the likeliest, in their own layer and the zones drawing", async () => {
  const box = { minX: -60, maxX: 60, minY: -40, maxY: 40 };
  const weak = await crestPlan({ ...coated, settings: { ...settings, powerW: 2.2 } });
  const [ring] = outcomeAreas(weak, box, ["residue"]).get("residue")!;
  const { usableDepthMm } = weak.limits;
  expect(ring!.length).toBeGreaterThan(20);
  for (const { x } of ring!) expect(Math.abs(x)).toBeLessThan(60);
  expect(usableDepthMm).toBeGreaterThan(0);
  expect(outcomeAreas(weak, box, ["metal"]).size).toBe(0);
  expect(zonesSvg(weak, letters, "crest")).toContain('id="zone-residue"');
  const strong = await crestPlan({ ...coated, settings: { ...settings, powerW: 90 } });
  expect(outcomeAreas(strong, box, ["residue"]).size).toBe(0);
  const metal = zonesSvg(strong, letters, "crest");
  expect(metal).toContain('id="zone-metal"');
  expect(metal).not.toContain('id="zone-residue"');
  expect(zonesSvg(await crestPlan(), letters, "crest")).not.toMatch(/zone-(metal|residue)/);
});

test("the sheet shows every layer once, in its frame, and its names do not meet", async () => {
  const plan = await crestPlan({ ...coated, placement: { widthMm: 60 } });
  const parts = layerSheet(plan, letters, `Ναυτικός <Όμιλος> ${"long ".repeat(30)}`);
  expect(parts.overlay).not.toMatch(FORBIDDEN);
  const ids = [...parts.overlay.matchAll(/ id="([^"]+)"/g)].map((m) => m[1]!);
  expect(new Set(ids).size).toBe(ids.length);
  for (const id of layerIds) expect(ids).toContain(`panel-${id}`);
  const meta = await sharp(await layeredPng(parts)).metadata();
  expect([meta.width, meta.height]).toEqual([parts.width, parts.height]);
  expect(parts.height).toBeLessThan(1700);
  const again = layerSheet(plan, lettering(), `Ναυτικός <Όμιλος> ${"long ".repeat(30)}`);
  expect(again.overlay).toBe(parts.overlay);
});

test("a long reason is told on two lines, not cut after one", () => {
  const words =
    "caution: uncalibrated: the metal is likely at risk on 100 % of the usable ink and more words";
  const lines = letters.lines(words, 900, 26, "bold", 2);
  expect(lines).toHaveLength(2);
  expect(lines.join(" ")).toBe(words);
  const cut = letters.lines(words.repeat(4), 900, 26, "bold", 2);
  expect(cut).toHaveLength(2);
  expect(cut[1]).toMatch(/…$/);
  for (const one of cut) expect(letters.width(one, 26, "bold")).toBeLessThanOrEqual(900);
});
