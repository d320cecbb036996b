/**
 * Colours → coverage of ink: by lightness, by chosen colours, or of all that is painted. Against the shapes in closed
 * form, and, for one scene in several colours, against the chosen shape drawn alone (librsvg's own coverage).
 */
import fc from "fast-check";
import sharp from "sharp";
import { describe, expect, it } from "vitest";
import { parseColour } from "../../src/artwork/paint.ts";
import type { Rgba } from "../../src/artwork/types.ts";
import { identity } from "../../src/geometry/affine.ts";
import { type Path, pathBounds, segmentCount } from "../../src/geometry/path.ts";
import { chosenField, paintedField } from "../../src/ink/trace/chosen.ts";
import { inkField } from "../../src/ink/trace/tone.ts";
import { traceField } from "../../src/ink/trace/trace.ts";
import {
  areaOf,
  circle,
  distances,
  dOf,
  drawn,
  lettering,
  lightness,
  type Ring,
  ringOf,
  traced,
} from "./tracing.ts";

const N = 300;
const pathOf = (value: Float32Array, n = N): Path<"page"> => traceField(n, n, value, 0.5, identity, 0.001);
const colours = (...list: string[]): Rgba[] => list.flatMap((text) => parseColour(text) ?? []);
const chosen = (rgba: Uint8Array, ...list: string[]): Path<"page"> =>
  pathOf(chosenField(rgba, N, N, colours(...list), 1).value);
const rings = (path: Path<"page">): Ring[] => path.contours.map((c) => ringOf(c));

const raw = { raw: { width: N, height: N, channels: 4 as const } };
async function jpeg(rgba: Uint8Array, quality: number): Promise<Uint8Array> {
  const packed = await sharp(rgba, raw).removeAlpha().jpeg({ quality }).toBuffer();
  return new Uint8Array(await sharp(packed).ensureAlpha().raw().toBuffer());
}
const blurred = async (rgba: Uint8Array, sigma: number): Promise<Uint8Array> =>
  new Uint8Array(await sharp(rgba, raw).blur(sigma).ensureAlpha().raw().toBuffer());
async function clear(body: string): Promise<Uint8Array> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${N}" height="${N}">${body}</svg>`;
  return new Uint8Array(await sharp(Buffer.from(svg)).ensureAlpha().raw().toBuffer());
}

describe("colours → coverage", () => {
  const pixels = (...colours: number[][]): Uint8Array =>
    Uint8Array.from(colours.flatMap((c) => (c.length > 3 ? c : [...c, 255])));

  it.each([
    ["black on white", [0, 0, 0], [255, 255, 255]],
    ["red on white", [200, 0, 0], [255, 255, 255]],
    ["blue on cream", [16, 32, 160], [255, 240, 200]],
  ])("%s: the blend of half and half is half covered", (_, ink, ground) => {
    const half = ink.map((v, i) => (v + ground[i]!) / 2);
    const row = [ink, ink, ink, half, ground, ground, ground];
    const { value } = inkField(pixels(...row, ...row, ...row), 7, 3, lightness);
    expect([...value.subarray(7, 14)].map((v) => Math.round(100 * v))).toEqual([100, 100, 100, 50, 0, 0, 0]);
  });

  it("transparent counts as white, and thin ink as its share", () => {
    const row = [
      [0, 0, 0, 255],
      [0, 0, 0, 255],
      [0, 0, 0, 102],
      [0, 0, 0, 0],
      [90, 0, 0, 0],
    ];
    const { value } = inkField(pixels(...row, ...row, ...row), 5, 3, lightness);
    expect([...value.subarray(5, 10)].map((v) => Math.round(100 * v))).toEqual([100, 100, 40, 0, 0]);
  });

  it("level areas are judged by the threshold: sRGB grey 187 is ink, 188 is not (IEC 61966-2-1)", () => {
    for (const [grey, ink] of [
      [187, 1],
      [188, 0],
    ] as const) {
      const rgba = new Uint8Array(4 * 30 * 30).fill(255);
      for (let j = 0; j < 30; j++)
        for (let i = 0; i < 30; i++)
          rgba.fill(i < 10 ? 0 : i < 20 ? grey : 255, 4 * (30 * j + i), 4 * (30 * j + i) + 3);
      const { value, colours } = inkField(rgba, 30, 30, lightness);
      expect(areaOf(traceField(30, 30, value, 0.5, identity, 0.001))).toBeCloseTo(ink ? 600 : 300, 6);
      expect(colours.length).toBe(3);
    }
  });

  it("light ink by the caller's tone", () => {
    const row = [
      [255, 255, 255],
      [255, 255, 255],
      [0, 0, 0],
      [0, 0, 0],
    ];
    const { value } = inkField(pixels(...row, ...row), 4, 2, (...c) => 1 - lightness(...c));
    expect([...value]).toEqual([1, 1, 0, 0, 1, 1, 0, 0]);
  });

  it("through a lossy file and back: area within 0.2 %, nothing added", async () => {
    const rgba = await drawn(`<circle cx="150.2" cy="149.7" r="100.3" fill="#036"/>`, 300);
    const raw = { raw: { width: 300, height: 300, channels: 4 as const } };
    const jpeg = await sharp(rgba, raw).removeAlpha().jpeg({ quality: 60 }).toBuffer();
    const back = new Uint8Array(await sharp(jpeg).ensureAlpha().raw().toBuffer());
    const path = traced(back, 300);
    expect(path.contours.length).toBe(1);
    expect(Math.abs(areaOf(path) / (Math.PI * 100.3 ** 2) - 1)).toBeLessThan(0.002);
    expect(
      distances(
        path.contours.map((c) => ringOf(c)),
        [circle(150.2, 149.7, 100.3)],
      ).worst,
    ).toBeLessThan(0.5);
  });
});

describe("a one-colour logo has the same outline whether its colour is chosen or not", () => {
  const word = (fill: string): string =>
    `<path fill="${fill}" d="${dOf(lettering("Reach", 100, 5.3, 210.6))}"/>`;

  it.each([
    ["on white", (body: string) => drawn(body, N), 0.05],
    ["on cream", (body: string) => drawn(body, N, false, "#f4ead0"), 0.05],
    ["on black", (body: string) => drawn(body, N, false, "#000"), 0.05],
    ["on transparent", clear, 0.12],
    ["blurred", async (body: string) => blurred(await drawn(body, N), 1), 0.5],
    ["in a JPEG of quality 75", async (body: string) => jpeg(await drawn(body, N), 75), 0.35],
  ] as const)("%s", async (name, draw, reach) => {
    const fill = name === "on black" ? "#eeddcc" : "#112233";
    const rgba = await draw(word(fill));
    const tone =
      name === "on black" ? (...c: Parameters<typeof lightness>) => 1 - lightness(...c) : lightness;
    const plain = pathOf(inkField(rgba, N, N, tone).value);
    const picked = chosen(rgba, fill);
    expect(picked.contours.length).toBe(plain.contours.length);
    expect(distances(rings(picked), rings(plain)).worst).toBeLessThan(reach);
    expect(distances(rings(plain), rings(picked)).worst).toBeLessThan(reach);
    expect(distances(rings(picked), rings(plain)).mean).toBeLessThan(reach / 10);
    expect(Math.abs(areaOf(picked) / areaOf(plain) - 1)).toBeLessThan(0.002);
    expect(segmentCount(picked)).toBeLessThanOrEqual(segmentCount(plain) + 3);
  });

  it("discs of any size, place and colour", async () => {
    const at = fc.double({ min: 120, max: 180, noNaN: true });
    const byte = fc.integer({ min: 0, max: 150 });
    await fc.assert(
      fc.asyncProperty(
        at,
        at,
        fc.double({ min: 8, max: 110, noNaN: true }),
        byte,
        byte,
        byte,
        async (x, y, r, a, b, c) => {
          const fill = `rgb(${a},${b},${c})`;
          const path = chosen(await drawn(`<circle cx="${x}" cy="${y}" r="${r}" fill="${fill}"/>`, N), fill);
          expect(path.contours.length).toBe(1);
          expect(distances(rings(path), [circle(x, y, r)]).worst).toBeLessThan(0.3);
          // librsvg's own coverage is good to some hundredths of a pixel along the outline; fitting may add as much.
          expect(Math.abs(areaOf(path) - Math.PI * r * r)).toBeLessThan(0.08 * 2 * Math.PI * r);
        },
      ),
      { seed: 5, numRuns: 40 },
    );
  });
});

describe("one of several colours", () => {
  const discs = (left: string, right: string): string =>
    `<circle cx="90" cy="150" r="60.3" fill="${left}"/><circle cx="220" cy="150" r="50.2" fill="${right}"/>`;
  const right = circle(220, 150, 50.2);
  const kinds = [
    ["PNG", async (rgba: Uint8Array) => rgba],
    ["blurred", (rgba: Uint8Array) => blurred(rgba, 1)],
    ["blurred more", (rgba: Uint8Array) => blurred(rgba, 2)],
    ["JPEG of quality 75", (rgba: Uint8Array) => jpeg(rgba, 75)],
    ["JPEG of quality 40", (rgba: Uint8Array) => jpeg(rgba, 40)],
  ] as const;

  it.each(kinds)("%s: blue beside red on white", async (_, through) => {
    const path = chosen(await through(await drawn(discs("#c02030", "#204080"), N)), "#204080");
    expect(path.contours.length).toBe(1);
    expect(distances(rings(path), [right]).worst).toBeLessThan(0.5);
    expect(Math.abs(areaOf(path) / (Math.PI * 50.2 ** 2) - 1)).toBeLessThan(0.005);
  });

  // The rim of black on white passes this very grey.
  it.each(kinds)("%s: grey beside black on white, and no rim about the black", async (_, through) => {
    const path = chosen(await through(await drawn(discs("#000", "#808080"), N)), "#808080");
    expect(path.contours.length).toBe(1);
    expect(distances(rings(path), [right]).worst).toBeLessThan(0.5);
    expect(Math.abs(areaOf(path) / (Math.PI * 50.2 ** 2) - 1)).toBeLessThan(0.005);
  });

  it("a black outline of three pixels is no rim of grey, and the grey inside keeps its edge", async () => {
    const body = `<circle cx="150" cy="150" r="60.3" fill="#808080" stroke="#000" stroke-width="3"/>`;
    const path = chosen(await drawn(body, N), "#808080");
    expect(path.contours.length).toBe(1);
    expect(distances(rings(path), [circle(150, 150, 58.8)]).worst).toBeLessThan(0.3);
  });

  it("where no area has the grey, the rim of black is none", async () => {
    const { value, colours: found } = chosenField(
      await drawn(discs("#000", "#000"), N),
      N,
      N,
      colours("#808080"),
      1,
    );
    expect(value.some((v) => v >= 0.5)).toBe(false);
    expect(found.map((c) => c.chosen)).toEqual([false, false]);
  });

  it("letters over a plate in other colours: each pixel's coverage as of the letters alone", async () => {
    const word = dOf(lettering("Reach", 90, 15.3, 140.6));
    const other = dOf(lettering("Heron", 90, 15.3, 240.6));
    const scene = (plate: string, ink: string, rest: string): string =>
      `<rect x="5" y="5" width="290" height="290" rx="30" fill="${plate}"/><path fill="${ink}" d="${word}"/><path fill="${rest}" d="${other}"/>`;
    const alone = await drawn(`<path d="${word}"/>`, N);
    for (const [plate, ink, rest] of [
      ["#000", "#808080", "#fff"],
      ["#123a7a", "#c02030", "#fc0"],
      ["#fff", "#808080", "#000"],
    ] as const)
      for (const draw of [(body: string) => drawn(body, N), clear]) {
        const { value } = chosenField(await draw(scene(plate, ink, rest)), N, N, colours(ink), 1);
        let worst = 0;
        value.forEach((v, i) => {
          worst = Math.max(worst, Math.abs(v - (1 - alone[4 * i]! / 255)));
        });
        // Three roundings to 8 bits, and full coverage from 96 % on.
        expect(worst).toBeLessThan(0.06);
      }
  });

  it("strokes of two pixels, with no area of their colour", async () => {
    const lines = (stroke: string): string =>
      `<g fill="none" stroke="${stroke}" stroke-width="2"><path d="M20 30L280 200M30 280V60"/><circle cx="190" cy="90" r="60"/></g>`;
    const scene = `<circle cx="90" cy="240" r="40" fill="#204080"/>${lines("#c02030")}`;
    const path = chosen(await drawn(scene, N), "#c02030");
    const alone = traced(await drawn(lines("#000"), N), N);
    expect(path.contours.length).toBe(alone.contours.length);
    expect(Math.abs(areaOf(path) / areaOf(alone) - 1)).toBeLessThan(0.02);
    expect(distances(rings(path), rings(alone)).mean).toBeLessThan(0.1);
  });

  it("two chosen colours side by side are one region without a seam", async () => {
    const halves = `<path d="M50 60H150.4V240H50Z" fill="#c02030"/><path d="M150.4 60H250V240H150.4Z" fill="#204080"/>`;
    const path = chosen(await drawn(halves, N), "#c02030", "#204080");
    expect(path.contours.length).toBe(1);
    expect(areaOf(path)).toBeCloseTo(36_000, 0);
  });

  it("the very colour is told from one nine levels off; in a JPEG a colour some levels off is taken", async () => {
    const near = await drawn(discs("#112233", "#1a2b3c"), N);
    for (const [colour, x, r] of [
      ["#112233", 90, 60.3],
      ["#1a2b3c", 220, 50.2],
    ] as const) {
      const path = chosen(near, colour);
      expect(path.contours.length).toBe(1);
      expect(distances(rings(path), [circle(x, 150, r)]).worst).toBeLessThan(0.3);
    }
    const lossy = await jpeg(await drawn(discs("#c02030", "#204080"), N), 75);
    expect(chosen(lossy, "#c42434").contours.length).toBe(1);
    expect(chosen(lossy, "#d04060").contours.length).toBe(0);
  });

  it("a picture's own opacity counts: a chosen colour is the one seen over white", async () => {
    const rgba = await drawn(discs("#f00", "#00f"), N);
    const at = (colour: string): number =>
      areaOf(pathOf(chosenField(rgba, N, N, colours(colour), 0.5).value));
    expect(at("#ff8080") / (Math.PI * 60.3 ** 2)).toBeCloseTo(1, 2);
    expect(at("#ff0000")).toBe(0);
  });
});

describe("several tones by lightness", () => {
  it("dark areas of another colour, and light ones on ink, keep smooth edges", async () => {
    const body = `<circle cx="150" cy="150" r="100.3"/><circle cx="150" cy="150" r="60.2" fill="#fc0"/><circle cx="150" cy="150" r="30.4" fill="#777"/>`;
    const path = traced(await drawn(body, N), N);
    expect(path.contours.length).toBe(3);
    const all = [circle(150, 150, 100.3), circle(150, 150, 60.2), circle(150, 150, 30.4)];
    expect(distances(rings(path), all).worst).toBeLessThan(0.3);
    expect(segmentCount(path)).toBeLessThanOrEqual(10);
  });

  it("a light grey logo under its own limit is as smooth as a black one", async () => {
    const body = (fill: string): string => `<circle cx="150.2" cy="149.7" r="100.3" fill="${fill}"/>`;
    const path = pathOf(inkField(await drawn(body("#ccc"), N), N, N, lightness, 0.8).value);
    expect(distances(rings(path), [circle(150.2, 149.7, 100.3)]).worst).toBeLessThan(0.3);
    expect(segmentCount(path)).toBeLessThanOrEqual(4);
  });
});

describe("white ink on transparent", () => {
  const ring = circle(150.2, 149.7, 100.3);
  const disc = (attributes: string): string => `<circle cx="150.2" cy="149.7" r="100.3" ${attributes}/>`;

  it("light over a black page", async () => {
    const overBlack = (r: number, g: number, b: number, a: number): number =>
      1 - lightness(r * a, g * a, b * a, 1);
    const { value } = inkField(await clear(disc('fill="#fff"')), N, N, overBlack, 0.5, "black");
    expect(distances(rings(pathOf(value)), [ring]).worst).toBeLessThan(0.3);
  });

  it.each(['fill="#fff"', 'fill="#000" opacity=".3"', 'fill="url(#g)"'])(
    "all that is painted: %s",
    async (paint) => {
      const gradient = `<linearGradient id="g"><stop offset="0" stop-color="#fff"/><stop offset="1"/></linearGradient>`;
      const { value, offTone } = paintedField(await clear(gradient + disc(paint)), N, N);
      expect(offTone).toBe(0);
      const path = pathOf(value);
      expect(path.contours.length).toBe(1);
      expect(distances(rings(path), [ring]).worst).toBeLessThan(0.3);
    },
  );

  it("an opaque picture is all ink", async () => {
    const path = pathOf(paintedField(await drawn(disc('fill="#000"'), N), N, N).value);
    expect(pathBounds(path)).toEqual({ minX: 0, minY: 0, maxX: N, maxY: N });
  });
});
