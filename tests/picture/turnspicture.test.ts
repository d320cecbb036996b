/** The picture of all turns: where cuts, windows and rings lie, what it says, shapes only, the same each time. */

import { PNG } from "pngjs";
import { describe, expect, test } from "vitest";
import { drawingPng } from "../../src/cli/png.ts";
import type { JobFile } from "../../src/job/job.ts";
import { type Crossing, crossings } from "../../src/picture/turns/crossings.ts";
import { unrolled } from "../../src/picture/turns/unrolled.ts";
import { turnsPicture } from "../../src/picture/turnspicture.ts";
import type { Plan } from "../../src/plan/types.ts";
import { girthChart, sheetChart } from "../../src/vessel/chart.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { coneOutline } from "../../src/vessel/straight.ts";
import { FORBIDDEN, lettering, planOf } from "./helpers.ts";

const letters = lettering();
const DIAMETER = 76.4;
const GIRTH = Math.PI * DIAMETER;

/** Bars 16 mm tall, twelve around, each two thirds of its share wide: cuts have gaps to go through. */
const bars = (share: number): string => {
  const pitch = GIRTH / 12;
  const list = Array.from(
    { length: 12 },
    (_, i) => `<rect id="bar-${i + 1}" x="${i * pitch}" y="2" width="${share * pitch}" height="16"/>`,
  );
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${GIRTH}mm" height="20mm" viewBox="0 0 ${GIRTH} 20">${list.join("")}</svg>`;
};
const word = `<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="20mm" viewBox="0 0 150 20"><rect id="h" width="40" height="20"/><rect id="r" x="60" width="90" height="20"/></svg>`;
const cup: JobFile["vessel"] = { taperMm: [88, 64, 110] };
const handle = [
  { name: "handle", aroundDeg: [60, 90] as [number, number], belowRimMm: [30, 90] as [number, number] },
];

const jobs: [string, string, JobFile][] = [
  [
    "a band all around in 3 turns",
    bars(0.6),
    { vessel: { diameterMm: DIAMETER }, turns: 3, witnessMarks: true },
  ],
  [
    "a band in so many turns that their names stand upright",
    bars(0.6),
    { vessel: { diameterMm: DIAMETER }, turns: 20 },
  ],
  [
    "a band in more turns than have room for their numbers",
    bars(0.6),
    { vessel: { diameterMm: DIAMETER }, turns: 40 },
  ],
  ["girth on a taper", word, { vessel: { ...cup, blocked: handle }, turns: 3 }],
  [
    "a sheet on a taper",
    word,
    { vessel: { ...cup, blocked: handle }, placement: { fidelity: "sheet" }, turns: 3 },
  ],
  ["a ball", word, { vessel: { sphereMm: 90 }, turns: "auto" }],
  ["a view from the front", word, { vessel: cup, placement: { widthMm: 60, fidelity: "sight" } }],
  [
    "centre lines",
    `<svg xmlns="http://www.w3.org/2000/svg" width="160mm" height="9mm" viewBox="0 0 160 9"><path id="l" d="M1 4H159" fill="none" stroke="#000" stroke-width="0.1"/></svg>`,
    { vessel: { diameterMm: 90 }, ink: { strokes: "centre-line" }, turns: "auto" },
  ],
];

const groupOf = (svg: string, id: string): string =>
  new RegExp(`<g id="${id}"[^>]*>(.*?)</g>`, "s").exec(svg)?.[1] ?? "";
const numbersIn = (d: string): number[] => (d.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);
/** The picture's x of the strip's left and right edge. */
function frameOf(svg: string): { left: number; width: number } {
  const [, x, width] = /<clipPath id="strip"><rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"/.exec(svg)!;
  return { left: Number(x), width: Number(width) };
}
const windowsOf = (svg: string) =>
  [...svg.matchAll(/<g id="turn-(\d+)" data-words="([^"]+)" data-from="([\d.]+)" data-to="([\d.]+)"/g)].map(
    ([, index, words, from, to]) => ({
      index: Number(index),
      words: words!,
      from: Number(from),
      to: Number(to),
    }),
  );

describe.each(jobs)("%s", (_, artwork, options) => {
  test("is drawn with shapes only, inside its frame, the same each time", async () => {
    const plan = await planOf(artwork, options);
    const svg = turnsPicture(plan, letters, `Ναυτικός <Όμιλος> & "Клуб" ${"long ".repeat(40)}`);
    expect(svg).not.toMatch(FORBIDDEN);
    const [, height] = /^<svg [^>]*width="1600" height="(\d+)"/.exec(svg)!;
    expect(Number(height)).toBeLessThan(2200);
    const { left, width } = frameOf(svg);
    expect(left).toBeGreaterThan(100);
    expect(left + width).toBeLessThan(1560);
    expect(windowsOf(svg)).toHaveLength(plan.turns.length);
    for (const { from, to } of windowsOf(svg)) {
      expect(from).toBeGreaterThanOrEqual(left - 0.01);
      expect(to).toBeLessThanOrEqual(left + width + 0.01);
    }
    expect(turnsPicture(plan, lettering(), `Ναυτικός <Όμιλος> & "Клуб" ${"long ".repeat(40)}`)).toBe(svg);
  });
});

const band = (turns: number, more: JobFile = {}): Promise<Plan> =>
  planOf(bars(0.6), { vessel: { diameterMm: DIAMETER }, turns, ...more });

test("a cut lies at its own degree between −180 and 180, and its turns' windows beside it", async () => {
  const plan = await band(3);
  const svg = turnsPicture(plan, letters, "band");
  const { left, width } = frameOf(svg);
  expect(plan.parting.cuts).toHaveLength(2);
  for (const [i, { points }] of plan.parting.cuts.entries()) {
    // On a cylinder a millimetre of the flat is a millimetre of the girth, 360° in all.
    const wanted = left + width * (points[0]! / GIRTH + 0.5);
    const d = /<path d="([^"]+)"/.exec(groupOf(svg, `cut-${i + 1}`))![1]!;
    expect(numbersIn(d)[0]).toBeCloseTo(wanted, 1);
    expect(windowsOf(svg)[i]!.to).toBeLessThan(wanted);
    expect(windowsOf(svg)[i + 1]!.from).toBeGreaterThan(wanted);
  }
});

test("windows are named with their index angle and its arc on the girth", async () => {
  const plan = await band(3);
  const named = windowsOf(turnsPicture(plan, letters, "band"));
  for (const [i, { words }] of named.entries()) {
    const [, degrees, mm] = /^turn \d, index (−?[\d.]+)°, (−?[\d.]+) mm$/.exec(words)!;
    const number = (text: string): number => Number(text.replace("−", "-"));
    expect(number(degrees!)).toBeCloseTo((plan.turns[i]!.angle * 180) / Math.PI, 0);
    // Arc and angle belong together: 360° is the girth. Both are written to a tenth.
    expect(number(mm!)).toBeCloseTo((number(degrees!) / 360) * GIRTH, 0);
  }
});

test("crown lines lie under the ink and have no white rim that would look like a cut", async () => {
  const svg = turnsPicture(await band(3), letters, "band");
  const strip = svg.slice(svg.indexOf('clip-path="url(#strip)"'));
  const [first, ink] = [strip.indexOf('stroke-dasharray="'), strip.indexOf('id="ink-1"')];
  expect(first).toBeGreaterThan(0);
  expect(first).toBeLessThan(ink);
  expect(strip.slice(0, ink)).not.toMatch(/stroke="#ffffff"/);
});

test("where the bands have no room for index angles the key lists them all", async () => {
  const plan = await band(40);
  const [, words] = /id="index-angles" data-words="([^"]+)"/.exec(turnsPicture(plan, letters, "band"))!;
  const told = [...words!.matchAll(/(\d+): (−?[\d.]+)°/g)].map((m) => Number(m[2]!.replace("−", "-")));
  expect(told).toHaveLength(plan.turns.length);
  told.forEach((angle, i) => {
    expect(angle).toBeCloseTo((plan.turns[i]!.angle * 180) / Math.PI, 1);
  });
  expect(turnsPicture(await band(3), letters, "band")).not.toContain("index-angles");
});

test("rings mark where cuts go through ink, and only there", async () => {
  const whole = `<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="20mm" viewBox="0 0 120 20"><path id="two" d="M0 0H120V4H0zM0 14H120V18H0z"/></svg>`;
  const plan = await planOf(whole, { vessel: { diameterMm: DIAMETER }, turns: 2 });
  expect(plan.parting.cuts[0]!.straight).toBe(true);
  const svg = turnsPicture(plan, letters, "two");
  // Two bars across the one cut; each ring is a white circle and a coloured one.
  expect(groupOf(svg, "crossings-1").match(/<circle/g)).toHaveLength(4);
  const cut = numbersIn(/<path d="([^"]+)"/.exec(groupOf(svg, "cut-1"))![1]!)[0]!;
  for (const [, cx] of groupOf(svg, "crossings-1").matchAll(/cx="([\d.]+)"/g))
    expect(Number(cx)).toBeCloseTo(cut, 1);
  expect(turnsPicture(await band(3), letters, "band")).not.toContain('id="crossings-');
});

test("what is beyond the limits of its turn is drawn in its zone, blocked areas where they are", async () => {
  const plan = await planOf(word, {
    vessel: { diameterMm: DIAMETER, belowRimMm: 50, heightMm: 100, blocked: handle },
    turns: 3,
  });
  const svg = turnsPicture(plan, letters, "word");
  expect(plan.pieces.get("blocked")?.length).toBeGreaterThan(0);
  expect(svg).toContain('id="beyond-blocked"');
  const { left, width } = frameOf(svg);
  const [, x, wide] = /<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"/.exec(groupOf(svg, "blocked-1"))!;
  const ends = windowsOf(svg);
  // 30° of the girth, beginning at 60°: measured against the ink, which begins 75 mm left of the crown line.
  const scale = (ends.at(-1)!.to - ends[0]!.from) / 150;
  expect(Number(wide) / scale).toBeCloseTo(GIRTH / 12, 1);
  expect((Number(x) - ends[0]!.from) / scale - 75).toBeCloseTo(GIRTH / 6, 1);
  expect(left + width).toBeGreaterThan(Number(x) + Number(wide));
  expect(turnsPicture(await band(3), letters, "band")).not.toContain("beyond-blocked");
});

test("the closing error is told, and only of artwork that goes all the way around", async () => {
  const near = turnsPicture(
    await band(3, { vessel: { diameterMm: DIAMETER + 0.02 / Math.PI } }),
    letters,
    "band",
  );
  expect(near).toMatch(
    /id="closing" data-words="first and last meet: gap 0\.02 mm \(artwork 240\.02 mm around, girth 240\.04 mm\)"/,
  );
  const far = turnsPicture(
    await band(3, { vessel: { diameterMm: DIAMETER - 1 / Math.PI } }),
    letters,
    "band",
  );
  expect(far).toMatch(/data-words="first and last do not meet: overlap 1\.00 mm/);
  expect(turnsPicture(await planOf(word, { vessel: cup, turns: 2 }), letters, "word")).not.toContain(
    'id="closing"',
  );
});

test("witness marks are drawn at the seams they belong to, and not as ink of a turn", async () => {
  const vessel = { diameterMm: DIAMETER, belowRimMm: 60, heightMm: 100 };
  const plan = await band(6, { vessel, witnessMarks: true });
  const svg = turnsPicture(plan, letters, "band");
  const marks = [...svg.matchAll(/<g data-mark="witness"><line x1="([\d.]+)"/g)].map((m) => Number(m[1]));
  // One at each seam, and one in the key.
  expect(marks).toHaveLength(6);
  const windows = windowsOf(svg);
  for (let i = 0; i < 5; i++) {
    expect(marks[i]).toBeGreaterThan(windows[i]!.to);
    expect(marks[i]).toBeLessThan(windows[i + 1]!.from);
  }
  // Each turn holds two of the twelve bars, and no mark.
  for (let i = 1; i <= 6; i++) expect(groupOf(svg, `ink-${i}`).match(/<path/g)).toHaveLength(2);
  expect(turnsPicture(await band(6, { vessel }), letters, "band")).not.toContain("witness");
});

test("the drawn ink covers the ink's area, in the scale of the girth", async () => {
  const plan = await band(6);
  const svg = turnsPicture(plan, letters, "band");
  const [open] = /^<svg [^>]*>/.exec(svg)!;
  const inks = plan.turns.map(({ index }) => groupOf(svg, `ink-${index}`));
  const white = `<rect width="1600" height="3000" fill="#fff"/>`;
  const png = PNG.sync.read(await drawingPng(`${open}${white}${inks.join("")}</svg>`));
  let dark = 0;
  for (let i = 0; i < png.data.length; i += 4) if (png.data[i]! < 180) dark++;
  const scale = frameOf(svg).width / GIRTH;
  expect(dark / scale ** 2 / plan.ink.areaMm2).toBeCloseTo(1, 2);
});

describe("crossings of a cut", () => {
  const outline = coneOutline(88, 64, 110, 55);
  const flatOf = (d: readonly (readonly [number, number])[]) => ({
    contours: [
      {
        closed: true,
        points: Float64Array.from(
          [...d, d[0]!].flatMap(([x, y], i, all) => {
            const [px, py] = all[Math.max(0, i - 1)]!;
            const third = (k: number) => [px + ((x - px) * k) / 3, py + ((y - py) * k) / 3];
            return i === 0 ? [x, y] : [...third(1), ...third(2), x, y];
          }),
        ),
        straight: new Uint8Array(d.length).fill(1),
      },
    ],
  });
  const upright = (theta: number) => [
    { theta, m: -40 },
    { theta, m: 40 },
  ];
  const of = (
    surface: ReturnType<typeof revolved>,
    d: readonly (readonly [number, number])[],
    theta: number,
  ): Crossing[] =>
    crossings(upright(theta), [{ filled: true, runs: unrolled(surface, flatOf(d), 0) }], 38, 1);

  test("through a square: its height and its middle", () => {
    const surface = revolved(outline, girthChart(outline, 0), 0);
    const square = [
      [-5, -3],
      [5, -3],
      [5, 9],
      [-5, 9],
    ] as const;
    const [found, ...more] = of(surface, square, 0.05);
    expect(more).toEqual([]);
    expect(found!.lengthMm).toBeCloseTo(12, 9);
    expect(found!.m).toBeCloseTo(3, 9);
    expect(found!.theta).toBeCloseTo(0.05, 12);
    expect(of(surface, square, 0.2)).toEqual([]);
  });

  test("exactly through two corners: whole and once", () => {
    const surface = revolved(outline, girthChart(outline, 0), 0);
    const diamond = [
      [0, -8],
      [8, 0],
      [0, 8],
      [-8, 0],
    ] as const;
    const [found, ...more] = of(surface, diamond, 0);
    expect(more).toEqual([]);
    expect(found!.lengthMm).toBeCloseTo(16, 9);
  });

  test("on a sheet laid around a cone a level bar is met where the development has it", () => {
    const surface = revolved(outline, sheetChart(outline), 0);
    const [found] = of(
      surface,
      [
        [-60, -1],
        [60, -1],
        [60, 1],
        [-60, 1],
      ],
      0.8,
    );
    // ρ cos(kθ) − r₀/k = b: the meridian θ meets the line b at ρ = (b + r₀/k)/cos(kθ), m = ρ − r₀/k.
    const k = outline.slope!;
    const at = (b: number): number => (b + 38 / k) / Math.cos(k * 0.8) - 38 / k;
    expect(found!.lengthMm).toBeCloseTo(at(1) - at(-1), 4);
    expect(found!.m).toBeCloseTo((at(1) + at(-1)) / 2, 3);
  });
});
