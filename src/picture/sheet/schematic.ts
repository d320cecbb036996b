/** The set-up end-on, not to scale: lens reference, stick, crown line, focal plane, vessel. Drawn for page and HTML. */
import { line as lineOf, text as textOf } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { INK } from "../parts.ts";
import { fixed } from "../svg.ts";
import type { SchematicWords } from "./types.ts";

/** The drawing's size, in the unit it is drawn in (mm on the page). */
export const schematicSize = { width: 94, height: 45.5 } as const;

const RADIUS = 11.5;
const AXIS = 46;
const LENS = 4.5;
const CROWN = 21.5;
const TEXT = 2.5;
const [THIN, THICK] = [0.15, 0.5];

/** The drawing's items with its top left corner at (x, y), `scale` times its size. */
export function schematicItems(words: SchematicWords, x: number, y: number, scale = 1): PageItem[] {
  const focus = CROWN + { above: -4, on: 0, below: 4 }[words.side];
  const [px, py] = [(v: number): number => x + v * scale, (v: number): number => y + v * scale];
  const line = (x1: number, y1: number, x2: number, y2: number, width: number, dash?: number[]): PageItem =>
    lineOf(px(x1), py(y1), px(x2), py(y2), width, dash);
  const text = (said: string, tx: number, ty: number, anchor: "start" | "middle" | "end"): PageItem =>
    textOf(said, px(tx), py(ty), TEXT * scale, { anchor });
  const n = (v: number): string => fixed(v, 3);
  const r = n(RADIUS * scale);
  const ring = `M${n(px(AXIS - RADIUS))} ${n(py(CROWN + RADIUS))}a${r} ${r} 0 1 1 ${n(2 * RADIUS * scale)} 0a${r} ${r} 0 1 1 ${n(-2 * RADIUS * scale)} 0Z`;
  return [
    { kind: "path", d: ring, fill: "none", stroke: INK, width: THICK },
    line(AXIS - 15, LENS, AXIS + 15, LENS, 0.8),
    text("lens reference", AXIS + 17, LENS + 0.9, "start"),
    line(AXIS, LENS, AXIS, CROWN, 1.1),
    text(`stick ${words.stick}`, AXIS + 2, (LENS + CROWN) / 2 - 2, "start"),
    line(AXIS - 22, focus, AXIS + 20, focus, THIN * 2, [1.5, 1]),
    text("focal plane,", AXIS + 20.5, focus + (words.side === "above" ? -3 : 0.9), "start"),
    text(words.focus, AXIS + 20.5, focus + (words.side === "above" ? 0.2 : 4.1), "start"),
    line(AXIS - 18, LENS, AXIS - 18, focus, THIN),
    line(AXIS - 19, LENS, AXIS - 17, LENS, THIN),
    text("working distance", AXIS - 20, (LENS + focus) / 2 - 1, "end"),
    text(words.workingDistance, AXIS - 20, (LENS + focus) / 2 + 2.2, "end"),
    line(AXIS - 13.5, CROWN + 10.5, AXIS - 1, CROWN + 0.6, THIN),
    text("crown line", AXIS - 14.5, CROWN + 11.5, "end"),
    text(words.diameter, AXIS, CROWN + RADIUS + 3, "middle"),
    line(AXIS - RADIUS, CROWN + RADIUS, AXIS + RADIUS, CROWN + RADIUS, THIN),
  ];
}
