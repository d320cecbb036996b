/** The short plain summary: verdict first, then width against reach, focus, falloff, what to do. */
import { downTenth, percent } from "../plan/figures.ts";
import type { Report } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";
import { shapeWords, widthWords } from "../plan/vesselsaid.ts";
import type { Problem } from "../problem.ts";
import { fillRows } from "./fillrows.ts";
import { loadRows } from "./loadrows.ts";
import { byKind, placeOf } from "./places.ts";
import { columnRows, processRows } from "./processrows.ts";
import { careRows, fixed, row } from "./rows.ts";

export function summary(plan: Plan, report: Report, folder: string | null, genericLens: boolean): string {
  const lines = [
    report.verdict.toUpperCase(),
    ...figures(plan, report, genericLens),
    ...problemRows(report.reasons as readonly Problem[]),
    ...(folder === null ? [] : loadRows(report, folder, beyondLimits(report).length > 0)),
    ...careRows(plan.job.source.wavelengthNm),
  ];
  return `${lines.join("\n")}\n`;
}

function figures(plan: Plan, report: Report, genericLens: boolean): string[] {
  const { artwork, vessel, reach, focus, falloff, spot, fit, head } = report;
  const { rotateDeg, atMm } = plan.job.placement;
  const wide = widthWords[vessel.fidelity];
  const below = focus.plannedMm;
  const share = focus.fractionOfDrop;
  const inDrop = share !== null && share >= 0 && share <= 2 ? ` (${percent(share)} of the ink's drop)` : "";
  const usable = beyondLimits(report).reduce((rest, z) => rest - z.share, 1) > 1e-9;
  const list = [
    row(
      "width",
      `${fixed(artwork.widthMm, 1)} mm ${wide}, ${fixed(artwork.heightMm, 1)} mm along; the reach is ${downTenth(reach.aroundMm)} mm (limited by ${reach.limitedBy})`,
    ),
    row(
      "place",
      `centre ${fixed(atMm[0], 1)} mm right of the crown line, ${fixed(atMm[1], 1)} mm below the placement point; turned ${rotateDeg}°, fidelity ${vessel.fidelity}`,
    ),
    row(
      "vessel",
      `${shapeWords(plan.job.vessel)}, ${fixed(vessel.girthMm, 1)} mm around${vessel.kind === "cylinder" ? "" : " where placed"}; axis along the bed's ${vessel.axis}${vessel.axis === "x" ? ", top toward +x: the file is turned to match" : ""}`,
    ),
    ...poseRow(report),
    ...distortionRow(report),
    ...turnRows(report),
    row(
      "focus",
      `focal plane ${fixed(Math.abs(below), 2)} mm ${below < 0 ? "above" : "below"} the crown line${below === focus.belowCrownMm ? inDrop : `, the column's stop (wanted: ${fixed(focus.belowCrownMm, 2)} mm)`}`,
    ),
    row("head", `lens reference ${fixed(focus.lensToCrownMm, 2)} mm above the crown line`),
    row(
      "falloff",
      `relative fluence ${fixed(falloff.min, 2)} to ${fixed(falloff.max, 2)} over the ink: the weakest gets ${percent(falloff.ratio)} of the strongest`,
    ),
    row(
      "lens",
      `${head.lens}, f = ${head.focalLengthMm} mm${genericLens ? ": the profile's figures are generic, give your lens's own" : ""}`,
    ),
    row(
      "spot",
      `${fixed(1000 * spot.waistDiameterMm, 0)} µm at the waist, usable ${spot.usableDepthMm.toPrecision(3)} mm either side of the focal plane`,
    ),
  ];
  if (usable) {
    list.push(
      row(
        "curves",
        `${fit.segmentsIn} segments in, ${fit.segmentsOut} out, within ${fit.certifiedErrorMm.toFixed(5)} mm on the vessel (asked ${fit.toleranceMm} mm)`,
      ),
    );
  }
  list.push(...columnRows(report), ...processRows(report), ...fillRows(report));
  const beyond = beyondLimits(report);
  if (beyond.length > 0) {
    const shares = beyond.map((z) => `${z.zone} ${z.share < 0.001 ? "<0.1" : fixed(100 * z.share, 1)} %`);
    list.push(row("zones", `${shares.join(", ")}${usable ? "" : "; no ink is usable"}`));
  }
  return list;
}

/** How it lies, where that is not as a cylinder does by itself. */
function poseRow({ vessel: { pose, tiltDeg, levelByDeg } }: Report): string[] {
  if (Math.abs(tiltDeg) < 0.005 && Math.abs(levelByDeg) < 0.005) return [];
  const tilt =
    Math.abs(tiltDeg) < 0.005
      ? "its axis level"
      : `its rim ${fixed(Math.abs(tiltDeg), 2)}° ${tiltDeg > 0 ? "above" : "below"} level`;
  const level =
    Math.abs(levelByDeg) < 0.005
      ? "crown line level"
      : `crown line ${fixed(Math.abs(levelByDeg), 2)}° off level`;
  return [row("pose", `${typeof pose === "number" ? `${pose}°` : pose}: ${tilt}, ${level}`)];
}

/** What the fidelity does to shapes on this vessel; nothing where it keeps them all. */
function distortionRow({ distortion: d }: Report): string[] {
  if (d.largestStretch - 1 < 5e-4 && 1 - d.smallestStretch < 5e-4) return [];
  const span = (least: number, most: number): string =>
    fixed(least, 3) === fixed(most, 3) ? fixed(most, 3) : `${fixed(least, 3)} to ${fixed(most, 3)}`;
  return [
    row(
      "shape",
      `on the vessel lengths ${span(d.smallestStretch, d.largestStretch)}, areas ${span(d.smallestArea, d.largestArea)} times as drawn, angles up to ${fixed(d.angleDeg, 1)}° off`,
    ),
  ];
}

function turnRows({ turns, seams, closing }: Report): string[] {
  if (turns.length === 1 && turns[0]?.indexAngleDeg === 0) return [];
  const list = turns.map((turn) =>
    row(
      `turn ${turn.index}`,
      `index ${angle(turn.indexAngleDeg)}, ${fixed(turn.indexArcMm, 2)} mm on the girth, from the artwork's crown line${turn.index > 1 ? `; ${angle(turn.stepDeg)}, ${fixed(turn.stepArcMm, 2)} mm on from the turn before` : ""}; ink from ${fixed(turn.fromMm, 1)} to ${fixed(turn.toMm, 1)} mm${turn.verdict === "stop" ? "; BEYOND THE LIMITS" : ""}`,
    ),
  );
  const through = seams.filter((seam) => seam.inkMm > 0).length;
  if (seams.length > 0)
    list.push(
      row(
        "seams",
        through === 0
          ? "none goes through ink"
          : `${through} of ${seams.length} through ink, overlapping there by one spot`,
      ),
    );
  if (closing)
    list.push(
      row(
        "closing",
        `goes around ${fixed(closing.periodMm, 3)} mm of ${fixed(closing.girthMm, 3)} mm: ${Math.abs(closing.errorMm) < 5e-4 ? "first and last meet" : `first and last ${closing.errorMm > 0 ? "leave a gap of" : "overlap by"} ${fixed(Math.abs(closing.errorMm), 3)} mm`}`,
      ),
    );
  return list;
}
const angle = (degrees: number): string => `${fixed(degrees, 2)}°`;

/** Zones with ink that no limit lets be marked. */
const beyondLimits = (report: Report): Report["zones"] =>
  report.zones.filter((z) => !["usable", "residue", "metal", "clean"].includes(z.zone) && z.share > 0);

/** Problems with their places and what to do about them; of many of one kind the first ones. */
export function problemRows(problems: readonly Problem[]): string[] {
  return byKind(problems).flatMap(({ list, more }) => [
    ...list.flatMap((problem, i) => {
      const next = list[i + 1];
      const said = row(problem.severity, `${problem.message}${placeOf(problem)}`);
      // What to do is said once for problems that follow each other.
      return next?.hint === problem.hint ? [said] : [said, row("", `→ ${problem.hint}`)];
    }),
    ...(more > 0 ? [row("", `and ${more} more like it: --json lists them all`)] : []),
  ]);
}
