/** The summary's rows on lines, bands and how even they come out. */
import { four, timeWords, two } from "../plan/figures.ts";
import type { FillSection } from "../plan/fill/section.ts";
import type { Report } from "../plan/report.ts";
import { row } from "./rows.ts";

export function fillRows({ fill }: Report): string[] {
  if (!fill) return [];
  return [...lineRows(fill), ...spreadRow(fill), ...bandRows(fill)];
}

function lineRows({ lines, sets, timeS, passes }: FillSection): string[] {
  if (lines === null) return [];
  return [
    ...sets.map((set, i) =>
      row(
        i === 0 ? "fill" : "",
        `${i === 0 ? `${lines}: ` : "then "}${set.lines} lines at ${four(set.angleDeg)}°, ${pitchWords(set)} apart on the vessel, ${metres(set.markLengthMm)} marked, ${metres(set.jumpLengthMm)} jumped`,
      ),
    ),
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

const pitchWords = ({ pitchMinMm, pitchMaxMm }: FillSection["sets"][number]): string => {
  const [least, most] = [pitchMinMm, pitchMaxMm].map((mm) => mm.toFixed(4));
  return least === most ? `${least} mm` : `${least} to ${most} mm`;
};

/** Spreads are shown in percent to two digits: below a tenth of a percent they say the same. */
const spreadWords = (spread: number | null): string =>
  spread === null ? "none" : spread < 0.001 ? "less than 0.1 %" : `${two(100 * spread)} %`;

function spreadRow({ spread, evened, bands }: FillSection): string[] {
  if (spread.plain === null) return [];
  const what = evened === "removal" ? "removal (uncalibrated)" : "areal falloff";
  const count = bands ? `${bands.length} bands` : "bands";
  return [
    row(
      "evenness",
      `simulated spread of the ${what}: plain ${spreadWords(spread.plain)}, even ${spreadWords(spread.even)}, ${count} ${spreadWords(spread.bands)}`,
    ),
  ];
}

function bandRows({ bands }: FillSection): string[] {
  return (bands ?? []).map((band, i) => {
    const around = band.intervalsDeg
      .map(([from, to]) => `${from.toFixed(1)} to ${to.toFixed(1)}°`)
      .join(" and ");
    const what =
      band.speedFactor === null
        ? "never clears"
        : `speed × ${factor(band.speedFactor)}${band.speedMmS === null ? "" : ` (${four(band.speedMmS)} mm/s)`}${band.powerFactor === null ? "" : ` or power × ${factor(band.powerFactor)}${band.powerW === null ? "" : ` (${four(band.powerW)} W)`}`}`;
    return row(i === 0 ? "bands" : "", `${band.band}: ${around} from the crown line: ${what}`);
  });
}

const factor = (v: number): string => v.toFixed(3);
const metres = (mm: number): string => `${two(mm / 1000)} m`;
