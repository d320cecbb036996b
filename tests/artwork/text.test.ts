/**
 * Text as outlines. Positions are checked against numbers read straight from the fonts' own OpenType tables
 * (text-helpers.ts), rules against SVG 2 (chapter 11), CSS Fonts 4, CSS Text 3 and CSS Inline 3.
 */
import { beforeAll, describe, expect, it } from "vitest";
import type { SvgNode } from "../../src/artwork/node.ts";
import type { FontBook } from "../../src/artwork/text.ts";
import { openFonts } from "../../src/artwork/text.ts";
import type { Drawn } from "./text-helpers.ts";
import { blank, drawTexts, noto, packageFont, Tables } from "./text-helpers.ts";

const regular = new Tables(noto("latin", "400-normal", "woff"));
const size = 10;
let book: FontBook;

beforeAll(async () => {
  book = await openFonts([
    noto("latin", "400-normal"),
    noto("latin", "700-normal"),
    noto("latin", "400-italic"),
    packageFont("@fontsource/noto-sans-hebrew/files/noto-sans-hebrew-hebrew-400-normal.woff2"),
    packageFont("@fontsource/noto-sans-arabic/files/noto-sans-arabic-arabic-400-normal.woff2"),
    packageFont("@fontsource/noto-sans-devanagari/files/noto-sans-devanagari-devanagari-400-normal.woff2"),
  ]);
});

const draw = (content: string, options = {}): Drawn => drawTexts(content, book, options);
/** The pen's place before the first glyph of each run: its left edge less its own bearing. */
const starts = (drawn: Drawn, letters: string, at = size): number[] =>
  drawn.runs.map(({ box }, i) => box.minX - regular.metrics(letters[i]).bearing * at);
const codes = ({ problems }: Drawn): string[] => problems.map((p) => p.code);
/** H stands on the baseline. */
const baseline = (drawn: Drawn, index = 0): number => drawn.runs[index].box.maxY;

describe("characters on a line", () => {
  it("sets the pen on by the advances of hmtx", () => {
    const drawn = draw(`<text x="7" y="50" font-size="10">HI<tspan>N</tspan><tspan>H</tspan></text>`);
    const [a, b, c] = starts(drawn, "HNH");
    expect(a).toBeCloseTo(7, 9);
    expect(b - a).toBeCloseTo(regular.advance("HI") * size, 9);
    expect(c - b).toBeCloseTo(regular.advance("N") * size, 9);
    expect(baseline(drawn)).toBeCloseTo(50, 9);
    expect(drawn.problems).toEqual([]);
  });

  it("kerns: A V stands closer than the advances say", () => {
    const [a, v] = starts(draw(`<text x="5" y="50" font-size="10">A<tspan>V</tspan></text>`), "AV");
    const [b, w] = starts(
      draw(`<text x="5" y="50" font-size="10" font-kerning="none">A<tspan>V</tspan></text>`),
      "AV",
    );
    expect(w - b).toBeCloseTo(regular.advance("A") * size, 9);
    // GPOS pair A V of Noto Sans 2.015: −40/1000 em.
    expect(v - a).toBeCloseTo((regular.advance("A") - 0.04) * size, 9);
  });

  it("takes lists of x and dx by character, over elements, the inner before the outer", () => {
    const drawn = draw(
      `<text x="5 20 35 50" dy="0 0 3" y="50" font-size="10"><tspan>H</tspan><tspan x="25"><tspan>N</tspan></tspan><tspan>H</tspan><tspan dx="2">N</tspan><tspan>H</tspan></text>`,
    );
    const found = starts(drawn, "HNHNH");
    const expected = [5, 25, 35, 52, 52 + regular.advance("N") * size];
    found.forEach((x, i) => void expect(x).toBeCloseTo(expected[i], 9));
    expect([0, 1, 2, 4].map((i) => baseline(drawn, i))).toEqual(
      [50, 50, 53, 53].map((y) => expect.closeTo(y, 9)),
    );
  });

  it("counts a surrogate pair as one character and gives no place to collapsed blanks", () => {
    const emoji = draw(`<text x="5 20 40" y="50" font-size="10">H😀<tspan>N</tspan></text>`);
    expect(starts(emoji, "HN")[1]).toBeCloseTo(40, 9);
    const spaced = draw(`<text x="5 20 40" y="50" font-size="10">  H\n  <tspan>N</tspan></text>`);
    expect(starts(spaced, "HN")[1]).toBeCloseTo(40, 9);
  });

  it("leaves a mark with its letter: positions given to it go to no one (SVG 2, 11.5, “middle”)", () => {
    const drawn = draw(`<text x="5 90" y="50" font-size="10">q\u0301<tspan>H</tspan></text>`);
    expect(drawn.runs[0].box.maxX).toBeLessThan(15);
    const composed = draw(`<text x="5" y="50" font-size="10">e\u0301</text>`);
    const ready = draw(`<text x="5" y="50" font-size="10">\u00e9</text>`);
    expect(composed.runs[0].path).toEqual(ready.runs[0].path);
  });

  it("turns each character by its angle, the last one for all that follow", () => {
    const height = 0.714 * size; // cap height of Noto Sans, OS/2 sCapHeight
    const drawn = draw(
      `<text x="50" y="50" rotate="0 90" font-size="10">H<tspan x="60">H</tspan><tspan x="80">H</tspan></text>`,
    );
    expect(drawn.runs[0].box.maxY - drawn.runs[0].box.minY).toBeCloseTo(height, 9);
    for (const i of [1, 2]) {
      expect(drawn.runs[i].box.maxX - drawn.runs[i].box.minX).toBeCloseTo(height, 9);
      expect(drawn.runs[i].box.minX).toBeCloseTo(i === 1 ? 60 : 80, 9);
    }
  });
});

describe("ligatures", () => {
  const width = ({ runs }: Drawn): number => runs[0].box.maxX - runs[0].box.minX;

  it("form within a chunk and not across an x (SVG 2, 11.1, “text chunk”)", () => {
    const lamAlef = (x: string): number =>
      width(draw(`<text x="${x}" y="50" font-size="10" font-family="Noto Sans Arabic">لا</text>`));
    expect(lamAlef("20")).toBeLessThan(10);
    expect(lamAlef("20 60")).toBeGreaterThan(30);
  });

  it("give way to spacing, and to dx on a letter inside", () => {
    const text = (attributes: string): Drawn =>
      draw(`<text x="5" y="50" font-size="10" ${attributes}>ffi</text>`);
    const apart = width(text('font-variant-ligatures="none"'));
    expect(width(text('letter-spacing="1"'))).toBeCloseTo(apart + 2, 6);
    expect(width(text('dx="0 0 3"'))).toBeCloseTo(apart + 3, 6);
    // Said of the first letter it moves the ligature as a whole.
    expect(width(text('dx="3"'))).toBeCloseTo(apart, 6);
  });
});

describe("anchor, spacing, length", () => {
  const widthOf = (text: string): number => regular.advance(text) * size;

  it("anchors each chunk by its own text-anchor", () => {
    const drawn = draw(
      `<text x="50" y="20" font-size="10" text-anchor="middle">HIH<tspan x="90" y="40" text-anchor="end">NIN</tspan></text>`,
    );
    const [middle, end] = starts(drawn, "HN");
    expect(middle).toBeCloseTo(50 - widthOf("HIH") / 2, 9);
    expect(end).toBeCloseTo(90 - widthOf("NIN"), 9);
  });

  it("puts letter-spacing between characters, none after the last (CSS Text 3, 8.2), word-spacing on blanks", () => {
    const [spaced] = starts(
      draw(`<text x="90" y="20" font-size="10" text-anchor="end" letter-spacing=".2em">HIH</text>`),
      "H",
    );
    expect(spaced).toBeCloseTo(90 - widthOf("HIH") - 4, 9);
    const drawn = draw(`<text x="5" y="20" font-size="10" word-spacing="3">H <tspan>H</tspan></text>`);
    expect(starts(drawn, "HH")[1]).toBeCloseTo(5 + widthOf("H ") + 3, 9);
  });

  it("fits textLength by spaces, or by stretching", () => {
    const spacing = draw(
      `<text x="10" y="20" font-size="10" textLength="60">H<tspan>H</tspan><tspan>H</tspan></text>`,
    );
    const [a, b, c] = starts(spacing, "HHH");
    expect(c + widthOf("H") - a).toBeCloseTo(60, 9);
    expect(b - a).toBeCloseTo(c - b, 9);
    const stretched = draw(
      `<text x="10" y="20" font-size="10" textLength="60" lengthAdjust="spacingAndGlyphs">HHH</text>`,
    );
    const k = 60 / widthOf("HHH");
    const { bearing } = regular.metrics("H");
    const right = regular.metrics("H").advance - regular.right("H");
    expect(stretched.runs[0].box.minX).toBeCloseTo(10 + bearing * size * k, 9);
    expect(stretched.runs[0].box.maxX).toBeCloseTo(70 - right * size * k, 9);
  });
});

describe("baselines and lines", () => {
  const at = (attributes: string): number =>
    baseline(draw(`<text x="5" y="50" font-size="10" ${attributes}>H</text>`)) - 50;
  const ascent = regular.number("hhea", 4);
  const descent = regular.number("hhea", 6);
  const xHeight = regular.number("OS/2", 86);

  it("hangs the text by its dominant baseline, heights from the font's tables", () => {
    const expected: Record<string, number> = {
      alphabetic: 0,
      middle: xHeight / 2,
      central: (ascent + descent) / 2,
      hanging: 0.8 * ascent,
      mathematical: 0.5 * ascent,
      "text-before-edge": ascent,
      "text-top": ascent,
      "text-after-edge": descent,
      ideographic: descent,
    };
    for (const [name, ems] of Object.entries(expected)) {
      expect(at(`dominant-baseline="${name}"`), name).toBeCloseTo(ems * size, 9);
    }
    expect(at('alignment-baseline="middle"')).toBeCloseTo((xHeight / 2) * size, 9);
  });

  it("lines a smaller part up with the text around it (CSS Inline 3, 4.2.2)", () => {
    const drawn = draw(
      `<text x="5" y="50" font-size="20" dominant-baseline="middle">H<tspan font-size="10">H</tspan></text>`,
    );
    expect(baseline(drawn, 0)).toBeCloseTo(50 + (xHeight / 2) * 20, 9);
    expect(baseline(drawn, 1)).toBeCloseTo(50 + (xHeight / 2) * 10, 9);
  });

  it("shifts by sub and super of the font around, by lengths and by shares of the size", () => {
    const shift = (value: string): number =>
      50 -
      baseline(
        draw(
          `<text x="5" y="50" font-size="10">H<tspan font-size="5" baseline-shift="${value}">H</tspan></text>`,
        ),
        1,
      );
    expect(shift("sub")).toBeCloseTo(-regular.number("OS/2", 16) * 10, 9);
    expect(shift("super")).toBeCloseTo(regular.number("OS/2", 24) * 10, 9);
    expect(shift("2")).toBeCloseTo(2, 9);
    expect(shift("-40%")).toBeCloseTo(-2, 9);
  });

  it("draws lines with the top edge and thickness of “post” and “OS/2”, through under the element that asks", () => {
    const box = (line: string): number[] => {
      const { runs } = draw(
        `<text x="5" y="50" font-size="10" text-decoration="${line}">H<tspan font-size="4">H</tspan></text>`,
      );
      const found = runs.find((r) =>
        r.path.contours.some((c) => c.straight.length === 4 && c.points[0] === 5),
      );
      const { minX, minY, maxX, maxY } = (found as Drawn["runs"][number]).box;
      return [minX, minY, maxX, maxY];
    };
    const right = 5 + regular.advance("H") * 14;
    const top = 50 - regular.number("post", 8) * 10;
    const under = [5, top, right, top + regular.number("post", 10) * 10];
    const through = 50 - regular.number("OS/2", 28) * 10;
    box("underline").forEach((v, i) => void expect(v).toBeCloseTo(under[i], 9));
    const struck = [5, through, right, through + regular.number("OS/2", 26) * 10];
    box("line-through").forEach((v, i) => void expect(v).toBeCloseTo(struck[i], 9));
  });
});

describe("white space", () => {
  const second = (content: string, options = {}): number => starts(draw(content, options), "HH")[1];
  const one = 5 + regular.advance("H ") * size;

  it("collapses over the bounds of elements", () => {
    expect(second(`<text x="5" y="50" font-size="10"> H \n <tspan>  H</tspan></text>`)).toBeCloseTo(one, 9);
  });

  it("keeps blanks on request, by xml:space or white-space", () => {
    const three = 5 + regular.advance("H   ") * size;
    for (const how of ['xml:space="preserve"', 'style="white-space: pre"']) {
      expect(second(`<text x="5" y="50" font-size="10" ${how}>H \n <tspan>H</tspan></text>`)).toBeCloseTo(
        three,
        9,
      );
    }
    const off = `<text x="5" y="50" font-size="10" xml:space="preserve" style="white-space: normal">H \n <tspan>H</tspan></text>`;
    expect(second(off)).toBeCloseTo(one, 9);
  });

  it("counts a blank between two elements", () => {
    const change = (root: SvgNode): void => {
      const [text] = root.children;
      text.children.splice(1, 0, blank(text));
    };
    const content = `<text x="5" y="50" font-size="10"><tspan>H</tspan><tspan>H</tspan></text>`;
    expect(second(content, { change })).toBeCloseTo(one, 9);
  });
});

describe("text on a path", () => {
  const line = '<defs><path id="line" d="M10 50H90"/><circle id="round" cx="50" cy="50" r="20"/></defs>';

  it("puts the middle of each glyph on the line", () => {
    const drawn = draw(
      `${line}<text font-size="10"><textPath href="#line" startOffset="25%">H<tspan>I</tspan></textPath></text>`,
    );
    const [a, b] = starts(drawn, "HI");
    expect(a).toBeCloseTo(30, 9);
    expect(b).toBeCloseTo(30 + regular.advance("H") * size, 9);
    expect(baseline(drawn)).toBeCloseTo(50, 9);
  });

  it("stands upright on top of a circle a quarter of the way round from its left", () => {
    // A circle starts at its right and runs clockwise: its top is three quarters on.
    const drawn = draw(
      `${line}<text font-size="10" text-anchor="middle"><textPath href="#round" startOffset="75%">H</textPath></text>`,
    );
    const { minX, maxX, maxY } = drawn.runs[0].box;
    const uneven = regular.metrics("H").bearing + regular.right("H") - regular.metrics("H").advance;
    expect((minX + maxX) / 2).toBeCloseTo(50 + (uneven / 2) * size, 5);
    expect(maxY).toBeCloseTo(30, 5);
    const inside = draw(
      `${line}<text font-size="10" text-anchor="middle"><textPath href="#round" side="right" startOffset="25%">H</textPath></text>`,
    );
    expect(inside.runs[0].box.minY).toBeCloseTo(30, 5);
  });

  it("leaves out what runs past the end, and says so", () => {
    const drawn = draw(`${line}<text font-size="30"><textPath href="#line">HHHHHHHH</textPath></text>`);
    // Middles at (k + ½)·advance; those within 80 mm stay.
    const kept = Math.floor(80 / (regular.advance("H") * 30) + 0.5);
    expect(drawn.runs[0].path.contours.length).toBe(kept);
    expect(codes(drawn)).toEqual(["text-off-path"]);
    expect(codes(draw(`<text><textPath href="#none">H</textPath></text>`))).toEqual(["text-path-missing"]);
  });
});

describe("right to left", () => {
  const hebrew = 'font-family="Noto Sans Hebrew Thin" font-size="10"';

  it("starts at its right end where the direction is rtl", () => {
    const ends = (attributes: string): number[] => {
      const { box } = draw(`<text x="50" y="50" ${hebrew} ${attributes}>שלום</text>`).runs[0];
      return [box.minX, box.maxX];
    };
    const [, right] = ends('direction="rtl"');
    expect(right).toBeLessThanOrEqual(50);
    expect(right).toBeGreaterThan(48);
    expect(ends("")[0]).toBeGreaterThanOrEqual(50);
    expect(ends('direction="rtl" text-anchor="end"')[0]).toBeGreaterThanOrEqual(50);
  });

  it("orders a mixed line by UAX 9 and turns brackets round", () => {
    const order = (content: string): string[] =>
      draw(
        `<text x="5" y="50" ${hebrew.replace("Noto Sans Hebrew Thin", "Noto Sans, Noto Sans Hebrew Thin")}>${content}</text>`,
      )
        .runs.toSorted((a, b) => a.box.minX - b.box.minX)
        .map(({ node }) => node.attributes.id ?? "");
    const parts = ["H", "א", "ב", "I"].map((c, i) => `<tspan id="${i}">${c}</tspan>`).join("");
    expect(order(parts)).toEqual(["0", "2", "1", "3"]);
    const family = 'font-family="Noto Sans, Noto Sans Hebrew Thin"';
    const turned = draw(`<text x="5" y="50" font-size="10" ${family}>א<tspan>(</tspan>ב</text>`).runs[1];
    const plain = draw('<text x="5" y="50" font-size="10">)</text>').runs[0];
    const shift = turned.box.minX - plain.box.minX;
    const [a, b] = [turned, plain].map((run) => [...run.path.contours[0].points]);
    a.forEach((v, i) => void expect(v).toBeCloseTo(b[i] + (i % 2 === 0 ? shift : 0), 9));
  });
});

it("runs as far as HarfBuzz does, over scripts that join, reorder and kern", () => {
  // Advances in 1/1000 em by harfbuzzjs 0.3.6 from the same packages' WOFF files.
  const advances: Record<string, number> = {
    AVATo: 2819,
    "Heron Reach": 6026,
    "السلام عليكم": 4937,
    क्षत्रिय: 2108,
    हिन्दी: 1889,
    किताब: 2427,
    श्री: 967,
  };
  const family = 'font-family="Noto Sans, Noto Sans Arabic, Noto Sans Devanagari"';
  for (const [text, advance] of Object.entries(advances)) {
    const drawn = draw(`<text x="5" y="50" font-size="10" ${family}>${text}<tspan>H</tspan></text>`);
    const last = drawn.runs.find(({ node }) => node.name === "tspan") as Drawn["runs"][number];
    const end = last.box.minX - regular.metrics("H").bearing * size;
    expect(end - 5, text).toBeCloseTo((advance / 1000) * size, 6);
  }
});
