/** The views of the vessel in rows: the front in the middle and larger, its neighbours on the same base line. */
import type { Lettering } from "../lettering.ts";
import type { PageImage, PageItem } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { type Area, type Block, paragraph, text } from "./pageparts.ts";

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

/** The rows within the area, as large as goes, centred. */
export function viewRows(rows: readonly RowOfViews[], lettering: Lettering, area: Area): Block {
  const tall = frontHeight(rows, area.width, area.height);
  const items: PageItem[] = [];
  let y = area.y;
  for (const { title, views } of rows) {
    if (title) {
      items.push(
        text(lettering.fitted(title, area.width, 3.4, "bold"), area.x, y + 3.6, 3.4, { weight: "bold" }),
      );
      y += TITLE;
    }
    items.push(...rowItems(views, lettering, { ...area, y, height: tall }));
    y += tall + LABEL_ROOM + ROW_GAP;
  }
  return { items, height: y - ROW_GAP - area.y };
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

const label = (words: string, x: number, y: number, room: number, lettering: Lettering) =>
  paragraph(lettering, words, { x, y, room }, LABEL_SIZE, { anchor: "middle", fill: QUIET, most: 2 }).items;
