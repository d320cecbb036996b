/** The basic shapes of SVG 2, 10, drawn as the standard's equivalent paths. */
import { drawUnitArc, unitArc } from "./arcs.ts";
import { drawPathData } from "./pathdata.ts";
import type { Pen } from "./pen.ts";
import type { Axis } from "./units.ts";

/** An element's geometry: `length` in user units, null where the property is absent, `auto` or unreadable. */
export interface Geometry {
  length(name: string, axis: Axis): number | null;
  text(name: string): string;
}

export interface ShapeFault {
  readonly code: "path-data" | "points" | "size-negative";
  readonly message: string;
}

export const shapeNames: ReadonlySet<string> = new Set([
  "path",
  "rect",
  "circle",
  "ellipse",
  "line",
  "polyline",
  "polygon",
]);

const quarters = [0, 1, 2, 3].map((from) => unitArc((from * Math.PI) / 2, Math.PI / 2));

/** A quarter of an upright ellipse around (cx, cy), clockwise from angle `from` (in quarters), to (x, y). */
function corner(
  pen: Pen,
  cx: number,
  cy: number,
  rx: number,
  ry: number,
  from: 0 | 1 | 2 | 3,
  x: number,
  y: number,
): void {
  drawUnitArc(pen, quarters[from], { cx, cy, ux: rx, uy: 0, vx: 0, vy: ry }, x, y);
}

function drawEllipse(pen: Pen, cx: number, cy: number, rx: number, ry: number): void {
  if (rx === 0 || ry === 0) return;
  pen.move(cx + rx, cy);
  corner(pen, cx, cy, rx, ry, 0, cx, cy + ry);
  corner(pen, cx, cy, rx, ry, 1, cx - rx, cy);
  corner(pen, cx, cy, rx, ry, 2, cx, cy - ry);
  corner(pen, cx, cy, rx, ry, 3, cx + rx, cy);
  pen.close();
}

function drawRect(pen: Pen, x: number, y: number, w: number, h: number, rx: number, ry: number): void {
  if (w === 0 || h === 0) return;
  const right = x + w;
  const bottom = y + h;
  // Where the corners meet, their ends are one number, so that no segment of rounding length is left.
  const x1 = x + rx;
  const x2 = rx === w / 2 ? x1 : right - rx;
  const y1 = y + ry;
  const y2 = ry === h / 2 ? y1 : bottom - ry;
  const round = rx > 0;
  pen.move(x1, y);
  pen.line(x2, y);
  if (round) corner(pen, x2, y1, rx, ry, 3, right, y1);
  pen.line(right, y2);
  if (round) corner(pen, x2, y2, rx, ry, 0, x2, bottom);
  pen.line(x1, bottom);
  if (round) corner(pen, x1, y2, rx, ry, 1, x, y2);
  pen.line(x, y1);
  if (round) corner(pen, x1, y1, rx, ry, 2, x1, y);
  pen.close();
}

const numberPattern = /[\s,]*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)/gy;

/** Draws whole pairs up to the first thing that is no number. */
function drawPoints(pen: Pen, text: string, closed: boolean): ShapeFault | null {
  let x = 0;
  let count = 0;
  let end = 0;
  for (const match of text.matchAll(numberPattern)) {
    const value = Number(match[1]);
    if (!Number.isFinite(value)) break;
    end += match[0].length;
    if (count % 2 === 0) x = value;
    else if (count === 1) pen.move(x, value);
    else pen.line(x, value);
    count++;
  }
  if (closed) pen.close();
  if (text.slice(end).trim() !== "") {
    return { code: "points", message: `the point list is broken after number ${count}: drawn up to there` };
  }
  if (count % 2 === 1) {
    return { code: "points", message: "the point list has an odd number of numbers: the last was left out" };
  }
  return null;
}

const negative = (name: string): ShapeFault => ({
  code: "size-negative",
  message: `the ${name} is negative: nothing was drawn`,
});

/** Draws one basic shape or path with the pen; returns what was wrong with it. Sizes of 0 draw nothing. */
export function drawShape(name: string, geometry: Geometry, pen: Pen): ShapeFault | null {
  const get = (property: string, axis: Axis): number => geometry.length(property, axis) ?? 0;
  switch (name) {
    case "path": {
      const d = geometry.text("d");
      const fault = drawPathData(d, pen);
      if (!fault) return null;
      const message = `path data broken at character ${fault.offset + 1}: ${fault.message}; drawn up to there`;
      return { code: "path-data", message };
    }
    case "rect": {
      const width = get("width", "x");
      const height = get("height", "y");
      if (width < 0) return negative("width");
      if (height < 0) return negative("height");
      let rx = geometry.length("rx", "x");
      let ry = geometry.length("ry", "y");
      // SVG 2, 10.2: a negative radius counts as not given, a missing one takes the other's value.
      if (rx !== null && rx < 0) rx = null;
      if (ry !== null && ry < 0) ry = null;
      const useX = Math.min(rx ?? ry ?? 0, width / 2);
      const useY = Math.min(ry ?? rx ?? 0, height / 2);
      const round = useX > 0 && useY > 0;
      drawRect(pen, get("x", "x"), get("y", "y"), width, height, round ? useX : 0, round ? useY : 0);
      return null;
    }
    case "circle": {
      const r = get("r", "diagonal");
      if (r < 0) return negative("radius");
      drawEllipse(pen, get("cx", "x"), get("cy", "y"), r, r);
      return null;
    }
    case "ellipse": {
      const rx = geometry.length("rx", "x");
      const ry = geometry.length("ry", "y");
      if ((rx ?? 0) < 0 || (ry ?? 0) < 0) return negative("radius");
      drawEllipse(pen, get("cx", "x"), get("cy", "y"), rx ?? ry ?? 0, ry ?? rx ?? 0);
      return null;
    }
    case "line":
      pen.move(get("x1", "x"), get("y1", "y"));
      pen.line(get("x2", "x"), get("y2", "y"));
      return null;
    default:
      return drawPoints(pen, geometry.text("points"), name === "polygon");
  }
}
