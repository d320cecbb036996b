/** The summary's rows on the column and the process: each absolute figure with its range, and that it is uncalibrated. */
import type { Report } from "../plan/report.ts";
import { upTenth } from "../plan/verdict.ts";
import { row } from "./rows.ts";

type Section = NonNullable<Report["process"]>;
type Figure = Section["inFocus"]["peakFluenceJPerCm2"];

export function columnRows({ column }: Report): string[] {
  if (column.travelMm === null || column.shortMm === null) return [];
  const needed = `${column.neededMm.toFixed(1)} mm above the bed are needed, the column has ${plain(column.travelMm)} mm`;
  const short = column.shortMm > 0 ? `: ${upTenth(column.shortMm)} mm short` : "";
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
      `${plain(process.pulseEnergyMj)} mJ; in focus ${range(process.inFocus.peakFluenceJPerCm2)} J/cm², ${range(process.inFocus.pulsesPerSpot)} pulses a spot and pass`,
    ),
  ];
  const { weakest, strongest, chance } = process;
  if (weakest?.cleared && weakest.removalUm && strongest && chance) {
    list.push(
      row(
        "removal",
        `uncalibrated: where it is weakest ${range(weakest.removalUm)} µm, ${range(weakest.cleared)} times the coating ${process.coating}`,
      ),
      row(
        "metal",
        `uncalibrated: where it is strongest ${range(strongest.metalMargin)} of the threshold of ${process.metal.id}`,
      ),
      row(
        "chance",
        `of all that the profiles allow: all ink cleared ${percent(chance.allCleared)}, no metal at risk ${percent(chance.noMetal)}, both ${percent(chance.allClean)}`,
      ),
    );
    const now = window.find((w) => w.passes === s.passes);
    if (now) {
      const open =
        now.middleW === null ? "shut" : `${two(now.clearsFromW.value)} to ${two(now.sparesUpToW.value)} W`;
      list.push(
        row(
          "window",
          `uncalibrated: power ${open} at ${s.passes} ${s.passes === 1 ? "pass" : "passes"}; clears from ${range(now.clearsFromW)} W, spares the metal up to ${range(now.sparesUpToW)} W`,
        ),
      );
    }
  }
  return list;
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

/** Two digits, without an exponent. */
export const two = (v: number): string =>
  v >= 9.95 ? v.toFixed(0) : v >= 0.0095 ? v.toPrecision(2) : v > 0 ? "under 0.01" : "0";
const range = (f: Figure): string =>
  two(f.low) === two(f.high) ? two(f.value) : `${two(f.value)} (${two(f.low)} to ${two(f.high)})`;
const percent = (v: number): string => `${(100 * v).toFixed(0)} %`;
const plain = (v: number): string => String(Number(v.toPrecision(4)));
