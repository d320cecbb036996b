/** Boxes: what is to stand on a page, of a height that is known before its place is. All mm. */
import type { Lettering, Weight } from "../lettering.ts";
import { type Style, text } from "./items.ts";
import type { PageItem } from "./page.ts";

export interface Box {
  readonly height: number;
  /** With its upper left corner at (x, y). */
  items(x: number, y: number): PageItem[];
}

/** From the upper edge of a line to its baseline, in ems: how far letters stand above it. */
export const RISE = 0.8;
/** From one baseline to the next, in ems, unless told. */
const LEAD = 1.3;

/** Boxes below each other, so far apart; none of the gaps for one that is empty. */
export function stacked(boxes: readonly Box[], gap: number): Box {
  const full = boxes.filter((box) => box.height > 0);
  return {
    height: full.reduce((sum, box) => sum + box.height, 0) + gap * Math.max(0, full.length - 1),
    items(x, y) {
      let top = y;
      return full.flatMap((box) => {
        const placed = box.items(x, top);
        top += box.height + gap;
        return placed;
      });
    },
  };
}

/** Boxes side by side, so far from one's left edge to the next one's; as high as the highest. */
export const beside = (boxes: readonly Box[], step: number): Box => ({
  height: boxes.reduce((most, box) => Math.max(most, box.height), 0),
  items: (x, y) => boxes.flatMap((box, i) => box.items(x + i * step, y)),
});

/** `lead`: from one baseline to the next, in ems. */
type Leaded = Style & { readonly lead?: number };

/** Lines as they are given. */
export const linesBox = (
  lines: readonly string[],
  size: number,
  { lead = LEAD, ...style }: Leaded = {},
): Box => ({
  height: lines.length * lead * size,
  items: (x, y) => lines.map((one, i) => text(one, x, y + (RISE + lead * i) * size, size, style)),
});

/** Words on as many lines as they need, two at most unless told. */
export function paragraph(
  lettering: Lettering,
  words: string,
  room: number,
  size: number,
  { most = 2, ...style }: Leaded & { readonly most?: number } = {},
): Box {
  return linesBox(wrapped(lettering, words, room, size, style.weight ?? "regular", most), size, style);
}

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
