/** The small parts that the proof's pages are made of: text, lines, frames, and text broken to fit. All mm. */
import type { Lettering, Weight } from "../lettering.ts";
import type { PageItem, PageLine, PagePath, PageText } from "../page/page.ts";
import { INK } from "../parts.ts";
import { fixed } from "../svg.ts";

/** Free paper around everything: what desk printers leave blank is less. */
export const MARGIN = 12;
/** Line widths of ISO 128: wide and narrow, of the group 0.5. */
export const WIDE = 0.5;
export const NARROW = 0.25;
/** From one baseline to the next, in ems. */
const LEADING = 1.3;
/** How far the letters stand above their baseline, in ems. */
export const RISE = 0.8;

export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Items, and how far down from the given place they go. */
export interface Block {
  readonly items: readonly PageItem[];
  readonly height: number;
}

export interface Style {
  readonly weight?: Weight;
  readonly fill?: string;
  readonly anchor?: "start" | "middle" | "end";
  readonly rotate?: number;
}

export const text = (words: string, x: number, y: number, size: number, style: Style = {}): PageText => ({
  kind: "text",
  words,
  x,
  y,
  size,
  fill: INK,
  ...style,
});

export const line = (
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  width: number = NARROW,
  dash?: readonly number[],
): PageLine => ({ kind: "line", x1, y1, x2, y2, width, stroke: INK, ...(dash ? { dash } : {}) });

export const frame = (area: Area, width: number = NARROW, fill = "none"): PagePath => ({
  kind: "path",
  d: areaData(area),
  stroke: INK,
  width,
  fill,
});

const areaData = ({ x, y, width, height }: Area): string =>
  `M${fixed(x, 4)} ${fixed(y, 4)}h${fixed(width, 4)}v${fixed(height, 4)}h${fixed(-width, 4)}Z`;

/** `Lettering.lines`, but words that are wider than the room are broken; blanks alone give no line. */
export function wrapped(
  lettering: Lettering,
  words: string,
  room: number,
  size: number,
  weight: Weight,
  most: number,
): string[] {
  const parts = words
    .trim()
    .split(/\s+/u)
    .flatMap((word) => broken(lettering, word, room, size, weight));
  return lettering.lines(parts.join(" "), room, size, weight, most).filter((one) => one !== "");
}

/** A word cut into pieces that fit, never within a character as people see it. */
function broken(lettering: Lettering, word: string, room: number, size: number, weight: Weight): string[] {
  if (lettering.width(word, size, weight) <= room) return [word];
  const pieces: string[] = [];
  let piece = "";
  for (const { segment } of new Intl.Segmenter("en", { granularity: "grapheme" }).segment(word)) {
    if (piece !== "" && lettering.width(piece + segment, size, weight) > room) {
      pieces.push(piece);
      piece = "";
    }
    piece += segment;
  }
  return [...pieces, piece];
}

/** Text from (x, y) down, y its upper edge, on at most so many lines. */
export function paragraph(
  lettering: Lettering,
  words: string,
  place: { readonly x: number; readonly y: number; readonly room: number },
  size: number,
  style: Style & { readonly most?: number } = {},
): Block {
  const { most = 2, ...rest } = style;
  const lines = wrapped(lettering, words, place.room, size, rest.weight ?? "regular", most);
  return {
    items: lines.map((one, i) => text(one, place.x, place.y + (RISE + LEADING * i) * size, size, rest)),
    height: lines.length * LEADING * size,
  };
}

/** Text in the largest of the sizes with which all of it goes into the area; the smallest may end in an ellipsis. */
export function fittedText(
  lettering: Lettering,
  words: string,
  area: Area,
  sizes: readonly number[],
  style: Style = {},
): PageText[] {
  let items: PageText[] = [];
  for (const size of sizes) {
    const most = Math.max(1, Math.floor(area.height / (TIGHT * size)));
    const lines = wrapped(lettering, words, area.width, size, style.weight ?? "regular", most);
    items = lines.map((one, i) => text(one, area.x, area.y + (RISE + TIGHT * i) * size, size, style));
    const cut = lines.at(-1)?.endsWith("…") && !words.trimEnd().endsWith("…");
    if (!cut) break;
  }
  return items;
}
/** Leading in the cells of a table. */
const TIGHT = 1.2;

/** Blocks one under the other: each is told where it begins. */
export function stacked(y: number, gap: number, blocks: readonly ((y: number) => Block)[]): Block {
  const items: PageItem[] = [];
  let at = y;
  for (const block of blocks) {
    const made = block(at);
    items.push(...made.items);
    if (made.height > 0) at += made.height + gap;
  }
  return { items, height: Math.max(0, at - gap - y) };
}
