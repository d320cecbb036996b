/** viewBox and preserveAspectRatio: SVG 2, 8.2 "Computing the equivalent transform of an SVG viewport". */
import type { Affine } from "../geometry/affine.ts";

export interface ViewBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** `x`, `y`: the share of the spare room before the picture (0 min, ½ mid, 1 max). */
export interface Fit {
  readonly x: number;
  readonly y: number;
  readonly mode: "meet" | "slice" | "none";
}

const number = "[+-]?(?:\\d+(?:\\.\\d*)?|\\.\\d+)(?:[eE][+-]?\\d+)?";
const gap = "(?:\\s+(?:,\\s*)?|,\\s*)";
const boxPattern = new RegExp(`^\\s*(${number})${gap}(${number})${gap}(${number})${gap}(${number})\\s*$`);
const fitPattern = /^\s*(?:defer\s+)?(none|x(Min|Mid|Max)Y(Min|Mid|Max))(?:\s+(meet|slice))?\s*$/;
const share: Readonly<Record<string, number>> = { Min: 0, Mid: 0.5, Max: 1 };

/** Four finite numbers, or null. The caller judges the signs of width and height. */
export function parseViewBox(text: string): ViewBox | null {
  const match = boxPattern.exec(text);
  if (!match) return null;
  const [x, y, width, height] = match.slice(1).map(Number);
  return [x, y, width, height].every(Number.isFinite) ? { x, y, width, height } : null;
}

/** xMidYMid meet for nothing or for a text that the standard does not know. */
export function parseFit(text: string | undefined): Fit {
  const match = fitPattern.exec(text ?? "");
  if (!match) return { x: 0.5, y: 0.5, mode: "meet" };
  if (match[1] === "none") return { x: 0, y: 0, mode: "none" };
  return { x: share[match[2]], y: share[match[3]], mode: match[4] === "slice" ? "slice" : "meet" };
}

/** Maps the view box onto a viewport of the given size whose top left is (0, 0). Sizes must be positive. */
export function viewportTransform(box: ViewBox, fit: Fit, width: number, height: number): Affine {
  let a = width / box.width;
  let d = height / box.height;
  if (fit.mode === "meet") a = d = Math.min(a, d);
  if (fit.mode === "slice") a = d = Math.max(a, d);
  const e = -box.x * a + (width - box.width * a) * fit.x;
  const f = -box.y * d + (height - box.height * d) * fit.y;
  return { a, b: 0, c: 0, d, e, f };
}
