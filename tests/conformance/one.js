/**
 * Looks at one file: `node tests/conformance/one.js FILE --out DIR`, where FILE is a path or SET:NAME. Writes the
 * rendering, the two inks and their difference (red: ink missing, blue: ink too much) as PNGs, and the ink as SVG.
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { parseArgs } from "node:util";
import { PNG } from "pngjs";
import { readInk } from "../../dist/ink/ink.js";
import { compareText, reasonOf } from "./compare.js";
import { sets } from "./corpus.js";
import { inkDrawing, rendered, thresholded } from "./pixels.js";

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { out: { type: "string", default: "." }, crisp: { type: "boolean", default: false } },
});
const [name] = positionals;
if (!name) throw new Error("usage: one.js FILE|SET:NAME --out DIR [--crisp]");
const [setName, ...rest] = name.split(":");
const set = rest.length > 0 ? sets.find((s) => s.name === setName) : undefined;
const text = set ? set.text(rest.join(":")) : readFileSync(name, "utf8");
const stem = join(values.out, basename(name.replace(":", "-"), ".svg"));
mkdirSync(values.out, { recursive: true });

function write(end, { width, height }, rgba) {
  const png = new PNG({ width, height });
  png.data.set(rgba);
  writeFileSync(`${stem}.${end}.png`, PNG.sync.write(png));
}

const inkColours = { 0: [255, 255, 255], 1: [0, 0, 0] };
const differenceColours = { 0: [255, 255, 255], 1: [220, 30, 30], 2: [30, 60, 220], 3: [190, 190, 190] };

/** Paints one byte a pixel by a table of colours. */
function coloured(values, colours) {
  const rgba = new Uint8Array(4 * values.length).fill(255);
  values.forEach((v, i) => {
    rgba.set(colours[v], 4 * i);
  });
  return rgba;
}

process.stdout.write(`${name}: ${reasonOf(await reasoned())}\n`);

async function reasoned() {
  const result = await compareText(text, readInk);
  const theirs = rendered(text, values.crisp);
  const theirInk = thresholded(theirs);
  write("rendering", theirs, theirs.rgba);
  write("theirs", theirs, coloured(theirInk, inkColours));
  let drawing;
  try {
    const artwork = await readInk(text);
    for (const p of artwork.problems) process.stdout.write(`${p.severity} ${p.code}: ${p.message}\n`);
    drawing = inkDrawing(artwork);
  } catch (error) {
    for (const p of error.problems ?? [error.problem]) process.stdout.write(`${p?.code}: ${p?.message}\n`);
    return result;
  }
  writeFileSync(`${stem}.ink.svg`, drawing);
  const ours = rendered(drawing, values.crisp);
  const ourInk = thresholded(ours);
  write("ours", ours, coloured(ourInk, inkColours));
  if (theirInk.length === ourInk.length) {
    const both = theirInk.map((ink, i) => ink + 2 * ourInk[i]);
    write("difference", ours, coloured(both, differenceColours));
  }
  return result;
}
