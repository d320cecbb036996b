/** What stands where on a page: boxes of its items, measured apart from the code that laid them out. */
import parser from "svg-path-parser";
import type { Lettering } from "../../../src/picture/lettering.ts";
import type { Page, PageItem, PageText } from "../../../src/picture/page/page.ts";

export interface Extent {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** Ascent of capitals and descent of Noto Sans are 0.714 and 0.24 em, its ascenders' 0.77. */
const RISE = 0.77;
const HANG = 0.24;

export function extentOf(item: PageItem, lettering: Lettering): Extent {
  switch (item.kind) {
    case "line": {
      const { x1, y1, x2, y2, width } = item;
      return grown(spread([x1, x2], [y1, y2]), width / 2);
    }
    case "image":
      return spread([item.x, item.x + item.width], [item.y, item.y + item.height]);
    case "path": {
      const commands = parser.makeAbsolute(parser.parseSVG(item.d));
      const xs = commands.flatMap((c) => [c.x, c.x1, c.x2].filter((v) => v !== undefined));
      const ys = commands.flatMap((c) => [c.y, c.y1, c.y2].filter((v) => v !== undefined));
      return grown(spread(xs, ys), item.stroke ? (item.width ?? 0) / 2 : 0);
    }
    case "text":
      return textExtent(item, lettering);
  }
}

function textExtent(
  { words, x, y, size, weight, anchor = "start", rotate = 0 }: PageText,
  lettering: Lettering,
) {
  const long = lettering.width(words, size, weight);
  const start = anchor === "start" ? 0 : anchor === "middle" ? -long / 2 : -long;
  const angle = (rotate * Math.PI) / 180;
  const corners = [
    [start, -RISE * size],
    [start + long, -RISE * size],
    [start, HANG * size],
    [start + long, HANG * size],
  ].map(([u, v]) => [
    x + u! * Math.cos(angle) - v! * Math.sin(angle),
    y + u! * Math.sin(angle) + v! * Math.cos(angle),
  ]);
  return spread(
    corners.map((c) => c[0]!),
    corners.map((c) => c[1]!),
  );
}

const spread = (xs: readonly number[], ys: readonly number[]): Extent => ({
  minX: xs.reduce((a, b) => Math.min(a, b)),
  maxX: xs.reduce((a, b) => Math.max(a, b)),
  minY: ys.reduce((a, b) => Math.min(a, b)),
  maxY: ys.reduce((a, b) => Math.max(a, b)),
});

const grown = (e: Extent, by: number): Extent => ({
  minX: e.minX - by,
  minY: e.minY - by,
  maxX: e.maxX + by,
  maxY: e.maxY + by,
});

/** Items that go past the page less `margin`; an item with a number that is none counts as well. */
export const outsiders = (page: Page, lettering: Lettering, margin: number): PageItem[] =>
  page.items.filter((item) => {
    const e = extentOf(item, lettering);
    return !(
      e.minX >= margin &&
      e.minY >= margin &&
      e.maxX <= page.widthMm - margin &&
      e.maxY <= page.heightMm - margin
    );
  });

/** Pairs of texts, and of a text and an image, that lie over each other. */
export function collisions(page: Page, lettering: Lettering): string[] {
  const placed = page.items
    .filter((item) => item.kind === "text" || item.kind === "image")
    .map((item) => ({
      name: item.kind === "text" ? item.words : item.name,
      text: item.kind === "text",
      e: extentOf(item, lettering),
    }));
  return placed.flatMap((a, i) =>
    placed
      .slice(i + 1)
      .filter(
        (b) =>
          Math.min(a.e.maxX, b.e.maxX) - Math.max(a.e.minX, b.e.minX) > 1e-6 &&
          Math.min(a.e.maxY, b.e.maxY) - Math.max(a.e.minY, b.e.minY) > 1e-6,
      )
      .map((b) => `${a.name} / ${b.name}`),
  );
}

export const textsOf = (page: Page): PageText[] => page.items.filter((item) => item.kind === "text");

/** All words of the page in their order, a blank between two lines. */
export const wordsOf = (page: Page): string =>
  textsOf(page)
    .map((item) => item.words)
    .join(" ");

/** Whether the page says this, wherever its lines are broken. */
export const says = (page: Page, words: string): boolean => bare(wordsOf(page)).includes(bare(words));
const bare = (words: string): string => words.replace(/\s+/gu, "");
