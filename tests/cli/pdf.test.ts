/** Pages as PDF: sizes and lengths against ISO 32000, ISO 216 and ANSI Y14.1, text and drawing as pdfjs reads them. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { inflateSync } from "node:zlib";
import { create, type Glyph } from "fontkit";
import sharp from "sharp";
import { describe, expect, test } from "vitest";
import { type PdfOptions, writePdf } from "../../src/cli/pdf.ts";
import { lettering } from "../../src/cli/typefaces.ts";
import { type Page, type PageItem, papers } from "../../src/picture/page/page.ts";
import { POINTS_PER_MM, type ReadPage, readPdf } from "../support/pdf.ts";

const letters = lettering();
const pageOf = (items: readonly PageItem[], paper: keyof typeof papers = "a4"): Page => ({
  ...papers[paper],
  items,
});
const written = (pages: readonly Page[], options: Partial<PdfOptions> = {}): Promise<Buffer> =>
  writePdf(pages, {
    images: new Map(),
    lettering: letters,
    title: "Proof",
    date: "2026-04-01",
    ...options,
  });
async function read(items: readonly PageItem[], options: Partial<PdfOptions> = {}): Promise<ReadPage> {
  return (await readPdf(await written([pageOf(items)], options))).pages[0]!;
}
const words = (text: string, more: Partial<PageItem> = {}): PageItem =>
  ({ kind: "text", words: text, x: 20, y: 50, size: 5, ...more }) as PageItem;

/** The one font of a file: the stream that its descriptor names. */
function embeddedFont(pdf: Buffer): Uint8Array {
  const text = pdf.toString("latin1");
  const [, id] = /\/FontFile2 (\d+) 0 R/.exec(text)!;
  const start = text.indexOf("stream\n", text.indexOf(`\n${id} 0 obj`)) + "stream\n".length;
  return inflateSync(pdf.subarray(start, text.indexOf("\nendstream", start)));
}

/** The coordinates of a glyph's outline, y down. */
const points = (glyph: Glyph, x: number): number[] =>
  glyph.path.commands.flatMap(({ args }) =>
    args.map((v, i) => (i % 2 === 0 ? Math.round(v + x) : Math.round(-v))),
  );

describe("sizes", () => {
  // ISO 216: A4 is 210 mm × 297 mm. ANSI/ASME Y14.1: size A is 8.5 in × 11 in. ISO 32000-1, 8.3.2.3: 1/72 inch.
  test.each([
    ["a4", 595.28, 841.89],
    ["letter", 612, 792],
  ] as const)("%s", async (paper, width, height) => {
    const { pages } = await readPdf(await written([pageOf([], paper)]));
    expect(pages[0]!.width).toBeCloseTo(width, 2);
    expect(pages[0]!.height).toBeCloseTo(height, 2);
  });

  test("100 mm are 283.4646 points", async () => {
    const { lines } = await read([
      { kind: "line", x1: 20, y1: 30, x2: 120, y2: 30, width: 0.2 },
      { kind: "path", d: "M20 40v100", stroke: "#000000" },
    ]);
    expect(lines.map((line) => line.length)).toHaveLength(2);
    for (const line of lines) expect(line.length).toBeCloseTo(283.4646, 3);
    expect(lines[0]!.x1).toBeCloseTo(20 * POINTS_PER_MM, 3);
    expect(lines[0]!.y1).toBeCloseTo(30 * POINTS_PER_MM, 3);
  });

  test("text is as wide as it is laid out, from its anchor, along its turn", async () => {
    const width = letters.width("Heron Reach", 5, "bold") * POINTS_PER_MM;
    for (const [anchor, share] of [
      ["start", 0],
      ["middle", 0.5],
      ["end", 1],
    ] as const) {
      const { texts } = await read([words("Heron Reach", { anchor, weight: "bold" })]);
      expect(texts[0]!.width).toBeCloseTo(width, 2);
      expect(texts[0]!.x).toBeCloseTo(20 * POINTS_PER_MM - share * width, 2);
      expect(texts[0]!.y).toBeCloseTo(50 * POINTS_PER_MM, 2);
      expect(texts[0]!.size).toBeCloseTo(5 * POINTS_PER_MM, 3);
    }
    const { texts } = await read([words("Heron Reach", { rotate: -90 })]);
    expect(texts[0]!.angle).toBeCloseTo(-90, 3);
  });

  test("images stand in their places, one kept for both pages", async () => {
    const noise = Buffer.from(Uint32Array.from({ length: 5000 }, (_, i) => (i * 2654435761) >>> 0).buffer);
    const png = await sharp(noise.subarray(0, 12288), { raw: { width: 64, height: 64, channels: 3 } })
      .png()
      .toBuffer();
    const image: PageItem = { kind: "image", name: "front", x: 30, y: 40, width: 80, height: 60 };
    const images = new Map([["front", png]]);
    const once = await written([pageOf([image])], { images });
    const twice = await written([pageOf([image]), pageOf([image])], { images });
    expect(once.length).toBeGreaterThan(png.length);
    expect(twice.length - once.length).toBeLessThan(png.length / 4);
    const [box] = (await readPdf(twice)).pages[1]!.images;
    expect(box!.x).toBeCloseTo(30 * POINTS_PER_MM, 3);
    expect(box!.y).toBeCloseTo(40 * POINTS_PER_MM, 3);
    expect(box!.width).toBeCloseTo(80 * POINTS_PER_MM, 3);
    expect(box!.height).toBeCloseTo(60 * POINTS_PER_MM, 3);
  });
});

describe("drawing", () => {
  test("a quadratic curve as the cubic that is the same: its arms are at two thirds of the way to the point", async () => {
    const { curves } = await read([{ kind: "path", d: "M10 20Q40 80 70 20", stroke: "#000000" }]);
    // Degree elevation: Farin, Curves and Surfaces for CAGD, 5.1.
    const expected = [10, 20, 30, 60, 50, 60, 70, 20];
    expect(curves).toHaveLength(1);
    curves[0]!.forEach((v, i) => void expect(v / POINTS_PER_MM).toBeCloseTo(expected[i]!, 3));
  });

  test("relative commands, as arrowheads are written", async () => {
    const { lines } = await read([{ kind: "path", d: "M10 20l4 -2v4Z", fill: "#000000" }]);
    const ends = lines.map(({ x2, y2 }) => [x2, y2].map((v) => Math.round(v / POINTS_PER_MM)));
    expect(ends).toEqual([
      [14, 18],
      [14, 22],
      [10, 20],
    ]);
  });

  test("fill rules, strokes and dashes", async () => {
    const d = "M0 0h30v30h-30ZM10 10h10v10h-10Z";
    const stroke = { stroke: "#000000", dash: [3, 1.5] } as const;
    const { painted, dashes } = await read([
      { kind: "path", d },
      { kind: "path", d, rule: "evenodd" },
      { kind: "path", d, rule: "evenodd", fill: "#ff0000", ...stroke },
      { kind: "path", d, ...stroke },
      { kind: "path", d, fill: "none" },
      { kind: "line", x1: 0, y1: 0, x2: 9, y2: 0, width: 1 },
    ]);
    expect(painted).toEqual(["fill", "eoFill", "eoFillStroke", "stroke", "stroke"]);
    expect(dashes).toEqual([[3, 1.5], [3, 1.5], []]);
  });
});

// What is put in is what is read: names of an invented rowing club, our own translations.
const scripts: readonly (readonly [string, string])[] = [
  ["Latin", "Heron Reach “Øl & Łódź” 2 × 35 cl — fluff office"],
  ["Greek", "Ερωδιός ΐ ἄνδρα"],
  ["Cyrillic", "Цапля, Ђорђе, Їжак"],
  ["Vietnamese", "Con diệc nguyễn"],
  ["Arabic", "نادي هيرون للتجديف"],
  ["Arabic with vowels and lam-alef", "بَلّا سلام"],
  ["Hebrew", "מועדון חתירה"],
  ["Hebrew with points", "שָׁלוֹם"],
  ["Devanagari", "हिन्दी कि क्षत्रिय र्का हेरॉन रीच"],
  ["Thai", "น้ำ ที่ นกกระสา"],
  ["Bengali", "হেরন কো ক্ষি"],
  ["Tamil", "தமிழ் கொ நன்றி"],
  ["Georgian", "ყანჩა"],
  ["Armenian", "արագիլ"],
  ["Hebrew within Latin", "Heron (שלום) end"],
  ["Arabic within Latin, with a number", "Heron نادي 2026 Reach"],
  ["Latin within Arabic, with a number", "نادي Heron Reach للتجديف 12"],
  ["brackets within Hebrew", "מועדון (חתירה) 12, שלום!"],
];

describe("text", () => {
  test.each(scripts)("%s", async (_, text) => {
    expect(letters.missing(text)).toEqual([]);
    expect(letters.missing(text, "bold")).toEqual([]);
    const { texts } = await read([words(text), words(text, { weight: "bold" })]);
    expect(texts.map((one) => one.words.normalize("NFC"))).toEqual(
      [text, text].map((t) => t.normalize("NFC")),
    );
  });

  test("all fonts are embedded subsets with their characters told", async () => {
    const pdf = (await written([pageOf(scripts.map(([, text]) => words(text)))])).toString("latin1");
    const names = [...pdf.matchAll(/\/BaseFont \/(\S+)/g)].map((m) => m[1]!);
    expect(names.length).toBeGreaterThan(20);
    // ISO 32000-1, 9.6.4: six capitals and a plus sign. The 14 standard fonts have none.
    for (const name of names) expect(name).toMatch(/^[A-Z]{6}\+Noto/);
    const count = (of: RegExp): number => pdf.match(of)?.length ?? 0;
    const fonts = count(/\/Subtype \/Type0\b/g);
    expect(names).toHaveLength(2 * fonts);
    expect(count(/\/FontFile2 /g)).toBe(fonts);
    expect(count(/\/ToUnicode /g)).toBe(fonts);
  });

  // A letter whose dots are a glyph of their own; a syllable whose parts change places; a lone mark, raised.
  test.each(["ب", "कि", "X\u0301"])("the embedded font draws %s as pictures do", async (text) => {
    const pdf = await written([pageOf([words(text)])]);
    const font = create(embeddedFont(pdf));
    const { read: runs, advance } = letters.set(text);
    const codes = runs.flatMap((run) => run.clusters).map((cluster, i) => ({ code: i + 1, x: cluster.x }));
    const embedded = codes.flatMap(({ code, x }) => points(font.getGlyph(code)!, x * font.unitsPerEm));
    const units = { x: 0, y: 0, size: font.unitsPerEm };
    const drawn = (letters.path(text, units).match(/-?[\d.]+/g) ?? []).map((v) => Math.round(Number(v)));
    const sorted = (all: readonly number[]): number[] => all.map((v) => v + 0).sort((a, b) => a - b);
    expect(sorted(embedded)).toEqual(sorted(drawn));
    const widths = codes.map(({ code }) => font.getGlyph(code)!.advanceWidth);
    expect(widths.reduce((a, b) => a + b, 0)).toBeCloseTo(advance * font.unitsPerEm, 6);
  });

  test("a script that does not ship: told as missing and drawn as boxes, or set in the font given", async () => {
    const text = "ሄሮን Reach";
    expect(letters.missing(text)).toEqual(["ሄ", "ሮ", "ን"]);
    const bare = await read([words(text)]);
    expect(bare.texts[0]!.words).toBe(" Reach");
    // Each box is two rings of four sides.
    expect(bare.lines).toHaveLength(3 * 2 * 4);
    const { resolve } = createRequire(import.meta.url);
    for (const kind of ["woff", "woff2"]) {
      const name = resolve(
        `@fontsource/noto-sans-ethiopic/files/noto-sans-ethiopic-ethiopic-400-normal.${kind}`,
      );
      const given = lettering([{ name, bytes: readFileSync(name) }]);
      expect(given.missing(text)).toEqual([]);
      // The only weight there is serves for both.
      expect(given.missing(text, "bold")).toEqual([]);
      const { texts, lines } = await read([words(text)], { lettering: given });
      expect(texts[0]!.words).toBe(text);
      expect(lines).toEqual([]);
    }
  });
});

describe("the file", () => {
  const items: PageItem[] = [
    ...scripts.map(([, text]) => words(text)),
    {
      kind: "path",
      d: "M10 10Q20 0 30 10C40 20 50 0 60 10Z",
      fill: "#cce0ff",
      stroke: "#003366",
      width: 0.5,
    },
  ];

  test("two runs give the same bytes", async () => {
    const transparent = await sharp({
      create: { width: 30, height: 20, channels: 4, background: { r: 9, g: 99, b: 199, alpha: 0.5 } },
    })
      .png()
      .toBuffer();
    const images = new Map(["one", "two"].map((name) => [name, transparent]));
    const image = { kind: "image", y: 10, width: 30, height: 20 } as const;
    const page = pageOf([...items, { ...image, name: "one", x: 10 }, { ...image, name: "two", x: 60 }]);
    const [first, second] = [
      await written([page, page], { images }),
      await written([page, page], { images, lettering: lettering() }),
    ];
    expect(first.equals(second)).toBe(true);
    // Laid on white: pdfkit would take the two apart side by side, and write first what is done first.
    expect(first.toString("latin1")).not.toMatch(/\/SMask/);
  });

  test("what it says of itself", async () => {
    const pdf = await written([pageOf([])], { title: "Chope <Ἡ> & Co", subject: "abc", keywords: "d, e" });
    const { info } = await readPdf(pdf);
    expect(info).toMatchObject({
      Title: "Chope <Ἡ> & Co",
      Subject: "abc",
      Keywords: "d, e",
      CreationDate: "D:20260401000000Z",
      ModDate: "D:20260401000000Z",
      Language: "en",
      PDFFormatVersion: "1.7",
    });
    // Not in XML, where pdfkit would write the title as it is.
    expect(pdf.toString("latin1")).not.toMatch(/xmpmeta/);
    // ISO 32000-1, 12.2: the window is named by the title.
    expect(pdf.toString("latin1")).toMatch(/\/DisplayDocTitle true/);
  });

  test("what a page cannot show is refused", async () => {
    await expect(written([pageOf([words("a", { x: Number.NaN })])])).rejects.toThrow(/NaN/);
    await expect(written([pageOf([words("a", { fill: "reddish" })])])).rejects.toThrow(/reddish/);
    await expect(written([pageOf([words("a", { fill: "#f00" })])])).rejects.toThrow(/#f00/);
    await expect(written([pageOf([{ kind: "path", d: "M0 0L1" }])])).rejects.toThrow(/broken path/);
    const image: PageItem = { kind: "image", name: "front", x: 0, y: 0, width: 1, height: 1 };
    await expect(written([pageOf([image])])).rejects.toThrow(/front/);
    await expect(written([], { date: "yesterday" })).rejects.toThrow(/yesterday/);
  });
});
