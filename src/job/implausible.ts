/** Measured profiles that may be meant so, but hardly are: far too small for a vessel, or leaning too far to be marked. */
import type { Problem } from "../problem.ts";
import type { RowMeasure } from "./measures.ts";

/** No vessel that is marked is narrower, or measured over less (mm; our own choice). */
const SMALL = 25;
/** Against the axis: the usual limit of incidence, where the footprint is twice as long (our own choice). */
const STEEP_DEG = 60;

/** Of the wall between two rows against the axis (degrees), 0 to 180: `rise` is negative where it goes back. */
export const leanDeg = (widens: number, rise: number): number =>
  (Math.atan2(Math.abs(widens) / 2, rise) * 180) / Math.PI;

/** Cautions. `rows` in strictly rising order. */
export function implausible(rows: readonly RowMeasure[]): Problem[] {
  return [...small(rows), ...steep(rows)];
}

function small(rows: readonly RowMeasure[]): Problem[] {
  const widest = Math.max(...rows.map(({ diameterMm }) => diameterMm));
  const tallest = rows.at(-1)!.heightMm;
  if (widest >= SMALL && tallest >= SMALL) return [];
  const what = widest < SMALL ? `${plain(widest)} mm wide at most` : `${plain(tallest)} mm tall`;
  return [
    {
      code: "profile-small",
      severity: "caution",
      message: `the profile is ${what}: hardly a vessel`,
      hint: "lengths are mm: is the table in cm, or are diameters in a column of circumferences?",
    },
  ];
}

const plain = (value: number): string => String(Number(value.toFixed(1)));

/** The steepest place between two rows is told, and how many more there are. */
function steep(rows: readonly RowMeasure[]): Problem[] {
  const places = rows
    .slice(1)
    .map((row, i) => {
      const below = rows[i]!;
      return { row, below, lean: leanDeg(row.diameterMm - below.diameterMm, row.heightMm - below.heightMm) };
    })
    .filter(({ lean }) => lean > STEEP_DEG)
    .sort((p, q) => q.lean - p.lean);
  const most = places[0];
  if (most === undefined) return [];
  const [row, other] = [most.row, most.below].sort((p, q) => p.row - q.row) as [RowMeasure, RowMeasure];
  const more = places.length > 1 ? `, and so it does in ${places.length - 1} more` : "";
  return [
    {
      code: "profile-steep",
      severity: "caution",
      message: `rows ${row.row} and ${other.row}: between them the wall leans ${most.lean.toFixed(0)}° from the axis, more than ${STEEP_DEG}°${more}`,
      ...(other.line === undefined ? {} : { where: { line: other.line } }),
      hint: "measure it in more rows; where it does lean so, place the artwork off it or tilt the vessel with --pose",
    },
  ];
}
