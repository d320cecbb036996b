/** `npm run demo`: the main job on the demo artwork of Heron Reach, an invented rowing club. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const at = (path) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const runs = [
  [
    "The crest, 50 mm around on a cup of 82 mm",
    ["fixtures/demo/heron-reach-crest.svg", "--diameter", "82", "--width", "50"],
  ],
  [
    "The lettering up the length of the cup",
    ["fixtures/demo/heron-reach-lettering.svg", "--diameter", "82", "--rotate", "90"],
  ],
];
let worst = 0;
for (const [title, [art, ...options]] of runs) {
  process.stdout.write(`${title}\n`);

  const done = spawnSync(
    process.execPath,
    [at("bin/fallaway.js"), "prepare", art, "--out", "demo-out", ...options],
    {
      cwd: at("."),
      stdio: "inherit",
    },
  );
  worst = Math.max(worst, done.status ?? 1);
  process.stdout.write("\n");
}
process.stdout.write(
  `Look in ${at("demo-out")}: begin with heron-reach-crest.heatmap.png, then open heron-reach-crest.warped.svg.\n`,
);
process.exitCode = worst;
