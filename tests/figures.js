/** `node tests/figures.js`, after a build: the figures of the documentation, remade into fixtures/docs. */
import { spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import sharp from "sharp";
import { flattenInto } from "../dist/geometry/cubic.js";
import { readInk } from "../dist/ink/ink.js";
import { Lettering } from "../dist/picture/lettering.js";
import { distortionOver } from "../dist/plan/distortion.js";
import { girthChart, sheetChart, sightChart, trueWidthChart } from "../dist/vessel/chart.js";
import { measuredOutline } from "../dist/vessel/measured.js";
import { revolved } from "../dist/vessel/revolved.js";
import { sphereOutline } from "../dist/vessel/sphere.js";
import { coneOutline } from "../dist/vessel/straight.js";

const { resolve } = createRequire(import.meta.url);
const font = (weight) =>
  readFileSync(resolve(`@fontsource/noto-sans/files/noto-sans-latin-${weight}-normal.woff2`));
const lettering = new Lettering({ regular: [font(400)], bold: [font(700)] });

/** A bottle of our own: straight below, drawn in to a neck. */
const bottle = [
  [0, 62],
  [6, 66],
  [30, 66],
  [50, 66],
  [66, 60],
  [80, 49],
  [94, 40],
  [108, 37],
  [122, 36],
].map(([heightMm, diameterMm]) => ({ heightMm, diameterMm }));
const rows = [
  { name: "tapered cup", size: "88 to 64 mm over 110 mm", outline: coneOutline(88, 64, 110, 55) },
  { name: "ball", size: "80 mm", outline: sphereOutline(40) },
  { name: "bottle", size: "66 to 36 mm, measured in 9 rows", outline: measuredOutline(bottle, 56) },
];
const columns = [
  {
    name: "girth",
    says: "true girth at one height; what is upright stays upright",
    chart: (o) => girthChart(o, 0),
  },
  { name: "true-width", says: "every width and every area true", chart: trueWidthChart },
  { name: "sheet", says: "laid on like paper: lengths, angles and areas true", chart: sheetChart },
  {
    name: "sight",
    says: "true as seen from the front, from far away",
    chart: (o) => sightChart(o, Infinity),
  },
];

/** Layout, px. */
const WIDTH = 1600;
const LEFT = 100;
const TOP = 236;
const SCALE = 3;
const CELL = { width: (WIDTH - LEFT - 24) / columns.length, height: 404 };
const CAPTION = 112;
const FOOT = 72;
const HEIGHT = TOP + rows.length * (CELL.height + CAPTION) + FOOT;

/** The grid, mm. */
const SQUARE = 6;
const HALF = 30;
const RADIUS = 18;
const STEP = 0.25;

const INK = "#1a1a1a";
const QUIET = "#5a5a5a";
const words = (said, x, y, size, more = {}) => {
  const { fill = INK, ...place } = more;
  return `<path d="${lettering.path(said, { x, y, size, ...place })}" fill="${fill}"/>`;
};
const data = (points, closed) =>
  points.length < 2
    ? ""
    : `${points.map(([x, y], i) => `${i ? "L" : "M"}${x.toFixed(2)} ${y.toFixed(2)}`).join("")}${closed ? "Z" : ""}`;

/** The letters of the club as outlines, in the middle of the flat: rings of a b. */
async function letterRings() {
  const size = 19;
  const d = lettering.path("HR", {
    x: 50,
    y: 50 + 0.357 * size,
    size,
    anchor: "middle",
    weight: "bold",
    decimals: 4,
  });
  const ink = await readInk(
    `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100"><path d="${d}"/></svg>`,
  );
  return ink.shapes.flatMap(({ path }) =>
    path.contours.map(({ points, straight }) => {
      const ring = [[points[0] - 50, points[1] - 50]];
      for (let k = 0; k < straight.length; k++)
        flattenInto(points, 6 * k, false, 0.01, (x, y) => ring.push([x - 50, y - 50]));
      return filled(ring);
    }),
  );
}

/** A line of the flat with points no further apart than a step. */
function filled(points) {
  const list = [points[0]];
  for (let i = 1; i < points.length; i++) {
    const [[x0, y0], [x1, y1]] = [points[i - 1], points[i]];
    const n = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0) / STEP));
    for (let j = 1; j <= n; j++) list.push([x0 + ((x1 - x0) * j) / n, y0 + ((y1 - y0) * j) / n]);
  }
  return list;
}

/** The vessel upright, seen straight from the front from far away: X = r sin θ against y. */
function viewOf(surface, cx, cy) {
  const { meridian, chart } = surface;
  const c = new Float64Array(6);
  const o = new Float64Array(4);
  /** null where the rule gives no point, or one behind the vessel. */
  const at = ([a, b]) => {
    if (!chart.to(a, b, c) || c[1] < meridian.from || c[1] > meridian.to || Math.abs(c[0]) > Math.PI / 2)
      return null;
    meridian.at(c[1], o);
    return [cx + SCALE * o[0] * Math.sin(c[0]), cy + SCALE * o[1]];
  };
  /** In as many pieces as show. */
  const line = (points) => {
    const pieces = [[]];
    for (const point of points) {
      const p = at(point);
      if (p) pieces.at(-1).push(p);
      else if (pieces.at(-1).length > 0) pieces.push([]);
    }
    return pieces.map((piece) => data(piece, false)).join("");
  };
  const area = (ring) => data(ring.map(at).filter(Boolean), true);
  return { line, area };
}

function outlineData({ from, to, at }, cx, cy) {
  const o = new Float64Array(4);
  const side = (way) =>
    Array.from({ length: 241 }, (_, i) => {
      at(from + ((to - from) * i) / 240, o);
      return [cx + way * SCALE * o[0], cy + SCALE * o[1]];
    });
  return data([...side(1), ...side(-1).reverse()], true);
}

const square = (a, b) =>
  filled([
    [a, b],
    [a + SQUARE, b],
    [a + SQUARE, b + SQUARE],
    [a, b + SQUARE],
    [a, b],
  ]);
const circle = Array.from({ length: 361 }, (_, i) => {
  const t = (i * Math.PI) / 180;
  return [RADIUS * Math.cos(t), RADIUS * Math.sin(t)];
});
const places = Array.from({ length: 2 * (HALF / SQUARE) + 1 }, (_, i) => -HALF + i * SQUARE);

function cell(outline, chart, letters, cx, cy) {
  const surface = revolved(outline, chart, 0);
  const { line, area } = viewOf(surface, cx, cy);
  const checks = places
    .slice(0, -1)
    .flatMap((a, i) => places.slice(0, -1).map((b, j) => ((i + j) % 2 ? "" : area(square(a, b)))));
  const lines = places.flatMap((p) => [
    line(
      filled([
        [p, -HALF],
        [p, HALF],
      ]),
    ),
    line(
      filled([
        [-HALF, p],
        [HALF, p],
      ]),
    ),
  ]);
  return [
    `<path d="${checks.join("")}" fill="#cfdbe4"/>`,
    `<path d="${lines.join("")}" fill="none" stroke="#55707f" stroke-width="1.3"/>`,
    `<path d="${letters.map(area).join("")}" fill="${INK}"/>`,
    `<path d="${line(circle)}" fill="none" stroke="#a3005f" stroke-width="3.2"/>`,
  ].join("");
}

/** Over the grid as far as it shows. */
function caption(outline, chart, cx, y) {
  const surface = revolved(outline, chart, 0);
  const points = [];
  for (let a = -HALF; a <= HALF; a += 0.5) for (let b = -HALF; b <= HALF; b += 0.5) points.push(a, b);
  const d = distortionOver(surface, Float64Array.from(points));
  const range = (from, to) =>
    to - from < 0.005 && Math.abs(to - 1) < 0.005 ? "true" : `× ${from.toFixed(2)} to ${to.toFixed(2)}`;
  // Where the view goes over the vessel's edge, the largest of what was looked at would mean nothing.
  const over =
    chart.fidelity === "sight" && points.some((a, i) => i % 2 === 0 && !surface.covers(a, points[i + 1]));
  const said = over
    ? [
        `lengths and areas × ${d.smallestStretch.toFixed(2)} and up,`,
        "without bound at the edge;",
        "angles off by up to 180°",
      ]
    : [
        `lengths ${range(d.smallestStretch, d.largestStretch)}`,
        `areas ${range(d.smallestArea, d.largestArea)}`,
        d.angleDeg < 0.05 ? "angles true" : `angles off by up to ${d.angleDeg.toFixed(1)}°`,
      ];
  return said.map((one, i) => words(one, cx, y + 30 * i, 23, { anchor: "middle" })).join("");
}

async function fidelities() {
  const letters = await letterRings();
  const parts = [
    `<rect width="${WIDTH}" height="${HEIGHT}" fill="#ffffff"/>`,
    words("The same flat grid under each fidelity", 40, 68, 40, { weight: "bold" }),
    words(
      "squares of 6 mm, a circle of 36 mm; each vessel upright, seen straight from the front",
      40,
      108,
      25,
      {
        fill: QUIET,
      },
    ),
  ];
  columns.forEach(({ name, says }, j) => {
    const cx = LEFT + CELL.width * (j + 0.5);
    parts.push(words(name, cx, 164, 31, { anchor: "middle", weight: "bold" }));
    const lines = lettering.lines(says, CELL.width - 20, 22, "regular", 2);
    parts.push(
      ...lines.map((said, i) => words(said, cx, 194 + 27 * i, 22, { anchor: "middle", fill: QUIET })),
    );
  });
  rows.forEach(({ name, size, outline }, i) => {
    const top = TOP + i * (CELL.height + CAPTION);
    const middle = top + CELL.height / 2;
    const upright = { anchor: "middle", rotate: -90 };
    parts.push(
      `<path d="M40 ${top - 1}H${WIDTH - 24}" stroke="#c9c9c9" stroke-width="1.5"/>`,
      words(name, 62, middle, 30, { ...upright, weight: "bold" }),
      words(size, 92, middle, 22, { ...upright, fill: QUIET }),
    );
    const o = new Float64Array(4);
    const [from, to] = [outline.from, outline.to].map((m) => {
      outline.at(m, o);
      return o[1];
    });
    columns.forEach(({ chart }, j) => {
      const cx = LEFT + CELL.width * (j + 0.5);
      const cy = middle - (SCALE * (from + to)) / 2;
      const body = outlineData(outline, cx, cy);
      if (chart === sheetChart && outline.slope === null) {
        const place = { anchor: "middle", fill: QUIET };
        parts.push(
          words("no sheet covers it", cx, middle - 6, 25, place),
          words("without stretch", cx, middle + 26, 25, place),
        );
        return;
      }
      parts.push(
        `<path d="${body}" fill="#f6f5f2"/>`,
        cell(outline, chart(outline), letters, cx, cy),
        `<path d="${body}" fill="none" stroke="${INK}" stroke-width="2.4"/>`,
        caption(outline, chart(outline), cx, top + CELL.height + 24),
      );
    });
  });
  parts.push(
    `<path d="M40 ${HEIGHT - FOOT}H${WIDTH - 24}" stroke="#c9c9c9" stroke-width="1.5"/>`,
    words(
      "lengths, areas and angles on the vessel against those of the flat, over what shows of the grid",
      40,
      HEIGHT - 28,
      23,
      {
        fill: QUIET,
      },
    ),
  );
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}">${parts.join("\n")}</svg>`;
  const folder = new URL("../fixtures/docs/", import.meta.url);
  mkdirSync(folder, { recursive: true });
  const file = new URL("fidelities.png", folder);
  await sharp(Buffer.from(svg), { unlimited: true })
    .removeAlpha()
    .png({ compressionLevel: 9, palette: true, colours: 64, dither: 0 })
    .toFile(file.pathname);
  process.stdout.write(`${file.pathname}\n`);
}

/** The crest filled plain, even and in bands: the README's own command. */
function evenness() {
  const root = new URL("../", import.meta.url).pathname;
  const folder = mkdtempSync(join(tmpdir(), "fallaway-"));
  const words =
    "prepare fixtures/demo/heron-reach-crest.svg --diameter 80 --width 65 --source fibre-60 --power 20W --speed 1000 --frequency 200 --pitch 0.04 --coating powder-black --fill even --angles 90,0";
  spawnSync(process.execPath, ["bin/fallaway.js", ...words.split(" "), "--out", folder], { cwd: root });
  const file = join(root, "fixtures/docs/evenness.png");
  copyFileSync(join(folder, "heron-reach-crest.evenness.png"), file);
  rmSync(folder, { recursive: true });
  process.stdout.write(`${file}\n`);
}

await fidelities();
evenness();

/** A strip as it is marked, and what its readings tell: docs/strip.png and docs/fit.png. */
async function dialIn() {
  const root = new URL("../", import.meta.url).pathname;
  const folder = mkdtempSync(join(tmpdir(), "fallaway-figures-"));
  const run = (...words) =>
    spawnSync(process.execPath, [join(root, "bin/fallaway.js"), ...words], { stdio: "inherit" });
  const names = ["settings", "focus", "squares"];
  const cup = [
    ...["--diameter", "76.4", "--source", "fibre-60", "--coating", "powder-black"],
    ...["--power", "27W", "--speed", "900", "--frequency", "50", "--pitch", "0.025"],
  ];
  for (const name of names) run("strip", "--ladder", name, ...cup, "--out", folder);
  run(
    "fit",
    ...names.map((name) => join(root, `fixtures/demo/dial-in/${name}.readings.csv`)),
    "--strip",
    ...names.map((name) => join(folder, `${name}.strip.json`)),
    ...["--out", folder],
  );
  copyFileSync(join(folder, "settings.fit.png"), join(root, "fixtures/docs/fit.png"));
  const svg = readFileSync(join(folder, "settings.strip.svg"), "utf8").replace(
    /width="[^"]+" height="[^"]+" viewBox="[^"]+"/,
    'width="1600" height="980" viewBox="-40 -28 80 56"',
  );
  await sharp(Buffer.from(svg))
    .flatten({ background: "#ffffff" })
    .png()
    .toFile(join(root, "fixtures/docs/strip.png"));
  rmSync(folder, { recursive: true });
}
await dialIn();
