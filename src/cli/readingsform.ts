/**
 * The form that readings are written into: a table (CSV), one row a mark, with what was set for it and the columns to fill in.
 * A bar's number, "none" where there is no such bar, nothing where nobody looked.
 */
import type { Strip, StripMark } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";

/** What was set: for whoever fills the form in, and to see that it belongs to its strip. */
export const setColumns = ["power_w", "speed_mm_s", "focus_mm", "height_mm", "side_mm"] as const;
/** What is read. */
export const readColumns = [
  ...(["first_clear", "last_clear", "first_gap", "last_gap", "first_metal", "last_metal"] as const),
  ...(["left_mm", "right_mm", "x_mm", "y_mm"] as const),
];
export type SetColumn = (typeof setColumns)[number];
export type ReadColumn = (typeof readColumns)[number];

/** The columns of a strip's form beside the mark's number. */
export function columnsOf({ ladder }: Pick<Strip, "ladder">): { set: SetColumn[]; read: ReadColumn[] } {
  if (ladder === "squares") return { set: ["height_mm", "side_mm"], read: ["x_mm", "y_mm"] };
  const bars = readColumns.slice(0, 6);
  return {
    set: ["power_w", "speed_mm_s", "focus_mm"],
    read: ladder === "ramp" ? [...bars, "left_mm", "right_mm"] : bars,
  };
}

/** What was set for a mark, as its column says it. Throws JobError for a column that its strip has not. */
export function setOf(strip: Strip, { settings, belowCrownMm }: StripMark, column: SetColumn): number {
  if (!columnsOf(strip).set.includes(column))
    throw new JobError(
      "readings-columns",
      `the column ${column} belongs to another kind of strip than ${strip.name} (${strip.ladder})`,
      "take it out, or name the strip that was read",
    );
  if (column === "power_w") return settings.powerW;
  if (column === "speed_mm_s") return settings.speedMmS;
  if (column === "focus_mm") return belowCrownMm;
  return column === "height_mm" ? 0 - belowCrownMm : strip.sideMm!;
}

export function readingsForm(strip: Strip): string {
  const { set, read } = columnsOf(strip);
  const lines = [
    `# Readings of the strip ${strip.name}.`,
    ...remarks(strip).map((one) => `# ${one}`),
    ["mark", ...set, ...read].join(","),
    ...strip.marks.map((mark) =>
      [mark.number, ...set.map((column) => setOf(strip, mark, column)), ...read.map(() => "")].join(","),
    ),
  ];
  return `${lines.join("\n")}\n`;
}

function remarks({ ladder, bars }: Strip): string[] {
  if (ladder === "squares") {
    return [
      "x_mm and y_mm: the square's sides along the bed's x and y, measured to 0.1 mm, from line to line.",
      "Leave a cell empty that was not measured. Remarks begin with #.",
    ];
  }
  const numbers = `Numbers of bars, 1 to ${bars.at(-1)?.number}, as they stand on the mark: from the left, the rim up.`;
  return [
    ladder === "ramp" ? numbers.replace("the rim up", "seen from the lens") : numbers,
    "first_clear, last_clear: the first and the last bar that is fully clear.",
    "first_gap, last_gap: between these, the first and the last bar that is not fully clear.",
    "first_metal, last_metal: the first and the last bar where the metal has changed.",
    "none: there is no such bar. An empty cell: nobody looked. Remarks begin with #.",
    ...(ladder === "ramp"
      ? ["left_mm, right_mm: heights over the bed of the coupon's surface at its first and its last bar."]
      : []),
  ];
}
