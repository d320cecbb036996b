import { describe, expect, test } from "vitest";
import { parseOrigin, parseTransform } from "../../src/artwork/transform.ts";
import { pathBounds } from "../../src/geometry/path.ts";
import { readInk } from "../../src/ink/ink.ts";
import { areaOf, boxOf, close, codes, errorOf, ids, ink, read, readText } from "./helpers.ts";

const context = { width: 200, height: 100, fontSize: 10 };
const svg = (attributes: string, content: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" ${attributes}>${content}</svg>`;

describe("transforms (matrices by hand)", () => {
  const c30 = Math.sqrt(3) / 2;
  test.each([
    ["", [1, 0, 0, 1, 0, 0]],
    ["none", [1, 0, 0, 1, 0, 0]],
    ["matrix(1 2 3 4 5 6)", [1, 2, 3, 4, 5, 6]],
    ["translate(5)", [1, 0, 0, 1, 5, 0]],
    ["translate(10-5)", [1, 0, 0, 1, 10, -5]],
    ["translate(10%, 10%)", [1, 0, 0, 1, 20, 10]],
    ["translate(1in, 2em)", [1, 0, 0, 1, 96, 20]],
    ["translateX(3px) translateY(4px)", [1, 0, 0, 1, 3, 4]],
    ["scale(2)", [2, 0, 0, 2, 0, 0]],
    ["scale(2,-3)", [2, 0, 0, -3, 0, 0]],
    ["scaleX(2)scaleY(50%)", [2, 0, 0, 0.5, 0, 0]],
    ["rotate(30)", [c30, 0.5, -0.5, c30, 0, 0]],
    ["rotate(90 10 20)", [0, 1, -1, 0, 30, 10]],
    ["rotate(.25turn)", [0, 1, -1, 0, 0, 0]],
    ["rotate(100grad)", [0, 1, -1, 0, 0, 0]],
    ["rotate(1.5707963267948966rad)", [0, 1, -1, 0, 0, 0]],
    ["skewX(45)", [1, 0, 1, 1, 0, 0]],
    ["skewY(45deg)", [1, 1, 0, 1, 0, 0]],
    ["translate(10 0) , scale(2)", [2, 0, 0, 2, 10, 0]],
    ["scale(2) translate(10 0)", [2, 0, 0, 2, 20, 0]],
  ])("%s", (text, expected) => {
    const m = parseTransform(text, context);
    expect(m && close([m.a, m.b, m.c, m.d, m.e, m.f], expected, 1e-12)).toBe(true);
  });
  test.each([
    "rotate()",
    "rotate(1 2)",
    "scale(2px)",
    "spin(4)",
    "translate(5",
    "matrix(1 2 3)",
    "rotate(1foo)",
  ])("%s is not understood", (text) => expect(parseTransform(text, context)).toBeNull());
  test("origins", () => {
    expect(parseOrigin("center", context)).toEqual({ x: 100, y: 50 });
    expect(parseOrigin("top left", context)).toEqual({ x: 0, y: 0 });
    expect(parseOrigin("10px 50%", context)).toEqual({ x: 10, y: 50 });
    expect(parseOrigin("nowhere", context)).toBeNull();
  });
  test("as attribute, as CSS property, about an origin", () => {
    const rect = (style: string): string => `<rect width="10" height="20" ${style}/>`;
    expect(boxOf(read(rect('transform="translate(5 6)"')))).toEqual([5, 6, 15, 26]);
    expect(boxOf(read(rect('style="transform: translate(5px, 6px) scale(2)"')))).toEqual([5, 6, 25, 46]);
    const about = boxOf(read(rect('style="transform: rotate(90deg); transform-origin: 50px 50px"')));
    expect(close(about, [80, 0, 100, 10], 1e-12)).toBe(true);
    expect(codes(read(ink + rect('transform="spin(3)"')))).toEqual(["transform-not-understood"]);
    expect(read(ink + rect('transform="scale(0)"')).shapes.length).toBe(1);
  });
});

describe("basic shapes (areas in closed form)", () => {
  test.each([
    ['<rect x="1" y="2" width="10" height="20"/>', 200, [1, 2, 11, 22]],
    ['<rect width="10" height="20" rx="2"/>', 200 - (4 - Math.PI) * 4, [0, 0, 10, 20]],
    ['<rect width="10" height="20" ry="2"/>', 200 - (4 - Math.PI) * 4, [0, 0, 10, 20]],
    ['<rect width="10" height="20" rx="1" ry="2"/>', 200 - (4 - Math.PI) * 2, [0, 0, 10, 20]],
    ['<rect width="10" height="20" rx="99" ry="99"/>', Math.PI * 50, [0, 0, 10, 20]],
    ['<rect width="10" height="20" rx="99"/>', Math.PI * 50, [0, 0, 10, 20]],
    ['<rect width="10" height="20" rx="0" ry="5"/>', 200, [0, 0, 10, 20]],
    ['<rect width="10" height="20" rx="-1"/>', 200, [0, 0, 10, 20]],
    ['<rect width="50%" height="10%"/>', 500, [0, 0, 50, 10]],
    ['<circle cx="5" cy="6" r="5"/>', Math.PI * 25, [0, 1, 10, 11]],
    ['<circle cx="50%" cy="50%" r="10%"/>', Math.PI * 100, [40, 40, 60, 60]],
    ['<ellipse cx="5" cy="6" rx="5" ry="2"/>', Math.PI * 10, [0, 4, 10, 8]],
    ['<ellipse cx="5" cy="6" ry="5"/>', Math.PI * 25, [0, 1, 10, 11]],
    ['<polygon points="0,0 10,0 10,10"/>', 50, [0, 0, 10, 10]],
    ['<polyline points="0 0 10 0 10 10"/>', 50, [0, 0, 10, 10]],
    ['<path d="M0 0h10v10"/>', 50, [0, 0, 10, 10]],
    ['<path d="M10 10m-5,0a5,5 0 1,1 10,0a5,5 0 1,1 -10,0"/>', Math.PI * 25, [5, 5, 15, 15]],
  ])("%s", (content, area, box) => {
    const artwork = read(content);
    expect(codes(artwork)).toEqual([]);
    expect(Math.abs(areaOf(artwork) / area - 1)).toBeLessThan(2e-6);
    expect(close(boxOf(artwork), box, 1e-9)).toBe(true);
    const [contour] = artwork.shapes[0].path.contours;
    expect(contour.closed).toBe(true);
    expect(Array.from(contour.points.slice(-2))).toEqual(Array.from(contour.points.slice(0, 2)));
  });

  test.each([
    '<rect height="5"/>',
    '<rect width="0" height="5"/>',
    '<circle r="0"/>',
    '<ellipse rx="5" ry="0"/>',
    '<polygon points=""/>',
    '<polygon points="1 1"/>',
    '<line x2="5" y2="5"/>',
    '<path d="M0 0L5 5"/>',
    "<path/>",
    '<path d="M5 5L5 5Z"/>',
  ])("%s draws nothing and is no problem", (content) => {
    const artwork = read(ink + content);
    expect(ids(artwork)).toEqual(["ink"]);
    expect(codes(artwork)).toEqual([]);
  });

  test.each([
    ['<rect width="-1" height="5"/>', "size-negative"],
    ['<circle r="-1"/>', "size-negative"],
    ['<ellipse rx="-1" ry="2"/>', "size-negative"],
    ['<line x2="5" stroke="black" stroke-width="-1"/>', "size-negative"],
    ['<polygon points="0 0 10 0 10 10 5"/>', "points"],
    ['<polygon points="0 0 10 0 10 10 x 5"/>', "points"],
    ['<path d="M0 0h10v10x"/>', "path-data"],
    ['<rect width="5 mm mm" height="5"/>', "length-not-understood"],
    ['<path transform="scale(1e300)" d="M0 0H1e300V5z"/>', "number-not-finite"],
  ])("%s → %s", (content, code) => {
    const { problems } = read(ink + content);
    expect(problems.map((p) => [p.code, p.severity])).toEqual([[code, "error"]]);
  });

  test("straight sides of a rounded rect are flagged, a pill has no stray segments", () => {
    const [contour] = read('<rect width="10" height="20" rx="2"/>').shapes[0].path.contours;
    expect(contour.straight.reduce((a, b) => a + b, 0)).toBe(4);
    const [pill] = read('<rect x=".1" y=".2" width=".7" height=".3" rx=".15" fill="#000"/>').shapes[0].path
      .contours;
    expect(pill.straight.reduce((a, b) => a + b, 0)).toBe(2);
  });

  test("relative rounding leaves no closing line of no length", () => {
    const [contour] = read('<path d="M10 10l.1.2.2.1-.3-.3z"/>').shapes[0].path.contours;
    expect(contour.straight.length).toBe(3);
  });
});

describe("the page", () => {
  test.each([
    ['width="100mm" height="5cm"', 100, 50, []],
    ['width="96" height="192px"', 25.4, 50.8, []],
    ['width="72pt" height="1in"', 25.4, 25.4, []],
    ['viewBox="0 0 96 192"', 25.4, 50.8, ["size-assumed"]],
    ['width="100%" height="100%" viewBox="0 0 96 192"', 25.4, 50.8, ["size-assumed"]],
    ['width="10mm" viewBox="0 0 96 192"', 10, 20, []],
    ['height="10mm" viewBox="0 0 96 192"', 5, 10, []],
  ])("%s is %d × %d mm", (attributes, width, height, expected) => {
    const artwork = readText(svg(attributes, '<rect width="1" height="1"/>'));
    expect(artwork.size?.widthMm).toBeCloseTo(width, 12);
    expect(artwork.size?.heightMm).toBeCloseTo(height, 12);
    expect(codes(artwork)).toEqual(expected);
  });

  test("without size and viewBox the page is the box around the ink", async () => {
    const text = svg("", '<rect x="96" y="48" width="192" height="96"/>');
    expect(readText(text).size).toBeNull();
    const artwork = await readInk(text);
    expect(close([artwork.widthMm, artwork.heightMm], [50.8, 25.4], 1e-12)).toBe(true);
    const box = pathBounds(artwork.shapes[0].path);
    expect(box && close([box.minX, box.minY, box.maxX, box.maxY], [0, 0, 50.8, 25.4], 1e-12)).toBe(true);
    const [problem] = artwork.problems;
    expect(problem).toMatchObject({ code: "size-assumed", severity: "note" });
    expect(problem.message).toContain("96 px per inch assumed: 50.8 × 25.4 mm");
  });

  test.each([
    'width="0" height="5"',
    'width="-5mm" height="5mm"',
    'width="NaN" height="5mm"',
    'width="5mm" height="five"',
    'width="1e999" height="5"',
    'width="5" height="5" viewBox="0 0 0 5"',
    'width="5" height="5" viewBox="0 0 5 -5"',
  ])("%s is refused", (attributes) => {
    expect(errorOf(svg(attributes, '<rect width="1" height="1"/>')).problem.code).toBe("size-invalid");
  });

  test("a broken viewBox is reported", () => {
    const broken = readText(svg('width="9mm" height="9mm" viewBox="0 0 9"', '<rect width="1" height="1"/>'));
    expect(broken.problems.map((p) => [p.code, p.severity])).toEqual([["viewbox-not-understood", "error"]]);
  });
});

describe("inner viewports and copies", () => {
  test.each([
    [
      '<svg x="10" y="20" width="30" height="30" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>',
      [10, 20, 40, 50],
    ],
    [
      '<svg x="10" width="40" height="20" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>',
      [20, 0, 40, 20],
    ],
    [
      '<svg width="40" height="20" viewBox="0 0 10 10" preserveAspectRatio="none"><rect width="10" height="10"/></svg>',
      [0, 0, 40, 20],
    ],
    ['<svg x="10" width="50"><rect width="50%" height="10%"/></svg>', [10, 0, 35, 10]],
    ['<defs><rect id="r" width="5" height="6"/></defs><use href="#r" x="1" y="2"/>', [1, 2, 6, 8]],
    [
      '<defs><rect id="r" x="1" width="5" height="6"/></defs><use xlink:href="#r" transform="scale(2)" x="1"/>',
      [4, 0, 14, 12],
    ],
    [
      '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#s" x="5" width="20" height="20"/>',
      [5, 0, 25, 20],
    ],
    [
      '<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use href="#s"/>',
      [0, 0, 100, 100],
    ],
    [
      '<defs><svg id="v" width="4" height="4" viewBox="0 0 1 1"><rect width="1" height="1"/></svg></defs><use href="#v" width="8" height="8"/>',
      [0, 0, 8, 8],
    ],
    [
      '<defs><g id="a"><use href="#b" x="1"/></g><rect id="b" width="2" height="2"/></defs><use href="#a" y="3"/>',
      [1, 3, 3, 5],
    ],
  ])("%s", (content, box) => {
    const artwork = read(content);
    expect(codes(artwork)).toEqual([]);
    expect(close(boxOf(artwork), box, 1e-12)).toBe(true);
  });

  test("a copy inherits from its use; ids stay unique", () => {
    const artwork = read(
      '<defs><rect id="r" width="5" height="5"/></defs>' +
        '<use href="#r" fill="white"/><use href="#r" x="10"/><use href="#r" x="20"/><rect id="r-2" width="1" height="1"/>',
    );
    expect(ids(artwork)).toEqual(["r", "r-3", "r-4", "r-2"]);
    expect(artwork.shapes.map((shape) => shape.colours[0].r)).toEqual([1, 0, 0, 0]);
  });

  test.each([
    ['<g id="a"><use href="#a"/></g>', "use-cycle"],
    ['<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>', "use-cycle"],
    ['<use id="u" href="#u"/>', "use-cycle"],
    ['<use href="#nowhere"/>', "use-target-missing"],
    ["<use/>", "use-target-missing"],
    ['<use href="other.svg#a"/>', "use-not-loaded"],
    ['<svg width="-1" height="5"><rect width="1" height="1"/></svg>', "size-negative"],
  ])("%s → %s", (content, code) => {
    const { problems } = read(ink + content);
    expect(new Set(problems.map((p) => p.code))).toEqual(new Set([code]));
    expect(problems[0].severity).toBe("error");
  });

  test("a viewport clips what it draws, unless its overflow is visible; one of no size shows nothing", () => {
    const inner = (attributes: string): string =>
      `<svg width="10" height="10" ${attributes}><rect width="11" height="5"/></svg>`;
    const [clipped] = read(inner("")).shapes;
    expect(clipped.clip?.outer).toBeNull();
    expect(clipped.clip?.layers.map(({ path }) => pathBounds(path))).toEqual([
      { minX: 0, minY: 0, maxX: 10, maxY: 10 },
    ]);
    expect(read(inner('overflow="visible"')).shapes[0].clip).toBeNull();
    expect(read(`${ink}<svg width="0"><rect width="11" height="5"/></svg>`).shapes.length).toBe(1);
  });

  test("defs, symbols, titles draw nothing; switch draws its first fitting child", () => {
    const artwork = read(
      `${ink}<defs><rect width="1" height="1"/><text>no</text></defs><symbol><rect width="1" height="1"/></symbol>` +
        '<title>t</title><switch><foreignObject requiredExtensions="urn:x"/>' +
        '<rect id="de" systemLanguage="de" width="1" height="1"/><rect id="any" width="1" height="1"/>' +
        '<rect id="late" width="1" height="1"/></switch><a href="x"><rect id="link" width="1" height="1"/></a>',
    );
    expect(ids(artwork)).toEqual(["ink", "any", "link"]);
    expect(codes(artwork)).toEqual([]);
  });
});
