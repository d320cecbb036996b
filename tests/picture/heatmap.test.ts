/** The heat map: true colours at known places, clean SVG, the same bytes each time, and the stored picture. */
import { readFileSync } from "node:fs";
import pixelmatch from "pixelmatch";
import { PNG } from "pngjs";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { relativeFluence } from "../../src/beam/spot.ts";
import { layeredPng } from "../../src/cli/png.ts";
import type { JobFile } from "../../src/job/job.ts";
import { viridisHex, viridisIndex } from "../../src/picture/colours.ts";
import { heatmap } from "../../src/picture/heatmap.ts";
import type { Plan } from "../../src/plan/types.ts";
import { crestPlan, FORBIDDEN, largestDifference, lettering, letteringPlan, planOf } from "./helpers.ts";

const letters = lettering();
const discs = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20">
  <circle id="left" cx="10" cy="10" r="10"/><circle id="middle" cx="33" cy="10" r="8"/>
  <circle id="right" cx="52" cy="10" r="8"/></svg>`;

/** φ on a lying cylinder, written out from model §3 and §4 for one pivot distance each way. */
function fluence(plan: Plan, a: number, b: number): number {
  const r = plan.job.vessel.diameterMm! / 2;
  const { pivotAcross, pivotAlong, belowCrown } = plan.warp.head;
  const d = r * (1 - Math.cos(a / r)) - belowCrown;
  const [tx, ty] = [(r * Math.sin(a / r)) / (pivotAcross + d), b / (pivotAlong + d)];
  const slant = Math.hypot(tx, ty, 1);
  const cosIncidence = (Math.cos(a / r) - tx * Math.sin(a / r)) / slant;
  return relativeFluence({ defocus: d, slant, cosIncidence }, plan.spot);
}

test("ink has the colour of its relative fluence", async () => {
  const plan = await planOf(discs, { vessel: { diameterMm: 82 } });
  const parts = heatmap(plan, letters, "discs");
  const png = PNG.sync.read(await layeredPng(parts));
  expect([png.width, png.height]).toEqual([parts.width, parts.height]);
  for (const [a, b] of [
    [-23, 3],
    [4, -2],
    [20, 5],
  ] as const) {
    const x = Math.floor(parts.view.x(a));
    const y = Math.floor(parts.view.y(b));
    const phi = fluence(plan, parts.view.a(x + 0.5), parts.view.b(y + 0.5));
    const hex = viridisHex(viridisIndex(phi));
    const expected = [1, 3, 5].map((k) => Number.parseInt(hex.slice(k, k + 2), 16));
    const found = [...png.data.subarray(4 * (y * png.width + x), 4 * (y * png.width + x) + 3)];
    expect(largestDifference(Uint8Array.from(found), Uint8Array.from(expected))).toBeLessThanOrEqual(1);
  }
});

test("where there is no ink a veil lies over the colour", async () => {
  const plan = await planOf(discs, { vessel: { diameterMm: 82 } });
  const parts = heatmap(plan, letters, "discs");
  const png = PNG.sync.read(await layeredPng(parts));
  const at = 4 * (Math.floor(parts.view.y(0)) * png.width + Math.floor(parts.view.x(-6.5)));
  for (let channel = 0; channel < 3; channel++) {
    const bare = parts.field[at + channel]!;
    const veiled = png.data[at + channel]!;
    expect(Math.abs(veiled - (bare + 0.78 * (255 - bare)))).toBeLessThanOrEqual(2);
  }
});

const jobs: [string, () => Promise<Plan>][] = [
  ["the crest", () => crestPlan()],
  ["the crest, focus on the crown", () => crestPlan({ focus: "crown" })],
  ["the crest, focus far below", () => crestPlan({ focus: 12 })],
  ["the crest, focus far above", () => crestPlan({ focus: -15 })],
  ["a lens of small field", () => crestPlan({ lens: { id: "field-110" } })],
  ["a telecentric lens", () => crestPlan({ lens: { pivotMm: ["telecentric", "telecentric"] } })],
  ["straight-on view", () => crestPlan({ placement: { widthMm: 80, fidelity: "sight" } })],
  ["a tall piece", () => crestPlan({ placement: { heightMm: 160 } })],
  ["ink off the crown line", () => crestPlan({ placement: { widthMm: 20, atMm: [30, 60] } })],
  ["ink wider than the reach", () => letteringPlan(100)],
  ["ink past the horizon", () => letteringPlan(240)],
  ["ink 3 mm wide", () => letteringPlan(3)],
  ["a narrow vessel", () => crestPlan({ vessel: { diameterMm: 20 } })],
  ["a vast vessel", () => crestPlan({ vessel: { diameterMm: 1800 } })],
  [
    "a single upright line",
    () =>
      planOf(
        `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><path id="l" d="M4 1V8" fill="none" stroke="#000" stroke-width="0.1"/></svg>`,
        { vessel: { diameterMm: 82 }, ink: { strokes: "centre-line" } },
      ),
  ],
];

describe.each(jobs)("%s", (_, planned) => {
  test("is drawn with shapes only, inside its frame", async () => {
    const plan = await planned();
    const parts = heatmap(plan, letters, `Ναυτικός <Όμιλος> & "Клуб" ${"long ".repeat(30)}`);
    expect(parts.overlay).not.toMatch(FORBIDDEN);
    expect(parts.field.length).toBe(4 * parts.width * parts.height);
    expect(parts.width).toBe(1200);
    expect(parts.height).toBeLessThanOrEqual(1600);
    const { view } = parts;
    expect(view.left).toBeGreaterThanOrEqual(100);
    expect(view.left + view.width).toBeLessThanOrEqual(1200 - 150);
    expect(view.flat.maxX).toBeGreaterThan(0);
    const meta = await sharp(await layeredPng(parts)).metadata();
    expect([meta.width, meta.height, meta.channels]).toEqual([parts.width, parts.height, 3]);
  });
});

test("the same plan gives the same bytes", async () => {
  const options: JobFile = { focus: "crown" };
  const [one, two] = [await crestPlan(options), await crestPlan(options)];
  const [a, b] = [heatmap(one, letters, "crest"), heatmap(two, lettering(), "crest")];
  expect(a.overlay).toBe(b.overlay);
  expect((await layeredPng(a)).equals(await layeredPng(b))).toBe(true);
});

test("the crest's picture, a quarter of its size, is the stored one", async () => {
  const parts = heatmap(await crestPlan(), letters, "heron-reach-crest.svg");
  const small = await sharp(await layeredPng(parts))
    .resize({ width: 300 })
    .ensureAlpha()
    .png({ compressionLevel: 9 })
    .toBuffer();
  const drawn = PNG.sync.read(small);
  const stored = PNG.sync.read(
    readFileSync(new URL("../../fixtures/expected/heatmap-crest.png", import.meta.url)),
  );
  expect([drawn.width, drawn.height]).toEqual([stored.width, stored.height]);
  expect(pixelmatch(drawn.data, stored.data, undefined, drawn.width, drawn.height, { threshold: 0.01 })).toBe(
    0,
  );
  expect(largestDifference(drawn.data, stored.data)).toBeLessThanOrEqual(1);
});
