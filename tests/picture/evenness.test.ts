/** The picture of the evenness: true colours on one scale, its figures and words, nothing over an edge or over another. */
import { PNG } from "pngjs";
import { beforeAll, describe, expect, test } from "vitest";
import { layeredPng } from "../../src/cli/png.ts";
import type { JobFile } from "../../src/job/job.ts";
import { profileOf } from "../../src/picture/evenness/profile.ts";
import { runsOf } from "../../src/picture/evenness/runs.ts";
import { scaleOf } from "../../src/picture/evenness/scale.ts";
import { pitchCurves } from "../../src/picture/evenness/varied.ts";
import { evenness } from "../../src/picture/evenness.ts";
import { spreadOf } from "../../src/plan/fill/removalmap.ts";
import { type Fill, proofs, type TurnProof } from "../../src/plan/fill/types.ts";
import type { Plan } from "../../src/plan/types.ts";
import { FORBIDDEN, lettering, planOf } from "./helpers.ts";

const rect = (w: number, h: number): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${w}mm" height="${h}mm" viewBox="0 0 ${w} ${h}"><rect id="bar" width="${w}" height="${h}"/></svg>`;
const lines = { pitchMm: 0.2, anglesDeg: [90] };
const settings = { powerW: 27, speedMmS: 900, frequencyKHz: 50, ...lines };
const coated: JobFile = { settings, coating: { id: "powder-black" } };
const planned = (svg: string, fill: JobFile["fill"], more: JobFile = {}): Promise<Plan> =>
  planOf(svg, { vessel: { diameterMm: 82 }, ...more, fill });

/** Where a word stands (px), from its anchor and its width. */
interface Said {
  readonly words: string;
  readonly size: number;
  readonly box: readonly [number, number, number, number];
}

/** Fonts that note what they write; capitals rise 0.71 em, descenders fall a quarter. */
function noting(): { letters: ReturnType<typeof lettering>; said: Said[] } {
  const letters = lettering();
  const said: Said[] = [];
  const path = letters.path.bind(letters);
  letters.path = (words, place, ...rest) => {
    const { x, y, size, anchor = "start", weight, rotate = 0 } = place;
    const wide = letters.width(words, size, weight);
    const from = anchor === "start" ? 0 : anchor === "middle" ? -wide / 2 : -wide;
    if (rotate !== 0 && rotate !== -90) throw new Error("turned otherwise");
    const box =
      rotate === 0
        ? ([x + from, y - 0.72 * size, x + from + wide, y + 0.24 * size] as const)
        : ([x - 0.72 * size, y - from - wide, x + 0.24 * size, y - from] as const);
    if (words !== "") said.push({ words, size, box });
    return path(words, place, ...rest);
  };
  return { letters, said };
}

const mapFrame = (
  svg: string,
  kind: string,
): { left: number; top: number; width: number; height: number } => {
  const at = new RegExp(
    `id="map-${kind}"><rect x="([\\d.]+)" y="([\\d.]+)" width="([\\d.]+)" height="([\\d.]+)"`,
  );
  const [left, top, width, height] = at.exec(svg)!.slice(1).map(Number) as [number, number, number, number];
  return { left, top, width, height };
};

describe("known maps", () => {
  // 40 × 20 cells of half a millimetre; the outermost two on every side hold no ink, the next row at the top is half ink.
  const grid = { left: -10, top: -5, cellMm: 0.5, columns: 40, rows: 20 };
  const each = <T>(of: (i: number, j: number) => T): T[] =>
    Array.from({ length: 800 }, (_, n) => of(n % 40, Math.floor(n / 40)));
  const inked = (i: number, j: number): number =>
    i < 2 || i > 37 || j < 2 || j > 17 ? 0 : j === 2 ? 0.5 : 1;
  const map = (of: (i: number) => number): Float32Array =>
    Float32Array.from(each((i, j) => of(i) * inked(i, j)));
  const proof: TurnProof = {
    grid,
    coverage: Float32Array.from(each(inked)),
    counts: Uint8Array.from(each((i, j) => (inked(i, j) === 1 && j > 3 ? 1 : 0))),
    maps: {
      // Nothing on the left of the crown line, 100 µm on its right; 50 µm; three quarters.
      plain: map((i) => (i < 20 ? 0 : 0.1)),
      even: map(() => 0.05),
      bands: map(() => 0.075),
    },
    station: null,
  };
  let plan: Plan;
  let fill: Fill;
  beforeAll(async () => {
    plan = await planned(rect(18, 8), { lines: "even" }, coated);
    const spread = (kind: "plain" | "even" | "bands") => spreadOf(proof.maps[kind]!, proof.counts);
    fill = {
      ...plan.fill!,
      proof: [proof],
      spread: { plain: spread("plain"), even: spread("even"), bands: spread("bands") },
    };
  });

  test("have the scale's colours, paler where a cell is partly ink, white beside it", async () => {
    const parts = evenness(plan, fill, 0, lettering(), "bar");
    const pixel = (kind: string, a: number, b: number): number[] => {
      const { left, top, width, height } = mapFrame(parts.overlay, kind);
      const scale = width / (1.04 * 20);
      const x = Math.floor(left + width / 2 + a * scale);
      const y = Math.floor(top + height / 2 + b * scale);
      return [...parts.field.subarray(4 * (y * parts.width + x), 4 * (y * parts.width + x) + 3)];
    };
    // matplotlib's viridis (CC0): #440154 at 0, #21918c at 0.5, #5ec962 at 0.75, #fde725 at 1.
    expect(pixel("plain", -4.2, 1.2)).toEqual([0x44, 0x01, 0x54]);
    expect(pixel("plain", 4.2, 1.2)).toEqual([0xfd, 0xe7, 0x25]);
    const near = (kind: string, rgb: readonly number[]): void => {
      for (const a of [-8.2, 0.2, 8.2]) {
        pixel(kind, a, 1.2).forEach((v, k) => {
          expect(Math.abs(v - rgb[k]!)).toBeLessThanOrEqual(2);
        });
      }
    };
    near("even", [0x21, 0x91, 0x8c]);
    near("bands", [0x5e, 0xc9, 0x62]);
    // Half of #fde725 on white.
    expect(pixel("plain", 4.2, -3.75)).toEqual([0xfe, 0xf3, 0x92]);
    expect(pixel("plain", 4.2, -4.4)).toEqual([255, 255, 255]);
    expect(pixel("plain", 9.8, 1.2)).toEqual([255, 255, 255]);
    const meta = PNG.sync.read(await layeredPng(parts));
    expect([meta.width, meta.height]).toEqual([parts.width, parts.height]);
  });

  test("their scale begins at 0, or at half where all is above it, and says so", () => {
    const scale = scaleOf(plan, fill, proof);
    expect([scale.low, scale.high, scale.unit]).toEqual([0, 100, 1000]);
    expect(scale.title).toMatch(/^depth removed \(µm\), uncalibrated/);
    expect(scale.title).not.toContain("not at 0");
    const high = {
      ...proof,
      maps: { ...proof.maps, plain: map((i) => (i < 20 ? 0.08 : 0.1)), even: null, bands: null },
    };
    const near = scaleOf(plan, fill, high);
    expect([near.low, near.high]).toEqual([50, 100]);
    expect(near.title).toContain("colours begin at 50, not at 0");
    const bare = scaleOf(plan, { ...fill, removal: false }, proof);
    expect(bare.high * 0.1).toBeCloseTo(0.1, 6);
    expect(bare.unit * 0.1).toBeCloseTo(1, 6);
    expect(bare.title).toBe("areal falloff, 1 = the strongest of plain");
  });

  test("a missing map leaves a panel that says why, and the other two", () => {
    const { letters, said } = noting();
    const asked = { ...fill.asked, anglesDeg: [0, 45] };
    const none = { ...proof, maps: { ...proof.maps, even: null } };
    const { overlay } = evenness(plan, { ...fill, asked, proof: [none] }, 0, letters, "bar");
    expect(said.map(({ words }) => words).join(" ")).toContain(
      "no lines run along the axis (90°), only at 0°, 45°",
    );
    expect(overlay).toContain('id="kind-even" data-words="not to be had"');
    expect(overlay).not.toContain('id="map-even"');
    expect(overlay).toContain('id="map-plain"');
    expect(overlay).toContain('id="map-bands"');
  });

  test("spreads are told as they are", () => {
    const told = (of: Fill): string[] =>
      [
        ...evenness(plan, of, 0, lettering(), "bar").overlay.matchAll(/id="kind-\w+" data-words="([^"]+)"/g),
      ].map((m) => m[1]!.replace("&lt;", "<"));
    // Half 0, half 0.1: from 0 to 0.1 over a mean of 0.05.
    expect(told(fill)).toEqual(["spread 200 %", "spread under 0.1 %", "spread under 0.1 %"]);
    const some = { mean: 2, low: 1.9, high: 2.05, spread: 0.075, cells: 99 };
    const spread = { plain: some, even: { ...some, spread: 0.384 }, bands: null };
    expect(told({ ...fill, spread })).toEqual(["spread 7.5 %", "spread 38 %", "spread not known"]);
    expect(told({ ...fill, spread, neverClears: true })[2]).toBe("nothing removed");
  });

  test("what cannot be evened is hatched on both sides of the crown line with its word", () => {
    const { letters, said } = noting();
    const uneven = [
      { fromMm: 0, toMm: 3, alongMm: [-4.9, 4.9], reason: "below-threshold", share: 0.2 },
      { fromMm: 6, toMm: 9, alongMm: [-4.9, 4.9], reason: "smallest-pitch", share: 0.00001 },
    ] as const;
    evenness(plan, { ...fill, uneven }, 0, letters, "bar");
    const count = (words: string): number => said.filter((s) => s.words === words).length;
    expect(count("below the threshold")).toBe(1);
    expect(count("smallest pitch")).toBe(2);
    expect(count("below the threshold: 0.0 to 3.0 mm from the crown line, 20.0 % of the ink")).toBe(1);
    expect(count("smallest pitch: 6.0 to 9.0 mm from the crown line, under 0.1 % of the ink")).toBe(1);
  });

  test("a turn that has no proof is refused", () => {
    expect(() => evenness(plan, fill, 1, lettering(), "bar")).toThrow(RangeError);
    expect(() => evenness(plan, { ...fill, proof: [null] }, 0, lettering(), "bar")).toThrow("turn 1");
  });
});

test("a profile has mean and percentiles of its columns, and is broken where no cell counts", () => {
  const grid = { left: 0, top: 0, cellMm: 1, columns: 5, rows: 101 };
  const map = Float32Array.from({ length: 505 }, (_, n) => (n % 5) * 1000 + Math.floor(n / 5));
  const counts = Uint8Array.from({ length: 505 }, (_, n) => (n % 5 === 2 ? 0 : 1));
  const [left, right, ...more] = profileOf(map, { grid, counts }, 1);
  expect(more).toEqual([]);
  // Of 0, 1, …, 100 the percentiles are the numbers themselves, by any of their definitions (Hyndman and Fan 1996).
  expect(left).toEqual([
    { from: 0, to: 1, mean: 50, low: 5, high: 95 },
    { from: 1, to: 2, mean: 1050, low: 1005, high: 1095 },
  ]);
  expect(right!.map((bin) => bin.from)).toEqual([3, 4]);
  expect(profileOf(map, { grid, counts }, 1.5)[0]![0]).toMatchObject({ from: 0, to: 2, mean: 550 });
  expect(profileOf(map, { grid, counts: counts.fill(0) }, 1)).toEqual([]);
  expect(runsOf([null, 1, 2, null, null, 3])).toEqual([[1, 2], [3]]);
});

test("the pitch is drawn between its smallest and its largest, broken where there is no ink", async () => {
  const two = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="6mm" viewBox="0 0 60 6"><path id="two" d="M0 0H20V6H0zM34 0H60V6H34z"/></svg>`;
  const plan = await planned(two, { lines: "even", ...lines });
  const [set] = plan.fill!.turns[0]!.sets;
  const curves = pitchCurves(set!, plan.warp);
  expect(curves).toHaveLength(2);
  const values = curves.flat().map(({ value }) => value);
  expect(Math.min(...values) / set!.pitchMinMm).toBeCloseTo(1, 1);
  expect(Math.max(...values) / set!.pitchMaxMm).toBeCloseTo(1, 1);
  expect(Math.max(...values)).toBeLessThanOrEqual(set!.pitchMaxMm * 1.001);
  // On a cylinder a millimetre around on the flat is one on the vessel: the pitches add up to the ink's width.
  const [first] = curves;
  expect(first!.reduce((sum, { value }) => sum + value, 0)).toBeGreaterThan(19.5);
  expect(first!.reduce((sum, { value }) => sum + value, 0)).toBeLessThan(20);
});

describe("any artwork", () => {
  const title = `Ναυτικός <Όμιλος> & "Клуб" ${"long ".repeat(40)}`;
  const jobs: [string, string, JobFile["fill"], JobFile][] = [
    ["wide", rect(65, 30), { lines: "even", ...lines, bands: 5 }, {}],
    ["tall", rect(20, 90), { lines: "plain" }, coated],
    ["square", rect(60, 60), { bands: 32, bandsBy: "power", ...lines }, {}],
    ["tiny, no set along the axis", rect(5, 2), { lines: "plain", ...lines, anglesDeg: [0, 45] }, {}],
    [
      "weak: below the threshold, smallest pitch",
      rect(64, 30),
      { lines: "even", bands: 3, pitchLimitsMm: [0.1, 0.2] },
      { ...coated, settings: { ...settings, powerW: 2.2 } },
    ],
    [
      "nothing removed",
      rect(40, 30),
      { lines: "even", bands: 2 },
      { ...coated, settings: { ...settings, powerW: 0.3 } },
    ],
    ["a taper", rect(50, 40), { lines: "even", ...lines }, { vessel: { taperMm: [88, 60, 110] } }],
    [
      "a blocked place",
      rect(60, 34),
      { lines: "even", ...lines },
      {
        vessel: {
          diameterMm: 76.4,
          belowRimMm: 50,
          heightMm: 100,
          blocked: [{ name: "weld", aroundDeg: [10, 20], belowRimMm: [40, 60] }],
        },
      },
    ],
    ["hairlines", rect(50, 0.08), { lines: "even", ...lines }, {}],
  ];
  test.each(jobs)(
    "%s: words fit the page and one another, the same each time",
    async (_, svg, fill, more) => {
      const plan = await planned(svg, fill, more);
      const { letters, said } = noting();
      const parts = evenness(plan, plan.fill!, 0, letters, title);
      expect(parts.overlay).not.toMatch(FORBIDDEN);
      expect(parts.width).toBe(2000);
      expect(parts.height).toBeLessThan(2200);
      expect(said.length).toBeGreaterThan(30);
      said.forEach(({ words, size, box }, i) => {
        // 15 px where the picture is shown 1600 px wide.
        expect(size).toBeGreaterThanOrEqual(18.75);
        expect(box[0], words).toBeGreaterThanOrEqual(0);
        expect(box[1], words).toBeGreaterThanOrEqual(0);
        expect(box[2], words).toBeLessThanOrEqual(parts.width);
        expect(box[3], words).toBeLessThanOrEqual(parts.height);
        for (const other of said.slice(i + 1)) {
          const wide = Math.min(box[2], other.box[2]) - Math.max(box[0], other.box[0]);
          const high = Math.min(box[3], other.box[3]) - Math.max(box[1], other.box[1]);
          expect(wide > 0 && high > 0, `“${words}” meets “${other.words}”`).toBe(false);
        }
      });
      const asked = (fill!.lines ? 1 : 0) + (fill!.bands ? 1 : 0);
      expect(said.filter(({ words }) => words === "asked for")).toHaveLength(asked);
      const ids = [...parts.overlay.matchAll(/ id="([^"]+)"/g)].map((m) => m[1]!);
      expect(new Set(ids).size).toBe(ids.length);
      for (const kind of proofs) {
        const spread = plan.fill!.spread[kind];
        const [, told] = new RegExp(`id="kind-${kind}" data-words="([^"]+)"`).exec(parts.overlay)!;
        if (!spread) expect(told).not.toMatch(/\d/);
        else if (spread.spread >= 0.0005) {
          const [, figure] = /^spread ([\d.]+) %$/.exec(told!)!;
          expect(Math.abs(Number(figure) / 100 - spread.spread)).toBeLessThanOrEqual(
            spread.spread < 0.0995 ? 0.00051 : 0.0051,
          );
        }
      }
      const again = evenness(plan, plan.fill!, 0, lettering(), title);
      expect(again.overlay).toBe(parts.overlay);
      expect(Buffer.compare(again.field, parts.field)).toBe(0);
    },
  );

  test("each turn has its own picture, the spread is of all", async () => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="20mm" viewBox="0 0 150 20"><rect id="h" width="40" height="20"/><rect id="r" x="60" width="90" height="20"/></svg>`;
    const plan = await planned(svg, { lines: "even", ...lines }, { turns: 3 });
    const fill = plan.fill!;
    const drawn = plan.turns.map((_, i) => evenness(plan, fill, i, lettering(), "word").overlay);
    expect(new Set(drawn).size).toBe(3);
    const words = drawn.map((one) => /id="kind-even" data-words="([^"]+)"/.exec(one)![1]);
    expect(new Set(words).size).toBe(1);
    // The plan of one turn alone (as `prepare` has it) draws the same map.
    const { letters, said } = noting();
    const one = evenness({ ...plan, turns: [plan.turns[1]!] }, fill, 1, letters, "word");
    expect(mapFrame(one.overlay, "even")).toEqual(mapFrame(drawn[1]!, "even"));
    expect(said.some((s) => s.words.includes(", over all turns"))).toBe(true);
  });
});
