/** The flat drawing's dimensions: size, extents from the crown line, distances from rim and base. */
import type { Box } from "../../geometry/path.ts";
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import type { PageItem } from "../page/page.ts";
import { type Dimension, dimension, extension, FIGURE, STEP } from "./pagedimension.ts";
import { type Fit, leftStep, ROOMY } from "./pagefit.ts";
import { type DrawnLine, drawnBox, type LineName, lineItems, placesOf } from "./pageflatlines.ts";
import { edges, sizeText } from "./words.ts";

/** Less than this between ink and a line (mm on the flat) is no distance to tell. */
const LEAST = 0.05;
const PAST = 2;

/** The known lines and all dimensions, on the page. */
export function flatDimensions(
  plan: Plan,
  fit: Fit,
  lines: readonly DrawnLine[],
  lettering: Lettering,
): PageItem[] {
  const box = drawnBox(fit.ink, lines);
  const { items, crownTo } = around(plan, fit, lines, lettering);
  return [
    ...lineItems(lines, box, crownTo, lettering),
    ...items,
    ...along(plan, fit, lines, lettering),
    ...fromEnds(plan, fit, lines, lettering),
  ];
}

/** Below the ink: the extents from the crown line, then the width; and how far down the crown line must go for them. */
function around(
  plan: Plan,
  { ink }: Fit,
  lines: readonly DrawnLine[],
  lettering: Lettering,
): { readonly items: PageItem[]; readonly crownTo: number } {
  const { box } = plan.ink;
  const crown = placeOf(lines, "crown");
  const dims = crown === null ? [] : extents(box, ink, crown);
  const rows = dims.some((d) => d.row === 1) ? 2 : dims.length > 0 ? 1 : 0;
  const start = clearOf(ink.maxY, 1, STEP * (rows + 1), lines, true);
  const at = (row: number): number => start + STEP * (row + 1);
  const crossed = lines.filter((one) => !one.level && one.name !== "blocked").map((one) => one.at);
  const width = {
    level: true,
    from: ink.minX,
    to: ink.maxX,
    at: at(rows),
    words: sizeText(box.maxX - box.minX),
    outside: "after",
    crossed,
  } as const;
  // Ink of no width has one side, and no more to tell of than how far it is from the crown line.
  const wide = box.maxX - box.minX > 0;
  const sides = wide ? [ink.minX, ink.maxX] : rows > 0 ? [ink.minX] : [];
  const items = [
    ...(wide ? dimension(width, lettering) : []),
    ...dims.flatMap((d) => dimension({ ...d, at: at(d.row), crossed }, lettering)),
    ...sides.map((x) => extension(true, x, ink.maxY, at(wide ? rows : rows - 1))),
  ];
  return { items, crownTo: rows > 0 ? at(rows - 1) + PAST : ink.maxY };
}

/** Left and right of the crown line in one row; both on one side of it in two, the shorter first. */
function extents(flat: Box, ink: Box, crown: number): (Omit<Dimension, "at"> & { readonly row: number })[] {
  const one = (mm: number, edge: number, row: number, shared: boolean) => ({
    level: true,
    from: Math.min(edge, crown),
    to: Math.max(edge, crown),
    words: sizeText(Math.abs(mm)),
    outside: mm < 0 ? ("before" as const) : ("after" as const),
    shared,
    row,
  });
  const astride = flat.minX < 0 && flat.maxX > 0;
  const leftFirst = Math.abs(flat.minX) <= Math.abs(flat.maxX);
  const list = [
    { mm: flat.minX, edge: ink.minX, row: astride || leftFirst ? 0 : 1 },
    { mm: flat.maxX, edge: ink.maxX, row: astride || !leftFirst ? 0 : 1 },
  ].filter(({ mm }, i) => Math.abs(mm) > LEAST && (i === 0 || flat.maxX > flat.minX));
  // With one at the crown line itself the other has a row for itself.
  return list.map(({ mm, edge, row }) => one(mm, edge, list.length === 1 ? 0 : row, astride));
}

/** Right of the ink: its height. */
function along(plan: Plan, { ink }: Fit, lines: readonly DrawnLine[], lettering: Lettering): PageItem[] {
  const { minY, maxY } = plan.ink.box;
  if (!(maxY - minY > 0)) return [];
  const step = ink.maxY - ink.minY < ROOMY ? 2 * STEP : STEP;
  const at = clearOf(ink.maxX, 1, step, lines, false) + step;
  const words = sizeText(maxY - minY);
  return [
    ...dimension({ level: false, from: ink.minY, to: ink.maxY, at, words, outside: "before" }, lettering),
    ...[ink.minY, ink.maxY].map((y) => extension(false, y, ink.maxX, at)),
  ];
}

/** Left of the ink: from the rim to its top edge and from its bottom edge to the base, where these are drawn. */
function fromEnds(
  plan: Plan,
  { ink, reduction }: Fit,
  lines: readonly DrawnLine[],
  lettering: Lettering,
): PageItem[] {
  const { topMm, bottomMm } = edges(plan);
  const [rim, base] = [placeOf(lines, "rim"), placeOf(lines, "base")];
  const step = leftStep(plan.ink.box.minX, reduction);
  const at = clearOf(ink.minX, -1, step, lines, false) - step;
  const one = (mm: number, from: number, to: number, outside: Dimension["outside"]) =>
    dimension({ level: false, from, to, at, words: sizeText(mm), outside }, lettering);
  const below = rim !== null && topMm !== null && topMm > LEAST;
  const above = base !== null && bottomMm !== null && bottomMm > LEAST;
  return [
    ...(below ? [...one(topMm, rim, ink.minY, "after"), extension(false, ink.minY, ink.minX, at)] : []),
    ...(above ? [...one(bottomMm, ink.maxY, base, "before"), extension(false, ink.maxY, ink.minX, at)] : []),
  ];
}

/** Null where it is not drawn, or runs aslant so that no dimension ends on it. */
const placeOf = (lines: readonly DrawnLine[], name: LineName): number | null =>
  lines.find((one) => one.name === name && !one.curve)?.at ?? null;

/** Where dimensions that take `need` may begin, going `way` from `start`: past every line that would run among them. */
function clearOf(
  start: number,
  way: 1 | -1,
  need: number,
  lines: readonly DrawnLine[],
  level: boolean,
): number {
  return lines
    .filter((one) => one.level === level)
    .flatMap(placesOf)
    .sort((a, b) => way * (a - b))
    .reduce((from, at) => {
      const ahead = way * (at - from);
      return ahead > 0 && ahead < need + FIGURE + 1 ? at : from;
    }, start);
}
