/** The vessel's table as lines and as CSV, and what is said around it. */
import type { Job } from "../job/job.ts";
import { plain, signed } from "../picture/ticks.ts";
import { reachWords } from "../picture/vessel/girths.ts";
import type { Subject } from "../picture/vessel/subject.ts";
import { areaWords, focusWords, limitWords, tiltWords } from "../picture/vessel/words.ts";
import { NO_RISE, type VesselRow, type VesselTable } from "../plan/vesseltable.ts";
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
    ...tableLines(found),
    "",
    row("taper", "of the wall against the axis: positive where it widens toward the rim"),
    row("drop", "of the crown line below the crown at the placement point"),
    row("incidence", "of the beam on the crown line, to the wall's normal"),
    row("around", "how far either side of the crown line every limit holds"),
    row("reach", "around on the vessel's surface at that height, to both sides of the crown line"),
    ...problemRows(cautions),
    ...written.map((path, i) => row(i === 0 ? "files" : "", path)),
    ...careRows(job.source.wavelengthNm),
  ];
}

/** Between the highest crown and the placement point no focal plane is deep enough for one and high enough for the other. */
function highCrown({ rows, focus, crownRiseMm, limits }: VesselTable): string[] {
  const beside = rows.some((one) => one.printable === "sides" && one.limitedBy === "out-of-depth");
  if (!beside || focus.by !== "depth" || crownRiseMm < NO_RISE) return [];
  const higher = Math.floor(10 * (focus.belowCrownMm - crownRiseMm)) / 10;
  const within = higher >= -limits.usableDepthMm;
  return [
    row("", `the crown rises to ${signed(crownRiseMm, 1)} mm above that point and is out of depth there`),
    ...(within ? [row("", `→ --focus ${higher} keeps all of it usable, and reaches less far around`)] : []),
  ];
}

function printableWords(subject: Subject): string {
  const { table: found, ends, body } = subject.study;
  const { fromMm, toMm } = found.printable;
  if (fromMm === null || toMm === null) return "nothing";
  const zero = ends.rimY;
  if (zero === null)
    return `${areaWords(subject)}, from ${signed(fromMm, 1)} to ${signed(toMm, 1)} mm along the wall from the placement point`;
  const o = new Float64Array(4);
  const [top, bottom] = [fromMm, toMm].map((m) => {
    body.warp.surface.meridian.at(m, o);
    return signed(o[1]! - zero, 1);
  });
  return `${areaWords(subject)}, from ${top} to ${bottom} mm below the rim`;
}

interface Column {
  readonly head: string;
  readonly cell: (one: VesselRow) => string;
  /** False where no row of the table knows it. */
  readonly known?: (one: VesselRow) => boolean;
}

const columns: readonly Column[] = [
  { head: "place", cell: ({ places }) => places.join(", ") },
  {
    head: "above base mm",
    cell: ({ aboveBaseMm }) => orDash(aboveBaseMm, 1),
    known: ({ aboveBaseMm }) => aboveBaseMm !== null,
  },
  {
    head: "below rim mm",
    cell: ({ belowRimMm }) => orDash(belowRimMm, 1),
    known: ({ belowRimMm }) => belowRimMm !== null,
  },
  { head: "along wall mm", cell: ({ alongOutlineMm }) => signed(alongOutlineMm, 1) },
  { head: "diameter mm", cell: ({ diameterMm }) => signed(diameterMm, 2) },
  { head: "girth mm", cell: ({ girthMm }) => signed(girthMm, 1) },
  { head: "taper", cell: ({ taperDeg }) => `${signed(taperDeg, 1)}°` },
  { head: "drop mm", cell: ({ crownDropMm }) => signed(crownDropMm, 2) },
  { head: "incidence", cell: ({ crownIncidenceDeg }) => orDash(crownIncidenceDeg, 0, "°") },
  { head: "around", cell: ({ halfAngleDeg }) => `±${signed(halfAngleDeg, 1)}°` },
  { head: "reach mm on the vessel", cell: reachWords },
  { head: "limited by", cell: ({ limitedBy }) => limitedBy.replaceAll("-", " ") },
];

/** Numbers, between the first column and the last, stand to the right. */
function tableLines({ rows }: VesselTable): string[] {
  const shown = columns.filter(({ known }) => known === undefined || rows.some(known));
  const numbers = shown.map((_, i) => i).slice(1, -1);
  return table(
    [shown.map(({ head }) => head), ...rows.map((one) => shown.map(({ cell }) => cell(one)))],
    numbers,
  );
}

const orDash = (value: number | null, digits: number, unit = ""): string =>
  value === null ? "—" : `${signed(value, digits)}${unit}`;
