/** The page's small table: at some heights diameter, girth, taper and reach. */

import { downTenth } from "../../plan/figures.ts";
import type { VesselRow, VesselTable } from "../../plan/vesseltable.ts";
import { type Area, line, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { signed } from "../ticks.ts";

/** Rows shown, and their measures (mm). */
const MOST = 11;
const SIZE = 3;
const STEP = 4.5;

/** All named places but the measured ones, and of the others as many as there is room for, evenly. */
export function rowsShown({ rows }: VesselTable, most = MOST): VesselRow[] {
  const named = (row: VesselRow): boolean => row.places.some((place) => place !== "measured");
  const rest = rows.filter((row) => !named(row));
  const room = Math.max(0, most - (rows.length - rest.length));
  const picked = new Set(
    Array.from({ length: Math.min(room, rest.length) }, (_, i) =>
      Math.floor(((i + 0.5) * rest.length) / Math.min(room, rest.length)),
    ).map((i) => rest[i]),
  );
  return rows.filter((row) => named(row) || picked.has(row));
}

const names = {
  placement: "placement",
  measured: "",
  rim: "rim",
  base: "base",
  widest: "widest",
  narrowest: "narrowest",
};

/** The first name a place has: rim and base before what else is there. */
const nameOf = ({ places }: VesselRow): string =>
  names[places.find((place) => place === "rim" || place === "base") ?? places[0] ?? "measured"];

/** Where the columns' right edges are, as parts of the width. */
const COLUMNS = [0.36, 0.5, 0.66, 0.82, 1];

export const girthsHeight = (rows: number): number => 10.5 + STEP * rows;

export function girths(table: VesselTable, area: Area): PageItem[] {
  const known = table.rows[0]!.aboveBaseMm !== null;
  const below = !known && table.rows[0]!.belowRimMm !== null;
  const rows = rowsShown(table);
  const heads = [known ? "above base" : below ? "below rim" : "along wall", "Ø", "girth", "taper", "reach"];
  const right = (cells: readonly string[], y: number, weight?: "bold"): PageItem[] =>
    cells.map((cell, i) =>
      text(cell, area.x + area.width * COLUMNS[i]!, y, SIZE, {
        anchor: "end",
        ...(weight ? { weight } : {}),
      }),
    );
  const top = area.y + 8;
  return [
    ...right(heads, area.y + 3, "bold"),
    ...right(["mm", "mm", "mm", "", "on vessel"], area.y + 6.6),
    line(area.x, top, area.x + area.width, top, WIDE),
    ...rows.flatMap((row, i) => {
      const y = top + STEP * (i + 1) - 0.8;
      const height = known ? row.aboveBaseMm! : below ? row.belowRimMm! : row.alongOutlineMm;
      return [
        text(nameOf(row), area.x, y, SIZE),
        ...right(
          [
            signed(height, 1),
            row.diameterMm.toFixed(1),
            row.girthMm.toFixed(1),
            `${signed(row.taperDeg, 1)}°`,
            reachWords(row),
          ],
          y,
        ),
      ];
    }),
    line(area.x, top + STEP * rows.length + 1, area.x + area.width, top + STEP * rows.length + 1),
  ];
}

/** Around on the vessel, rounded down: what is told fits. */
export const reachWords = ({ printable, reachMm }: VesselRow): string =>
  printable === "no" ? "none" : printable === "sides" ? "sides only" : downTenth(reachMm);
