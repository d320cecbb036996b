/** `npm run accuracy`: the README's accuracy table, remade. */
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { geoSatelliteRaw } from "d3-geo-projection";
import parser from "svg-path-parser";
import { CertifiedFitter } from "../dist/fit/certified.js";
import { transformPath } from "../dist/geometry/path.js";
import { readInk } from "../dist/ink/ink.js";
import { cylinder } from "../dist/vessel/cylinder.js";
import { mapContour, Warp } from "../dist/warp/warp.js";
import { rasterApart, volumeApart } from "./accuracy-process.js";

const out = (...cells) => process.stdout.write(`| ${cells.join(" | ")} |\n`);
const head = { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 };

let apart = 0;
for (const [radius, height] of [
  [40, 160],
  [36.5, 200],
  [41, 545],
]) {
  const raw = geoSatelliteRaw(1 + height / radius, 0);
  const warp = new Warp(cylinder(radius, "girth"), {
    pivotAcross: height,
    pivotAlong: height,
    field: 1000,
    belowCrown: 0,
  });
  for (let theta = -1.2; theta <= 1.2; theta += 0.01) {
    apart = Math.max(
      apart,
      Math.abs(warp.forward({ x: radius * theta, y: 0 }).x - radius * raw(theta, 0)[0]),
    );
  }
}
let back = 0;
for (const fidelity of ["girth", "sight"]) {
  const warp = new Warp(cylinder(41, fidelity), head);
  for (let i = -100; i <= 100; i++) {
    const flat = { x: (i / 100) * 36, y: 0.7 * i };
    const again = warp.inverse(warp.forward(flat));
    back = Math.max(back, Math.hypot(again.x - flat.x, again.y - flat.y));
  }
}
out("what", "against", "figure");
out("---", "---", "---");
out(
  "map across, three cylinders, ±69°",
  "d3-geo-projection geoSatelliteRaw",
  `${apart.toExponential(1)} mm at most`,
);
out("flat → command → flat, both fidelities", "itself", `${back.toExponential(1)} mm at most`);

const folder = join(dirname(createRequire(import.meta.url).resolve("@mdi/svg/package.json")), "svg");
const icons = readdirSync(folder)
  .sort()
  .slice(0, 1500)
  .map((name) => readFileSync(join(folder, name), "utf8"));
const into = icons
  .flatMap((text) => [...text.matchAll(/ d="([^"]+)"/g)].flatMap((m) => parser.parseSVG(m[1])))
  .filter((c) => !"MmZz".includes(c.code)).length;
const k = 2.5 / (25.4 / 96);
const inks = await Promise.all(icons.map((text) => readInk(text)));
const contours = inks
  .flatMap((ink) => ink.shapes)
  .flatMap((s) => transformPath(s.path, { a: k, b: 0, c: 0, d: k, e: -30, f: -30 }).contours);
const warp = new Warp(cylinder(40, "girth"), head);
for (const tolerance of [1e-1, 1e-2, 2e-3, 1e-3, 1e-4]) {
  const fitter = new CertifiedFitter(tolerance);
  let segments = 0;
  let worst = 0;
  for (const c of contours) {
    const { contour, errorMm } = fitter.fit(mapContour(c, warp));
    segments += contour.straight.length;
    worst = Math.max(worst, errorMm);
  }
  out(
    `1,500 icons at 60 mm, tolerance ${tolerance} mm`,
    "certificate, on the vessel",
    `${worst.toPrecision(2)} mm at most; ${(segments / into).toFixed(3)} segments per input segment`,
  );
}
out(
  "volume of one pulse, incidence 0 to 60°",
  "its depth summed over the footprint",
  `${volumeApart().toExponential(0)} of it at most`,
);
out(
  "depth of two crossed sets of lines",
  "pulses laid one by one on a patch",
  `${(100 * rasterApart()).toPrecision(1)} % apart`,
);
