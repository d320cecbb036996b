/**
 * `npm run bench`, first part: seeded, everything in one run, results as ratios against general-purpose libraries. Speeds of
 * machines differ; ratios taken in turn, A B A B, on one machine are what may be quoted.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { geoProjection, geoStream } from "d3-geo";
import paper from "paper/dist/paper-core.js";
import { CertifiedFitter } from "../../dist/fit/certified.js";
import { Fitter } from "../../dist/fit/fit.js";
import { flattenInto } from "../../dist/geometry/cubic.js";
import { cylinder } from "../../dist/vessel/cylinder.js";
import { mapContour, Warp } from "../../dist/warp/warp.js";
import { largeSvg, wavyContours } from "./drawings.js";
import { printReport, report } from "./report.js";

const TOLERANCE = 0.002;
const warp = new Warp(cylinder(40, "girth"), {
  pivotAcross: 545,
  pivotAlong: 531,
  field: 300,
  belowCrown: 6,
});
const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
const timed = (run) => {
  const begun = performance.now();
  run();
  return performance.now() - begun;
};

/** Runs named functions in turn, one warm-up round; median milliseconds of each. */
function inTurn(rounds, runs) {
  const times = Object.fromEntries(Object.keys(runs).map((k) => [k, []]));
  for (let round = 0; round <= rounds; round++) {
    for (const [name, run] of Object.entries(runs)) {
      const ms = timed(run);
      if (round > 0) times[name].push(ms);
    }
  }
  return Object.fromEntries(Object.entries(times).map(([k, v]) => [k, median(v)]));
}

function fitAgainstFlattening() {
  const contours = wavyContours(400, 12, 11);
  const jet = new Float64Array(7);
  paper.setup(new paper.Size(1, 1));
  const counts = {};
  const toPaper = ({ points: p, straight }) => {
    const n = straight.length;
    const segments = Array.from({ length: n }, (_, k) => {
      const i = 6 * k;
      const j = k === 0 ? 6 * n : i;
      return new paper.Segment(
        new paper.Point(p[i], p[i + 1]),
        new paper.Point(p[j - 2] - p[i], p[j - 1] - p[i + 1]),
        new paper.Point(p[i + 2] - p[i], p[i + 3] - p[i + 1]),
      );
    });
    return new paper.Path({ segments, closed: true, insert: false });
  };
  let paths = [];
  const ours = (make) => () => {
    const fitter = make();
    counts.ours = 0;
    for (const c of contours) {
      const curve = mapContour(c, warp);
      const fitted =
        fitter instanceof Fitter ? fitter.fit(curve, { tolerance: TOLERANCE }) : fitter.fit(curve);
      counts.ours += fitted.contour.straight.length;
    }
  };
  const scale = 1e-4;
  const raw = (lambda, phi) => {
    warp.at(lambda / scale, phi / scale, jet);
    return [jet[0], jet[1]];
  };
  const projection = geoProjection(raw).scale(1).translate([0, 0]).precision(TOLERANCE);
  const sink = {
    point: () => counts.d3++,
    lineStart() {},
    lineEnd() {},
    polygonStart() {},
    polygonEnd() {},
    sphere() {},
  };
  const degrees = 180 / Math.PI;
  const ms = inTurn(5, {
    "cubics for paper": () => {
      paths = contours.map(toPaper);
    },
    paper: () => {
      counts.paper = 0;
      for (const path of paths) {
        path.flatten(TOLERANCE);
        for (const s of path.segments) {
          warp.at(s.point.x, s.point.y, jet);
          counts.paper++;
        }
      }
    },
    "d3-geo": () => {
      counts.d3 = 0;
      for (const { points: p, straight } of contours) {
        const coordinates = [[p[0] * scale * degrees, p[1] * scale * degrees]];
        for (let k = 0; k < straight.length; k++) {
          flattenInto(p, 6 * k, false, TOLERANCE, (x, y) =>
            coordinates.push([x * scale * degrees, y * scale * degrees]),
          );
        }
        geoStream({ type: "LineString", coordinates }, projection.stream(sink));
      }
    },
    fit: ours(() => new Fitter()),
    "fit and certificate": ours(() => new CertifiedFitter(TOLERANCE)),
  });
  const times = (a, b) => `${(ms[a] / ms[b]).toFixed(1)} times as fast`;
  report("warp + fit against paper flatten + map", times("paper", "fit"), "5 times");
  report("  the same with the certificate", times("paper", "fit and certificate"), "");
  report("warp + fit against d3-geo adaptive resampling", times("d3-geo", "fit"), "not slower");
  report("  the same with the certificate", times("d3-geo", "fit and certificate"), "");
  report("segments against paper's points", `1 : ${(counts.paper / counts.ours).toFixed(1)}`, "1 : 5");
  report("segments against d3-geo's points", `1 : ${(counts.d3 / counts.ours).toFixed(1)}`, "1 : 5");
}

function growth() {
  const few = wavyContours(1000, 12, 5);
  const many = wavyContours(10_000, 12, 5);
  const fitAll = (contours) => () => {
    const fitter = new CertifiedFitter(TOLERANCE);
    for (const c of contours) fitter.fit(mapContour(c, warp));
  };
  const ms = inTurn(3, { few: fitAll(few), many: fitAll(many) });
  report(
    "ten times the segments (12,000 → 120,000)",
    `${(ms.many / ms.few).toFixed(1)} times as long`,
    "at most 11",
  );
}

function wholeRuns() {
  const folder = mkdtempSync(join(tmpdir(), "fallaway-bench-"));
  try {
    const art = join(folder, "large.svg");
    const text = largeSvg(3);
    writeFileSync(art, text);
    const door = fileURLToPath(new URL("../../bin/fallaway.js", import.meta.url));
    const peak = fileURLToPath(new URL("./peak.js", import.meta.url));
    const svgo = fileURLToPath(new URL("../../node_modules/svgo/bin/svgo.js", import.meta.url));
    const node = (...args) => {
      const done = spawnSync(process.execPath, args, { encoding: "utf8", maxBuffer: 1 << 26 });
      if (done.status !== 0) throw new Error(`${args.join(" ")}: ${done.status}\n${done.stderr}`);
      return done;
    };
    const prepare = [
      "prepare",
      art,
      "--out",
      join(folder, "out"),
      "--diameter",
      "82",
      "--width",
      "50",
      "--no-pictures",
    ];
    const ms = inTurn(5, {
      prepare: () => node(door, ...prepare),
      svgo: () => node(svgo, art, "-o", join(folder, "small.svg")),
    });
    const size = (text.length / 1e6).toFixed(1);
    report(
      `prepare on ${size} MB, pictures off, against svgo`,
      `${(ms.prepare / ms.svgo).toFixed(2)} of its time`,
      "at most 1",
    );
    const memory = Number(/peak (\d+)/.exec(node(peak, ...prepare).stderr)?.[1]);
    report("  its peak memory", `${memory} MB`, "below 500 MB");
    const start = inTurn(15, {
      help: () => node(door, "--help"),
      bare: () => node("-e", "0"),
    });
    report(
      "--help against a bare Node start",
      `${(start.help / start.bare).toFixed(2)} of its time`,
      "at most 2",
    );
    readFileSync(join(folder, "out", "large.warped.svg"));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

fitAgainstFlattening();
growth();
wholeRuns();
printReport(
  `Node ${process.version}, tolerance ${TOLERANCE} mm on the vessel, medians of runs taken in turn`,
);
