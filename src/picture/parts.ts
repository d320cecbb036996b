/** Small parts that the heat map's panels share: text, lines, arrowheads, zone hatching, and their measures. */
import { type DrawnZone, zoneStyles } from "./colours.ts";
import type { Lettering, TextPlace } from "./lettering.ts";
import { segmentsData, tag } from "./svg.ts";
import { hatchLines, type Rings } from "./zoneareas.ts";

export const INK = "#1a1a1a";
export const QUIET = "#5a5a5a";
export const RULE = "#c9c9c9";
/** Text sizes (px on a picture 1200 px wide); the smallest is still readable on a phone. */
export const SMALL = 24;
export const MEDIUM = 26;
/** Dashes of the crown line and of the reach. */
export const DASH_DOT = "18 6 3 6";
export const DASHED = "10 7";

export interface TextStyle {
  readonly fill?: string;
  /** Width of a white rim that keeps the text readable over lines; 0 for none. */
  readonly halo?: number;
}

/** Text as outlines. */
export function text(lettering: Lettering, words: string, place: TextPlace, style: TextStyle = {}): string {
  const d = lettering.path(words, place);
  if (d === "") return "";
  const { fill = INK, halo = 0 } = style;
  const rim =
    halo > 0
      ? tag("path", {
          d,
          fill: "#ffffff",
          stroke: "#ffffff",
          "stroke-width": 2 * halo,
          "stroke-linejoin": "round",
        })
      : "";
  return rim + tag("path", { d, fill });
}

/** A straight line. */
export const line = (
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  stroke: string = INK,
  width = 1.5,
  dash = "",
): string =>
  tag("line", {
    x1,
    y1,
    x2,
    y2,
    stroke,
    "stroke-width": width,
    ...(dash ? { "stroke-dasharray": dash } : {}),
  });

/** A level measure from x1 to x2 with arrowheads at both ends. */
export function measure(x1: number, x2: number, y: number, stroke: string = INK): string {
  const head = Math.min(12, (x2 - x1) / 2);
  const arrow = (x: number, way: number): string =>
    tag("path", {
      d: `M${x.toFixed(2)} ${y.toFixed(2)}l${(way * head).toFixed(2)} -5v10Z`,
      fill: stroke,
    });
  return line(x1, y, x2, y, stroke, 1.5) + arrow(x1, 1) + arrow(x2, -1);
}

/** Distance between hatch lines (px). */
const HATCH = 15;

/** A zone's hatch over rings in px. */
export function hatch(zone: DrawnZone, rings: Rings, gap: number = HATCH, width = 1.4): string {
  const style = zoneStyles[zone];
  const d = style.hatch.map((angle) => segmentsData(hatchLines(rings, angle, gap * style.gap))).join("");
  return d === ""
    ? ""
    : tag("path", { d, fill: "none", stroke: INK, "stroke-width": width, "stroke-opacity": "0.6" });
}
