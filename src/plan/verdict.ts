/** What the job comes to: ready, caution or stop, and every reason with what to do about it. */
import type { Problem } from "../problem.ts";
import { meets } from "./blocked.ts";
import { downTenth, percent, upTenth } from "./figures.ts";
import { fillProblems } from "./fill/words.ts";
import { FADE } from "./fits.ts";
import { middleProblems } from "./middle.ts";
import { processProblems } from "./process/words.ts";
import { rimProblems } from "./rim.ts";
import { names, scaled } from "./said.ts";
import { thinProblems } from "./thin/words.ts";
import type { Plan, Verdict, ZoneShare } from "./types.ts";
import { widthWords } from "./vesselsaid.ts";
import type { Zone } from "./zones.ts";

type Known = Omit<Plan, "reasons" | "verdict">;

export function judge(known: Known, problems: readonly Problem[]): { reasons: Problem[]; verdict: Verdict } {
  // A size asked for makes the one assumed of no account.
  const sized = known.job.placement.widthMm !== undefined || known.job.placement.heightMm !== undefined;
  const told = problems.filter((p) => !(sized && p.code === "size-assumed"));
  const reasons = [
    ...columnReasons(known),
    ...limitReasons(known),
    ...rimProblems(known),
    ...middleProblems(known),
    ...told,
    ...cautions(known),
    ...processProblems(known),
    ...fillProblems(known),
  ];
  const has = (severity: Problem["severity"]): boolean => reasons.some((r) => r.severity === severity);
  const order: Problem["severity"][] = ["error", "stop", "caution", "note"];
  reasons.sort((a, b) => order.indexOf(a.severity) - order.indexOf(b.severity));
  return { reasons, verdict: has("stop") ? "stop" : has("caution") ? "caution" : "ready" };
}

const beyond: Record<Exclude<Zone, "usable">, { code: string; what: string }> = {
  hidden: { code: "ink-hidden", what: "turns away from the lens and cannot be marked in this pose" },
  "off-field": { code: "ink-off-field", what: "lies outside the lens's field" },
  "out-of-depth": { code: "ink-out-of-depth", what: "lies outside the usable depth of focus" },
  oblique: { code: "ink-oblique", what: "is met too obliquely" },
  blocked: { code: "ink-blocked", what: "lies on what is blocked" },
};

function limitReasons(known: Known): Problem[] {
  const reasons: Problem[] = [];
  for (const row of known.zones) {
    if (row.zone === "usable" || row.shapes.length === 0) continue;
    const { code, what } = beyond[row.zone];
    reasons.push({
      code,
      severity: "stop",
      message: `${amount(row)} ${row.zone === "blocked" ? blockedWords(known) : row.zone === "hidden" ? hiddenWords(known, what) : what}: ${names(row.shapes)}`,
      ...(row.shapes[0] ? { where: { ...row.shapes[0].where, id: row.shapes[0].id } } : {}),
      hint: hintFor(row.zone, known),
    });
  }
  const width = known.ink.box.maxX - known.ink.box.minX;
  const whole = wholeWidth(known);
  // In turns the ends may overlap by what two turns may.
  const more = known.turns.length > 1 ? known.spot.waistDiameterMm : whole * 1e-9;
  if (width > whole + more) {
    reasons.push({
      code: "wider-than-vessel",
      severity: "stop",
      message: `the artwork is ${width.toFixed(1)} mm wide, but the vessel ${known.job.placement.fidelity === "sight" ? "shows" : "measures"} ${whole.toFixed(1)} mm ${known.job.placement.fidelity === "sight" ? "across" : "around"}`,
      hint: hintFor("hidden", known),
    });
  }
  if (known.shaded > 0) {
    reasons.push({
      code: "ink-shaded",
      severity: "stop",
      message: `the vessel's own bulge stands in the beam's way at ${known.shaded} of the ${known.points.length / 2} places of the ink that were looked at`,
      hint: "move the artwork away from the shoulder with --at, or tilt the vessel with --pose",
    });
  }
  return reasons;
}

/** How wide the flat is where the artwork is placed (mm). */
function wholeWidth({ warp: { surface } }: Known): number {
  const place = new Float64Array(6);
  return surface.chart.fidelity === "girth" && surface.chart.to(0, 0, place)
    ? (2 * Math.PI) / place[2]!
    : 2 * surface.halfWidth;
}

/** The blocked areas that hold ink, by name. */
function blockedWords({ turns, warp: { surface } }: Known): string {
  const names = turns.flatMap(({ limits, pieces }) =>
    (limits.blocked ?? [])
      .filter((area) => (pieces.get("blocked") ?? []).some((shape) => meets(area, surface, shape.path)))
      .map(
        ({ name, fromRad, toRad }) => `${name}, ${Math.round(((toRad - fromRad) * 180) / Math.PI)}° around`,
      ),
  );
  return `lies on what is blocked (${[...new Set(names)].join("; ")})`;
}

/** Ink past the vessel's ends has no image either. */
function hiddenWords({ warp: { surface }, pieces }: Known, what: string): string {
  const shapes = pieces.get("hidden") ?? [];
  const { from, to } = surface.meridian;
  const off = shapes.filter(({ box }) => {
    const place = new Float64Array(6);
    const lies = surface.chart.to((box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2, place);
    return !lies || place[1]! < from || place[1]! > to;
  });
  if (off.length === 0) return what;
  return off.length === shapes.length
    ? "lies off the vessel's wall"
    : "turns away from the lens or lies off the vessel's wall and cannot be marked";
}

function amount(row: ZoneShare): string {
  const hundredths = row.share * 100;
  const share = hundredths >= 0.05 ? `${hundredths.toFixed(1)} %` : "less than 0.1 %";
  const sizes = [
    row.areaMm2 > 0 ? `${three(row.areaMm2)} mm²` : "",
    row.lineLengthMm > 0 ? `${three(row.lineLengthMm)} mm of line` : "",
  ].filter(Boolean);
  return `${share} of the ink (${sizes.join(" and ")})`;
}

/** Three digits, without an exponent. */
const three = (v: number): string =>
  v >= 100 ? v.toFixed(0) : v >= 0.001 ? v.toPrecision(3) : "under 0.001";

function hintFor(zone: Zone, known: Known): string {
  const { reach, job, ink, focus } = known;
  if (known.column.shortMm) return helps(known);
  if (zone === "blocked")
    return "move the ink with --at, give a smaller --width, or turn the vessel and give --blocked anew";
  if (known.levelling?.helps)
    return known.changes
      ? `${levelHint(known.levelling)}, or as it lies ${helps(known)}`
      : levelHint(known.levelling);
  const half = Math.max(Math.abs(ink.box.minX), Math.abs(ink.box.maxX));
  const width = ink.box.maxX - ink.box.minX;
  if (2 * half <= reach.aroundMm) {
    if (zone === "off-field") {
      return `the field is ${job.lens.fieldMm} mm square: move the ink with --at if it stands off the middle, or ${helps(known)}`;
    }
    if (zone === "out-of-depth" && job.focus !== "best" && known.changes?.focusMm === focus.bestMm) {
      const side = focus.belowCrownMm < 0 ? "above" : "below";
      return `the focus given is ${Math.abs(focus.belowCrownMm).toFixed(1)} mm ${side} the crown; --focus best would be ${focus.bestMm.toFixed(1)} mm below it`;
    }
    return `it fits around, but not so far along: ${helps(known)}`;
  }
  const reaches = `the reach is ${downTenth(reach.aroundMm)} mm ${widthWords[job.placement.fidelity]} (limited by ${reach.limitedBy})`;
  if (known.turns.length > 1) {
    if (zone === "hidden" && hiddenWords(known, "") !== "")
      return "give a smaller size, or move it with --at, so that it lies on the vessel's wall";
    return job.turns === "auto"
      ? `even in turns it is not within the limits: use a lens of a longer depth of focus, or ${reaches}`
      : `${reaches}: give more --turns, or auto`;
  }
  if (width <= reach.aroundMm)
    return `${reaches}: centre the ink on the crown line with --at 0,${job.placement.atMm[1]}${known.changes?.turns === 1 ? ", or index the vessel with --turns auto" : ""}`;
  return `${reaches}: ${helps(known)}`;
}

const levelHint = ({ byDeg }: NonNullable<Known["levelling"]>): string =>
  `level the crown line with --pose levelled: ${byDeg > 0 ? "raise" : "lower"} the rim by ${Math.abs(byDeg).toFixed(1)}°, and all of it is within the limits`;

/** The changes that were tried and do, or that none does. */
function helps(known: Known): string {
  const { changes, focus, ink, job, reach } = known;
  if (!changes)
    return known.turns.length > 1
      ? "compare the lenses with fallaway reach, or lower the rest"
      : "mark a test on a spare cup";
  const { widthMm, focusMm, lens, lensAndWidth, lensesTried, turns } = changes;
  const width = ink.box.maxX - ink.box.minX;
  // The reach may be a little wider; there the sides fade.
  const even =
    reach.aroundMm - (widthMm ?? 0) > 1 &&
    (!known.warp.surface.alikeAlong || (widthMm ?? 0) > 0.7 * reach.aroundMm)
      ? " (the weakest ink then keeps half of the strongest's fluence)"
      : "";
  // Other lenses were tried at their own best focus.
  const best = job.focus === "best" ? "" : " --focus best";
  const list = [
    ...(focusMm === null
      ? []
      : focusMm === focus.bestMm
        ? [`give --focus best: at ${focusMm.toFixed(1)} mm below the crown it fits`]
        : [`give --focus ${focusMm.toFixed(1)}, where it fits`]),
    ...(widthMm !== null && widthMm < width ? [`give ${scaled(known, widthMm / width)} or less${even}`] : []),
    ...(lens
      ? [`use --lens ${lens.id}${best}, where the weakest ink gets ${percent(lens.ratio)} of the strongest`]
      : []),
    ...(lensAndWidth
      ? [`use --lens ${lensAndWidth.id}${best} with ${scaled(known, lensAndWidth.widthMm / width)}`]
      : []),
    ...(turns === null
      ? []
      : [
          turns === 1
            ? "index the vessel first with --turns auto"
            : `mark it in ${turns} turns of the vessel with --turns auto`,
        ]),
  ];
  if (list.length > 0) return list.join(", or ");
  const column = job.column.travelMm === undefined ? "" : " with this column";
  return lensesTried ? `no width and no lens profile will do${column}` : `no width will do${column}`;
}

/** A column that cannot set the focus; what is planned is then the head at its stop. */
function columnReasons(known: Known): Problem[] {
  const { column, job, focus } = known;
  if (!column.shortMm || !column.atStop) return [];
  const { usable, belowCrownMm, edgeDefocusMm, falloffRatio } = column.atStop;
  const short = upTenth(column.shortMm);
  const head = (job.lens.workingDistanceMm - belowCrownMm).toFixed(2);
  const ways = [
    ...(job.focus !== "best" && focus.bestMm >= belowCrownMm
      ? ["give --focus best, which the column can set"]
      : []),
    ...(job.column.restHeightMm >= column.shortMm ? [`lower the rest by ${short} mm`] : []),
    usable
      ? `set the head to its stop, ${head} mm above the crown line, as the file is made for: the weakest ink gets ${percent(falloffRatio)} of the strongest`
      : helps(known),
  ];
  return [
    {
      code: "column-too-short",
      severity: usable ? "caution" : "stop",
      message: `the column is ${short} mm too short for the focus: at its stop the crown stays ${depth(-belowCrownMm)} the focal plane, the lowest ink ${depth(edgeDefocusMm)} it`,
      hint: ways.join(", or "),
    },
  ];
}
const depth = (d: number): string => `${Math.abs(d).toFixed(1)} mm ${d < 0 ? "above" : "below"}`;

/** Widths on the vessel that are further from those drawn than this are told of (our own choice). */
const TOLD_STRETCH = 0.05;

function keepsShape(fidelity: string, developable: boolean): string {
  if (developable) return "--fidelity sheet keeps all lengths and angles; its level lines lie on arcs";
  return fidelity === "true-width"
    ? "no rule keeps all lengths where a wall curves both ways: a smaller size changes less"
    : "--fidelity true-width keeps areas and the width at every height; no rule keeps all lengths where a wall curves both ways";
}

function surfaceReasons({ levelling, distortion, job, warp }: Known): Problem[] {
  const list: Problem[] = [];
  if (levelling?.helps) {
    list.push({
      code: "not-levelled",
      severity: "caution",
      message: `as the vessel lies (${typeof job.pose === "number" ? `${job.pose}°` : job.pose}) ink is beyond the limits that would be within them with the crown line level`,
      hint: levelHint(levelling),
    });
  }
  const { largestStretch: most, smallestStretch: least, angleDeg } = distortion;
  if (job.placement.fidelity !== "sight" && (most > 1 + TOLD_STRETCH || least < 1 - TOLD_STRETCH)) {
    list.push({
      code: "shape-changes",
      severity: "note",
      message: `on this vessel lengths come out ${least.toFixed(2)} to ${most.toFixed(2)} times as drawn, angles up to ${angleDeg.toFixed(1)}° off`,
      hint: keepsShape(job.placement.fidelity, warp.surface.meridian.slope !== null),
    });
  }
  return list;
}

function cautions(known: Known): Problem[] {
  const list: Problem[] = [...surfaceReasons(known)];
  const { falloff, focus, job, ink, spot } = known;
  const ratio = falloff.max > 0 ? falloff.min / falloff.max : 0;
  const beyondLimits = known.zones.some((z) => z.zone !== "usable" && z.shapes.length > 0);
  const largest = Math.max(ink.box.maxX - ink.box.minX, ink.box.maxY - ink.box.minY);
  if (largest < spot.waistDiameterMm) {
    list.push({
      code: "smaller-than-spot",
      severity: "stop",
      message: `all the ink together is ${(1000 * largest).toPrecision(2)} µm large, less than the spot of ${(1000 * spot.waistDiameterMm).toFixed(0)} µm`,
      hint: "check the units of the artwork, or give --width",
    });
  } else list.push(...thinProblems(known.thin));
  // Ink beyond the limits is a stop already; its fading needs no second word.
  if (!beyondLimits && ratio > 0 && ratio < FADE) {
    list.push({
      code: "sides-fade",
      severity: "caution",
      message: `the weakest ink gets ${percent(ratio)} of the fluence of the strongest`,
      hint: `the coating comes off last where it is weakest: ${Math.abs(ink.box.minX + ink.box.maxX) > 2 ? "centre the ink on the crown line with --at, or " : ""}${helps(known)}`,
    });
  }
  if (
    !beyondLimits &&
    !known.column.shortMm &&
    job.focus !== "best" &&
    Math.abs(focus.belowCrownMm - focus.bestMm) > 0.5
  ) {
    list.push({
      code: "focus-not-best",
      severity: "note",
      message: `the focus given is ${focus.belowCrownMm.toFixed(1)} mm below the crown; the evenest is at ${focus.bestMm.toFixed(1)} mm`,
      hint: "leave --focus out for the evenest result",
    });
  }
  return list;
}
