import { describe, expect, test } from "vitest";
import { readArtwork } from "../../src/artwork/read.ts";
import { codes, ids, ink, page, read } from "./helpers.ts";

const gradient = (id: string, ...stops: string[]): string =>
  `<linearGradient id="${id}">${stops.map((s) => `<stop stop-color="${s}"/>`).join("")}</linearGradient>`;
const rect = (attributes: string): string => `<rect id="r" width="5" height="5" ${attributes}/>`;
const defs =
  `<defs>${gradient("dark", "black", "#444")}${gradient("light", "white", "#eee")}` +
  '<radialGradient id="via" href="#dark"/><linearGradient id="loop" href="#loop"/><pattern id="p"/></defs>';

describe("every problem, by element", () => {
  test.each([
    ["<text id='x'>Hello   big\n world</text>", "text-not-drawn", "stop", false],
    ["<text id='x'><tspan>in</tspan>side</text>", "text-not-drawn", "stop", false],
    ["<image id='x' href='a.png' width='5' height='5'/>", "image-not-drawn", "stop", false],
    ["<foreignObject id='x'/>", "foreign-object-not-drawn", "stop", false],
    ["<video id='x'/>", "element-not-drawn", "stop", false],
    ["<rect id='x' width='5' height='5' clip-path='url(#c)'/>", "clip-not-applied", "stop", true],
    ["<rect id='x' width='5' height='5' style='mask:url(#c)'/>", "mask-not-applied", "stop", true],
    ["<rect id='x' width='5' height='5' filter='blur(2px)'/>", "filter-not-applied", "stop", true],
    ["<rect id='x' width='5' height='5' style='mix-blend-mode:screen'/>", "blend-not-applied", "stop", true],
    ["<g id='x' clip-path='url(#c)'><rect width='5' height='5'/></g>", "clip-not-applied", "stop", true],
    ["<path id='x' marker-end='url(#m)' d='M0 0h5v5'/>", "marker-not-drawn", "stop", true],
    ["<g style='marker:url(#m)'><path id='x' d='M0 0h5v5'/></g>", "marker-not-drawn", "stop", true],
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
    ["<rect id='x' width='5' height='5' fill='url(#p)'/>", "pattern-not-drawn", "stop", false],
    ["<rect id='x' width='5' height='5' fill='url(#none)'/>", "paint-missing", "stop", false],
    ["<rect id='x' x='60' width='5' height='5' fill='#c0c0c0'/>", "light-not-marked", "caution", false],
    ["<rect id='x' width='5' height='5' fill='nonsense'/>", "colour-not-understood", "stop", true],
    ["<rect id='x' width='5' height='5' fill='url(#dark)'/>", "gradient-flattened", "caution", true],
    ["<rect id='x' width='5' height='5' fill='url(#via)'/>", "gradient-flattened", "caution", true],
    ["<rect id='x' width='5' height='5' fill='url(#light)'/>", "gradient-flattened", "caution", false],
    ["<rect id='x' width='5' height='5' systemLanguage='de'/>", "language-not-shown", "caution", false],
    ["<rect id='x' width='5' height='5' style='rotate:20deg'/>", "transform-not-understood", "stop", true],
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
    const artwork = readArtwork(`<?xml-stylesheet href="a.css"?>${page(ink)}`);
    expect(codes(artwork)).toEqual(["style-not-loaded"]);
  });

  test("the first words of a text are said, not all of them", () => {
    const { problems } = read(`${ink}<text>One  two three four five six seven eight nine ten</text>`);
    expect(problems[0].message).toBe("text is not drawn: “One two three four five six seven eight …”");
  });

  test("a gradient without stops paints nothing; a cycle of gradients ends", () => {
    expect(ids(read(ink + defs + rect('fill="url(#loop)"')))).toEqual(["ink"]);
  });

  test("each element is reported once per code, however often it is drawn", () => {
    const artwork = read(
      `${ink}<g id="g"><text>Hi</text></g><use href="#g"/><use href="#g"/><text>Hi</text>`,
    );
    expect(codes(artwork)).toEqual(["text-not-drawn", "text-not-drawn"]);
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
  test("20,000 shapes, ink and light in turn", () => {
    let content = "";
    for (let i = 0; i < 10_000; i++) {
      const at = `x="${(i % 100) + 0.1}" y="${Math.floor(i / 100) + 0.1}" width=".3" height=".3"`;
      content += `<rect ${at}/><rect transform="translate(.4 .4)" fill="white" ${at}/>`;
    }
    const artwork = read(content);
    expect(artwork.shapes.length).toBe(10_000);
    expect(codes(artwork)).toEqual([]);
  });
});

test("paper white beside the ink is nothing, a bent file is known again", () => {
  expect(codes(read('<rect width="5" height="5"/><rect x="60" width="5" height="5" fill="#fff"/>'))).toEqual(
    [],
  );
  const bent = `<svg xmlns="http://www.w3.org/2000/svg" data-fallaway="bent" width="9mm" height="9mm"><path d="M0 0H9V9z"/></svg>`;
  expect(readArtwork(bent).problems.map((p) => [p.code, p.severity])).toEqual([["bent-already", "stop"]]);
});
