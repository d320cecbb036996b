/** Pages as SVG and PNG: places against the page's mm, by the pixels that sharp and pngjs read. */
import { PNG } from "pngjs";
import sharp from "sharp";
import { expect, test } from "vitest";
import { writePdf } from "../../src/cli/pdf.ts";
import { pagePng } from "../../src/cli/png.ts";
import { lettering } from "../../src/cli/typefaces.ts";
import type { Page, PageItem } from "../../src/picture/page/page.ts";
import { pageSvg } from "../../src/picture/page/pagesvg.ts";
import { POINTS_PER_MM, readPdf } from "../support/pdf.ts";
import { FORBIDDEN } from "./helpers.ts";

const letters = lettering();
const pageOf = (items: readonly PageItem[]): Page => ({ widthMm: 100, heightMm: 60, items });
const plain = (width: number, height: number, background: string): Promise<Buffer> =>
  sharp({ create: { width, height, channels: 3, background } })
    .png()
    .toBuffer();

async function pixels(items: readonly PageItem[], images: Map<string, Buffer> = new Map(), pxPerMm = 10) {
  const png = PNG.sync.read(await pagePng(pageOf(items), images, letters, pxPerMm));
  const at = (x: number, y: number): number[] => {
    const i = 4 * (Math.floor(y * pxPerMm) * png.width + Math.floor(x * pxPerMm));
    return [...png.data.subarray(i, i + 3)];
  };
  return { ...png, at };
}

test("px as many as the mm ask for, white where nothing stands", async () => {
  const { width, height, at } = await pixels([], new Map(), 7.5);
  expect([width, height]).toEqual([750, 450]);
  expect(at(50, 30)).toEqual([255, 255, 255]);
});

test("lines and paths by their fill rules, in mm", async () => {
  const d = "M10 10h30v30h-30ZM20 20h10v10h-10Z";
  const { at } = await pixels([
    { kind: "path", d, rule: "evenodd", fill: "#ff0000" },
    { kind: "path", d: "M60 10h30v30h-30ZM70 20h10v10h-10Z", fill: "#0000ff" },
    { kind: "line", x1: 10, y1: 50, x2: 90, y2: 50, width: 2, stroke: "#008000", dash: [10, 10] },
  ]);
  expect(at(15, 15)).toEqual([255, 0, 0]);
  expect(at(25, 25)).toEqual([255, 255, 255]);
  expect(at(75, 25)).toEqual([0, 0, 255]);
  expect([at(15, 50), at(25, 50), at(35, 50)]).toEqual([
    [0, 128, 0],
    [255, 255, 255],
    [0, 128, 0],
  ]);
});

test("images lie under the lines, stretched to their place or taken as they are", async () => {
  const images = new Map([
    ["small", await plain(3, 3, "#00ff00")],
    ["exact", await plain(200, 200, "#ffff00")],
  ]);
  const { at } = await pixels(
    [
      { kind: "line", x1: 0, y1: 20, x2: 100, y2: 20, width: 2, stroke: "#000000" },
      { kind: "image", name: "small", x: 10, y: 10, width: 20, height: 30 },
      { kind: "image", name: "exact", x: 60, y: 10, width: 20, height: 20 },
    ],
    images,
  );
  for (const [x, y] of [
    [10.05, 10.05],
    [29.95, 39.95],
  ]) {
    expect(at(x!, y!)).toEqual([0, 255, 0]);
  }
  expect(at(30.05, 15)).toEqual([255, 255, 255]);
  expect(at(79.95, 29.95)).toEqual([255, 255, 0]);
  expect(at(20, 20)).toEqual([0, 0, 0]);
});

test("an image of just the px of its place keeps every pixel", async () => {
  const noise = Buffer.from({ length: 40 * 40 * 3 }).map((_, i) => (i * 97 + ((i * i) % 251)) % 256);
  const image = await sharp(noise, { raw: { width: 40, height: 40, channels: 3 } })
    .png()
    .toBuffer();
  const item: PageItem = { kind: "image", name: "noise", x: 10, y: 20, width: 4, height: 4 };
  const png = await pagePng(pageOf([item]), new Map([["noise", image]]), letters, 10);
  const kept = await sharp(png).extract({ left: 100, top: 200, width: 40, height: 40 }).raw().toBuffer();
  expect(kept.equals(noise)).toBe(true);
});

test("the same page gives the same bytes, and an image that was not given is refused", async () => {
  const items: PageItem[] = [
    { kind: "text", words: "Heron נהר نادي", x: 50, y: 30, size: 6, anchor: "middle" },
  ];
  const [one, other] = [
    await pagePng(pageOf(items), new Map(), letters, 4),
    await pagePng(pageOf(items), new Map(), lettering(), 4),
  ];
  expect(one.equals(other)).toBe(true);
  const image: PageItem = { kind: "image", name: "front", x: 0, y: 0, width: 10, height: 10 };
  await expect(pagePng(pageOf([image]), new Map(), letters, 4)).rejects.toThrow(/front/);
});

test("SVG and PDF set the same text in the same place, whatever its script, anchor and turn", async () => {
  const items: PageItem[] = ["start", "middle", "end"].flatMap((anchor, i) =>
    ["Heron Reach", "נהר 12 Heron"].map((words, j) => ({
      kind: "text",
      words,
      x: 50,
      y: 10 + 8 * (2 * i + j),
      size: 5,
      weight: j === 0 ? "regular" : "bold",
      anchor: anchor as "start" | "middle" | "end",
      rotate: j === 0 ? 0 : 15,
    })),
  );
  const pdf = await writePdf([pageOf(items)], {
    images: new Map(),
    lettering: letters,
    title: "t",
    date: "2026-01-01",
  });
  const { texts } = (await readPdf(pdf)).pages[0]!;
  const paths = [...pageSvg(pageOf(items), letters, 10).matchAll(/ d="([^"]+)"/g)].map((m) => m[1]!);
  expect(paths).toHaveLength(texts.length);
  texts.forEach((text, i) => {
    const all = (paths[i]!.match(/-?[\d.]+/g) ?? []).map(Number);
    const turn = (-text.angle * Math.PI) / 180;
    // Along the baseline, from the left end that the PDF tells.
    const along = all
      .filter((_, k) => k % 2 === 0)
      .map((x, k) => {
        const [dx, dy] = [x - text.x / POINTS_PER_MM, all[2 * k + 1]! - text.y / POINTS_PER_MM];
        return dx * Math.cos(turn) - dy * Math.sin(turn);
      });
    // Letters keep a little room at both ends: less than a tenth of the em.
    expect(Math.abs(Math.min(...along))).toBeLessThan(0.5);
    expect(Math.abs(Math.max(...along) - text.width / POINTS_PER_MM)).toBeLessThan(0.5);
  });
});

test("an SVG holds outlines alone, and a number that is none is refused", () => {
  const items: PageItem[] = [
    { kind: "text", words: "Heron & <Reach>", x: 10, y: 10, size: 4, fill: "#123456" },
    { kind: "path", d: "M0 0h9", stroke: "#000000" },
  ];
  const svg = pageSvg(pageOf(items), letters, 10);
  expect(svg).toMatch(/^<svg [^>]*width="1000" height="600" viewBox="0 0 100 60"/);
  expect(svg).not.toMatch(FORBIDDEN);
  expect(svg).toMatch(/fill="none" stroke="#000000" stroke-width="0.25"/);
  const line: PageItem = { kind: "line", x1: Number.NaN, y1: 0, x2: 1, y2: 1, width: 1 };
  expect(() => pageSvg(pageOf([line]), letters, 10)).toThrow(/NaN/);
  for (const wrong of [{ x: Number.NaN }, { y: Infinity }, { size: Number.NaN }, { rotate: Number.NaN }]) {
    const text: PageItem = { kind: "text", words: "Heron", x: 10, y: 10, size: 4, ...wrong };
    expect(() => pageSvg(pageOf([text]), letters, 10), JSON.stringify(wrong)).toThrow(/NaN|Infinity/);
  }
});
