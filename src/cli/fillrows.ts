/** The summary's rows on lines, bands and how even they come out. */
import { four, spreadWords, timeWords, two } from "../plan/figures.ts";
import type { FillSection } from "../plan/fill/section.ts";
import { coatingCalibrated } from "../plan/process/label.ts";
import type { Report } from "../plan/report.ts";
import { row } from "./rows.ts";

export function fillRows(report: Pick<Report, "fill" | "process" | "calibration">): string[] {
  const { fill, process } = report;
  if (!fill) return [];
  const most = process?.source.meanPowerW ?? null;
  return [...lineRows(fill), ...spreadRow(fill, coatingCalibrated(report)), ...bandRows(fill, most)];
}

function lineRows({ lines, sets, outline, timeS, passes }: FillSection): string[] {
  if (lines === null) return [];
  return [
    ...sets.map((set, i) =>
      row(i === 0 ? "fill" : "", `${i === 0 ? `${lines}: ` : "then "}${setWords(set)}`),
    ),
    ...(outline
      ? [row("", `and the outline pass: ${outline.lines} closed lines, ${metres(outline.commandLengthMm)}`)]
      : []),
    ...(timeS === null
      ? []
      : [
          row(
            "",
            `about ${timeWords(timeS)} in ${passes} ${passes === 1 ? "pass" : "passes"}; the lines are laid: the station must not fill them again`,
          ),
        ]),
  ];
}

const setWords = (set: FillSection["sets"][number]): string =>
  set.lines === 0
    ? `no lines at ${four(set.angleDeg)}°`
    : `${set.lines} lines at ${four(set.angleDeg)}°, ${pitchWords(set)} apart on the vessel, ${metres(set.markLengthMm)} on the vessel, ${metres(set.jumpLengthMm)} jumped`;

const pitchWords = ({ pitchMinMm, pitchMaxMm }: FillSection["sets"][number]): string => {
  const [least, most] = [pitchMinMm, pitchMaxMm].map((mm) => mm.toFixed(4));
  return least === most ? `${least} mm` : `${least} to ${most} mm`;
};

function spreadRow({ spread, evened, bandsInProof }: FillSection, calibrated: boolean): string[] {
  const { plain, even, bands, station } = spread;
  if ([plain, even, bands, station].every((one) => one === null))
    return [
      row("evenness", "not known: too little ink lies a spot inside its edges, or nearly nothing is removed"),
    ];
  const what = evened === "removal" ? (calibrated ? "removal" : "removal (uncalibrated)") : "areal falloff";
  return [
    row(
      "evenness",
      `simulated spread of the ${what}: filled by the station ${spreadWords(station)}, in ${bandsInProof} bands ${spreadWords(bands)}; lines laid plain ${spreadWords(plain)}, even ${spreadWords(even)}`,
    ),
  ];
}

function bandRows({ bands, bandsBy }: FillSection, most: number | null): string[] {
  return (bands ?? []).map((band, i) => {
    const around = band.intervalsDeg
      .map(([from, to]) => `${from.toFixed(1)} to ${to.toFixed(1)}°`)
      .join(" and ");
    const [by, value, unit] =
      bandsBy === "speed" ? [band.speedFactor, band.speedMmS, "mm/s"] : [band.powerFactor, band.powerW, "W"];
    const above = bandsBy === "power" && most !== null && value !== null && value > most;
    const doubt = above ? ", more than the source has" : band.falloff < 0.1 ? ", not to be trusted" : "";
    const set =
      by === null
        ? "never clears"
        : `${bandsBy} × ${factor(by)}${value === null ? "" : ` (${four(value)} ${unit}${doubt})`}`;
    return row(i === 0 ? "bands" : "", `${band.band}: ${around} from the crown line: ${set}`);
  });
}

const factor = (v: number): string => v.toFixed(3);
const metres = (mm: number): string => `${two(mm / 1000)} m`;
