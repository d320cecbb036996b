/**
 * `npm run conformance`: the ink of every file of the corpus against resvg's rendering of the file, thresholded.
 *
 *   --set NAME    only this set; may be given again
 *   --limit N     at most N files of each set, chosen by a seed
 *   --seed S      another choice
 *   --list        every file that is not within, not only the first of each set
 */
import { parseArgs } from "node:util";
import { within } from "./compare.js";
import { chosen, setNamed, sets } from "./corpus.js";
import { side } from "./pixels.js";
import { compareAll } from "./pool.js";
import { reasonsOf, restOf, tableOf } from "./table.js";

const { values } = parseArgs({
  options: {
    set: { type: "string", multiple: true },
    limit: { type: "string", default: "1000000" },
    seed: { type: "string", default: "1" },
    list: { type: "boolean", default: false },
  },
});
const shownOfEach = 8;
const picked = values.set ? values.set.map(setNamed) : sets;
const files = picked.flatMap((set) =>
  chosen(set.list(), Number(values.limit), Number(values.seed)).map((file) => ({ set: set.name, file })),
);
const begun = performance.now();
const progress = (done) => {
  if (process.stderr.isTTY && done % 20 === 0) process.stderr.write(`\r${done} of ${files.length}`);
};
const results = await compareAll(files, progress);
if (process.stderr.isTTY) process.stderr.write("\r");
const seconds = ((performance.now() - begun) / 1000).toFixed(0);
const say = (text) => process.stdout.write(`${text}\n`);
say(`Ink against resvg's rendering over white, ${side} px, luminance below 0.5; shares in % of the pixels;`);
say(`within: at most ${100 * within} % differ; edges only: not within, but within without antialiasing;`);
say("one tone: of the files without a gradient that was taken as one tone, edges aside\n");
say(tableOf(files, results));
const reasons = reasonsOf(results);
if (reasons)
  say(`\nReasons of the rest\n${reasons}\n\n${restOf(files, results, values.list ? Infinity : shownOfEach)}`);
say(`\n${files.length} files in ${seconds} s`);
