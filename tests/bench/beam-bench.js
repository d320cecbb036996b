/**
 * `npm run bench`, third part: a picture's numbers against its PNG. A million points of a layer over the flat, and
 * sharp encoding the picture that they make, in turn in one run.
 */
import sharp from "sharp";
import { focusedSpot, relativeFluence } from "../../dist/beam/spot.js";
import { viridis } from "../../dist/picture/colours.js";
import { falloffOver } from "../../dist/plan/falloff.js";
import { effect, Process } from "../../dist/plan/process/process.js";
import { worldsOf } from "../../dist/plan/process/worlds.js";
import { cylinder } from "../../dist/vessel/cylinder.js";
import { Warp } from "../../dist/warp/warp.js";
import { printReport, report } from "./report.js";

const SIDE = 1000;
const ROUNDS = 7;
const exactly = (value) => ({ value, low: value, high: value });
const beam = { wavelengthNm: 1064, m2: 1.5, beamDiameterMm: 7 };
const spot = focusedSpot(beam, 420);
const warp = new Warp(cylinder(38.2, "girth"), {
  pivotAcross: 545,
  pivotAlong: 531,
  field: 300,
  belowCrown: 7.1,
});
const process = new Process(
  {
    powerW: 27,
    speedMmS: 900,
    frequencyKHz: 50,
    pitchMm: 0.025,
    anglesDeg: [90, 0],
    passes: 1,
    jumpSpeedMmS: 3000,
  },
  worldsOf(
    {
      lens: { focalLengthMm: 420 },
      source: { ...beam, m2: exactly(1.5), beamDiameterMm: exactly(7) },
      coating: { thicknessUm: exactly(70), thresholdJPerCm2: exactly(0.6), depthUm: exactly(2.5) },
      metal: { thresholdJPerCm2: exactly(8), incubation: exactly(0.88) },
    },
    0,
  ),
);

/** Values over 80 mm around and along. */
function layer(of) {
  const values = new Float64Array(SIDE * SIDE);
  for (let j = 0, at = 0; j < SIDE; j++) {
    const b = (80 * (j + 0.5)) / SIDE - 40;
    for (let i = 0; i < SIDE; i++, at++)
      values[at] = of(warp.meetingUnchecked((80 * (i + 0.5)) / SIDE - 40, b));
  }
  return values;
}
const columns = Float64Array.from({ length: SIDE }, (_, i) => (80 * (i + 0.5)) / SIDE - 40);
const phi = new Float64Array(SIDE * SIDE);
const out = effect();
const runs = {
  falloff: () => falloffOver(warp, spot, columns, columns, phi),
  "point by point": () => layer((met) => relativeFluence(met, spot)),
  removal: () => layer((met) => process.at(met, process.worlds[0], out).cleared),
};
const median = (list) => [...list].sort((a, b) => a - b)[list.length >> 1];
const raster = new Uint8Array(3 * SIDE * SIDE);
runs.falloff().forEach((value, i) => {
  viridis(value, raster, 3 * i);
});
sharp.cache(false);
const encoded = () =>
  sharp(raster, { raw: { width: SIDE, height: SIDE, channels: 3 } })
    .png()
    .toBuffer();

const times = { falloff: [], "point by point": [], removal: [], png: [] };
for (let round = 0; round <= ROUNDS; round++) {
  for (const name of Object.keys(times)) {
    const begun = performance.now();
    if (name === "png") await encoded();
    else runs[name]();
    if (round > 0) times[name].push(performance.now() - begun);
  }
}
const share = (name) => `${(median(times[name]) / median(times.png)).toFixed(2)} of its time`;
report("falloff of a million points against sharp encoding their picture", share("falloff"), "less than 1");
report("  the same point by point, any surface", share("point by point"), "");
report("removal and metal of a million points against the same", share("removal"), "");
printReport("medians of runs taken in turn; PNG by sharp's own settings");
