/** Paint to ink: luminance over the page, opacities at every level, what is shown at all, and what is chosen. */
import { describe, expect, test } from "vitest";
import { parseColour } from "../../src/artwork/paint.ts";
import type { InkOptions } from "../../src/ink/options.ts";
import { areaOrNone, inkArea, inkOn } from "./helpers.ts";

/** True when a 10 × 10 mm square with these attributes is ink. */
const isInk = async (attributes: string, options: Partial<InkOptions> = {}): Promise<boolean> =>
  (await areaOrNone(`<rect width="10" height="10" ${attributes}/>`, options)) > 0;
const colours = (...list: string[]) => list.flatMap((text) => parseColour(text) ?? []);

// Linear values computed from IEC 61966-2-1. Contrast against white computed with wcag-contrast 3.0.0 or from
// WCAG 2: (1 + 0.05)/(L + 0.05).
describe("relative luminance parts ink from paper", () => {
  const ofContrast = (contrast: number): number => 1.05 / contrast - 0.05;
  test.each([
    ["#808080", 0.21586050011389926],
    ["rgb(186 186 186)", 0.4910208498478356],
    ["rgb(188, 188, 188)", 0.5028864580325687],
    ["#c8c8c8", 0.5775804404296506],
    ["#767676", ofContrast(4.542224959605253)],
    ["#777", ofContrast(4.478089453577214)],
    ["#949494", ofContrast(3.0334698257384747)],
    ["red", ofContrast(3.998476770754)],
    ["hsl(240 100% 50%)", ofContrast(8.5924713584288)],
    ["yellow", ofContrast(1.07383923092657)],
    ["hsl(60, 100%, 50%)", ofContrast(1.07383923092657)],
  ])("%s has %d", async (fill, luminance) => {
    const paint = `fill="${fill}"`;
    expect(await isInk(paint, { below: luminance + 1e-9 })).toBe(true);
    expect(await isInk(paint, { below: luminance - 1e-9 })).toBe(false);
    expect(await isInk(paint)).toBe(luminance < 0.5);
    // Opaque paint is the same over a black page: light art counts from the limit on.
    expect(await isInk(paint, { from: "light" })).toBe(luminance >= 0.5);
    expect(await isInk(paint, { from: "any" })).toBe(true);
  });

  test("below 0 nothing is dark, below 1 all but white is", async () => {
    expect(await isInk('fill="black"', { below: 0 })).toBe(false);
    expect(await isInk('fill="#fefefe"', { below: 1 })).toBe(true);
    expect(await isInk('fill="white"', { below: 1 })).toBe(false);
  });
});

// Black of opacity a over white is the sRGB grey 1 − a; encode(0.5) = 0.7353569830524495 (IEC 61966-2-1), so that
// black is ink from a = 0.2646430 on.
describe("opacities at all levels multiply", () => {
  const just = 0.26465;
  const short = 0.26464;
  test.each([
    ["opacity", (a: number) => `<rect width="10" height="10" opacity="${a}"/>`],
    ["fill-opacity", (a: number) => `<rect width="10" height="10" fill-opacity="${a}"/>`],
    ["a percentage", (a: number) => `<rect width="10" height="10" fill-opacity="${100 * a}%"/>`],
    ["rgba()", (a: number) => `<rect width="10" height="10" fill="rgba(0,0,0,${a})"/>`],
    ["hsl() with alpha", (a: number) => `<rect width="10" height="10" fill="hsl(0 0% 0% / ${a})"/>`],
    ["a group", (a: number) => `<g opacity="${a}"><rect width="10" height="10"/></g>`],
    ["a link", (a: number) => `<a opacity="${a}"><rect width="10" height="10"/></a>`],
    ["an inner svg", (a: number) => `<svg opacity="${a}"><rect width="10" height="10"/></svg>`],
    [
      "a copy",
      (a: number) => `<defs><rect id="r" width="10" height="10"/></defs><use href="#r" opacity="${a}"/>`,
    ],
    [
      "a symbol",
      (a: number) => `<symbol id="s" opacity="${a}"><rect width="10" height="10"/></symbol><use href="#s"/>`,
    ],
    ["a class", (a: number) => `<style>.t{opacity:${a}}</style><rect class="t" width="10" height="10"/>`],
    [
      "three levels",
      (a: number) =>
        `<g opacity="${Math.cbrt(a)}"><rect width="10" height="10" opacity="${Math.cbrt(a)}" fill-opacity="${Math.cbrt(a)}"/></g>`,
    ],
    [
      "a gradient's stop",
      (a: number) =>
        `<linearGradient id="g"><stop stop-opacity="${a}"/></linearGradient><rect width="10" height="10" fill="url(#g)"/>`,
    ],
  ])("%s", async (_, content) => {
    expect(await areaOrNone(content(just))).toBeCloseTo(100, 9);
    expect(await areaOrNone(content(short))).toBe(0);
  });

  test("fill-opacity is inherited, opacity is not applied twice", async () => {
    expect(await areaOrNone('<g fill-opacity=".1"><rect width="10" height="10"/></g>')).toBe(0);
    expect(await areaOrNone('<g opacity=".5"><g><rect width="10" height="10"/></g></g>')).toBeCloseTo(100, 9);
  });
});

describe("what is painted at all", () => {
  test.each([
    ['fill="currentColor" color="#123"', true],
    ['fill="currentColor" color="white"', false],
    ['fill="none"', false],
    ['fill="transparent"', false],
    ['fill="#0000"', false],
    ['fill="#000f"', true],
    ['fill="#fff8"', false],
    ['fill="rgb(10%, 20%, 30%)"', true],
    ['fill="rebeccapurple"', true],
    ['fill="lavender"', false],
    ['visibility="hidden"', false],
    ['visibility="collapse"', false],
    ['display="none"', false],
    ['style="fill:white;fill:black"', true],
  ])("%s", async (attributes, expected) => {
    expect(await isInk(attributes)).toBe(expected);
  });

  test("a hidden group shows its visible children, one with display none none", async () => {
    const child = '<rect visibility="visible" display="inline" width="10" height="10"/>';
    expect(await areaOrNone(`<g visibility="hidden">${child}<rect x="50" width="9" height="9"/></g>`)).toBe(
      100,
    );
    expect(await areaOrNone(`<g display="none">${child}</g>`)).toBe(0);
  });

  test("currentColor comes from the element that is painted, also in a copy", async () => {
    const content =
      '<defs><rect id="r" fill="currentColor" width="10" height="10"/></defs>' +
      '<use href="#r" color="white"/><use href="#r" x="20" color="navy"/>';
    const { shapes } = await inkOn(content);
    expect(shapes.map(({ path }) => path.contours[0].points[0])).toEqual([20]);
  });

  test("a switch draws the first child that fits, and no other", async () => {
    const rect = (attributes: string, size: number): string =>
      `<rect ${attributes} width="${size}" height="${size}"/>`;
    const { shapes } = await inkOn(
      `<switch>${rect('id="a" systemLanguage="de"', 5)}${rect('id="b" systemLanguage="en-GB, de"', 6)}${rect('id="c"', 7)}</switch>`,
    );
    expect(shapes.map((s) => s.id)).toEqual(["b"]);
  });
});

/** SVG 2, 14.2.4: stops at offsets, straight lines in sRGB between them; areas in closed form where a jump allows it. */
describe("a gradient counts by its mean luminance, with a caution", () => {
  /** Two colours that meet at an offset: black up to it. */
  const filled = (colour: string, offset = 0.5, kind = "linear"): string =>
    `<${kind}Gradient id="g"><stop stop-color="black"/><stop offset="${offset}" stop-color="black"/>` +
    `<stop offset="${100 * offset}%" stop-color="${colour}"/></${kind}Gradient>` +
    '<rect id="below" width="20" height="20"/><rect id="r" x="10" width="20" height="20" fill="url(#g)"/>';
  test("dark: ink", async () => {
    // Black and #bababa: (0 + 0.49102)/2.
    const ink = await inkOn(filled("#bababa"), { below: 0.2456 });
    expect(ink.shapes.map((s) => s.id)).toEqual(["below"]);
    expect(ink.problems).toMatchObject([
      { code: "gradient-flattened", severity: "caution", where: { id: "r" } },
    ]);
    expect(await inkArea(filled("#bababa"), { below: 0.2456 })).toBeCloseTo(600, 6);
    expect(await inkArea(filled("#bababa"), { below: 0.2455 })).toBeCloseTo(200, 6);
  });
  test.each([
    ["linear", 0.25, 0.75],
    // Of a radial one's area the inner half of the radius is a quarter.
    ["radial", 0.5, 0.75],
    ["radial", 0.75, 0.4375],
  ])("%s, white from %f on: a luminance of %f", async (kind, offset, luminance) => {
    expect(await inkArea(filled("white", offset, kind), { below: luminance + 0.01 })).toBeCloseTo(600, 6);
    expect(await inkArea(filled("white", offset, kind), { below: luminance - 0.01 })).toBeCloseTo(200, 6);
  });
  test("from black to white: the mean of IEC 61966-2-1 over 0…1 is 0.31027 (quadrature)", async () => {
    const even =
      '<linearGradient id="g"><stop/><stop offset="1" stop-color="white"/></linearGradient><rect width="9" height="9" fill="url(#g)"/>';
    expect(await areaOrNone(even, { below: 0.314 })).toBeCloseTo(81, 6);
    expect(await areaOrNone(even, { below: 0.306 })).toBe(0);
  });
  test("of one colour it is no gradient", async () => {
    expect((await inkOn(filled("black"))).problems).toEqual([]);
  });
});

describe("light, any and chosen colours", () => {
  const plate =
    '<rect id="plate" width="40" height="40"/><rect id="bird" x="10" y="10" width="20" height="20" fill="#eee"/>' +
    '<rect id="eye" x="15" y="15" width="4" height="4" fill="#222"/><rect id="ghost" x="50" width="9" height="9" fill-opacity=".05"/>';
  test.each([
    ["dark", 1600 - 400 + 16],
    ["light", 400 - 16],
    ["any", 1600 + 81],
  ] as const)("--ink %s", async (from, area) => {
    expect(await inkArea(plate, { from })).toBeCloseTo(area, 6);
  });
  test("light ink is judged over a black page", async () => {
    // White of opacity a over black is the sRGB grey a; encode(0.5) = 0.7353569830524495 (IEC 61966-2-1).
    expect(await isInk('fill="white" opacity=".7354"', { from: "light" })).toBe(true);
    expect(await isInk('fill="white" opacity=".7353"', { from: "light" })).toBe(false);
  });
  test("only the colours chosen are ink, and every other paint knocks them out", async () => {
    expect(await inkArea(plate, { colours: colours("#eeeeee") })).toBeCloseTo(400 - 16, 6);
    expect(await inkArea(plate, { colours: colours("#eeeeee", "#222222") })).toBeCloseTo(400, 6);
    expect(await areaOrNone(plate, { colours: colours("#eeeeed") })).toBe(0);
  });
  test("a chosen colour is the one that is seen over white", async () => {
    expect(await isInk('fill="red" opacity=".5"', { colours: colours("#ff8080") })).toBe(true);
    expect(await isInk('fill="red" opacity=".5"', { colours: colours("#ff0000") })).toBe(false);
  });
});

describe("thin paint over ink", () => {
  const over = (paint: string): Promise<number> =>
    inkArea(`<rect width="20" height="20"/><rect width="10" height="20" ${paint}/>`);
  test.each([
    ["a light glaze lets the dark through", 'fill="white" opacity=".5"', 400],
    ["nearly opaque white knocks out", 'fill="white" opacity=".9"', 200],
    ["a faint shadow takes nothing away", 'fill="black" opacity=".1"', 400],
    ["transparent paint does nothing", 'fill="#fff0"', 400],
  ])("%s", async (_, paint, area) => expect(await over(paint)).toBeCloseTo(area, 6));
});
