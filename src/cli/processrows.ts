/** The summary's rows on the column and the process: each absolute figure with its range, and whether it is calibrated. */
import { four, percent, timeWords, two, upTenth } from "../plan/figures.ts";
import { casesWords, coatingLabel, type Labelled, metalLabel } from "../plan/process/label.ts";
import type { Report } from "../plan/report.ts";
import { row } from "./rows.ts";

type Section = NonNullable<Report["process"]>;
type Figure = Section["inFocus"]["peakFluenceJPerCm2"];

export function columnRows({ column }: Report): string[] {
  if (column.travelMm === null || column.shortMm === null) return [];
  const needed = `${upTenth(column.neededMm)} mm above the bed are needed, the column has ${four(column.travelMm)} mm`;
  const short =
    column.shortMm > 0 ? `: ${upTenth(column.shortMm)} mm short; all is worked out for its stop` : "";
  return [row("column", `${needed}${short}`)];
}

export function processRows(report: Pick<Report, "process" | "calibration">): string[] {
  const { process } = report;
  const calibrated = calibratedRow(report);
  if (!process) return calibrated;
  const { settings: s, time, window } = process;
  const share =
    s.powerPercent === null ? "" : ` (${four(s.powerPercent)} % of ${process.source.meanPowerW} W)`;
  const sets = s.anglesDeg.map((angle) => `${four(angle)}°`).join(", then ");
  const list = [
    ...calibrated,
    row(
      "settings",
      `${four(s.powerW)} W${share}, ${four(s.speedMmS)} mm/s, ${four(s.frequencyKHz)} kHz, pitch ${four(s.pitchMm)} mm; lines at ${sets}; ${s.passes} ${s.passes === 1 ? "pass" : "passes"}`,
    ),
    row("time", `about ${timeWords(time.seconds)} marking: ${lines(time)}`),
    row(
      "pulse",
      `${four(process.pulseEnergyMj)} mJ; in focus ${range(process.inFocus.peakFluenceJPerCm2)} J/cm², ${range(process.inFocus.pulsesPerSpot)} pulses on each spot in a pass`,
    ),
    ...doseRow(process),
  ];
  const { weakest, strongest, chance } = process;
  if (weakest?.cleared && weakest.removalUm && strongest && chance) {
    list.push(
      row(
        "removal",
        `${coatingLabel(report)}at the weakest place enough for ${range(weakest.removalUm)} µm, ${range(weakest.cleared)} times the coating ${process.coating}`,
      ),
      row(
        "metal",
        `${metalLabel(report)}at the strongest place ${range(strongest.metalMargin)} times what bare ${process.metal.id} bears`,
      ),
      row(
        "chance",
        `of ${casesWords(report)}: coating cleared everywhere ${percent(chance.allCleared)}, metal spared everywhere ${percent(chance.noMetal)}, all ink clean ${percent(chance.allClean)}`,
      ),
      ...window.filter((w) => w.passes === s.passes).map((w) => windowRow(w, process, report)),
    );
  }
  return list;
}

function doseRow({ doseJPerCm2: { commanded, least, most } }: Section): string[] {
  return most > 0
    ? [
        row(
          "dose",
          `${four(least)} to ${four(most)} J/cm² over the ink, ${four(commanded)} J/cm² as commanded`,
        ),
      ]
    : [];
}

/** Once, whose marks the figures are from. */
function calibratedRow({ calibration }: Pick<Report, "calibration">): string[] {
  if (!calibration) return [];
  const held = (["spot", "coating", "metal"] as const).filter((part) => calibration[part]);
  return held.length === 0
    ? []
    : [
        row("calibrated", `${calibration.date}, ${calibration.machine}: ${held.join(", ")}`),
        ...(calibration.of > 0
          ? [
              row(
                "",
                `predicts ${calibration.agree} of the ${calibration.of} readings that it comes from within a bar`,
              ),
            ]
          : []),
      ];
}

/** What no source here gives is not worth a figure. */
const LARGEST_W = 1000;

function windowRow(
  { passes, clearsFromW, sparesUpToW }: Section["window"][number],
  { source }: Section,
  report: Labelled,
): string {
  const most = source.meanPowerW ?? LARGEST_W;
  const beyond = (w: number): boolean => w > most;
  const all = source.meanPowerW === null ? `${LARGEST_W} W` : `the ${four(most)} W of the source`;
  const from = beyond(clearsFromW.value)
    ? `clears everywhere only beyond ${all}`
    : `clears everywhere from ${range(clearsFromW, Math.ceil, most)} W`;
  const upTo = beyond(sparesUpToW.value)
    ? `spares the metal at all powers up to ${all} (from ${two(sparesUpToW.low)} W it may not)`
    : `spares the metal up to ${range(sparesUpToW, Math.floor, most)} W`;
  const shut = clearsFromW.value < sparesUpToW.value ? "" : "; no power does both";
  const label = coatingLabel(report);
  // Where the coating alone is calibrated, what is said of the metal is told apart.
  const then = label === metalLabel(report) ? `, ${upTo}` : `; ${metalLabel(report)}it ${upTo}`;
  return row("window", `${label}at ${passes} ${passes === 1 ? "pass" : "passes"} it ${from}${then}${shut}`);
}

const lines = ({ sets }: Section["time"]): string => {
  const sum = (key: "lines" | "markLengthMm" | "jumpLengthMm"): number =>
    sets.reduce((n, s) => n + s[key], 0);
  return `${sum("lines")} lines a pass, ${metres(sum("markLengthMm"))} marked, ${metres(sum("jumpLengthMm"))} jumped`;
};
const metres = (mm: number): string => `${two(mm / 1000)} m`;

/** Value and range to two digits; a limit is rounded to its safe side, and beyond `most` no figure is given. */
const range = (f: Figure, round?: (v: number) => number, most = Infinity): string => {
  const end = (v: number): string => (v > most ? `over ${two(most)}` : two(v));
  return two(f.low) === two(f.high)
    ? two(f.value, round)
    : `${two(f.value, round)} (${end(f.low)} to ${end(f.high)})`;
};
