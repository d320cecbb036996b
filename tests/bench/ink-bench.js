/**
 * `npm run bench`, second part, in a process of its own: ink against a renderer. The time of `readInk` as a multiple
 * of what @resvg/resvg-js takes to render the same texts at 1000 px, and how the time grows with the number of
 * disjoint shapes.
 */
import { Resvg } from "@resvg/resvg-js";
import { readInk } from "../../dist/ink/ink.js";
import { sampleOverSets, setNamed } from "../conformance/corpus.js";
import { largeSvg, outlinesSvg, seeded } from "./drawings.js";
import { printReport, report } from "./report.js";

const roundsOfMany = 3;
/** Of a single file: fewer, and the machine's noise is larger than what is measured. */
const roundsOfOne = 7;
const sampleSize = 600;
const noFonts = { font: { loadSystemFonts: false }, logLevel: "off" };

const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];

const renderAll = (texts) => {
  for (const text of texts) new Resvg(text, { ...noFonts, fitTo: { mode: "width", value: 1000 } }).render();
};

/** Texts the engine refuses, or finds no ink in, take their time as well. */
async function inkAll(texts) {
  for (const text of texts) {
    try {
      await readInk(text);
    } catch (error) {
      if (!error.problem) throw error;
    }
  }
}

async function timed(run) {
  const begun = performance.now();
  await run();
  return performance.now() - begun;
}

/** Median milliseconds of two runs taken in turn, A B A B, after one round to warm up. */
async function inTurn(a, b, rounds = roundsOfMany) {
  const times = [[], []];
  for (let round = 0; round <= rounds; round++) {
    const pair = [await timed(a), await timed(b)];
    if (round === 0) continue;
    times[0].push(pair[0]);
    times[1].push(pair[1]);
  }
  return times.map(median);
}

/** `count` small closed shapes, curved and straight, in the cells of a square grid, none touching another. */
function disjointSvg(count, seed) {
  const random = seeded(seed);
  const across = Math.ceil(Math.sqrt(count));
  const parts = [`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${across} ${across}">`];
  for (let i = 0; i < count; i++) {
    const x = (i % across) + 0.1 + 0.2 * random();
    const y = Math.floor(i / across) + 0.1 + 0.2 * random();
    const f = (v) => v.toFixed(3);
    const bow = f(0.1 * random());
    parts.push(`<path d="M${f(x)} ${f(y)}h.5q${bow} .25 0 .5l-.25 -.1L${f(x)} ${f(y + 0.5)}z"/>`);
  }
  parts.push("</svg>");
  return parts.join("\n");
}

async function inkAgainstRenderer() {
  const times = (ratio) => `${ratio.toFixed(2)} of its time`;
  for (const [what, text] of [
    ["31,240 elements in small groups", largeSvg(3)],
    ["2,000 outlines over each other", outlinesSvg(4, false)],
    ["2,000 outlines apart", outlinesSvg(4, true)],
  ]) {
    const [a, b] = await inTurn(
      () => inkAll([text]),
      () => renderAll([text]),
      roundsOfOne,
    );
    report(`ink of ${(text.length / 1e6).toFixed(1)} MB, ${what}, against resvg`, times(a / b), "at most 3");
  }

  const few = 5000;
  const many = 50_000;
  const texts = [few, many].map((count) => [disjointSvg(count, 9)]);
  const [short, long] = await inTurn(
    () => inkAll(texts[0]),
    () => inkAll(texts[1]),
  );
  const nLogN = (many * Math.log(many)) / (few * Math.log(few));
  report(
    "ten times the disjoint shapes (5,000 → 50,000)",
    `${(long / short).toFixed(1)} times as long`,
    `n log n: ${nLogN.toFixed(1)}`,
  );

  const bySet = new Map();
  for (const { set, file } of sampleOverSets(sampleSize, 30))
    bySet.set(set, [...(bySet.get(set) ?? []), file]);
  let ink = 0;
  let render = 0;
  const ratios = [];
  for (const [set, files] of bySet) {
    const texts = files.map((file) => setNamed(set).text(file));
    const [a, b] = await inTurn(
      () => inkAll(texts),
      () => renderAll(texts),
    );
    ink += a;
    render += b;
    ratios.push([`  of these ${set}, ${files.length} files`, a / b]);
  }
  report(`ink of ${sampleSize} corpus files against resvg at 1000 px`, times(ink / render), "at most 3");
  for (const [what, ratio] of ratios) report(what, times(ratio), "");
}

await inkAgainstRenderer();
printReport("Ink, medians of runs taken in turn");
