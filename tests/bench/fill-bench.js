/**
 * `npm run bench`, sixth part: areas filled with lines.
 *
 * First the time of `rowsAt`, which crosses the curves themselves, against what clipper2-ts takes to clip the same lines
 * as open paths by the same outlines, which it needs as chords (within 0.002 mm) in whole numbers. Both are checked to
 * find the same total length, on the chords that are timed, and on the curves by much finer chords, as those lose some.
 *
 * Then a whole fill, from the planned ink to the file on the disk as `prepare` writes it, against librsvg (in sharp)
 * only rasterising that file at 20 px/mm. The page is cut to the 60 × 90 mm of the area for it: the station's whole field
 * has about 17 times the pixels, and the comparison would be an easy one.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Clipper64, ClipType, FillRule } from "clipper2-ts";
import sharp from "sharp";
import { readDrawing } from "../../dist/artwork/read.js";
import { writeAll } from "../../dist/cli/files.js";
import { loadProfiles } from "../../dist/cli/profiles.js";
import { walkContour } from "../../dist/geometry/cubic.js";
import { directions, rowsAt } from "../../dist/geometry/rows.js";
import { inkOf } from "../../dist/ink/ink.js";
import { resolveJob } from "../../dist/job/resolve.js";
import { fillSvg } from "../../dist/picture/fillsvg.js";
import { fillOf, fillTurn, rangesOver } from "../../dist/plan/fill/fill.js";
import { TurnLines } from "../../dist/plan/fill/lines.js";
import { alikePitches } from "../../dist/plan/fill/pitches.js";
import { planJob } from "../../dist/plan/plan.js";
import { cellsOf } from "../../dist/plan/process/cells.js";
import { seeded, wavy } from "./drawings.js";
import { printReport, report } from "./report.js";

const LARGE_ROUNDS = 9;
/** The clipper takes some seconds for each. */
const ORNAMENT_ROUNDS = 3;
const WARM = 8;
const PITCH = 0.025;
const CHORD = 0.002;
const FINE_CHORD = 2e-6;
/** Share that the lengths may differ. */
const SAME = 1e-4;
/** The clipper's whole numbers in a mm. */
const SCALE = 1e6;
const [WIDE, HIGH] = [60, 90];
const PX_PER_MM = 20;
const FILL_OPTIONS = [
  "--diameter",
  "80",
  "--no-pictures",
  "--fill",
  "plain",
  "--pitch",
  String(PITCH),
  "--angles",
  "90,0",
];

const closed = (points) => ({
  closed: true,
  points: Float64Array.from(points),
  straight: new Uint8Array((points.length - 2) / 6),
});

/** A wavy area of 60 × 90 mm. */
function largeArea(random) {
  const points = wavy(random, 0, 0, 1, 40);
  const most = [0, 1].map((axis) => Math.max(...points.map((v, i) => (i % 2 === axis ? Math.abs(v) : 0))));
  return { contours: [closed(points.map((v, i) => (v / most[i % 2]) * (i % 2 ? HIGH / 2 : WIDE / 2)))] };
}

/** 10,000 wavy outlines apart, in the cells of a grid of 60 × 90 mm. */
function ornament(random) {
  const [columns, rows] = [80, 125];
  const [wide, high] = [WIDE / columns, HIGH / rows];
  const contours = [];
  for (let i = 0; i < columns * rows; i++) {
    const x = ((i % columns) + 0.5) * wide - WIDE / 2;
    const y = (Math.floor(i / columns) + 0.5) * high - HIGH / 2;
    contours.push(closed(wavy(random, x, y, 0.28, 8)));
  }
  return { contours };
}

/** Rows over the whole area at an angle. */
function rowsOver(angleDeg) {
  const [, , px, py] = directions(angleDeg);
  const half = (Math.abs(px) * WIDE + Math.abs(py) * HIGH) / 2 + PITCH;
  return Float64Array.from({ length: Math.floor((2 * half) / PITCH) }, (_, k) => (k + 0.5) * PITCH - half);
}

/** Outlines as the clipper wants them, turned so that the lines lie level, by far the quickest way for it. */
function polygons({ contours }, angleDeg, chord) {
  const [ax, ay, px, py] = directions(angleDeg);
  return contours.map((contour) => {
    const ring = [];
    walkContour(contour, chord, Infinity, (x, y) => {
      ring.push({ x: Math.round(SCALE * (x * ax + y * ay)), y: Math.round(SCALE * (x * px + y * py)) });
    });
    ring.pop();
    return ring;
  });
}

/** The lines as the clipper wants them: all as wide as the area is anywhere. */
const openLines = (at) =>
  Array.from(at, (t) => {
    const y = Math.round(SCALE * t);
    return [
      { x: -SCALE * HIGH, y },
      { x: SCALE * HIGH, y },
    ];
  });

function clipped(lines, rings) {
  return () => {
    const clipper = new Clipper64();
    clipper.addOpenSubject(lines);
    clipper.addClip(rings);
    const open = [];
    if (!clipper.execute(ClipType.Intersection, FillRule.NonZero, [], open)) throw new Error("not clipped");
    return open;
  };
}

const clippedLength = (open) =>
  open.reduce((sum, path) => sum + Math.hypot(path.at(-1).x - path[0].x, path.at(-1).y - path[0].y), 0) /
  SCALE;

function lengthOf({ s }) {
  let sum = 0;
  for (let i = 0; i < s.length; i += 2) sum += s[i + 1] - s[i];
  return sum;
}

function expectSame(what, a, b, share) {
  if (!(Math.abs(a / b - 1) <= share)) throw new Error(`${what}: ${a} mm of lines against ${b}`);
}

const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
const timed = (run) => {
  const begun = performance.now();
  const result = run();
  return [performance.now() - begun, result];
};

/** Chords as the path's own straight segments, in the clipper's grid. */
const straightened = (rings, angleDeg) => {
  const [ax, ay, px, py] = directions(angleDeg);
  return {
    contours: rings.map((ring) => {
      const points = [];
      let [x0, y0] = [0, 0];
      for (const [i, { x, y }] of [...ring, ring[0]].entries()) {
        const [x1, y1] = [(x * ax + y * px) / SCALE, (x * ay + y * py) / SCALE];
        const thirds = (share) => [x0 + share * (x1 - x0), y0 + share * (y1 - y0)];
        points.push(...(i > 0 ? [...thirds(1 / 3), ...thirds(2 / 3)] : []), x1, y1);
        [x0, y0] = [x1, y1];
      }
      return { ...closed(points), straight: new Uint8Array(ring.length).fill(1) };
    }),
  };
};

/** Of few outlines and fine chords: the curves' own lines. On the coarse chords: the same lines from both. */
function check(area, angle, at, few) {
  const some = { contours: area.contours.slice(0, few) };
  const fine = clipped(openLines(at), polygons(some, angle, FINE_CHORD))();
  expectSame("curves", lengthOf(rowsAt([some], angle, at)), clippedLength(fine), SAME);
  const rings = polygons(area, angle, CHORD);
  const own = lengthOf(rowsAt([straightened(rings, angle)], angle, at));
  return (open) => expectSame("chords", own, clippedLength(open), SAME);
}

/** Two sets, warm and in turn. */
function compare(what, area, angles, rounds, few) {
  const sets = angles.map((angle) => {
    const at = rowsOver(angle);
    const rings = polygons(area, angle, CHORD);
    return { angle, at, clip: clipped(openLines(at), rings), expect: check(area, angle, at, few) };
  });
  const own = () => sets.map(({ angle, at }) => rowsAt([area], angle, at));
  for (let i = 0; i < WARM; i++) own();
  const times = [[], []];
  let [lines, onCurves, onChords] = [0, 0, 0];
  for (let round = 0; round < rounds; round++) {
    const [mine, rows] = timed(own);
    const [theirs, open] = timed(() => sets.map(({ clip }) => clip()));
    times[0].push(mine);
    times[1].push(theirs);
    if (round > 0) continue;
    sets.forEach((set, i) => {
      set.expect(open[i]);
      lines += rows[i].s.length / 2;
      onCurves += lengthOf(rows[i]);
      onChords += clippedLength(open[i]);
    });
  }
  const ratio = median(times[1]) / median(times[0]);
  report(`${what}, ${lines.toLocaleString("en")} lines`, `${ratio.toFixed(0)} times as fast`, "at least 3");
  report("  length that the chords lose", `${(100 * (1 - onChords / onCurves)).toFixed(3)} %`, "");
}

/** The outlines as an SVG of that size in mm. */
function artOf({ contours }) {
  const data = contours.map(({ points }) => {
    const p = Array.from(points, (v, i) => (v + (i % 2 ? HIGH : WIDE) / 2).toFixed(4));
    let d = `M${p[0]} ${p[1]}`;
    for (let i = 2; i < p.length; i += 6) d += `C${p.slice(i, i + 6).join(" ")}`;
    return `${d}z`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDE}mm" height="${HIGH}mm" viewBox="0 0 ${WIDE} ${HIGH}"><path d="${data.join("")}"/></svg>\n`;
}

/** The job as the command line makes it, planned: even fill on a level cylinder. */
async function planned(art) {
  const fill = { lines: "even", pitchMm: PITCH, anglesDeg: [90, 0] };
  const job = resolveJob({}, { vessel: { diameterMm: 80 }, fill }, loadProfiles());
  const drawing = readDrawing(art, { fonts: null, substitute: false });
  return planJob(await inkOf(drawing, { ...job.ink, colours: [], toleranceMm: 0.0005, decode: null }), job);
}

/** Lines alike on the vessel from the planned ink to the file; nothing is simulated. */
function plainFill(plan, folder) {
  const { job, warp, spot, turns } = plan;
  const ink = turns[0].pieces.get("usable") ?? [];
  const cells = cellsOf(ink, warp);
  const asked = { ...job.fill, lines: "plain" };
  const pitches = asked.anglesDeg.map((angle) => alikePitches(cells, warp, angle, asked.pitchMm, "vessel"));
  const ranges = asked.anglesDeg.map((angle, k) => rangesOver(cells, warp, angle, pitches[k]));
  const turn = fillTurn(new TurnLines(ink, asked), warp, spot, job, asked, pitches, ranges);
  return writeFill(plan, { ...turn, bands: null }, folder);
}

/** The same with even pitch, and the simulation of plain fill, even fill and bands. */
function evenFill(plan, folder) {
  const { job, warp, spot, turns } = plan;
  const fill = fillOf(job, warp, spot, turns, cellsOf(turns[0].pieces.get("usable") ?? [], warp));
  return writeFill(plan, fill.turns[0], folder);
}

function writeFill(plan, turn, folder) {
  writeAll(folder, [{ name: "lines.svg", data: fillSvg(plan, turn, null) }]);
  return turn;
}

/** The file of the station, its page cut to the area and sized in px. */
function cutPage(text) {
  const root = /width="\d+mm" height="\d+mm" viewBox="[^"]*"/;
  if (!root.test(text)) throw new Error("the file's page is not found");
  const [w, h] = [WIDE, HIGH].map((side) => side * PX_PER_MM);
  return Buffer.from(
    text.replace(root, `width="${w}" height="${h}" viewBox="${-WIDE / 2} ${-HIGH / 2} ${WIDE} ${HIGH}"`),
  );
}

async function rasterised(svg) {
  const { data, info } = await sharp(svg, { unlimited: true }).raw().toBuffer({ resolveWithObject: true });
  if (info.width !== WIDE * PX_PER_MM || info.height !== HIGH * PX_PER_MM) throw new Error("another size");
  if (!data.some((v) => v > 0)) throw new Error("no line is drawn");
}

async function wholeFill(what, area, rounds, aim) {
  const folder = mkdtempSync(join(tmpdir(), "fallaway-bench-"));
  try {
    const art = join(folder, "art.svg");
    writeFileSync(art, artOf(area));
    const plan = await planned(readFileSync(art, "utf8"));
    const lines = plainFill(plan, folder).sets.reduce((sum, set) => sum + set.lines, 0);
    const file = join(folder, "lines.svg");
    const size = statSync(file).size;
    const svg = cutPage(readFileSync(file, "utf8"));
    const runs = {
      plain: () => plainFill(plan, folder),
      even: () => evenFill(plan, folder),
      sharp: () => rasterised(svg),
    };
    const times = { plain: [], even: [], sharp: [] };
    for (let round = -2; round < rounds; round++) {
      for (const [name, run] of Object.entries(runs)) {
        const begun = performance.now();
        await run();
        if (round >= 0) times[name].push(performance.now() - begun);
      }
    }
    const [plain, even, drawn] = [times.plain, times.even, times.sharp].map(median);
    const against = (ms) => `${(ms / drawn).toFixed(2)} of its time, ${(ms / 1000).toFixed(2)} s`;
    report(`${what} filled, ${lines.toLocaleString("en")} lines, against sharp`, against(plain), aim);
    report("  evened, and simulated three ways", against(even), "");
    const peak = peakOf(["prepare", art, "--out", join(folder, "out"), "--diameter", "80", "--no-pictures"]);
    const filled = peakOf(["prepare", art, "--out", join(folder, "out"), ...FILL_OPTIONS]);
    report(
      `  peak memory for a file of ${(size / 1e6).toFixed(1)} MB`,
      `${filled} MB, without the fill ${peak} MB`,
      "",
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Resident MB at most of a command line in a process of its own. */
function peakOf(args) {
  const script = fileURLToPath(new URL("./peak.js", import.meta.url));
  const { status, stderr } = spawnSync(process.execPath, [script, ...args], { encoding: "utf8" });
  const peak = /peak (\d+)/.exec(stderr);
  if (!peak || status !== 0) throw new Error(`${args.join(" ")}: ${status}\n${stderr}`);
  return Number(peak[1]);
}

sharp.cache(false);
const large = largeArea(seeded(61));
const many = ornament(seeded(62));
compare("a wavy area of 60 × 90 mm", large, [0, 90], LARGE_ROUNDS, 1);
compare("an ornament of 10,000 outlines", many, [0, 90], ORNAMENT_ROUNDS, 100);
await wholeFill("a wavy area of 60 × 90 mm", large, LARGE_ROUNDS, "at most 1");
await wholeFill("an ornament of 10,000 outlines", many, ORNAMENT_ROUNDS, "");
printReport(
  `lines of ${PITCH} mm pitch in two sets, against clipper2-ts and librsvg; medians of warm runs in turn`,
);
