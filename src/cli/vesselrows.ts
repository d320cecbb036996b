/** The vessel's table as lines and as CSV, and what is said around it. */
import type { Job } from "../job/job.ts";
import { plain, signed } from "../picture/ticks.ts";
import { reachWords } from "../picture/vessel/girths.ts";
import type { Subject } from "../picture/vessel/subject.ts";
import { areaWords, focusWords, limitWords, tiltWords } from "../picture/vessel/words.ts";
import { widthWords } from "../plan/vesselsaid.ts";
import type { VesselRow, VesselTable } from "../plan/vesseltable.ts";
import type { Problem } from "../problem.ts";
import { careRows, row, table } from "./rows.ts";
import { problemRows } from "./summary.ts";

/** RFC 4180, as `reach` writes it: empty where the JSON has null; places with blanks between. */
export function tableCsv({ rows }: VesselTable): string {
  const flat = rows.map(({ places, ...rest }) => ({ places: places.join(" "), ...rest }));
  const lines = [Object.keys(flat[0]!), ...flat.map((one) => Object.values(one))];
  return lines.map((line) => `${line.map((cell) => String(cell ?? "")).join(",")}\r\n`).join("");
}

export function vesselLines(
  subject: Subject,
  job: Job,
  cautions: readonly Problem[],
  written: readonly string[],
): string[] {
  const { table: found } = subject.study;
  return [
    `${subject.name}: ${subject.shape}${found.heightMm === null ? "" : `, ${plain(found.heightMm, 1)} mm tall`}`,
    row("pose", tiltWords(subject)),
    row("lens", `${job.lens.id}; ${limitWords(subject)}`),
    row("focus", focusWords(subject)),
    ...highCrown(found),
    row("printable", printableWords(subject)),
    "",
    ...tableLines(found, job),
    "",
    row("taper", "of the wall against the axis: positive where it widens toward the rim"),
    row("drop", "of the crown line below the crown at the placement point"),
    row("incidence", "of the beam on the crown line, to the wall's normal"),
    row("around", "how far either side of the crown line every limit holds"),
    row(
      "reach",
      `widest artwork ${widthWords[job.placement.fidelity]} at that height, its middle on the crown line`,
    ),
    ...problemRows(cautions),
    ...written.map((path, i) => row(i === 0 ? "files" : "", path)),
    ...careRows(job.source.wavelengthNm),
  ];
}

/** Between the highest crown and the placement point no focal plane is deep enough for one and high enough for the other. */
function highCrown({ rows, focus, limits }: VesselTable): string[] {
  const highest = rows.reduce((least, one) => Math.min(least, one.crownDropMm), 0);
  const beside = rows.some((one) => one.printable === "sides" && one.limitedBy === "out-of-depth");
  if (!beside || focus.by !== "depth") return [];
  const higher = Math.floor(10 * (focus.belowCrownMm + highest)) / 10;
  const within = higher >= -limits.usableDepthMm;
  return [
    row("", `the crown rises to ${signed(-highest, 1)} mm above that point and is out of depth there`),
    ...(within ? [row("", `→ --focus ${higher} keeps all of it usable, and reaches less far around`)] : []),
  ];
}

function printableWords(subject: Subject): string {
  const { table: found, ends, body } = subject.study;
  const { fromMm, toMm } = found.printable;
  if (fromMm === null || toMm === null) return "nothing";
  const o = new Float64Array(4);
  const [top, bottom] = [fromMm, toMm].map((m) => {
    body.warp.surface.meridian.at(m, o);
    return o[1]!;
  });
  const zero = ends.rimY;
  const along =
    zero === null
      ? `from ${signed(top!, 1)} to ${signed(bottom!, 1)} mm along the axis from the placement point`
      : `from ${signed(top! - zero, 1)} to ${signed(bottom! - zero, 1)} mm below the rim`;
  return `${areaWords(subject)}, ${along}`;
}

/** Numbers stand to the right. */
const NUMBERS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

function tableLines({ rows }: VesselTable, { placement }: Job): string[] {
  const heads = [
    "place",
    "above base mm",
    "below rim mm",
    "along wall mm",
    "diameter mm",
    "girth mm",
    "taper",
    "drop mm",
    "incidence",
    "around",
    `reach mm ${placement.fidelity === "sight" ? "as seen" : "on the flat"}`,
    "limited by",
  ];
  return table([heads, ...rows.map(cellsOf)], NUMBERS);
}

const orDash = (value: number | null, digits: number, unit = ""): string =>
  value === null ? "—" : `${signed(value, digits)}${unit}`;

const cellsOf = (one: VesselRow): string[] => [
  one.places.join(", "),
  orDash(one.aboveBaseMm, 1),
  orDash(one.belowRimMm, 1),
  signed(one.alongOutlineMm, 1),
  signed(one.diameterMm, 2),
  signed(one.girthMm, 1),
  `${signed(one.taperDeg, 1)}°`,
  signed(one.crownDropMm, 2),
  orDash(one.crownIncidenceDeg, 0, "°"),
  `±${signed(one.halfAngleDeg, 1)}°`,
  reachWords(one),
  one.limitedBy.replaceAll("-", " "),
];
