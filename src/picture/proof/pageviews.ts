/** The views of the vessel in rows: the front in the middle and larger, its neighbours on the same base line. */
import type { Lettering } from "../lettering.ts";
import { type Box, paragraph, stacked } from "../page/boxes.ts";
import { type Area, text } from "../page/items.ts";
import type { PageImage, PageItem } from "../page/page.ts";
import { QUIET } from "../parts.ts";

export interface PlacedView {
  /** The image's name. */
  readonly name: string;
  /** "front", "turned 55° to the left". */
  readonly label: string;
  readonly widthPx: number;
  readonly heightPx: number;
}

export interface RowOfViews {
  /** Above the row; null where there is only one. */
  readonly title: string | null;
  /** Front first. */
  readonly views: readonly PlacedView[];
}

/** As they stand in the row: the front in the middle of its sides. */
export function inRow(views: readonly PlacedView[]): PlacedView[] {
  const [front, ...sides] = views;
  if (!front) return [];
  const before = Math.floor(sides.length / 2);
  return [...sides.slice(0, before), front, ...sides.slice(before)];
}

/** The sides' size in that of the front. */
const SIDE = 0.8;
const GAP = 4;
const TITLE = 5.2;
const LABEL_SIZE = 2.9;
const LABEL_ROOM = 9;
const ROW_GAP = 2;

/** How tall a view of full size can be, all rows within width and height. */
export function frontHeight(rows: readonly RowOfViews[], width: number, height: number): number {
  const words = rows.reduce((sum, row) => sum + LABEL_ROOM + (row.title ? TITLE : 0), 0);
  const most = (height - words - ROW_GAP * (rows.length - 1)) / rows.length;
  const wide = rows.map(({ views }) => {
    const parts = views.reduce((sum, view, i) => sum + share(i) * (view.widthPx / view.heightPx), 0);
    return (width - GAP * (views.length - 1)) / parts;
  });
  return Math.max(0, Math.min(most, ...wide));
}
const share = (i: number): number => (i === 0 ? 1 : SIDE);

/** The rows within width and height, as large as goes, centred across. */
export function viewRows(
  rows: readonly RowOfViews[],
  lettering: Lettering,
  width: number,
  height: number,
): Box {
  const tall = frontHeight(rows, width, height);
  return stacked(
    rows.map((row) => rowBox(row, lettering, width, tall)),
    ROW_GAP,
  );
}

function rowBox({ title, views }: RowOfViews, lettering: Lettering, width: number, tall: number): Box {
  const above = title ? TITLE : 0;
  return {
    height: above + tall + LABEL_ROOM,
    items: (x, y) => [
      ...(title
        ? [text(lettering.fitted(title, width, 3.4, "bold"), x, y + 3.6, 3.4, { weight: "bold" })]
        : []),
      ...rowItems(views, lettering, { x, y: y + above, width, height: tall }),
    ],
  };
}

function rowItems(views: readonly PlacedView[], lettering: Lettering, area: Area): PageItem[] {
  const placed = inRow(views).map((view) => {
    const height = area.height * share(view === views[0] ? 0 : 1);
    return { view, height, width: (height * view.widthPx) / view.heightPx };
  });
  const wide = placed.reduce((sum, p) => sum + p.width, GAP * (placed.length - 1));
  let x = area.x + (area.width - wide) / 2;
  return placed.flatMap(({ view, width, height }) => {
    const image = imageOf(view, { x, y: area.y + area.height - height, width, height });
    const middle = x + width / 2;
    x += width + GAP;
    return [image, ...label(view.label, middle, area.y + area.height + 0.8, width + GAP - 1, lettering)];
  });
}

export const imageOf = ({ name }: PlacedView, { x, y, width, height }: Area): PageImage => ({
  kind: "image",
  name,
  x,
  y,
  width,
  height,
});

const label = (words: string, x: number, y: number, room: number, lettering: Lettering): PageItem[] =>
  paragraph(lettering, words, room, LABEL_SIZE, { anchor: "middle", fill: QUIET }).items(x, y);
