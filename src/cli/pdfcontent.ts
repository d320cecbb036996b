/** Lines and paths of a page as operators of a PDF's content (ISO 32000-1, 8.5). */
import { drawPathData } from "../artwork/pathdata.ts";
import { Pen } from "../artwork/pen.ts";
import { identity } from "../geometry/affine.ts";
import type { PageLine, PagePath } from "../picture/page/page.ts";
import { INK } from "../picture/parts.ts";
import { fixed } from "../picture/svg.ts";

/** Numbers with at most four decimals. Throws Error for one that is not finite. */
export const numbers = (values: Iterable<number>): string => Array.from(values, (v) => fixed(v, 4)).join(" ");

/** "#rrggbb" as three numbers from 0 to 1. Throws Error for other colours. */
export function paint(colour: string): string {
  if (!/^#[0-9a-f]{6}$/i.test(colour)) throw new Error(`a page was given “${colour}” for a colour`);
  return numbers([1, 3, 5].map((i) => Number.parseInt(colour.slice(i, i + 2), 16) / 255));
}

export function lineContent({ x1, y1, x2, y2, width, stroke = INK, dash }: PageLine): string {
  if (stroke === "none") return "";
  return `${pen(stroke, width, dash)}\n${numbers([x1, y1])} m ${numbers([x2, y2])} l S`;
}

/** Throws Error for path data that is broken. */
export function pathContent({ d, fill, stroke, width = 0.25, rule = "nonzero", dash }: PagePath): string {
  const filled = paintOf(fill ?? (stroke ? "none" : INK));
  const stroked = paintOf(stroke ?? "none");
  const outline = segments(d);
  if (outline === "" || !(filled || stroked)) return "";
  const operator = (stroked ? (filled ? "B" : "S") : "f") + (filled && rule === "evenodd" ? "*" : "");
  return [
    ...(filled ? [`${paint(filled)} rg`] : []),
    ...(stroked ? [pen(stroked, width, dash)] : []),
    outline,
    operator,
  ].join("\n");
}

const paintOf = (colour: string): string | null => (colour === "none" ? null : colour);

const pen = (stroke: string, width: number, dash: readonly number[] = []): string =>
  `${paint(stroke)} RG ${numbers([width])} w [${numbers(dash)}] 0 d`;

/** pdfkit's own reader writes quadratic curves as cubic ones with the same arm. */
function segments(d: string): string {
  const drawing = new Pen(identity);
  const fault = drawPathData(d, drawing);
  if (fault) throw new Error(`a page was given a broken path: ${fault.message}`);
  const parts: string[] = [];
  for (const { points, straight, closed } of drawing.path().contours) {
    parts.push(`${numbers(points.subarray(0, 2))} m`);
    const last = straight.length - 1;
    straight.forEach((line, k) => {
      const at = 2 + 6 * k;
      // Closing draws the last side.
      if (line === 1 && closed && k === last) return;
      if (line === 1) parts.push(`${numbers(points.subarray(at + 4, at + 6))} l`);
      else parts.push(`${numbers(points.subarray(at, at + 6))} c`);
    });
    if (closed) parts.push("h");
  }
  return parts.join("\n");
}
