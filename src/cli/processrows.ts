/** The summary's rows on the column and the process: each absolute figure with its range, and that it is uncalibrated. */
import { two } from "../plan/process/words.ts";
import type { Report } from "../plan/report.ts";
import { upTenth } from "../plan/verdict.ts";
import { row } from "./rows.ts";

type Section = NonNullable<Report["process"]>;
type Figure = Section["inFocus"]["peakFluenceJPerCm2"];

export function columnRows({ column, focus }: Report): string[] {
  if (column.travelMm === null || column.shortMm === null) return [];
  const needed = `${column.neededMm.toFixed(1)} mm above the bed are needed, the column has ${plain(column.travelMm)} mm`;
  const short =
    column.shortMm > 0
      ? `: ${upTenth(column.shortMm)} mm short; all else is worked out for its stop, the focal plane ${focus.plannedMm.toFixed(1)} mm below the crown line`
      : "";
  return [row("column", `${needed}${short}`)];
}

export function processRows({ process }: Report): string[] {
  if (!process) return [];
  const { settings: s, time, window } = process;
  const share =
    s.powerPercent === null ? "" : ` (${plain(s.powerPercent)} % of ${process.source.meanPowerW} W)`;
  const sets = s.anglesDeg.map((angle) => `${plain(angle)}°`).join(", then ");
  const list = [
    row(
      "settings",
      `${plain(s.powerW)} W${share}, ${plain(s.speedMmS)} mm/s, ${plain(s.frequencyKHz)} kHz, pitch ${plain(s.pitchMm)} mm; lines at ${sets}; ${s.passes} ${s.passes === 1 ? "pass" : "passes"}`,
    ),
    row("time", `about ${duration(time.seconds)} marking: ${lines(time)}`),
    row(
      "pulse",
      `${plain(process.pulseEnergyMj)} mJ; in focus ${range(process.inFocus.peakFluenceJPerCm2)} J/cm², ${range(process.inFocus.pulsesPerSpot)} pulses on each spot in a pass`,
    ),
  ];
  const { weakest, strongest, chance } = process;
  if (weakest?.cleared && weakest.removalUm && strongest && chance) {
    list.push(
      row(
        "dose",
        `${two(weakest.doseJPerCm2)} J/cm² where removal is weakest, ${two(strongest.doseJPerCm2)} J/cm² where the metal bears most`,
      ),
      row(
        "removal",
        `uncalibrated: at the weakest place enough for ${range(weakest.removalUm)} µm, ${range(weakest.cleared)} times the coating ${process.coating}`,
      ),
      row(
        "metal",
        `uncalibrated: at the strongest place ${range(strongest.metalMargin)} times what bare ${process.metal.id} bears`,
      ),
      row(
        "chance",
        `of the cases that the profiles allow: coating cleared everywhere ${percent(chance.allCleared)}, metal spared everywhere ${percent(chance.noMetal)}, all ink clean ${percent(chance.allClean)}`,
      ),
      ...window.filter((w) => w.passes === s.passes).map((w) => windowRow(w, process)),
    );
  }
  return list;
}

function windowRow(
  { passes, clearsFromW, sparesUpToW }: Section["window"][number],
  { source }: Section,
): string {
  const beyond = source.meanPowerW !== null && clearsFromW.value > source.meanPowerW;
  const from = beyond
    ? `clears everywhere only beyond the ${plain(source.meanPowerW!)} W of the source`
    : `clears everywhere from ${range(clearsFromW, Math.ceil)} W`;
  const open = clearsFromW.value < sparesUpToW.value ? "" : "; no power does both";
  return row(
    "window",
    `uncalibrated: at ${passes} ${passes === 1 ? "pass" : "passes"} it ${from}, spares the metal up to ${range(sparesUpToW, Math.floor)} W${open}`,
  );
}

const lines = ({ sets }: Section["time"]): string => {
  const sum = (key: "lines" | "markLengthMm" | "jumpLengthMm"): number =>
    sets.reduce((n, s) => n + s[key], 0);
  return `${sum("lines")} lines a pass, ${metres(sum("markLengthMm"))} marked, ${metres(sum("jumpLengthMm"))} jumped`;
};
const metres = (mm: number): string => `${two(mm / 1000)} m`;

export function duration(seconds: number): string {
  if (seconds < 100) return `${two(seconds)} s`;
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)} min ${whole % 60} s`;
}

/** Value and range to two digits; a limit is rounded to its safe side. */
const range = (f: Figure, round?: (v: number) => number): string =>
  two(f.low) === two(f.high)
    ? two(f.value, round)
    : `${two(f.value, round)} (${two(f.low)} to ${two(f.high)})`;
const percent = (v: number): string => `${(100 * v).toFixed(0)} %`;
const plain = (v: number): string => String(Number(v.toPrecision(4)));
