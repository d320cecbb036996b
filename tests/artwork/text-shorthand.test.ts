/**
 * The shorthands `font` and `font-variant` in the cascade: CSS Fonts 4, “Shorthand font property” and
 * “Overall shorthand for font rendering”; CSS Cascade 4, “Shorthand Properties”; SVG 2, 6.6 (presentation attributes
 * come before all style sheets).
 */
import { lexer } from "css-tree/dist/csstree.esm";
import { beforeAll, describe, expect, it } from "vitest";
import { expandFont, longhandsOf } from "../../src/artwork/text/fontshorthand.ts";
import type { FontBook } from "../../src/artwork/text.ts";
import { openFonts } from "../../src/artwork/text.ts";
import type { Drawn } from "./text-helpers.ts";
import { drawTexts, noto, Tables } from "./text-helpers.ts";

let book: FontBook;
const styles = ["400-normal", "700-normal", "400-italic", "700-italic"] as const;
type Style = (typeof styles)[number];
const tables = Object.fromEntries(styles.map((s) => [s, new Tables(noto("latin", s, "woff"))])) as Record<
  Style,
  Tables
>;

beforeAll(async () => {
  book = await openFonts(styles.map((style) => noto("latin", style)));
});

/** No font is named around it. */
const draw = (content: string): Drawn => drawTexts(content, book, { attributes: "" });
const codes = ({ problems }: Drawn): string[] => problems.map((p) => p.code);

/** Right edge of a lone H at x = 5, from the tables "hmtx" and "glyf" of that very face. */
const edge = (style: Style, size: number): number => 5 + tables[style].right("H") * size;

function expectEdge(content: string, style: Style, size: number): void {
  const drawn = draw(content);
  expect(drawn.problems, content).toEqual([]);
  expect(drawn.runs, content).toHaveLength(1);
  expect(drawn.runs[0].box.maxX, content).toBeCloseTo(edge(style, size), 9);
}

describe("font in the cascade", () => {
  const text = (attributes: string): string => `<text x="5" y="50" ${attributes}>H</text>`;

  it("the four faces differ in H, or the checks below would say nothing", () => {
    const edges = styles.map((style) => tables[style].right("H"));
    expect(new Set(edges).size).toBe(4);
  });

  it("sets size and family, with and without an attribute for the family", () => {
    expectEdge(text(`style="font:6px 'Noto Sans'"`), "400-normal", 6);
    expectEdge(text(`font-family="Noto Sans" style="font:6px 'Noto Sans'"`), "400-normal", 6);
    expectEdge(text(`style="FONT: Italic BOLD 6PX/1.2 Noto Sans, serif"`), "700-italic", 6);
  });

  it("wins over every presentation attribute, also by what it leaves out", () => {
    const attributes = 'font-family="Heron" font-size="30" font-weight="700" font-style="italic"';
    expectEdge(text(`${attributes} style="font:6px 'Noto Sans'"`), "400-normal", 6);
  });

  it("stands in style sheets, under the style attribute", () => {
    const sheet = '<style>.a{font:italic 700 6px/1.2 "Noto Sans"} text{font:9px "Noto Sans"}</style>';
    expectEdge(sheet + text('class="a"'), "700-italic", 6);
    expectEdge(sheet + text(""), "400-normal", 9);
    expectEdge(sheet + text(`class="a" style="font:700 8px 'Noto Sans'"`), "700-normal", 8);
    expectEdge(sheet + text('class="a" style="font-style:normal"'), "700-normal", 6);
  });

  it("gives way to longhands after it, and resets those before it", () => {
    expectEdge(text(`style="font:6px 'Noto Sans';font-size:9px;font-weight:bold"`), "700-normal", 9);
    expectEdge(text(`style="font-size:9px;font-weight:bold;font:6px 'Noto Sans'"`), "400-normal", 6);
    expectEdge(text(`style="font-weight:bold!important;font:6px 'Noto Sans'"`), "700-normal", 6);
    expectEdge(text(`style="font:6px 'Noto Sans'!important;font-weight:bold"`), "400-normal", 6);
  });

  it("is inherited property by property", () => {
    expectEdge(`<g style="font:italic 6px 'Noto Sans'">${text("")}</g>`, "400-italic", 6);
    expectEdge(`<g style="font:italic 6px 'Noto Sans'">${text('font-weight="700"')}</g>`, "700-italic", 6);
    const inner = text(`font-size="9" font-weight="700" style="font:inherit"`);
    expectEdge(`<g style="font:italic 6px 'Noto Sans'">${inner}</g>`, "400-italic", 6);
    expectEdge(`<g font-size="4">${text(`style="font:200% 'Noto Sans'"`)}</g>`, "400-normal", 8);
    // CSS Fonts 4, `font-size`, table of absolute sizes: three times medium.
    expectEdge(text(`style="font:xxx-large 'Noto Sans'"`), "400-normal", 48);
  });

  it("measures ems of shapes too", () => {
    const half = `<g style="font:6px 'Noto Sans'"><text x="1em" y="50">H</text></g>`;
    const drawn = draw(half);
    expect(drawn.runs[0].box.maxX).toBeCloseTo(edge("400-normal", 6) + 1, 9);
  });

  it("resets features, variants and axes, which text around it has set (CSS Fonts 4, “Shorthand font property”)", () => {
    const outlines = (content: string): number[][] => {
      const { runs, problems } = draw(content);
      expect(problems).toEqual([]);
      return runs[0].path.contours.map(({ points }) => [...points]);
    };
    const around = (style: string, own: string): string =>
      `<g style="${style}"><text x="5" y="50" style="${own}">ffi AV</text></g>`;
    const plain = outlines(around("", "font:10px 'Noto Sans'"));
    for (const style of [
      "font-feature-settings:'liga' 0",
      "font-feature-settings:'kern' 0",
      "font-variant-ligatures:none",
      "font-variant:none",
      "font-kerning:none",
    ]) {
      expect(outlines(around(`font:10px 'Noto Sans';${style}`, "")), style).not.toEqual(plain);
      expect(outlines(around(style, "font:10px 'Noto Sans'")), style).toEqual(plain);
    }
    expect(codes(draw(around("", "font:10px 'Noto Sans';font-size-adjust:.5")))).toHaveLength(1);
    expect(codes(draw(around("font-size-adjust:.5", "font:10px 'Noto Sans'")))).toEqual([]);
  });

  it("leaves letters kerned across an element that says the same again", () => {
    const text = `<text x="5" y="50" style="font:10px 'Noto Sans'">A<tspan style="font:10px 'Noto Sans'">V</tspan></text>`;
    const { runs } = draw(text);
    const regular = tables["400-normal"];
    const start = runs[1].box.minX - regular.metrics("V").bearing * 10;
    // GPOS pair A V of Noto Sans 2.015: −40/1000 em.
    expect(start - 5).toBeCloseTo((regular.advance("A") - 0.04) * 10, 9);
  });

  it("reports what only a browser can know, and what is no font", () => {
    for (const value of [
      "caption",
      "var(--f)",
      "calc(2px * 3) Heron",
      "6px",
      "6 'Noto Sans'",
      "bold 2vw x",
    ]) {
      const drawn = draw(text(`font-family="Noto Sans" style="font:${value}"`));
      expect(codes(drawn), value).toEqual(["text-style-not-applied"]);
      expect(drawn.problems[0].message).toBe("the text's font shorthand is not applied");
      expectEdge(text(`style="font:${value};font:6px 'Noto Sans'"`), "400-normal", 6);
      expectEdge(`<g style="font:${value}">${text(`style="font:6px 'Noto Sans'"`)}</g>`, "400-normal", 6);
    }
  });
});

describe("values", () => {
  it.each([
    "6px Heron",
    '6px"Heron"',
    "6px/1.2'Heron'",
    "6px / 120% Heron Sans, serif",
    "italic 700 6px/1.2 'Heron'",
    "700 italic 6px Heron",
    "normal normal normal normal 6px Heron",
    "oblique 10deg 6px Heron",
    "small-caps bolder ultra-condensed 1.5em/normal Heron",
    "550 80% Heron",
    "larger Heron",
    "0 Heron",
    "+.5e1px Heron",
    "6px 'A (b) / c'",
    "inherit",
    "initial",
  ])("%s is one, by the grammar of css-tree", (value) => {
    expect(lexer.matchProperty("font", value).error).toBeNull();
    expect(expandFont(value)).toHaveProperty("font-size");
  });

  it.each([
    "",
    "6px",
    "Heron",
    "6 Heron",
    "-6px Heron",
    "bold italic",
    "bold 700 6px Heron",
    "italic oblique 6px Heron",
    "1001 6px Heron",
    "6px/ Heron",
    "6px, Heron",
    "6px/1.2/3 Heron",
    "6px He/ron",
    "6px Heron(",
  ])("“%s” is none, by the same", (value) => {
    expect(lexer.matchProperty("font", value).error).not.toBeNull();
    expect(expandFont(value)).toEqual({ font: value });
  });

  it("takes apart what it names and gives the rest its initial value", () => {
    expect(expandFont('italic small-caps 600 condensed 12pt / 1.2 "Heron Sans", serif')).toMatchObject({
      "font-style": "italic",
      "font-variant-caps": "small-caps",
      "font-variant-ligatures": "normal",
      "font-weight": "600",
      "font-stretch": "condensed",
      "font-size": "12pt",
      "font-family": '"Heron Sans", serif',
      "font-size-adjust": "none",
    });
  });

  it("takes font-variant apart, and reads font-width as font-stretch (CSS Fonts 4, `font-width`)", () => {
    const set = longhandsOf("font-variant", "small-caps no-common-ligatures tabular-nums");
    expect(set).toMatchObject({
      "font-variant-caps": "small-caps",
      "font-variant-ligatures": "no-common-ligatures",
      "font-variant-numeric": "tabular-nums",
      "font-variant-position": "normal",
    });
    expect(longhandsOf("font-variant", "none")).toMatchObject({
      "font-variant-caps": "normal",
      "font-variant-ligatures": "none",
    });
    expect(longhandsOf("font-variant", "small-caps heron")).toEqual({});
    expect(longhandsOf("font-width", "75%")).toEqual({ "font-stretch": "75%" });
    expect(longhandsOf("fill", "red")).toEqual({ fill: "red" });
  });
});
