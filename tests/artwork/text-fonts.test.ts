/**
 * Fonts for text: what is found, matched, lacking and reported. CSS Fonts 4, OpenType 1.9.
 */
import { beforeAll, describe, expect, it } from "vitest";
import { bestFaces } from "../../src/artwork/text/fontmatch.ts";
import { parseFamilies } from "../../src/artwork/text/fontvalues.ts";
import type { FontBook } from "../../src/artwork/text.ts";
import { openFonts } from "../../src/artwork/text.ts";
import type { Drawn } from "./text-helpers.ts";
import { collectionOf, drawTexts, noto, packageFont, plainFont, Tables } from "./text-helpers.ts";

const size = 10;
let book: FontBook;

beforeAll(async () => {
  book = await openFonts([
    noto("latin", "400-normal"),
    noto("latin", "700-normal"),
    noto("latin", "400-italic"),
  ]);
});

const draw = (content: string, options = {}): Drawn => drawTexts(content, book, options);
const codes = ({ problems }: Drawn): string[] => problems.map((p) => p.code);
describe("fonts", () => {
  const asked = (attributes: string, fonts: FontBook | null, substitute = false): Drawn =>
    drawTexts(`<text y="50" ${attributes}>Heron Reach</text>`, fonts, { substitute, attributes: "" });

  it("reports a font that is not given, with the words", () => {
    const [problem] = asked('font-family="Heron Sans, serif"', book).problems;
    expect(problem).toMatchObject({ code: "font-missing", severity: "error" });
    expect(problem.message).toBe("the font “Heron Sans” is not given: “Heron Reach”");
    expect(codes(asked('font-family="serif"', book))).toEqual(["font-missing"]);
    expect(codes(asked("", book))).toEqual(["font-missing"]);
    expect(codes(asked('font-family="Noto Sans"', null))).toEqual(["font-missing"]);
    expect(codes(asked('font-family="Noto Sans"', null, true))).toEqual(["font-missing"]);
  });

  it("lets the first font stand in only when allowed", () => {
    const drawn = asked('font-family="Heron Sans"', book, true);
    expect(codes(drawn)).toEqual(["font-substitute"]);
    expect(drawn.problems[0].severity).toBe("caution");
    expect(drawn.runs).toHaveLength(1);
  });

  it("takes the next font of the list, never one behind a generic family", () => {
    const next = asked(`font-family="'Heron Sans', noto sans"`, book);
    expect(codes(next)).toEqual(["font-next-in-list"]);
    expect(next.runs).toHaveLength(1);
    expect(codes(asked('font-family="serif, Noto Sans"', book))).toEqual(["font-missing"]);
  });

  it("says nothing of text that is not seen", () => {
    for (const content of [
      '<text font-family="none"> \n </text>',
      '<text font-family="none" visibility="hidden">H</text>',
      '<text font-family="none" fill="none">H</text>',
      '<text font-family="none"><tspan display="none">H</tspan></text>',
    ]) {
      expect(draw(content).problems, content).toEqual([]);
    }
  });

  it("names characters that no font has, pictures included", () => {
    const [problem] = draw('<text y="50">H😀</text>').problems;
    expect(problem).toMatchObject({ code: "glyph-missing", severity: "error" });
    expect(problem.message).toContain("😀 (U+1F600)");
  });

  it("takes bold and italic faces, and reports those that are lacking", async () => {
    const bold = new Tables(noto("latin", "700-normal", "woff"));
    const drawn = draw('<text x="5" y="50" font-size="10" font-weight="bold">H</text>');
    expect(drawn.runs[0].box.minX).toBeCloseTo(5 + bold.metrics("H").bearing * size, 9);
    const one = await openFonts([noto("latin", "400-normal")]);
    const text = (style: string): string[] => codes(drawTexts(`<text y="9" style="${style}">H</text>`, one));
    expect(text("font-weight: 700")).toEqual(["font-style-missing"]);
    expect(text("font-style: italic")).toEqual(["font-style-missing"]);
    expect(text("font-weight: 500")).toEqual(["font-weight-nearest"]);
  });

  it("moves the axes of a variable font: weight 700 is the static bold", async () => {
    const variable = packageFont("@fontsource-variable/noto-sans/files/noto-sans-latin-wght-normal.woff2");
    const fonts = await openFonts([variable]);
    const text = '<text x="5" y="50" font-size="10" font-weight="700">HeronR&amp;g@</text>';
    const ours = drawTexts(text, fonts);
    const theirs = draw(text);
    expect(ours.problems).toEqual([]);
    const flat = (d: Drawn): number[] => d.runs[0].path.contours.flatMap((c) => [...c.points]);
    const [a, b] = [flat(ours), flat(theirs)];
    expect(a.length).toBe(b.length);
    // The static face rounds advances to whole units: half a unit for each of nine glyphs.
    const worst = a.reduce((w, v, i) => Math.max(w, Math.abs(v - b[i])), 0);
    expect(worst).toBeLessThan((9 * 0.5 * size) / 1000);
  });

  it("opens plain files, WOFF and collections alike, and names what it cannot read", async () => {
    const woff = noto("latin", "400-normal", "woff");
    const bold = noto("latin", "700-normal", "woff");
    const reference = draw('<text x="5" y="50">Heron</text>').runs[0].path;
    for (const bytes of [
      woff.bytes,
      new Uint8Array(plainFont(woff)),
      collectionOf([plainFont(bold), plainFont(woff)]),
    ]) {
      const fonts = await openFonts([{ name: "a font", bytes }]);
      expect(fonts.problems).toEqual([]);
      expect(drawTexts('<text x="5" y="50">Heron</text>', fonts).runs[0].path).toEqual(reference);
    }
    const cut = new Uint8Array(plainFont(woff)).subarray(0, 500);
    const collection = collectionOf([plainFont(bold), plainFont(woff)]);
    const broken = await openFonts([
      { name: "cut.ttf", bytes: cut },
      { name: "head.ttf", bytes: cut.subarray(0, 20) },
      { name: "cut.ttc", bytes: collection.subarray(0, 30_000) },
      { name: "none.otf", bytes: new Uint8Array(0) },
      { name: "letter.txt", bytes: new Uint8Array(20) },
      { name: "cut.woff", bytes: woff.bytes.slice(0, 3000) },
      { name: "cut.woff2", bytes: noto("latin", "400-normal").bytes.slice(0, 3000) },
    ]);
    expect(broken.faces).toEqual([]);
    expect(new Set(broken.problems.map((p) => p.code))).toEqual(new Set(["font-unreadable"]));
    // Where the last table ends; after it come at most three bytes of padding (OpenType, "Table Directory").
    const end = (font: Uint8Array): RegExp =>
      new RegExp(`(${[0, 1, 2, 3].map((padding) => font.length - padding).join("|")})$`);
    const { "cut.ttf": ttf, "cut.ttc": ttc, ...others } = Object.fromEntries(broken.unread);
    expect(ttf).toMatch(/^it is cut short, 500 bytes of /);
    expect(ttf).toMatch(end(plainFont(woff)));
    expect(ttc).toMatch(/^it is cut short, 30000 bytes of /);
    expect(ttc).toMatch(end(collection));
    expect(others).toEqual({
      "head.ttf": "it is cut short after 20 bytes",
      "none.otf": "it is empty",
      "letter.txt": "it is no font",
      "cut.woff": `it is cut short, 3000 bytes of ${woff.bytes.length}`,
      "cut.woff2": `it is cut short, 3000 bytes of ${noto("latin", "400-normal").bytes.length}`,
    });
  });
});

describe("matching and values", () => {
  const face = (weight: number, slant: "normal" | "italic" = "normal") => ({
    traits: { weight: [weight, weight] as const, stretch: [100, 100] as const, slants: [slant] },
  });
  const pick = (weight: number, list: number[]): number => {
    const [best] = bestFaces(
      list.map((w) => face(w)),
      { weight, slant: "normal", stretch: 100 },
    );
    return best.traits.weight[0];
  };

  it("finds weights in the order of CSS Fonts 4, 5.2, step 4.3", () => {
    expect(pick(400, [300, 500, 700])).toBe(500);
    expect(pick(450, [400, 600])).toBe(400);
    expect(pick(500, [300, 600])).toBe(300);
    expect(pick(300, [200, 400])).toBe(200);
    expect(pick(300, [400, 700])).toBe(400);
    expect(pick(600, [500, 900])).toBe(900);
    expect(pick(600, [300, 500])).toBe(500);
    expect(
      bestFaces([face(700), face(400, "italic")], { weight: 700, slant: "italic", stretch: 100 })[0].traits
        .slants,
    ).toEqual(["italic"]);
  });

  it("reads family lists", () => {
    expect(parseFamilies(`"Heron, Sans", Noto   Sans,'serif',serif`)).toEqual([
      { name: "Heron, Sans", generic: false },
      { name: "Noto Sans", generic: false },
      { name: "serif", generic: false },
      { name: "serif", generic: true },
    ]);
  });

  it("reports what it does not draw", () => {
    expect(codes(draw('<text y="50" writing-mode="vertical-rl">H</text>'))).toEqual(["vertical-text"]);
    expect(codes(draw('<text y="50">H<tref href="#a"/></text>'))).toEqual(["tref-not-drawn"]);
    expect(codes(draw('<text y="50" style="font-size-adjust: .5">H</text>'))).toEqual([
      "text-style-not-applied",
    ]);
    expect(codes(draw('<text y="50" x="1 two">H</text>'))).toEqual(["length-not-understood"]);
  });
});
