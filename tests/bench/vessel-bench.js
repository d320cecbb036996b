/**
 * `npm run bench`, fifth part: what a measured vessel costs. The same seeded outlines mapped and fitted on the
 * closed-form cylinder, by its own short way and as a body of revolution, and on profiles of 500 rows, in turn in one run.
 */
import { CertifiedFitter } from "../../dist/fit/certified.js";
import { girthChart } from "../../dist/vessel/chart.js";
import { cylinder } from "../../dist/vessel/cylinder.js";
import { measuredOutline } from "../../dist/vessel/measured.js";
import { revolved } from "../../dist/vessel/revolved.js";
import { cylinderOutline } from "../../dist/vessel/straight.js";
import { mapContour, Warp } from "../../dist/warp/warp.js";
import { seeded, wavyContours } from "./drawings.js";
import { printReport, report } from "./report.js";

const ROUNDS = 7;
const TOLERANCE = 0.002;
const ROWS = 500;
const TALL = 120;
const head = { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 };
const contours = wavyContours(400, 12, 11);
const random = seeded(23);

/** A bulging cup, read to `digit` mm. */
const rowsOf = (digit) =>
  Array.from({ length: ROWS }, (_, i) => {
    const h = (TALL * i) / (ROWS - 1);
    const smooth = 80 + 6 * Math.sin(h / 40) + (digit > 0 ? digit * (random() - 0.5) : 0);
    return { heightMm: h, diameterMm: digit > 0 ? Math.round(smooth / digit) * digit : smooth };
  });
const onProfile = (digit) => {
  const meridian = measuredOutline(rowsOf(digit), TALL / 2);
  return new Warp(revolved(meridian, girthChart(meridian, 0), 0), head);
};
const straight = cylinderOutline(40);
const warps = {
  cylinder: new Warp(cylinder(40, "girth"), head),
  revolved: new Warp(revolved(straight, girthChart(straight, 0), 0), head),
  smooth: onProfile(0),
  rounded: onProfile(0.001),
  read: onProfile(0.01),
};

/** Maps and fits all; how many segments come out. */
function fitAll(warp) {
  const fitter = new CertifiedFitter(TOLERANCE);
  let segments = 0;
  for (const contour of contours) segments += fitter.fit(mapContour(contour, warp)).contour.straight.length;
  return segments;
}

/** Only maps: 64 points of every curve. */
function mapAll(warp) {
  const out = new Float64Array(5);
  let sum = 0;
  for (const contour of contours) {
    const curve = mapContour(contour, warp);
    for (let k = 0; k < curve.pieces; k++) {
      for (let i = 0; i < 64; i++) {
        curve.at(k, i / 63, out);
        sum += out[0];
      }
    }
  }
  return sum;
}

const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
const names = Object.keys(warps);
const times = Object.fromEntries(names.map((name) => [name, { fit: [], map: [] }]));
const segments = {};
for (let round = 0; round <= ROUNDS; round++) {
  for (const name of names) {
    const begun = performance.now();
    segments[name] = fitAll(warps[name]);
    const between = performance.now();
    mapAll(warps[name]);
    if (round === 0) continue;
    times[name].fit.push(between - begun);
    times[name].map.push(performance.now() - between);
  }
}
const against = (name, what) =>
  `${(median(times[name][what]) / median(times.cylinder[what])).toFixed(2)} times its time`;
const line = (title, name, aim) => {
  report(`${title}, mapped and fitted`, against(name, "fit"), aim);
  report(
    "  only mapped; segments",
    `${against(name, "map")}; ${segments[name]} against ${segments.cylinder}`,
    "",
  );
};
line("a body of revolution against the short way of a cylinder", "revolved", "");
line(`a profile of ${ROWS} smooth rows against the same`, "smooth", "at most 3");
line("  rows that scatter by 0.001 mm", "rounded", "");
line("  rows that scatter by 0.01 mm", "read", "");
printReport("a curve's time on other vessels; medians of runs taken in turn");
