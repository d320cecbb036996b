/**
 * `npm run bench`, fourth part: three pictures of 1600 px of the vessel, from the plan to pixels, against librsvg (in
 * sharp) rasterising the same artwork to three pictures of that size ten times over, in turn in one run.
 */
import { readFileSync } from "node:fs";
import sharp from "sharp";
import { readDrawing } from "../../dist/artwork/read.js";
import { loadProfiles } from "../../dist/cli/profiles.js";
import { inkOf } from "../../dist/ink/ink.js";
import { resolveJob } from "../../dist/job/resolve.js";
import { ProofPictures } from "../../dist/picture/render/pictures.js";
import { planJob } from "../../dist/plan/plan.js";
import { printReport, report } from "./report.js";

const SIDE = 1600;
const VIEWS = 3;
const TIMES = 10;
const ROUNDS = 3;

const demo = (name) => readFileSync(new URL(`../../fixtures/demo/${name}.svg`, import.meta.url));
const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];

async function planOf(svg, options) {
  const job = resolveJob({}, options, loadProfiles());
  const drawing = readDrawing(svg.toString("utf8"), { fonts: null, substitute: false });
  const artwork = await inkOf(drawing, { ...job.ink, colours: [], toleranceMm: 0.0005, decode: null });
  return planJob(artwork, job);
}

/** A vessel as wide as tall fills the square: the most pixels that a picture can have. */
const cups = {
  "on a tall cup": { vessel: { diameterMm: 82, heightMm: 170, belowRimMm: 80 }, placement: { widthMm: 60 } },
  "on one as wide as tall": {
    vessel: { diameterMm: 110, heightMm: 105, belowRimMm: 52 },
    placement: { widthMm: 90 },
  },
};

async function pictures(plan) {
  const made = new ProofPictures(plan, SIDE);
  const coverage = await sharp(Buffer.from(made.maskSvg), { unlimited: true })
    .extractChannel(0)
    .raw()
    .toBuffer();
  return made.shots(coverage, false);
}

async function tenTimes(svg) {
  for (let i = 0; i < TIMES * VIEWS; i++)
    await sharp(svg, { unlimited: true }).resize(SIDE, SIDE, { fit: "contain" }).raw().toBuffer();
}

sharp.cache(false);
const artworks = { crest: demo("heron-reach-crest"), lettering: demo("heron-reach-lettering") };
for (const [name, svg] of Object.entries(artworks)) {
  for (const [where, options] of Object.entries(cups)) {
    const plan = await planOf(svg, options);
    const times = { ours: [], theirs: [] };
    for (let round = 0; round <= ROUNDS; round++) {
      for (const [key, run] of [
        ["ours", () => pictures(plan)],
        ["theirs", () => tenTimes(svg)],
      ]) {
        const begun = performance.now();
        await run();
        if (round > 0) times[key].push(performance.now() - begun);
      }
    }
    const [ours, theirs] = [median(times.ours), median(times.theirs)];
    report(
      `three pictures of ${SIDE} px, ${name} ${where}`,
      `${(ours / theirs).toFixed(2)} of its time, ${(ours / 1000).toFixed(1)} s`,
      "at most 1, below 5 s",
    );
  }
}
printReport("against librsvg drawing the same artwork at that size ten times; medians of runs taken in turn");
