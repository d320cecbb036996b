/**
 * Families by the names of faces, and what is said where none fits. That drawing programs write a face's PostScript or
 * full name as the family is common practice, no published source; the names themselves stand in the tables "name"
 * (OpenType name IDs 1, 4, 6, 16) and "fvar" of the font files.
 */
import { beforeAll, describe, expect, it } from "vitest";
import type { FontBook } from "../../src/artwork/text.ts";
import { openFonts } from "../../src/artwork/text.ts";
import type { Drawn } from "./text-helpers.ts";
import { drawTexts, noto, packageFont, plainFont, Tables } from "./text-helpers.ts";

const styles = ["400-normal", "700-normal", "900-normal", "900-italic", "400-italic"] as const;
let book: FontBook;
let variable: FontBook;

beforeAll(async () => {
  book = await openFonts(styles.map((style) => noto("latin", style)));
  variable = await openFonts([
    packageFont("@fontsource-variable/noto-sans/files/noto-sans-latin-wght-normal.woff2"),
  ]);
});

const size = 10;
const draw = (attributes: string, fonts: FontBook | null, substitute = false): Drawn =>
  drawTexts(`<text x="5" y="50" font-size="10" ${attributes}>H</text>`, fonts, {
    attributes: "",
    substitute,
  });
const codes = ({ problems }: Drawn): string[] => problems.map((p) => p.code);
/** Right edge of H by the tables of that face, in mm. */
const edge = (style: string): number => 5 + new Tables(noto("latin", style, "woff")).right("H") * size;

describe("the face of that very name", () => {
  it.each([
    ["NotoSans-Bold", "700-normal"],
    ["Noto Sans Bold", "700-normal"],
    ["notosans-bold", "700-normal"],
    ["NotoSans-Italic", "400-italic"],
    ["NotoSans-BlackItalic", "900-italic"],
    // Name ID 1 of both black faces; the upright one bears it as its full name as well.
    ["Noto Sans Black", "900-normal"],
  ])("%s is drawn without complaint", (family, style) => {
    const { runs, problems } = draw(`font-family="${family}"`, book);
    expect(problems).toEqual([]);
    expect(runs[0].box.maxX).toBeCloseTo(edge(style), 9);
  });

  it("is judged where the style asks for another weight or slant outright", () => {
    const bold = 'font-family="NotoSans-Bold"';
    expect(codes(draw(`${bold} font-weight="700"`, book))).toEqual([]);
    expect(codes(draw(`${bold} font-weight="600"`, book))).toEqual(["font-weight-nearest"]);
    expect(codes(draw(`${bold} font-weight="300"`, book))).toEqual(["font-style-missing"]);
    expect(codes(draw(`${bold} font-style="italic"`, book))).toEqual(["font-style-missing"]);
    expect(codes(draw('font-family="NotoSans-Regular" font-weight="700"', book))).toEqual([
      "font-style-missing",
    ]);
  });

  it("a family in its only weight, which is not its own full name, is still complained of", async () => {
    const bold = await openFonts([noto("latin", "700-normal")]);
    expect(codes(draw('font-family="Noto Sans"', bold))).toEqual(["font-style-missing"]);
  });

  it("may be spread over several files, each with its characters", async () => {
    const fonts = await openFonts([noto("latin", "700-normal"), noto("latin-ext", "700-normal")]);
    const both = '<text x="5" y="50" font-family="NotoSans-Bold">Hőř</text>';
    expect(drawTexts(both, fonts, { attributes: "" }).problems).toEqual([]);
  });

  it.each(["NotoSans-Bold", "Noto Sans Bold"])("%s is a named setting of a variable font", (family) => {
    const { runs, problems } = draw(`font-family="${family}"`, variable);
    expect(problems).toEqual([]);
    // The static face rounds its outlines to whole units, 1000 to the em.
    expect(Math.abs(runs[0].box.maxX - edge("700-normal"))).toBeLessThanOrEqual(size / 1000);
  });

  it("weights asked for outright move the axes of that font", () => {
    const asked = draw('font-family="NotoSans-Bold" font-weight="900"', variable);
    expect(asked.problems).toEqual([]);
    expect(Math.abs(asked.runs[0].box.maxX - edge("900-normal"))).toBeLessThanOrEqual(size / 1000);
  });
});

describe("a font that is not given", () => {
  const hint = (drawn: Drawn): string => drawn.problems[0].hint;

  it("is told with the families that are, the likest first", () => {
    const missing = draw('font-family="Noto Snas"', book);
    expect(missing.problems[0].message).toBe("the font “Noto Snas” is not given: “H”");
    expect(hint(missing)).toMatch(/^given is “Noto Sans”: correct the name, give the font with --fonts, /);
  });

  it("names at most six families", async () => {
    const named = (name: string) => {
      const bytes = plainFont(noto("latin", "400-normal", "woff"));
      // The same font under another family name of the same length: UTF-16BE, as in its name table.
      const utf16 = (text: string): Buffer => Buffer.from(text, "utf16le").swap16();
      for (let at = bytes.indexOf(utf16("Noto Sans")); at >= 0; at = bytes.indexOf(utf16("Noto Sans"), at))
        utf16(name).copy(bytes, at);
      return { name, bytes: new Uint8Array(bytes) };
    };
    const names = ["Reed Sans", "Oars Sans", "Hull Sans", "Weir Sans", "Lock Sans", "Bank Sans", "Mill Sans"];
    const seven = await openFonts(names.map(named));
    expect(seven.families("").length).toBe(7);
    expect(hint(draw('font-family="Weri Sans"', seven))).toMatch(
      /^given are “Weir Sans”, “Reed Sans”, “Oars Sans”, “Hull Sans”, “Lock Sans”, “Bank Sans” and 1 more: /,
    );
    const two = await openFonts(names.slice(0, 2).map(named));
    expect(hint(draw('font-family="Weri Sans"', two))).toMatch(/^given are “Reed Sans” and “Oars Sans”: /);
    expect(hint(draw('font-family="Weri Sans, Oars Sans"', two))).toMatch(
      /^given are “Reed Sans” and “Oars Sans”: /,
    );
  });

  it("asks for --fonts where substitution is allowed and there is none to draw in", () => {
    expect(hint(draw('font-family="Heron"', null, true))).toMatch(
      /^--allow font-substitute needs .*--fonts as well/,
    );
    expect(hint(draw('font-family="Heron"', null))).toMatch(
      /give another with --fonts and --allow font-substitute$/,
    );
    expect(hint(draw('font-family="Heron"', book))).toMatch(/--allow font-substitute$/);
    expect(hint(draw("", book))).toMatch(/^given is “Noto Sans”: name one in the artwork, /);
  });
});

describe("a font that is broken", () => {
  it("inside is named where text meets it", async () => {
    const bytes = plainFont(noto("latin", "400-normal", "woff"));
    // "glyf" and "loca" overwritten; the table directory (OpenType, 12 bytes and 16 for each table) stays.
    for (let i = 0; i < bytes.readUInt16BE(4); i++) {
      const at = 12 + 16 * i;
      if (!/glyf|loca/.test(bytes.toString("latin1", at, at + 4))) continue;
      const start = bytes.readUInt32BE(at + 8);
      bytes.fill(0x7f, start, start + bytes.readUInt32BE(at + 12));
    }
    const fonts = await openFonts([{ name: "fonts/reed.ttf", bytes: new Uint8Array(bytes) }]);
    const drawn = draw('font-family="Noto Sans"', fonts);
    expect(codes(drawn)).toEqual(["font-broken"]);
    expect(drawn.problems[0].message).toContain("“fonts/reed.ttf”");
  });

  it("beside good ones is told once, and only where there is text", async () => {
    const fonts = await openFonts([
      noto("latin", "400-normal"),
      { name: "fonts/cut.woff2", bytes: noto("latin", "700-normal").bytes.slice(0, 500) },
      { name: "fonts/note.ttf", bytes: new Uint8Array(Buffer.from("Heron Reach")) },
    ]);
    const two = '<text y="9" font-family="Noto Sans">H</text><text y="9" font-family="Noto Sans">N</text>';
    const { runs, problems } = drawTexts(two, fonts, { attributes: "" });
    expect(runs).toHaveLength(2);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ code: "font-unreadable", severity: "caution" });
    expect(problems[0].message).toMatch(/“fonts\/cut\.woff2” was left out: it is cut short.*; and 1 more$/);
    expect(drawTexts("<g/>", fonts).problems).toEqual([]);
    expect(fonts.unread.get("fonts/note.ttf")).toBe("it is no font: it begins with “Heron Re”");
  });
});
