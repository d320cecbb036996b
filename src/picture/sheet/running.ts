/** Settings, turns and time: what the station is told to do. */
import { four, percent, timeWords } from "../../plan/figures.ts";
import { loadedOf } from "../../plan/fill/loaded.ts";
import { calibratedOn } from "../../plan/process/label.ts";
import { setSeconds } from "../../plan/process/time.ts";
import type { Plan } from "../../plan/types.ts";
import { plain } from "../ticks.ts";
import { laidBlocks } from "./laid.ts";
import { isTurned } from "./turning.ts";
import type { Block, Row, Section, SheetFacts } from "./types.ts";

export function settingsSection(plan: Plan, facts: SheetFacts): Section {
  return {
    title: isTurned(plan) ? "Settings" : "Settings and turns",
    wide: true,
    blocks: [
      ...settingsBlocks(plan),
      ...laidBlocks(plan),
      ...(isTurned(plan)
        ? []
        : [
            {
              kind: "table" as const,
              head: ["turn", "index angle °", "arc on the girth mm", "file"],
              rows: [["1", "0.0", "0.0", facts.marks]],
            },
          ]),
      { kind: "rows", rows: timeRows(plan) },
    ],
  };
}

/** Boxes for two sets, as usual, where the job has no settings. */
const EMPTY = 2;

function settingsBlocks(plan: Plan): Block[] {
  const { job, forecast, ink } = plan;
  const { settings, axis } = job;
  const turned = axis === "x";
  const head = [
    "set",
    "angle °",
    ...(turned ? ["in the file °"] : []),
    "power W",
    "power %",
    "speed mm/s",
    "frequency kHz",
    "pitch mm",
    "passes",
    "lines a pass",
    "share of time",
  ];
  if (!settings || !forecast) {
    const { fill } = job;
    const known = fill?.lines ? fill.anglesDeg : Array.from({ length: EMPTY }, () => null);
    const rows = known.map((angle, i) =>
      head.map((name) => {
        if (name === "set") return String(i + 1);
        if (angle === null || !plan.fill) return "";
        if (name === "angle °") return plain(angle, 1);
        if (name === "in the file °") return plain((((angle + 90) % 180) + 180) % 180, 1);
        if (name === "pitch mm") return "as laid";
        if (name === "passes") return String(fill!.passes);
        return name === "lines a pass" ? String(plan.fill.sets[i]?.lines ?? "") : "";
      }),
    );
    return [
      {
        kind: "words",
        words:
          "The settings are not in the job: write in those that a test on this coating gave. Angles: 90° along the vessel's axis, 0° around it.",
        strong: true,
      },
      { kind: "table", head, rows },
    ];
  }
  const most = job.source.meanPowerW;
  // Single lines are no sets of a fill: with them alone there is but the first.
  const laid = loadedOf(plan) === "fill";
  const sets = forecast.time.sets.filter((set, i) => i === 0 || set.lines > 0);
  const outline = laid ? (plan.fill?.outline ?? null) : null;
  const outlineSeconds = outline
    ? setSeconds({ ...outline, markLengthMm: outline.commandLengthMm }, settings)
    : 0;
  // Of one pass; bands by speed are slower in all sets alike.
  const pass = sets.reduce((sum, set) => sum + setSeconds(set, settings), outlineSeconds);
  const beam = [
    four(settings.powerW),
    most === undefined ? "–" : four((100 * settings.powerW) / most),
    four(settings.speedMmS),
    four(settings.frequencyKHz),
  ];
  const rows = sets.map((set, i) => [
    String(i + 1),
    plain(set.angleDeg, 1),
    ...(turned ? [plain((((set.angleDeg + 90) % 180) + 180) % 180, 1)] : []),
    ...beam,
    laid ? "as laid" : four(settings.pitchMm),
    String(settings.passes),
    String(set.lines),
    percent(pass > 0 ? setSeconds(set, settings) / pass : 0),
  ]);
  if (outline) {
    rows.push([
      "outline",
      "–",
      ...(turned ? ["–"] : []),
      ...beam,
      "–",
      String(settings.passes),
      String(outline.lines),
      percent(pass > 0 ? outlineSeconds / pass : 0),
    ]);
  }
  const skew = forecast.time.sets.some((set) => set.angleDeg % 90 !== 0);
  const said = [
    calibratedOn(job, "Uncalibrated: only a test on this coating tells."),
    "Angles: 90° along the vessel's axis, 0° around it; all sets in their order make one pass.",
    ...(skew ? ["They turn clockwise in the file."] : []),
    ...(ink.lengthMm > 0 ? ["Single lines are marked once a pass, with the first set."] : []),
    ...(most === undefined ? ["The source's own power is not known: no power in %."] : []),
  ];
  return [
    { kind: "words", words: said.join(" ") },
    { kind: "table", head, rows },
  ];
}

/** Of all turns: the forecast is for the marks of all of them. */
function timeRows({ forecast, job, turns }: Plan): Row[] {
  const { quantity } = job.order;
  if (!forecast) return [{ name: "marking time", value: null, after: "a vessel: not told without settings" }];
  const one = forecast.time.seconds;
  const all =
    quantity === undefined
      ? ""
      : `; ${quantity} ${quantity === 1 ? "vessel" : "vessels"} ${timeWords(quantity * one)}`;
  return [
    {
      name: "marking time",
      value: `about ${timeWords(one)} a vessel${all}: marking alone, without loading${turns.length > 1 ? " and indexing" : ""}`,
    },
  ];
}
