/** The items that pages are made of, from their measures. All mm. */
import type { Weight } from "../lettering.ts";
import { INK } from "../parts.ts";
import { fixed } from "../svg.ts";
import type { PageLine, PagePath, PageText } from "./page.ts";

/** Line widths of ISO 128: wide and narrow, of the group 0.5. */
export const WIDE = 0.5;
export const NARROW = 0.25;

export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
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
