import { describe, expect, test } from "vitest";
import { readInk } from "../../src/ink/ink.ts";
import { ProblemsError } from "../../src/problem.ts";
import { codes, ids, ink, page, read, readText } from "./helpers.ts";

const gradient = (id: string, ...stops: string[]): string =>
  `<linearGradient id="${id}">${stops.map((s) => `<stop stop-color="${s}"/>`).join("")}</linearGradient>`;
const rect = (attributes: string): string => `<rect id="r" width="5" height="5" ${attributes}/>`;
const defs =
  `<defs>${gradient("dark", "black", "#444")}${gradient("light", "white", "#eee")}` +
  '<radialGradient id="via" href="#dark"/><linearGradient id="loop" href="#loop"/><pattern id="p"/><pattern id="tiny" width=".001" height=".001"><rect width="1" height="1"/></pattern>' +
  '<mask id="grey" maskUnits="userSpaceOnUse"><rect width="99" height="99" fill="gray"/></mask></defs>';

describe("every problem, by element", () => {
  test.each([
    ["<text id='x' font-family='Reed'>Hello   big\n world</text>", "font-missing", "error", false],
    ["<image id='x' href='a.png' width='5' height='5'/>", "picture-not-loaded", "error", false],
    ["<image id='x' href='data:image/svg+xml,x' width='5' height='5'/>", "picture-not-read", "error", false],
    ["<foreignObject id='x'/>", "foreign-object-not-drawn", "error", false],
    ["<video id='x'/>", "element-not-drawn", "error", false],
    ["<rect id='x' width='5' height='5' clip-path='url(#c)'/>", "clip-missing", "error", true],
    ["<rect id='x' width='5' height='5' clip-path='circle(3px)'/>", "clip-not-applied", "error", true],
    ["<rect id='x' width='5' height='5' style='mask:url(#c)'/>", "mask-missing", "error", true],
    ["<rect id='x' width='5' height='5' mask='url(#grey)'/>", "mask-not-flat", "error", true],
    ["<rect id='x' width='5' height='5' filter='blur(2px)'/>", "filter-not-applied", "error", true],
    ["<rect id='x' width='5' height='5' style='mix-blend-mode:screen'/>", "blend-not-applied", "error", true],
    ["<g id='x' clip-path='url(#c)'><rect width='5' height='5'/></g>", "clip-missing", "error", true],
    ["<script id='x'>1</script>", "script-ignored", "caution", false],
    ["<animate id='x'/>", "animation-ignored", "caution", false],
    ["<rect width='5' height='5'><animateTransform id='x'/></rect>", "animation-ignored", "caution", true],
    ["<style id='x'>@import url(a.css);</style>", "style-not-loaded", "caution", false],
    [
      "<h:link xmlns:h='http://www.w3.org/1999/xhtml' id='x' rel='stylesheet' href='a'/>",
      "style-not-loaded",
      "caution",
      false,
    ],
    ["<style id='x'>rect:nth-child(2){fill:red}</style>", "style-ignored", "caution", false],
    ["<style id='x'>@media print{rect{fill:red}}</style>", "style-ignored", "caution", false],
    ["<style id='x' type='text/other'>rect{fill:red}</style>", "style-ignored", "caution", false],
    ["<style id='x'>@keyframes a{from{fill:red}}</style>", "animation-ignored", "caution", false],
    ["<rect id='x' width='50' height='50' fill='url(#tiny)'/>", "pattern-not-drawn", "error", false],
    ["<rect id='x' width='5' height='5' fill='url(#grey)'/>", "paint-not-drawn", "error", false],
    ["<rect id='x' width='5' height='5' fill='url(#none)'/>", "paint-missing", "error", false],
    ["<rect id='x' width='5' height='5' fill='nonsense'/>", "colour-not-understood", "error", true],
    ["<rect id='x' width='5' height='5' systemLanguage='de'/>", "language-not-shown", "caution", false],
    ["<rect id='x' width='5' height='5' style='rotate:20deg'/>", "transform-not-understood", "error", true],
  ])("%s → %s", (content, code, severity, drawn) => {
    const artwork = read(ink + defs + content);
    expect(artwork.problems).toMatchObject([{ code, severity, where: { id: "x", line: 1 } }]);
    const [problem] = artwork.problems;
    expect(problem.hint.length).toBeGreaterThan(10);
    // Plain words that go into one line: no capital, no full stop.
    expect(problem.message).toMatch(/^[^A-Z].*[^.]$/);
    expect(problem.message.length).toBeLessThan(120);
    expect(artwork.shapes.length).toBe(drawn ? 2 : 1);
  });

  test("a style sheet named before the root", () => {
    const artwork = readText(`<?xml-stylesheet href="a.css"?>${page(ink)}`);
    expect(codes(artwork)).toEqual(["style-not-loaded"]);
  });

  test("a gradient without stops paints nothing; a cycle of gradients ends", () => {
    expect(ids(read(ink + defs + rect('fill="url(#loop)"')))).toEqual(["ink"]);
  });

  test("each element is reported once per code, however often it is drawn", () => {
    const artwork = read(`${ink}<g id="g"><video/></g><use href="#g"/><use href="#g"/><video/>`);
    expect(codes(artwork)).toEqual(["element-not-drawn", "element-not-drawn"]);
  });

  test.each([
    "<text> </text>",
    "<g display='none'><text>Hi</text><image/></g>",
    "<text visibility='hidden'>Hi</text>",
    "<defs><text>Hi</text><image/><g clip-path='url(#a)'/></defs>",
    "<clipPath id='c'><rect width='5' height='5' mask='url(#a)'/></clipPath>",
    "<g opacity='0'><image/></g>",
    "<title>Hi</title><desc>Hi</desc><metadata>Hi</metadata>",
    "<rect width='5' height='5' fill='white' clip-path='none' mask='none' filter='none'/>",
  ])("%s is no problem", (content) => expect(codes(read(ink + content))).toEqual([]));
});

describe("size", () => {
  test("50,000 subpaths and 200,000 segments in one file", () => {
    const many = `<path d="${"M0 0h1v1z".repeat(50_000)}"/><path d="M0 0${"l1 1c1 2 3 4 5 6-6 0-8 1-9 1".repeat(70_000)}"/>`;
    const artwork = read(many);
    expect(artwork.shapes[0].path.contours.length).toBe(50_000);
    expect(artwork.shapes[1].path.contours[0].straight.length).toBe(210_001);
  });
  test("20,000 shapes, ink and light in turn", async () => {
    let content = "";
    for (let i = 0; i < 10_000; i++) {
      const at = `x="${(i % 100) + 0.1}" y="${Math.floor(i / 100) + 0.1}" width=".3" height=".3"`;
      content += `<rect ${at}/><rect transform="translate(.4 .4)" fill="white" ${at}/>`;
    }
    const artwork = read(content);
    expect(artwork.shapes.length).toBe(20_000);
    expect(codes(artwork)).toEqual([]);
    const { shapes, problems } = await readInk(page(content));
    expect(shapes.length).toBe(10_000);
    expect(problems).toEqual([]);
  });
});

test("a light shape beside the ink is said, paper white is not", async () => {
  const beside = async (fill: string): Promise<unknown[]> =>
    (await readInk(page(`${ink}<rect id="x" x="60" width="5" height="5" fill="${fill}"/>`))).problems.map(
      ({ code, severity, where }) => [code, severity, where?.id],
    );
  expect(await beside("#c0c0c0")).toEqual([["light-not-marked", "caution", "x"]]);
  expect(await beside("#fff")).toEqual([]);
});

test("a bent file is known again", () => {
  const bent = `<svg xmlns="http://www.w3.org/2000/svg" data-fallaway="bent" width="9mm" height="9mm"><path d="M0 0H9V9z"/></svg>`;
  expect(readText(bent).problems.map((p) => [p.code, p.severity])).toEqual([["bent-already", "error"]]);
});

describe("errors stand in the way unless they are allowed", () => {
  const blurred = page(
    '<rect id="a" width="9" height="9" filter="blur(1px)"/><video id="b"/><rect id="c" x="20" width="9" height="9" filter="blur(1px)"/>',
  );
  const failure = async (allow: readonly string[]): Promise<ProblemsError> => {
    try {
      await readInk(blurred, { allow });
    } catch (error) {
      if (error instanceof ProblemsError) return error;
      throw error;
    }
    throw new Error("the ink was resolved without an error");
  };
  test("all of them at once, in the order of the file", async () => {
    const { problems, problem } = await failure([]);
    expect(problems.map((p) => [p.code, p.where?.id])).toEqual([
      ["filter-not-applied", "a"],
      ["element-not-drawn", "b"],
      ["filter-not-applied", "c"],
    ]);
    expect(problem.code).toBe("filter-not-applied");
  });
  test("one code allowed leaves the others", async () => {
    const { problems } = await failure(["filter-not-applied", "no-such-code"]);
    expect(problems.map((p) => p.code)).toEqual(["element-not-drawn"]);
  });
  test("all allowed: cautions, and the shapes as they were drawn", async () => {
    const allow = ["filter-not-applied", "element-not-drawn"];
    const { shapes, problems } = await readInk(blurred, { allow });
    expect(shapes.map((s) => s.id)).toEqual(["a", "c"]);
    expect(problems.map((p) => p.severity)).toEqual(["caution", "caution", "caution"]);
  });
});
