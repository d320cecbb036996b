/** One drawn outline: its fill, its stroke and its markers, in the order that `paint-order` asks for. */
import type { Affine } from "../geometry/affine.ts";
import { multiply, scale } from "../geometry/affine.ts";
import type { Path } from "../geometry/path.ts";
import type { Budget } from "./budget.ts";
import type { Sink } from "./collector.ts";
import { fillPath, isDrawable, mendPath } from "./contours.ts";
import type { Document } from "./document.ts";
import { drawsNothing } from "./effects.ts";
import type { Entered, Frame } from "./frame.ts";
import { geometryOf } from "./frame.ts";
import type { SvgNode } from "./node.ts";
import type { Paints } from "./paints.ts";
import { drawShape } from "./shapes.ts";
import type { Rgba, Stroke } from "./types.ts";
import { mmPerPx, parseLength, userUnits } from "./units.ts";

export interface Reader {
  readonly document: Document;
  readonly budget: Budget;
  readonly paints: Paints;
  readonly sink: Sink;
  /** Draws the tiles of a pattern into what a part covers. */
  pattern(
    node: SvgNode,
    entered: Entered,
    part: { path: Path<"page">; stroke: Stroke | null },
    pattern: SvgNode,
    opacity: number,
  ): void;
}

/** Wider strokes (mm) are not drawn: their round joins would take more than a hundred pieces. */
const widest = 1e9;

const faultHint = "repair or draw the element again in the drawing program";

/** The element's path in mm on the page; null when it draws nothing. Faults are reported. */
export function drawPath(reader: Reader, node: SvgNode, entered: Entered): Path<"page"> | null {
  const { report } = reader.document;
  const pen = reader.document.pen.restart(entered.frame.matrix);
  const fault = drawShape(node.name, geometryOf(reader.document, node, entered), pen);
  if (fault) report.add("error", fault.code, node, fault.message, faultHint);
  const path = mendPath(pen.path());
  if (path.contours.length === 0) return null;
  if (isDrawable(path)) return path;
  const message = "a coordinate is too large to be drawn: the shape was left out";
  report.add("error", "number-not-finite", node, message, faultHint);
  return null;
}

/** The stroke of an element; null for no width. What is not understood is reported. */
function strokeOf(reader: Reader, node: SvgNode, entered: Entered): Stroke | null {
  const { style, matrix } = entered.frame;
  const { report } = reader.document;
  const own = {
    get: (name: string) => (name === "stroke-width" ? style.strokeWidth : style.dashOffset),
  };
  const lengths = geometryOf(reader.document, node, { ...entered, own });
  const width = lengths.length("stroke-width", "diagonal") ?? 1;
  if (width < 0) {
    const message = "the stroke width is negative: no stroke was drawn";
    report.add("error", "size-negative", node, message, faultHint);
  }
  if (!(width > 0)) return null;
  const fixed = /non-scaling-stroke/.test(entered.own.get("vector-effect") ?? "");
  const space = fixed ? scale(mmPerPx) : matrix;
  if (!(width * Math.hypot(space.a, space.b, space.c, space.d) <= widest)) {
    const message = "the stroke is too wide to be drawn: it was left out";
    report.add("error", "number-not-finite", node, message, faultHint);
    return null;
  }
  return {
    width,
    cap: style.cap,
    join: style.join,
    miterLimit: style.miterLimit,
    dashes: dashesOf(reader, node, entered.frame),
    dashOffset: lengths.length("stroke-dashoffset", "diagonal") ?? 0,
    space,
  };
}

/** An odd list is said twice; a list that is wrong, or all zero, is a whole line (SVG 2, 13.5.6). */
function dashesOf(reader: Reader, node: SvgNode, frame: Frame): readonly number[] {
  const text = frame.style.dashes;
  if (text === "none" || text === "") return [];
  const context = { width: frame.width, height: frame.height, fontSize: frame.style.fontSize };
  const parsed = text
    .split(/[\s,]+/)
    .filter(Boolean)
    .map(parseLength);
  const list = parsed.map((l) => (l ? userUnits(l, "diagonal", context) : Number.NaN));
  if (!list.every((v) => v >= 0)) {
    const message = `the dash list is not understood: “${text.slice(0, 40)}”; drawn as a whole line`;
    reader.document.report.add("error", "dashes-not-understood", node, message, faultHint);
    return [];
  }
  if (!(list.reduce((sum, v) => sum + v, 0) > 0)) return [];
  return list.length % 2 === 1 ? [...list, ...list] : list;
}

/** Draws and paints one shape element in its frame; `markers` draws those of the line. */
export function paintShape(
  reader: Reader,
  node: SvgNode,
  entered: Entered,
  markers: (path: Path<"page">, stroke: Stroke | null) => void,
): void {
  for (const child of node.children) if (child.svg) drawsNothing(child, reader.document.report);
  if (!entered.frame.style.visible) return;
  let path: Path<"page"> | null | undefined;
  const drawn = (): Path<"page"> | null => {
    path = path === undefined ? drawPath(reader, node, entered) : path;
    return path;
  };
  paintPath(reader, node, entered, drawn, markers);
}

/** Paints an outline; `drawn` is asked for it only when there is something to paint. */
export function paintPath(
  reader: Reader,
  node: SvgNode,
  entered: Entered,
  drawn: () => Path<"page"> | null,
  markers: (path: Path<"page">, stroke: Stroke | null) => void,
): void {
  const { sink, budget } = reader;
  const { frame } = entered;
  const { style } = frame;
  let beside: string | null = null;
  if (sink.purpose === "clip") {
    const path = drawn();
    if (!path) return;
    budget.draw(node, path);
    const area = fillPath(path);
    if (area.contours.length > 0) {
      sink.add(node, { path: area, rule: style.clipRule, stroke: null, colours: [], clip: frame.clip }, null);
    }
    return;
  }
  const fill = node.name === "line" ? null : paintOf(reader, node, frame, style.fill, style.fillOpacity);
  const strokePaint = paintOf(reader, node, frame, style.stroke, style.strokeOpacity);
  const stroke = strokePaint ? strokeOf(reader, node, entered) : null;
  const marked = style.markers.some((marker) => marker !== "none");
  if (!fill && !stroke && !marked) return;
  const path = drawn();
  if (!path) return;
  budget.draw(node, path);
  for (const step of style.paintOrder) {
    if (step === "markers") {
      if (marked) markers(path, strokeOf(reader, node, entered));
    } else if (step === "fill") {
      const area = fill && fillPath(path);
      if (area && area.contours.length > 0) {
        beside = putPart(
          reader,
          node,
          entered,
          { path: area, stroke: null },
          fill,
          style.fillOpacity,
          beside,
        );
      }
    } else if (stroke && strokePaint && path.contours.length > 0) {
      beside = putPart(reader, node, entered, { path, stroke }, strokePaint, style.strokeOpacity, beside);
    }
  }
}

/** What a paint is on an element in its frame; null for none. */
function paintOf(
  { paints }: Reader,
  node: SvgNode,
  frame: Frame,
  text: string,
  opacity: number,
): readonly Rgba[] | SvgNode | null {
  if (text === "none") return null;
  const context = /^context-(fill|stroke)$/i.exec(text);
  if (!context) return paints.resolve(text, frame.style.color, opacity * frame.opacity, node);
  const { context: from } = frame;
  if (!from) return null;
  const paint = context[1]!.toLowerCase() === "fill" ? from.fill : from.stroke;
  return paints.resolve(paint, from.color, opacity * frame.opacity, node);
}

/** Hands on the fill or the stroke of an element; returns the part's id, or that of the part beside. */
function putPart(
  reader: Reader,
  node: SvgNode,
  entered: Entered,
  { path, stroke }: { path: Path<"page">; stroke: Stroke | null },
  paint: readonly Rgba[] | SvgNode,
  opacity: number,
  beside: string | null,
): string | null {
  const { style, clip } = entered.frame;
  if ("name" in paint) {
    reader.pattern(node, entered, { path, stroke }, paint, opacity);
    return beside;
  }
  return reader.sink.add(node, { path, rule: style.fillRule, stroke, colours: paint, clip }, beside);
}

export const placedIn = (frame: Frame, m: Affine): Frame => ({ ...frame, matrix: multiply(frame.matrix, m) });
