/**
 * Text beside an independent renderer: @resvg/resvg-js 2.6.2 draws the text with plain copies of the same fonts and
 * then our outlines of it. At 1000 px, at most 0.3 % of the pixels may lie on different sides of mid grey.
 *
 * Not compared, because the standard says otherwise than the renderer does: `direction` and the shorthand `font` (it has
 * neither), text-anchor after textLength, the tops of decoration lines, sub and super by the font around.
 */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Resvg } from "@resvg/resvg-js";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { FontBook, FontFile } from "../../src/artwork/text.ts";
import { openFonts } from "../../src/artwork/text.ts";
import type { Run } from "./text-helpers.ts";
import { drawTexts, noto, packageFont, plainFont } from "./text-helpers.ts";

const script = (name: string): ((kind: string) => FontFile) => {
  const file = `@fontsource/noto-sans-${name}/files/noto-sans-${name}-${name}-400-normal`;
  return (kind) => packageFont(`${file}.${kind}`);
};
const fonts = [
  (kind: string) => noto("latin", "400-normal", kind),
  (kind: string) => noto("latin", "700-normal", kind),
  (kind: string) => noto("latin", "400-italic", kind),
  script("hebrew"),
  script("arabic"),
];

let book: FontBook;
let folder: string;
let files: string[];

beforeAll(async () => {
  book = await openFonts(fonts.map((font) => font("woff2")));
  folder = mkdtempSync(join(tmpdir(), "text-"));
  files = fonts.map((font, i) => {
    const path = join(folder, `${i}.ttf`);
    writeFileSync(path, plainFont(font("woff")));
    return path;
  });
});
afterAll(() => rmSync(folder, { recursive: true }));

const data = ({ path }: Run): string =>
  path.contours
    .map(({ points: p }) => {
      let d = `M${p[0]} ${p[1]}`;
      for (let i = 2; i < p.length; i += 6) d += `C${p.slice(i, i + 6).join(" ")}`;
      return `${d}Z`;
    })
    .join("");

function pixels(content: string): Buffer {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="1000" viewBox="0 0 100 100" font-family="Noto Sans">${content}</svg>`;
  return new Resvg(svg, {
    font: { fontFiles: files, loadSystemFonts: false, defaultFontFamily: "Noto Sans" },
    background: "white",
  }).render().pixels;
}

/** Shares of all pixels: those that differ, and those that are ink. */
function compare(content: string): { differ: number; ink: number } {
  const { runs, problems } = drawTexts(content, book);
  expect(problems).toEqual([]);
  const ours = pixels(runs.map((run) => `<path d="${data(run)}"/>`).join(""));
  const theirs = pixels(content);
  let differ = 0;
  let ink = 0;
  for (let i = 0; i < ours.length; i += 4) {
    if (theirs[i] < 128) ink++;
    if (ours[i] < 128 !== theirs[i] < 128) differ++;
  }
  return { differ: differ / 1e6, ink: ink / 1e6 };
}

const hebrew = 'font-family="Noto Sans, Noto Sans Hebrew Thin"';
// Long user units, because the renderer measures curves to half a unit.
const curve =
  '<defs><path id="p" d="M1000 7000C2000 1000 7000 1000 9000 6000"/></defs><g transform="scale(.01)">' +
  '<text font-size="900"><textPath href="#p" startOffset="10%">Along the river bank</textPath></text>' +
  '<text font-size="600" text-anchor="middle"><textPath href="#p" startOffset="50%"><tspan dy="1200">within</tspan></textPath></text></g>';

const cases: Record<string, string> = {
  "plain, bold and italic, kerned, with ligatures":
    '<text x="5" y="30" font-size="12">Heron Reach AVATo ffi</text><text x="5" y="60" font-size="12" font-weight="700">Regatta</text><text x="5" y="85" font-size="12" font-style="italic">Rowing club</text>',
  "anchors by chunk":
    '<text x="50" y="20" font-size="10" text-anchor="middle">Middle of it</text><text x="50" y="60" font-size="10" text-anchor="middle">ab<tspan x="20" y="80" text-anchor="start">cd</tspan><tspan x="90" text-anchor="end">xyz</tspan></text>',
  "letter- and word-spacing":
    '<text x="5" y="20" font-size="10" letter-spacing="2">Letters</text><text x="50" y="40" font-size="10" letter-spacing=".3em" text-anchor="middle">Spaced</text><text x="5" y="60" font-size="8" word-spacing="5">one two three</text>',
  "lists of positions":
    '<text x="5" y="30" dx="0 2 2 5" dy="0 3 -6 3" font-size="12">Shifted text</text><text x="5 20 40" y="60 65 70" font-size="12">abcdef</text><text x="5" y="90" font-size="12">a<tspan dx="5" dy="-4">b</tspan><tspan dy="4">cd</tspan></text>',
  "turned characters":
    '<text x="10" y="40" rotate="30" font-size="14">Rotated</text><text x="10" y="80" rotate="0 10 20 30 40 50" font-size="14">Rotated more</text>',
  "text on a path": curve,
  textLength:
    '<text x="5" y="30" font-size="10" textLength="90">Stretched by space</text><text x="5" y="60" font-size="10" textLength="90" lengthAdjust="spacingAndGlyphs">By glyphs</text>',
  "dominant baselines":
    '<text x="5" y="30" font-size="10" dominant-baseline="middle">mid</text><text x="35" y="30" font-size="10" dominant-baseline="central">cen</text><text x="65" y="30" font-size="10" dominant-baseline="hanging">hang</text><text x="5" y="70" font-size="10" dominant-baseline="text-before-edge">bef</text><text x="35" y="70" font-size="10" dominant-baseline="text-after-edge">aft</text><text x="65" y="70" font-size="10" dominant-baseline="mathematical">math</text>',
  marks: '<text x="5" y="40" font-size="16">e\u0301 a\u0308 q\u0301 \u00e9</text>',
  "Hebrew, with points and mixed with Latin": `<text x="5" y="30" font-size="12" ${hebrew}>abc שלום (אב) def</text><text x="10" y="60" font-size="14" ${hebrew}>שָׁלוֹם עולם</text>`,
  "Arabic, joined, with marks and numbers":
    '<text x="50" y="40" font-size="14" text-anchor="middle" font-family="Noto Sans Arabic">السلام عليكم</text><text x="50" y="75" text-anchor="middle" font-size="14" font-family="Noto Sans Arabic">مُحَمَّد ١٢٣</text>',
};

for (const [name, content] of Object.entries(cases)) {
  it(`draws ${name} as the other renderer does`, () => {
    const { differ, ink } = compare(content);
    expect(ink).toBeGreaterThan(0.01);
    expect(differ).toBeLessThanOrEqual(0.003);
  });
}

it("tells a shift of half a millimetre apart", () => {
  const text = (x: number): string => `<text x="${x}" y="50" font-size="14">Heron Reach</text>`;
  const [a, b] = [pixels(text(5)), pixels(text(5.5))];
  let differ = 0;
  for (let i = 0; i < a.length; i += 4) if (a[i] < 128 !== b[i] < 128) differ++;
  expect(differ / 1e6).toBeGreaterThan(0.003);
});
