/**
 * What is said of traced pictures: which are no drawings, where nothing or all is ink, what was lost. Pictures are
 * drawn by librsvg and packed as a user would embed them; luminances are computed with wcag-contrast 3.0.0 or from
 * WCAG 2, and areas in closed form.
 */
import sharp, { type Sharp } from "sharp";
import { describe, expect, it } from "vitest";
import { parseColour } from "../../src/artwork/paint.ts";
import type { Artwork } from "../../src/artwork/types.ts";
import { decodeImage } from "../../src/cli/decode-image.ts";
import { readInk } from "../../src/ink/ink.ts";
import type { InkOptions } from "../../src/ink/options.ts";
import { isDots, isShaded } from "../../src/ink/trace/shares.ts";
import { inkField } from "../../src/ink/trace/tone.ts";
import { type Problem, ProblemsError } from "../../src/problem.ts";
import { total } from "./helpers.ts";
import { dOf, lettering, lightness } from "./tracing.ts";

const word = (fill: string): string =>
  `<path fill="${fill}" d="${dOf(lettering("Reach", 90, 15.3, 120.6))}"/>`;
const disc = (fill: string, x = 150, r = 60, y = 100): string =>
  `<circle cx="${x}" cy="${y}" r="${r}" fill="${fill}"/>`;

interface Packing {
  readonly width?: number;
  readonly ground?: string | null;
  readonly jpeg?: number;
}

/** A picture of 300 × 200 units, `width` pixels wide. */
function picture(body: string, { width = 300, ground = "#fff", jpeg }: Packing = {}): Promise<Buffer> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 200" width="${width}" height="${(2 * width) / 3}">${body}</svg>`;
  const drawn = sharp(Buffer.from(svg));
  const whole = ground === null ? drawn : drawn.flatten({ background: ground });
  return jpeg === undefined ? whole.png().toBuffer() : whole.jpeg({ quality: jpeg }).toBuffer();
}

/** On a page of 60 × 40 mm, which the picture fills: 0.2 mm to the unit. */
async function inkOf(
  body: string,
  options: Partial<InkOptions> = {},
  packing: Packing = {},
  more = "",
): Promise<Artwork> {
  const type = packing.jpeg === undefined ? "png" : "jpeg";
  const data = (await picture(body, packing)).toString("base64");
  const image = `<image id="logo" width="60" height="40" href="data:image/${type};base64,${data}"/>`;
  const text = `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">${image}${more}</svg>`;
  return readInk(text, { trace: true, decode: decodeImage, ...options });
}

async function refused(...asked: Parameters<typeof inkOf>): Promise<Problem> {
  try {
    await inkOf(...asked);
  } catch (error) {
    if (error instanceof ProblemsError && error.problems.length === 1) return error.problems[0];
    throw error;
  }
  throw new Error("not refused");
}

const colours = (...list: string[]) => list.flatMap((text) => parseColour(text) ?? []);

describe("nothing of a picture is ink", () => {
  // Luminance of #cccccc: 0.603827; of #999999: 0.318547.
  it("a light logo is named as such, and the limit given marks it", async () => {
    const problem = await refused(word("#ccc"));
    expect(problem).toMatchObject({ code: "picture-no-ink", severity: "error", where: { element: "image" } });
    expect(problem.message).toMatch(/darker tone #cccccc \(luminance 0\.60\) is above the limit of 0\.5/);
    const below = Number(/--ink-below ([\d.]+)/.exec(problem.hint)?.[1]);
    expect(below).toBeGreaterThan(0.603827);
    expect(below).toBeLessThan(1);
    const light = await inkOf(word("#ccc"), { below });
    const dark = await inkOf(word("#000"));
    expect(light.problems).toEqual([]);
    expect(total(light) / total(dark)).toBeCloseTo(1, 2);
  });

  it("in a JPEG, and beside other ink, which --allow lets pass", async () => {
    const rect = '<rect width="5" height="5"/>';
    expect((await refused(word("#ccc"), {}, { jpeg: 80 }, rect)).code).toBe("picture-no-ink");
    const passed = await inkOf(word("#ccc"), { allow: ["picture-no-ink"] }, {}, rect);
    expect(total(passed)).toBeCloseTo(25, 6);
    expect(passed.problems.map((p) => [p.code, p.severity])).toEqual([["picture-no-ink", "caution"]]);
  });

  it("for light ink the lighter tone is named", async () => {
    const problem = await refused(word("#999"), { from: "light" }, { ground: "#000" });
    expect(problem.message).toMatch(/lighter tone #999999 \(luminance 0\.32\) is below the limit of 0\.5/);
    const below = Number(/--ink-below ([\d.]+)/.exec(problem.hint)?.[1]);
    expect(below).toBeGreaterThan(0);
    expect(below).toBeLessThan(0.318547);
    const marked = await inkOf(word("#999"), { from: "light", below }, { ground: "#000" });
    expect(total(marked)).toBeGreaterThan(1);
  });

  it("where no area has a chosen colour, those found are named, the commonest first, up to four", async () => {
    const chosen = { colours: colours("#00ff00") };
    const two = await refused(word("#112233") + disc("#c02030", 270, 20, 30), chosen);
    expect(two.code).toBe("picture-no-ink");
    expect(two.hint).toContain("#ffffff #112233 #c02030");
    const many = ["#c02030", "#204080", "#fc0", "#080", "#808"].map((c, k) =>
      disc(c, 30 + 60 * k, 28 - 3 * k),
    );
    expect((await refused(many.join(""), chosen)).hint).toMatch(
      /#ffffff #c02030 #204080 #ffcc00 and 2 more$/,
    );
    // Transparent ground is no colour.
    expect((await refused(word("#112233"), chosen, { ground: null })).hint).toMatch(/has #112233$/);
  });

  it("a blank picture is none of it", async () => {
    await expect(inkOf("", {}, {})).rejects.toMatchObject({ problem: { code: "no-ink" } });
    const rect = '<rect width="5" height="5"/>';
    for (const ground of ["#fff", "#ccc", null])
      expect((await inkOf("", {}, { ground }, rect)).problems.filter((p) => p.severity === "error")).toEqual(
        [],
      );
  });
});

describe("all of a picture is ink", () => {
  it("an opaque picture with --ink any; on transparent it is the logo alone", async () => {
    const problem = await refused(word("#112233"), { from: "any" });
    expect(problem).toMatchObject({ code: "picture-all-ink", severity: "error" });
    expect(problem.message).toMatch(/an opaque picture is all ink with --ink any/);
    const whole = await inkOf(word("#112233"), { from: "any", allow: ["picture-all-ink"] });
    expect(total(whole)).toBeCloseTo(2400, 6);
    const logo = await inkOf(word("#fff"), { from: "any" }, { ground: null });
    expect(logo.problems).toEqual([]);
    expect(total(logo) / total(await inkOf(word("#000")))).toBeCloseTo(1, 2);
  });

  it("two dark tones: the limit given parts them", async () => {
    const problem = await refused(word("#000"), {}, { ground: "#555" });
    expect(problem.code).toBe("picture-all-ink");
    // Luminance of #555555: 0.090842.
    expect(problem.message).toMatch(/lighter tone #555555 \(luminance 0\.09\)/);
    const below = Number(/--ink-below ([\d.]+)/.exec(problem.hint)?.[1]);
    const parted = await inkOf(word("#000"), { below }, { ground: "#555" });
    expect(total(parted) / total(await inkOf(word("#000")))).toBeCloseTo(1, 2);
  });

  it("a picture of one colour is a plain rectangle", async () => {
    const plain = await inkOf("", {}, { ground: "#123" });
    expect(plain.problems.filter((p) => p.code.startsWith("picture"))).toEqual([]);
    expect(total(plain)).toBeCloseTo(2400, 6);
  });
});

describe("what is lost is said", () => {
  const block = '<rect x="20" y="20" width="80" height="100"/>';
  const faint = ({ problems }: Artwork): Problem[] => problems.filter((p) => p.code === "picture-faint");

  // 60 × 40 pixels of 1 mm. A line of 0.3 mm over 32 mm is 9.6 mm²; its middle is at 24, 20 mm.
  it.each([
    ["on the pixels", 122.5],
    ["between the pixels", 120],
  ])("a line of 0.3 pixel, %s", async (_, x) => {
    const line = `<path d="M${x} 20V180" stroke="#000" stroke-width="1.5"/>`;
    const found = await inkOf(block + line, {}, { width: 60 });
    expect(total(found)).toBeCloseTo(320, 1);
    const [problem, ...more] = faint(found);
    expect(more).toEqual([]);
    expect(problem).toMatchObject({ severity: "caution", where: { element: "image" } });
    expect(problem!.message).toMatch(/9\.[4-8] mm², about 24\.[05] mm right and 20\.0 mm below/);
    const chosen = await inkOf(
      `<g fill="#112233">${block}${line.replace("#000", "#112233")}</g>`,
      { colours: colours("#112233") },
      { width: 60 },
    );
    expect(total(chosen)).toBeCloseTo(320, 1);
    expect(faint(chosen).length).toBe(1);
    // With four times the pixels it is marked.
    const fine = await inkOf(block + line, {}, { width: 240 });
    expect(faint(fine)).toEqual([]);
    expect(total(fine) / 329.6).toBeCloseTo(1, 2);
  });

  it("an oblique line, a spot and a pale patch, the largest placed", async () => {
    const line = '<path d="M120 20L280 160" stroke="#000" stroke-width="1.6"/>';
    const spot = '<circle cx="42" cy="172" r="2"/>';
    const patch = '<rect x="130" y="150" width="15" height="15" fill="#b8b8c8"/>';
    const found = await inkOf(block + line + spot + patch, { below: 0.4 }, { width: 60 });
    const [problem] = faint(found);
    expect(problem!.message).toMatch(/^not all of an embedded picture is marked: [23] faint lines or spots/);
    expect(problem!.message).toMatch(/the largest about 40\.\d mm right and 1[78]\.\d mm below/);
  });

  it("silent on logos, whatever their size, packing and colour", async () => {
    const loud: string[] = [];
    for (const width of [90, 240])
      for (const jpeg of [undefined, 90, 60, 40])
        for (const fill of ["#000", "#a01020", "#999"])
          for (const body of [word(fill), disc(fill) + disc("#fff", 150, 41.3)]) {
            const found = await inkOf(body, {}, { width, ...(jpeg === undefined ? {} : { jpeg }) });
            loud.push(...found.problems.map((p) => `${width} ${jpeg} ${fill}: ${p.message}`));
          }
    expect(loud).toEqual([]);
  });
});

it("a third tone is said: what of it is marked, and what not", async () => {
  const said = async (body: string): Promise<(string | undefined)[]> => {
    const { problems } = await inkOf(body);
    return problems.flatMap((p) => [p.code, p.severity, p.message]);
  };
  const pale = await said(word("#112233") + disc("#ccc", 270, 20, 30));
  expect(pale.slice(0, 2)).toEqual(["picture-not-one-colour", "caution"]);
  expect(pale[2]).toMatch(/3 tones: #112233 marked alike, #ffffff #cccccc not$/);
  const dark = await said(word("#112233") + disc("#811", 270, 20, 30));
  expect(dark.slice(0, 2)).toEqual(["picture-not-one-colour", "note"]);
  expect(dark[2]).toMatch(/#112233 #881111 marked alike, #ffffff not$/);
});

describe("drawings and photographs", () => {
  /** Repeatable noise, 0…1: a linear congruential generator (its constants from memory). */
  const random = (seed: number) => () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };
  const W = 300;
  const H = 200;
  const raw = { raw: { width: W, height: H, channels: 3 as const } };
  const found = async (image: Sharp) => {
    const { data, info } = await image.ensureAlpha().raw().toBuffer({ resolveWithObject: true });
    const { offTone, busy } = inkField(new Uint8Array(data), info.width, info.height, lightness);
    return { offTone, busy, refused: isShaded(offTone) || isDots(busy, info.width, info.height) };
  };
  const pixels = (at: (i: number, j: number) => readonly number[]): Uint8Array =>
    Uint8Array.from(Array.from({ length: W * H }, (_, k) => at(k % W, Math.floor(k / W))).flat(), (v) =>
      Math.max(0, Math.min(255, Math.round(v))),
    );

  const logos: [name: string, body: string][] = [
    ["letters", word("#000")],
    ["coloured letters", word("#a01020")],
    ["grey letters", word("#888")],
    ["ring and disc", disc("#112233") + disc("#fff", 150, 41.3) + disc("#112233", 150, 20.2)],
    [
      "thin lines",
      `<g fill="none" stroke="#000" stroke-width="2.5"><path d="M10 10L290 180M30 190V20"/>${disc("none")}</g>`,
    ],
    ["two dark colours", word("#012") + disc("#811", 240, 40, 150)],
    ["dark and pale", word("#012") + disc("#ccc", 240, 40, 150)],
    ["black and yellow", disc("#000", 150, 90) + disc("#fc0", 150, 60.3)],
  ];

  // Measured over these: offTone at most 0.0091, busy at most 0.027. On 800 more of 100 to 2,700 pixels it was 0.033 at
  // most, where letters of 100 pixels' width are blurred past reading, and 0.08 where a JPEG of quality 40 and 150
  // pixels hides that a third colour is even. From 0.02 on it is said, past 0.12 refused.
  it.each(logos)("%s pass, sharp, lossy, enlarged and blurred", async (_, body) => {
    const width = 200;
    const png = await picture(body, { width });
    const lossy = await Promise.all([40, 60, 75, 95].map((jpeg) => picture(body, { width, jpeg })));
    const all = [
      ...[png, ...lossy].map((one) => sharp(one)),
      ...[png, lossy[1]!].map((one) => sharp(one).resize({ width: 3 * width, kernel: "cubic" })),
      ...[1, 2].map((sigma) => sharp(png).blur(sigma)),
    ];
    for (const image of all) {
      const { offTone, busy, refused } = await found(image);
      expect(refused).toBe(false);
      expect(offTone).toBeLessThan(0.02);
      expect(busy).toBeLessThan(0.05);
    }
  });

  const shade = (defs: string, fill: string): Sharp =>
    sharp(
      Buffer.from(
        `<svg xmlns="http://www.w3.org/2000/svg" width="${W}" height="${H}"><defs>${defs}</defs>${fill}</svg>`,
      ),
    ).flatten({ background: "#fff" });
  const stops = '<stop offset="0" stop-color="#fff"/><stop offset="1" stop-color="#200"/>';

  /** Waves of amplitude 1/k, as natural scenes have them (D. J. Field, J. Opt. Soc. Am. A 4, 1987; from memory). */
  function scene(contrast: number): Uint8Array {
    const next = random(7);
    const waves = Array.from({ length: 180 }, (_, n) => {
      const k = 1 + Math.floor(n / 6);
      const turn = 2 * Math.PI * next();
      return [
        (k * Math.cos(turn)) / W,
        (k * Math.sin(turn)) / W,
        2 * Math.PI * next(),
        1 / k,
        next(),
        next(),
        next(),
      ] as const;
    });
    return pixels((i, j) => {
      const sum = [128, 128, 128];
      for (const [a, b, phase, size, ...tint] of waves) {
        const v = contrast * size * Math.sin(2 * Math.PI * (a * i + b * j) + phase);
        for (let c = 0; c < 3; c++) sum[c]! += v * (0.6 + 0.8 * tint[c]!);
      }
      return sum;
    });
  }
  const grain = (): Uint8Array => {
    const next = random(3);
    return pixels(() => [255 * next(), 255 * next(), 255 * next()]);
  };
  const specks = (): Uint8Array => {
    const next = random(4);
    return pixels(() => (next() < 0.5 ? [0, 0, 0] : [255, 255, 255]));
  };

  // Measured over these: offTone 0.188 (the hard scene) to 0.67, or busy 0.34 and more.
  it.each<[string, () => Sharp]>([
    [
      "a gradient",
      () =>
        shade(
          `<linearGradient id="g">${stops}</linearGradient>`,
          `<path fill="url(#g)" d="M0 0h300v200H0z"/>`,
        ),
    ],
    [
      "a round gradient",
      () =>
        shade(
          `<radialGradient id="g">${stops}</radialGradient>`,
          `<path fill="url(#g)" d="M0 0h300v200H0z"/>`,
        ),
    ],
    [
      "a shaded ball on white",
      () =>
        shade(`<radialGradient id="g" cx=".35" cy=".35">${stops}</radialGradient>`, disc("url(#g)", 150, 80)),
    ],
    ["a soft scene", () => sharp(scene(20), raw)],
    ["a scene", () => sharp(scene(45), raw)],
    ["a hard scene", () => sharp(scene(90), raw)],
    ["coloured noise", () => sharp(grain(), raw)],
    ["black and white noise", () => sharp(specks(), raw)],
  ])("%s is refused, as PNG and as JPEG", async (_, image) => {
    const png = await image().png().toBuffer();
    const jpeg = await image().jpeg({ quality: 75 }).toBuffer();
    for (const one of [png, jpeg]) {
      const { offTone, busy, refused } = await found(sharp(one));
      expect(refused).toBe(true);
      expect(offTone > 0.18 || busy > 0.3).toBe(true);
    }
  });

  it("and is said to be one, by its share", async () => {
    const body = `<linearGradient id="g">${stops}</linearGradient><path fill="url(#g)" d="M0 0h300v200H0z"/>`;
    const problem = await refused(body);
    expect(problem).toMatchObject({ code: "picture-not-one-colour", severity: "error" });
    expect(problem.message).toMatch(/shaded like a photograph over [5-7]\d % of it/);
  });

  it("icons of 24 pixels are busy and no noise", () => {
    // Measured on icons of @mdi/svg: 0.28 at most, less than seven crossings in a row.
    expect(isDots(0.28, 24, 24)).toBe(false);
    expect(isDots(0.28, 240, 240)).toBe(true);
  });
});
