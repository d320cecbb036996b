/**
 * The title block at a page's foot: a framed table of data fields in the manner of ISO 7200 (title, owner, document
 * type, revision, date, sheet), with those of the trade beside them and the scale of ISO 5455.
 */
import type { Lettering } from "../lettering.ts";
import { frame, line, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { fittedText, MARGIN } from "./pageparts.ts";
import { coatingWords, documentKind, jobName, type Named, vesselWords } from "./words.ts";

export interface Sheet {
  readonly number: number;
  readonly of: number;
  /** "1:1"; null where nothing is drawn to scale. */
  readonly scale: string | null;
}

interface Field {
  readonly label: string;
  readonly value: string;
  /** Part of the row's width. */
  readonly share: number;
}

interface Row {
  readonly height: number;
  readonly fields: readonly Field[];
}

/** Heights of the whole, for the pages' layout. */
export const FULL_HEIGHT = 35.4;
export const SMALL_HEIGHT = 20;

/** `full` has all fields; else those that tell one sheet from another. The block ends at the lower margin. */
export function titleBlock(
  named: Named,
  sheet: Sheet,
  page: { readonly widthMm: number; readonly heightMm: number },
  lettering: Lettering,
  full: boolean,
): PageItem[] {
  const rows = full ? fullRows(named, sheet) : smallRows(named, sheet);
  const height = full ? FULL_HEIGHT : SMALL_HEIGHT;
  const width = page.widthMm - 2 * MARGIN;
  const top = page.heightMm - MARGIN - height;
  const items: PageItem[] = [frame({ x: MARGIN, y: top, width, height }, WIDE)];
  let y = top;
  for (const row of rows) {
    if (y > top) items.push(line(MARGIN, y, MARGIN + width, y));
    items.push(...rowItems(row, y, width, lettering));
    y += row.height;
  }
  return items;
}

function rowItems({ height, fields }: Row, y: number, width: number, lettering: Lettering): PageItem[] {
  const whole = fields.reduce((sum, field) => sum + field.share, 0);
  const items: PageItem[] = [];
  let x = MARGIN;
  for (const { label, value, share } of fields) {
    const wide = (width * share) / whole;
    if (x > MARGIN) items.push(line(x, y, x, y + height));
    const room = wide - 2 * PAD;
    items.push(
      text(lettering.fitted(label, room, LABEL), x + PAD, y + 2.7, LABEL, { fill: QUIET }),
      ...fittedText(
        lettering,
        value,
        { x: x + PAD, y: y + VALUE_FROM, width: room, height: height - VALUE_FROM - 0.4 },
        height > 14 ? LARGE : SIZES,
      ),
    );
    x += wide;
  }
  return items;
}
const PAD = 1.3;
const LABEL = 2.2;
const VALUE_FROM = 3.4;
/** Ems to choose from: letters 2.5 mm high (ISO 3098) and less; 3.5 mm where the row is tall. */
const SIZES = [3.5, 3, 2.6, 2.2] as const;
const LARGE = [4.9, ...SIZES] as const;

function fullRows(named: Named, sheet: Sheet): Row[] {
  const { plan, title, date } = named;
  const { order } = plan.job;
  return [
    {
      height: 14.4,
      fields: [
        { label: "job", value: jobName(named), share: 52 },
        { label: "customer", value: order.customer ?? NONE, share: 48 },
      ],
    },
    {
      height: 12,
      fields: [
        { label: "vessel", value: vesselWords(plan), share: 50 },
        { label: "coating", value: coatingWords(plan), share: 34 },
        { label: "quantity", value: quantity(order.quantity), share: 16 },
      ],
    },
    {
      height: 9,
      fields: [
        { label: "artwork", value: title, share: 34 },
        { label: "document", value: documentKind(plan), share: 24 },
        { label: "revision", value: order.revision ?? NONE, share: 16 },
        { label: "date", value: date, share: 15 },
        { label: "sheet", value: `${sheet.number} of ${sheet.of}`, share: 11 },
      ],
    },
  ];
}

function smallRows(named: Named, sheet: Sheet): Row[] {
  const { plan, title, date } = named;
  const { order } = plan.job;
  return [
    {
      height: 10,
      fields: [
        { label: "job", value: jobName(named), share: 36 },
        { label: "customer", value: order.customer ?? NONE, share: 34 },
        { label: "vessel", value: vesselWords(plan), share: 30 },
      ],
    },
    {
      height: 10,
      fields: [
        { label: "artwork", value: title, share: 28 },
        { label: "document", value: documentKind(plan), share: 22 },
        { label: "revision", value: order.revision ?? NONE, share: 13 },
        { label: "date", value: date, share: 14 },
        ...(sheet.scale ? [{ label: "scale", value: sheet.scale, share: 11 }] : []),
        { label: "sheet", value: `${sheet.number} of ${sheet.of}`, share: 12 },
      ],
    },
  ];
}

/** A field that is empty. */
const NONE = "–";
const quantity = (n: number | undefined): string => (n === undefined ? NONE : String(n));
