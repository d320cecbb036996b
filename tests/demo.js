/** `npm run demo`: the main job on the demo artwork of Heron Reach, an invented rowing club. */
import { spawnSync } from "node:child_process";
import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";

const at = (path) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const fonts = ["--fonts", at("node_modules/@fontsource/noto-sans/files")];
/** What is known of the club's cup and its order. */
const cup = ["--diameter", "82", "--vessel-height", "170", "--below-rim", "80", "--handle-at", "180"];
const order = [
  ...["--customer", "Heron Reach Rowing Club", "--quantity", "40", "--revision", "B"],
  ...["--vessel-name", "Tall cup, half a litre", "--coating", "powder-blue"],
];
const settings = [
  ...["--source", "fibre-60", "--power", "45%", "--speed", "900"],
  ...["--frequency", "50", "--pitch", "0.025"],
];
/** The black cups whose coat is dialled in. */
const black = [
  ...["--diameter", "76.4", "--source", "fibre-60", "--coating", "powder-black"],
  ...["--power", "27W", "--speed", "900", "--frequency", "50", "--pitch", "0.025"],
];
const runs = [
  [
    "The crest, 50 mm around on a cup of 82 mm",
    [
      "prepare",
      "fixtures/demo/heron-reach-crest.svg",
      "--diameter",
      "82",
      "--width",
      "50",
      "--out",
      "demo-out",
    ],
  ],
  [
    "The lettering up the length of the cup",
    [
      "prepare",
      "fixtures/demo/heron-reach-lettering.svg",
      "--diameter",
      "82",
      "--rotate",
      "90",
      "--out",
      "demo-out",
    ],
  ],
  [
    "A badge as a drawing program saves it: the ink alone",
    [
      "ink",
      "fixtures/demo/heron-reach-regatta.svg",
      ...fonts,
      "--out",
      "demo-out/heron-reach-regatta.ink.svg",
    ],
  ],
  [
    "A band all the way around the cup, in several turns",
    [
      "prepare",
      "fixtures/demo/heron-reach-wrap.svg",
      ...["--diameter", "76.4", "--width", "240.018", "--turns", "auto", "--witness-marks"],
      ...["--vessel-height", "140", "--below-rim", "60", "--out", "demo-out/wrap"],
    ],
  ],
  [
    "The crest on a tapered cup, true in width at every height",
    [
      "prepare",
      "fixtures/demo/heron-reach-crest.svg",
      ...["--taper", "88,64,110", "--width", "50", "--fidelity", "true-width", "--out", "demo-out/tapered"],
    ],
  ],
  [
    "A bottle with a shoulder, drawn with what of it can be marked",
    ["vessel", "--vessel", "shoulder-bottle", "--out", "demo-out/vessel"],
  ],
  [
    "The badge on the cup",
    ["prepare", "fixtures/demo/heron-reach-regatta.svg", ...fonts, "--diameter", "82", "--out", "demo-out"],
  ],
  [
    "The crest with the laser's settings and a coating: what comes off, and what the steel bears",
    [
      "prepare",
      "fixtures/demo/heron-reach-crest.svg",
      ...["--diameter", "82", "--width", "60", "--column-travel", "800", "--layer", "removal"],
      ...settings,
      ...["--coating", "powder-black", "--out", "demo-out/settings"],
    ],
  ],
  [
    "The crest filled with lines that lie nearer together where less comes off, and in bands",
    [
      "prepare",
      "fixtures/demo/heron-reach-crest.svg",
      ...["--diameter", "80", "--width", "65", "--source", "fibre-60", "--coating", "powder-black"],
      ...["--power", "20W", "--speed", "1000", "--frequency", "200", "--pitch", "0.04"],
      ...["--fill", "even", "--bands", "5", "--outline-pass", "after", "--dxf", "--out", "demo-out/fill"],
    ],
  ],
  [
    "How wide artwork may be on that cup through each lens",
    ["reach", "--diameter", "82", "--column-travel", "800", "--out", "demo-out/reach"],
  ],
  [
    "The club's proof, with the ideal mark beside the predicted one",
    [
      "proof",
      "fixtures/demo/heron-reach-crest.svg",
      ...["--width", "60", "--job-name", "Club cups", "--with-ideal", "--out", "demo-out/proof"],
      ...[...cup, ...order, ...settings],
    ],
  ],
  [
    "The station sheet for the same cups",
    [
      "sheet",
      "fixtures/demo/heron-reach-crest.svg",
      ...["--width", "60", "--job-name", "Club cups", "--column-travel", "800", "--out", "demo-out/sheet"],
      ...[...cup, ...order, ...settings],
    ],
  ],
  ...["settings", "focus", "squares"].map((ladder) => [
    `A test mark for the club's black cup: ${ladder}`,
    ["strip", "--ladder", ladder, ...black, "--out", "demo-out/dial-in"],
  ]),
  [
    "What was read of them, fitted",
    [
      "fit",
      ...["settings", "focus", "squares"].map((name) => `fixtures/demo/dial-in/${name}.readings.csv`),
      "--strip",
      ...["settings", "focus", "squares"].map((name) => `demo-out/dial-in/${name}.strip.json`),
      ...["--machine", "Heron Reach boathouse", "--date", "2026-11-20", "--out", "demo-out/dial-in"],
    ],
  ],
  [
    "The crest with that calibration",
    [
      "prepare",
      "fixtures/demo/heron-reach-crest.svg",
      ...["--width", "40", ...black.map((word) => (word === "27W" ? "9.3W" : word)), "--date", "2026-11-27"],
      ...["--calibration", "demo-out/dial-in/settings.calibration.json", "--out", "demo-out/dial-in"],
    ],
  ],
  [
    "All drawings of the folder on one contact sheet",
    ["proof", "fixtures/demo", ...cup, "--width", "60", ...order, ...fonts, "--out", "demo-out/proof"],
  ],
];
let worst = 0;
mkdirSync(at("demo-out"), { recursive: true });
for (const [title, words] of runs) {
  process.stdout.write(`${title}\n`);
  const options = { cwd: at("."), stdio: "inherit" };
  const done = spawnSync(process.execPath, [at("bin/fallaway.js"), ...words], options);
  worst = Math.max(worst, done.status ?? 1);
  process.stdout.write("\n");
}
process.stdout.write(
  `Look in ${at("demo-out")}: begin with heron-reach-crest.heatmap.png, then open heron-reach-crest.warped.svg; settings/heron-reach-crest.layers.png and reach/reach.png show the process and the lenses; fill/heron-reach-crest.evenness.png shows how even its lines come out; wrap/heron-reach-wrap.turns.png shows a band in several turns, vessel/vessel.png a bottle; dial-in/settings.strip.svg and settings.fit.png show a test mark and what its readings tell; proof/heron-reach-crest.proof.pdf is what the customer signs, sheet/heron-reach-crest.sheet.pdf what the operator takes along.\n`,
);
process.exitCode = worst;
