/** Shapes as they come out: kept apart, centre lines, and what patterns and markers draw. */
import { describe, expect, test } from "vitest";
import { areaOf, areaOrNone, boxOf, errorsOf, inkArea, inkOn } from "./helpers.ts";

const near = (found: number, wanted: number): void =>
  expect(Math.abs(found - wanted), `${found} for ${wanted}`).toBeLessThan(1e-5 * Math.max(1, wanted));

describe("--keep-shapes", () => {
  const keepShapes = true;
  test("overlapping shapes stay apart and whole, in paint order, with their ids", async () => {
    const { shapes } = await inkOn(
      '<rect id="b" width="20" height="20"/><rect id="a" x="10" width="20" height="20"/><rect id="c" x="60" width="5" height="5"/>',
      { keepShapes },
    );
    expect(shapes.map((s) => [s.id, areaOf(s)])).toEqual([
      ["b", 400],
      ["a", 400],
      ["c", 25],
    ]);
  });
  test("light paint is taken from each shape below it, not from those above", async () => {
    const { shapes } = await inkOn(
      '<rect id="a" width="20" height="20"/><rect id="b" x="10" width="20" height="20"/>' +
        '<rect x="5" y="5" width="10" height="10" fill="#fff"/><rect id="c" width="20" height="20"/>',
      { keepShapes },
    );
    expect(shapes.map((s) => s.id)).toEqual(["a", "b", "c"]);
    const wanted = [300, 350, 400];
    for (const [i, shape] of shapes.entries()) near(areaOf(shape), wanted[i]);
  });
  test("each is resolved by its own fill rule, and one that is covered is gone", async () => {
    const { shapes } = await inkOn(
      '<path id="ring" fill-rule="evenodd" d="M0 0H30V30H0zM10 10H20V20H10z"/><rect id="gone" x="50" width="9" height="9"/><rect x="40" width="30" height="30" fill="#fff"/>',
      { keepShapes },
    );
    expect(shapes.map((s) => s.id)).toEqual(["ring"]);
    near(areaOf(shapes[0]), 800);
  });
});

/** SVG 2, 13.5: a subpath of no length shows its caps; a moveto alone is none. */
describe("subpaths of no length", () => {
  const dot = (d: string, cap = "round"): string =>
    `<path d="${d}" fill="none" stroke="#000" stroke-width="4" stroke-linecap="${cap}"/>`;
  const disc = 4 * Math.PI;
  test.each([
    ["a line to where it is", dot("M5 5h0"), disc],
    ["closed at once", dot("M5 5z"), disc],
    ["a curve to where it is", dot("M5 5C5 5 5 5 5 5"), disc],
    ["two of them", dot("M5 5h0M25 5h0"), 2 * disc],
    ["a square", dot("M5 5h0", "square"), 16],
    [
      "a line element",
      '<line x1="5" x2="5" y1="5" y2="5" stroke="#000" stroke-width="4" stroke-linecap="round"/>',
      disc,
    ],
  ])("%s is a dot", async (_, content, area) => {
    expect(await inkArea(content)).toBeCloseTo(area, 2);
  });
  test.each([
    ["butt caps", dot("M5 5h0", "butt")],
    ["a moveto alone", dot("M5 5")],
    ["its fill", '<path d="M5 5h0"/>'],
  ])("%s: nothing", async (_, content) => {
    await expect(inkOn(content)).rejects.toMatchObject({ problem: { code: "no-ink" } });
  });
  test("an outline closed twice has no dot at its start", async () => {
    expect(await inkArea(dot("M5 5h20v20h-20zz"))).toBeCloseTo(await inkArea(dot("M5 5h20v20h-20z")), 9);
  });
  test("as a centre line it is told", async () => {
    expect(await errorsOf(dot("M5 5h0M9 9h5"), { strokes: "centre-line" })).toEqual(["dot-without-line"]);
  });
});

describe("--strokes centre-line", () => {
  const strokes = "centre-line" as const;
  test("a dark stroke is its line as drawn, with a note of its width", async () => {
    const { shapes, problems } = await inkOn(
      '<g transform="scale(2)"><path id="p" stroke="#222" stroke-width="3" d="M10 10h9v9"/></g>',
      { strokes },
    );
    expect(shapes.map((s) => [s.id, s.paint])).toEqual([
      ["p", "fill"],
      ["p-stroke", "centre-line"],
    ]);
    const [contour] = shapes[1].path.contours;
    expect(contour.closed).toBe(false);
    expect(Array.from(contour.points).filter((_, i) => i % 6 < 2)).toEqual([20, 20, 38, 20, 38, 38]);
    expect(problems).toMatchObject([{ code: "stroke-as-centre-line", severity: "note", where: { id: "p" } }]);
    expect(problems[0].message).toContain("6.00 mm wide");
  });
  test("dashes are lines of their own, as SVG 2, 13.5 places them", async () => {
    const dashed =
      '<path fill="none" stroke="#000" stroke-dasharray="4 2" stroke-dashoffset="1" d="M10 10H24"/>';
    const { shapes } = await inkOn(dashed, { strokes });
    const spans = shapes[0].path.contours.map((c) => [c.points[0], c.points.at(-2)]);
    expect(spans.flat().map((v) => Math.round(1e9 * v!) / 1e9)).toEqual([10, 13, 15, 19, 21, 24]);
  });
  test("lines come in paint order between the fills", async () => {
    const { shapes } = await inkOn(
      '<path id="one" fill="none" stroke="#000" d="M5 5h9"/><rect id="two" x="30" width="9" height="9"/><path id="three" fill="none" stroke="#000" d="M5 60h9"/>',
      { strokes },
    );
    expect(shapes.map((s) => s.id)).toEqual(["one", "two", "three"]);
  });
  const line = '<path fill="none" stroke="#000" d="M10 50H90"/>';
  test.each([
    [
      "light paint later over it",
      `${line}<rect x="40" y="40" width="20" height="20" fill="#fff"/>`,
      "knockout-not-applied",
    ],
    [
      "light paint by a copy of what stands before it",
      `<defs><rect id="w" x="40" y="40" width="20" height="20" fill="#fff"/></defs>${line}<use href="#w"/>`,
      "knockout-not-applied",
    ],
    [
      "a clip through it",
      `<clipPath id="c"><rect width="50" height="90"/></clipPath><g clip-path="url(#c)">${line}</g>`,
      "clip-not-applied",
    ],
    [
      "a clip that is no upright rectangle",
      `<clipPath id="c"><path d="M0 50L50 0L100 50L50 45z"/></clipPath><g clip-path="url(#c)">${line}</g>`,
      "clip-not-applied",
    ],
    [
      "a mask that hides it",
      `<mask id="m" maskUnits="userSpaceOnUse"><rect width="100" height="100"/></mask><g mask="url(#m)">${line}</g>`,
      "clip-not-applied",
    ],
    ["the page's edge", '<path fill="none" stroke="#000" d="M10 50H190"/>', "line-beyond-page"],
  ])("%s stands in the way", async (_, content, code) => {
    expect(await errorsOf(content, { strokes })).toEqual([code]);
    const { shapes } = await inkOn(content, { strokes, allow: [code] });
    expect(shapes.map((s) => s.paint)).toEqual(["centre-line"]);
  });
  test.each([
    ["light paint below it", `<rect x="40" y="40" width="20" height="20" fill="#fff"/>${line}`],
    ["light paint beside it", `${line}<rect x="40" y="60" width="20" height="20" fill="#fff"/>`],
    [
      "a clip around it",
      `<clipPath id="c"><rect y="20" width="100" height="60"/></clipPath><g clip-path="url(#c)">${line}</g>`,
    ],
  ])("%s does not", async (_, content) => {
    expect((await inkOn(content, { strokes })).problems.map((p) => p.code)).toEqual([
      "stroke-as-centre-line",
    ]);
  });
  test("a light line over ink still knocks out as wide as it is drawn", async () => {
    near(
      await inkArea(
        '<rect width="40" height="40"/><path fill="none" stroke="#fff" stroke-width="4" d="M0 20H90"/>',
        { strokes },
      ),
      1600 - 160,
    );
  });
});

describe("patterns (SVG 2, 14.3)", () => {
  const filled = (pattern: string, rect = 'x="10" y="10" width="80" height="80"'): string =>
    `${pattern}<rect ${rect} fill="url(#p)"/>`;
  const dot = '<rect width="5" height="5"/>';
  test.each([
    [
      "tiles of 10 mm, a quarter of each inked",
      filled(`<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse">${dot}</pattern>`),
      1600,
    ],
    [
      "from a corner of its own",
      filled(
        `<pattern id="p" x="2" y="3" width="10" height="10" patternUnits="userSpaceOnUse">${dot}</pattern>`,
      ),
      1600,
    ],
    [
      "tiles in shares of the box",
      filled(`<pattern id="p" width=".5" height="25%">${dot}</pattern>`),
      8 * 25,
    ],
    [
      "content in shares of the box",
      filled(
        '<pattern id="p" width=".5" height=".5" patternContentUnits="objectBoundingBox"><rect width=".25" height=".25"/></pattern>',
      ),
      1600,
    ],
    [
      "with a viewBox",
      filled(
        '<pattern id="p" width=".5" height=".5" viewBox="0 0 2 2"><rect width="1" height="1"/></pattern>',
      ),
      1600,
    ],
    [
      "cut at the tile's edge",
      filled(
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse"><circle cx="0" cy="0" r="10"/></pattern>',
        'x="20" y="20" width="60" height="60"',
      ),
      (9 * Math.PI * 100) / 4,
    ],
    [
      "cut by the shape",
      `<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse">${dot}</pattern><rect x="12" y="10" width="3" height="10" fill="url(#p)"/>`,
      15,
    ],
    [
      "scaled by its transform",
      filled(
        `<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse" patternTransform="translate(10 10) scale(2)">${dot}</pattern>`,
      ),
      1600,
    ],
    [
      "turned by a quarter",
      filled(
        `<pattern id="p" width="10" height="20" patternUnits="userSpaceOnUse" patternTransform="rotate(90)">${dot}</pattern>`,
      ),
      800,
    ],
    [
      "what it lacks comes from the one it refers to",
      filled(
        `<pattern id="q" width="10" height="10" patternUnits="userSpaceOnUse">${dot}</pattern><pattern id="p" href="#q"/>`,
      ),
      1600,
    ],
    [
      "light content knocks out",
      `<rect x="10" y="10" width="80" height="80"/>${filled('<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#fff"/></pattern>')}`,
      4800,
    ],
  ])("%s", async (_, content, area) => near(await inkArea(content), area));

  test("tiles that meet become one", async () => {
    const bars =
      '<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="10" height="4"/></pattern>';
    const { shapes } = await inkOn(filled(bars));
    near(
      shapes.reduce((sum, s) => sum + areaOf(s), 0),
      80 * 32,
    );
  });
  test("opacity goes into its content; of no size or content it draws nothing", async () => {
    const faint = filled(
      `<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse">${dot}</pattern>`,
    ).replace("fill=", 'fill-opacity=".2" fill=');
    expect(await areaOrNone(faint)).toBe(0);
    expect(
      await areaOrNone(
        filled('<pattern id="p" width="0" height="10"><rect width="5" height="5"/></pattern>'),
      ),
    ).toBe(0);
    expect(await areaOrNone(filled('<pattern id="p" width="10" height="10"/>'))).toBe(0);
  });
  test("in itself it stands in the way", async () => {
    const content = filled(
      '<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="url(#p)"/></pattern>',
    );
    expect(await errorsOf(content)).toEqual(["pattern-not-drawn"]);
  });
});

test("a marker that is not in the file is told", async () => {
  expect(await errorsOf('<path d="M5 5h9" stroke="#000" marker-end="url(#gone)"/>')).toEqual([
    "marker-missing",
  ]);
});

describe("markers (SVG 2, 13.7)", () => {
  // An arrow 10 long and 6 wide that points right, held at the middle of its foot.
  const marker = (attributes: string): string =>
    `<marker id="k" markerWidth="10" markerHeight="6" refX="0" refY="3" ${attributes}><path id="tip" d="M0 0L10 3L0 6z"/></marker>`;
  const user = 'markerUnits="userSpaceOnUse"';
  const box = async (content: string, id = "tip"): Promise<number[]> =>
    boxOf(await inkOn(content), id).map((v) => Math.round(v * 1e9) / 1e9);
  test.each([
    ["fixed", marker(user), 'd="M50 20V60" marker-end="url(#k)"', [50, 57, 60, 63]],
    [
      "orient auto: along the line",
      marker(`${user} orient="auto"`),
      'd="M50 20V60" marker-end="url(#k)"',
      [47, 60, 53, 70],
    ],
    [
      "orient in degrees",
      marker(`${user} orient="-90"`),
      'd="M50 20V60" marker-end="url(#k)"',
      [47, 50, 53, 60],
    ],
    [
      "orient auto at the start points into the line",
      marker(`${user} orient="auto"`),
      'd="M50 20V60" marker-start="url(#k)"',
      [47, 20, 53, 30],
    ],
    [
      "auto-start-reverse points out of it",
      marker(`${user} orient="auto-start-reverse"`),
      'd="M50 20V60" marker-start="url(#k)"',
      [47, 10, 53, 20],
    ],
    [
      "auto-start-reverse at the end is auto",
      marker(`${user} orient="auto-start-reverse"`),
      'd="M50 20V60" marker-end="url(#k)"',
      [47, 60, 53, 70],
    ],
    [
      "at a vertex, halfway between both directions",
      marker(`${user} orient="auto"`).replace('refX="0"', 'refX="5"'),
      'd="M20 20H50L50 20H80" marker-mid="url(#k)"',
      [45, 17, 55, 23],
    ],
    [
      "in stroke widths",
      marker(""),
      'd="M50 20V60" stroke-width=".5" marker-end="url(#k)"',
      [50, 58.5, 55, 61.5],
    ],
    [
      "with a viewBox",
      marker(`${user} viewBox="0 0 20 12"`)
        .replace('refY="3"', 'refY="6"')
        .replace("M0 0L10 3L0 6z", "M0 0L20 6L0 12z"),
      'd="M50 20V60" marker-end="url(#k)"',
      [50, 57, 60, 63],
    ],
    [
      "cut at its own window",
      marker(user).replace("M0 0L10 3L0 6z", "M-5 -5H50V50H-5z"),
      'd="M50 20V60" marker-end="url(#k)"',
      [50, 57, 60, 63],
    ],
    [
      "not with overflow visible",
      marker(`${user} overflow="visible"`).replace("M0 0L10 3L0 6z", "M-5 0H10V6H-5z"),
      'd="M50 20V60" marker-end="url(#k)"',
      [45, 57, 60, 63],
    ],
  ])("%s", async (_, defs, line, expected) => {
    expect(await box(`${defs}<path fill="none" stroke="none" ${line}/>`)).toEqual(expected);
  });
  test("at every vertex by the shorthand, under the line's transform", async () => {
    const { shapes } = await inkOn(
      `${marker(user)}<polyline transform="translate(10 10) scale(.5)" points="0,0 40,40 80,80" fill="none" style="marker:url(#k)"/>`,
    );
    expect(shapes.length).toBe(3);
    for (const shape of shapes) near(areaOf(shape), 30 / 4);
  });
  test("rects and circles have none", async () => {
    expect(
      await areaOrNone(`${marker(user)}<rect width="20" height="20" fill="none" marker-start="url(#k)"/>`),
    ).toBe(0);
  });
  test("context-stroke is the colour of the line", async () => {
    const defs = marker(user).replace("<path", '<path fill="context-stroke"');
    const on = (stroke: string): Promise<number> =>
      areaOrNone(
        `${defs}<path fill="none" stroke="${stroke}" stroke-width="1e-9" d="M50 20V60" marker-end="url(#k)"/>`,
      );
    near(await on("#000"), 30);
    expect(await on("#fff")).toBe(0);
  });
});
