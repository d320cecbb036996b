import { describe, expect, test } from "vitest";
import { luminanceOver, parseColour, parsePaint } from "../../src/artwork/paint.ts";
import { inkDefaults } from "../../src/ink/options.ts";
import { toneOf } from "../../src/ink/tone.ts";
import { codes, ids, ink, read } from "./helpers.ts";

/** True when a 5 × 5 rect with these attributes is painted dark, under the given style sheet. */
function inked(attributes: string, sheet = ""): boolean {
  const { shapes } = read(
    `<style>${sheet}</style>${ink}<g><rect id="r" width="5" height="5" ${attributes}/></g>`,
  );
  const painted = shapes.find((shape) => shape.id === "r");
  return painted !== undefined && toneOf(painted.colours, inkDefaults).does === "ink";
}

describe("the cascade (r is ink when dark wins)", () => {
  test.each([
    ["nothing said", "", "", true],
    ["attribute", 'fill="white"', "", false],
    ["style attribute over attribute", 'fill="white" style="fill:#000"', "", true],
    ["type rule over attribute", 'fill="white"', "rect{fill:black}", true],
    ["class rule", 'class="a b" fill="white"', ".b{fill:black}", true],
    ["compound rule", 'class="a b" fill="white"', "rect.a.b{fill:black}", true],
    ["compound rule that does not fit", 'class="a" fill="white"', "rect.a.b{fill:black}", false],
    ["id over class", 'class="a"', "#r{fill:black} .a{fill:white}", true],
    ["two classes over one, whatever the order", 'class="a b"', ".a.b{fill:black} .a{fill:white}", true],
    ["the later of two equals", 'class="a b"', ".b{fill:white} .a{fill:black}", true],
    ["universal", 'fill="white"', "*{fill:black}", true],
    ["type over universal", "", "rect{fill:black} *{fill:white}", true],
    ["descendant", 'fill="white"', "svg rect{fill:black}", true],
    ["child", 'fill="white"', "g>rect{fill:black}", true],
    ["child that is not one", 'fill="white"', "svg > rect#r{fill:black}", false],
    ["sibling", 'fill="white"', "#ink ~ g rect{fill:black}", true],
    ["adjacent sibling", 'fill="white"', "#ink + g rect{fill:black}", true],
    ["attribute selector", 'data-x="abc" fill="white"', '[data-x^="ab"]{fill:black}', true],
    ["root", 'fill="white"', ":root rect{fill:black}", true],
    ["list of selectors", 'fill="white"', "circle, #r, path{fill:black}", true],
    ["important over style attribute", 'style="fill:white"', "rect{fill:black!important}", true],
    ["important style attribute over all", 'style="fill:black!important"', "#r{fill:white!important}", true],
    ["style attribute over id", 'style="fill:white"', "#r{fill:black}", false],
    ["hover never holds", 'fill="white"', "rect:hover{fill:black}", false],
    ["media screen", 'fill="white"', "@media screen{rect{fill:black}}", true],
    ["after broken CSS", 'fill="white"', "}} ; rect{fill:} .x{ : } #r{fill:black}", true],
    ["comments", 'style="/* fill:white; */fill:/*x*/black"', "", true],
    ["currentColor", 'fill="currentColor" color="white"', "", false],
    ["currentColor inherited", 'fill="currentColor"', "g{color:white}", false],
    ["inherited fill", "", "g{fill:white}", false],
    ["inherit said aloud", 'style="fill:inherit"', "g{fill:white}", false],
    ["initial", 'fill="initial"', "g{fill:white}", true],
    ["display none", 'display="none"', "", false],
    ["display none on the group", "", "g{display:none}", false],
    ["visibility hidden", 'visibility="hidden"', "", false],
    ["visible in a hidden group", 'visibility="visible"', "g{visibility:hidden}", true],
    ["visibility collapse", "", "g{visibility:collapse}", false],
    ["fill none", 'fill="none"', "", false],
    ["transparent", 'fill="transparent"', "", false],
    ["opacity 0", 'opacity="0"', "", false],
    ["thin black is light", 'fill-opacity=".2"', "", false],
    ["half black over white is dark", 'opacity="50%"', "", true],
    ["group opacities multiply", 'opacity=".5"', "g{opacity:.5}", false],
    ["rgb()", 'fill="rgb(10%, 20%, 30%)"', "", true],
    ["hsl()", 'fill="hsl(120 100% 90%)"', "", false],
    ["colour with icc-color()", 'fill="#112233 icc-color(x, 1)"', "", true],
    ["fallback of a missing paint", 'fill="url(#no) white"', "", false],
  ])("%s", (_what, attributes, sheet, expected) => {
    expect(inked(attributes, sheet)).toBe(expected);
  });

  test("CSS geometry beats the attribute; text CDATA sheets are read", () => {
    const artwork = read(
      '<style type="text/css"><![CDATA[ #a > rect { width: 7px } ]]></style><g id="a"><rect id="r" width="3" height="4"/></g>',
    );
    expect(artwork.shapes[0].path.contours[0].points[6]).toBe(7);
  });

  test("no rule of these is left out as not understood", () => {
    const sheet =
      "svg rect, g > rect, a ~ b, a + b, *, #r.x[y='z'] {fill:#111} @font-face{src:x} :root{fill:#111}";
    expect(codes(read(`<style>${sheet}</style>${ink}`))).toEqual([]);
  });

  test("many style attributes and sheets at once", () => {
    const artwork = read(
      '<style>.a{fill:none}</style><style>.a{fill:#111}</style><rect class="a" width="1" height="1" style="stroke:none;fill-rule:evenodd"/>',
    );
    expect(artwork.shapes[0].rule).toBe("evenodd");
  });
});

describe("ink (IEC 61966-2-1, WCAG 2: relative luminance below 0.5 over white)", () => {
  test.each([
    // sRGB 186 is linear 0.49102, 188 is 0.50289 (computed from IEC 61966-2-1).
    ["rgb(186,186,186)", 1, true],
    ["rgb(188,188,188)", 1, false],
    ["red", 1, true],
    ["lime", 1, false],
    ["blue", 1, true],
    ["yellow", 1, false],
    // Black at 26.4 %: 0.736 is the sRGB value of linear 0.5 (encode(0.5) = 0.73536).
    ["black", 0.27, true],
    ["black", 0.26, false],
  ])("%s at %d", (text, opacity, expected) => {
    const colour = parseColour(text);
    const tone = colour && toneOf([{ ...colour, a: opacity }], inkDefaults);
    expect(tone?.does === "ink").toBe(expected);
  });
  test("alpha and opacity multiply; nothing is painted at 0", () => {
    const { shapes } = read('<rect width="5" height="5" fill="rgba(0,0,0,.5)" fill-opacity=".5"/>');
    const [colour] = shapes[0].colours;
    expect(colour.a).toBeCloseTo(0.25, 12);
    expect(luminanceOver(colour, 1)).toBeCloseTo(((0.75 + 0.055) / 1.055) ** 2.4, 12);
    expect(toneOf([{ r: 0, g: 0, b: 0, a: 0 }], inkDefaults).does).toBe("nothing");
  });
  test("paint values", () => {
    expect(parsePaint("url('#a') none")).toMatchObject({ url: "#a", kind: "none" });
    expect(parsePaint('url( "#a" ) red')).toMatchObject({ url: "#a", kind: "colour" });
    expect(parsePaint("nonsense").kind).toBe("unknown");
  });
});

describe("fills and strokes", () => {
  test("fill rules are kept, fills are closed", () => {
    const artwork = read('<path fill-rule="evenodd" d="M0 0h9v9M2 2h3v3z"/>');
    expect(artwork.shapes[0].rule).toBe("evenodd");
    expect(artwork.shapes[0].path.contours.map((c) => c.closed)).toEqual([true, true]);
  });

  test("a stroke stands beside the fill, with the line as it was drawn", () => {
    const artwork = read('<path id="p" stroke="#222" d="M0 0h9v9"/>');
    expect(artwork.shapes.map((s) => [s.id, s.stroke === null])).toEqual([
      ["p", true],
      ["p-stroke", false],
    ]);
    expect(artwork.shapes.map((s) => s.path.contours[0].closed)).toEqual([true, false]);
    expect(codes(artwork)).toEqual([]);
  });

  test("alone it keeps the id; made ids are unique", () => {
    const artwork = read(
      '<g fill="none" stroke="black"><path id="p" d="M0 0h9"/><path d="M0 0h9z"/><path id="path-2" d="M0 0h9"/><path d="M0 1h9"/></g>',
    );
    expect(ids(artwork)).toEqual(["p", "path-1", "path-2", "path-3"]);
    expect(artwork.shapes[1].path.contours[0].closed).toBe(true);
  });

  test.each([
    'stroke="none"',
    'stroke="black" stroke-width="0"',
    'stroke="black" stroke-opacity="0"',
    'stroke="black" opacity="0"',
  ])("%s leaves no line", (stroke) => {
    const artwork = read(`${ink}<path fill="none" ${stroke} d="M0 0h9v9"/>`);
    expect(ids(artwork)).toEqual(["ink"]);
    expect(codes(artwork)).toEqual([]);
  });

  test("the stroke's own properties, inherited and computed (SVG 2, 13.5)", () => {
    const [line] = read(
      '<g stroke="#000" stroke-width="10%" stroke-linecap="round" stroke-linejoin="bevel" stroke-miterlimit="7">' +
        '<path transform="scale(2 3)" fill="none" stroke-dasharray="1, 2 3" stroke-dashoffset="1in" d="M0 0h9"/></g>',
    ).shapes;
    // A percentage is of the viewport's diagonal over √2, here 100; an odd list is said twice.
    expect(line.stroke).toEqual({
      width: 10,
      cap: "round",
      join: "bevel",
      miterLimit: 7,
      dashes: [1, 2, 3, 1, 2, 3],
      dashOffset: 96,
      space: { a: 2, b: 0, c: 0, d: 3, e: 0, f: 0 },
    });
  });

  test.each([
    ["stroke-dasharray", "none", [], []],
    ["stroke-dasharray", "0 0", [], []],
    ["stroke-dasharray", "4", [4, 4], []],
    ["stroke-dasharray", "4 -1", [], ["dashes-not-understood"]],
    ["stroke-dasharray", "4 x", [], ["dashes-not-understood"]],
  ])("%s: %s", (property, text, dashes, found) => {
    const artwork = read(`<path fill="none" stroke="#000" ${property}="${text}" d="M0 0h9"/>`);
    expect(artwork.shapes[0].stroke?.dashes).toEqual(dashes);
    expect(codes(artwork)).toEqual(found);
  });

  test("paint-order turns the two around", () => {
    const artwork = read('<path id="p" paint-order="stroke" stroke="#222" d="M0 0h9v9"/>');
    expect(artwork.shapes.map((s) => s.stroke === null)).toEqual([false, true]);
  });
});
