/** One basic shape or path: drawn, and painted as a fill, as a centre line, or as light. */

import type { Affine } from "../geometry/affine.ts";
import { multiply } from "../geometry/affine.ts";
import type { Path } from "../geometry/path.ts";
import { pathBounds, transformPath } from "../geometry/path.ts";
import type { Collector } from "./collector.ts";
import { fillPath, isFinitePath, mendPath } from "./contours.ts";
import type { Document } from "./document.ts";
import { drawsNothing } from "./effects.ts";
import type { Clip, Entered, Frame } from "./frame.ts";
import { geometryOf } from "./frame.ts";
import type { SvgNode } from "./node.ts";
import type { Tone } from "./paint.ts";
import type { Paints } from "./paints.ts";
import { Pen } from "./pen.ts";
import { drawShape } from "./shapes.ts";
import type { Shape } from "./types.ts";

export interface Reader {
  readonly document: Document;
  readonly paints: Paints;
  readonly collector: Collector;
}

const faultHint = "repair or draw the element again in the drawing program";
const marked: ReadonlySet<string> = new Set(["path", "line", "polyline", "polygon"]);

/** The element's path in mm on the page; null when it draws nothing. Faults are reported. */
function draw(reader: Reader, node: SvgNode, entered: Entered): Path<"page"> | null {
  const { report } = reader.document;
  const pen = new Pen(entered.frame.matrix);
  const fault = drawShape(node.name, geometryOf(reader.document, node, entered), pen);
  if (fault) report.add("stop", fault.code, node, fault.message, faultHint);
  const path = mendPath(pen.path());
  if (path.contours.length === 0) return null;
  if (isFinitePath(path)) return path;
  const message = "a coordinate is too large to be drawn: the shape was left out";
  report.add("stop", "number-not-finite", node, message, faultHint);
  return null;
}

function strokeWidth(reader: Reader, node: SvgNode, entered: Entered): number {
  const { style } = entered.frame;
  const own = { get: () => style.strokeWidth };
  const width =
    geometryOf(reader.document, node, { ...entered, own }).length("stroke-width", "diagonal") ?? 1;
  if (width < 0) {
    const message = "the stroke width is negative: no stroke was drawn";
    reader.document.report.add("stop", "size-negative", node, message, faultHint);
  }
  return width;
}

function inverse(m: Affine): Affine {
  const det = m.a * m.d - m.b * m.c;
  const [a, b, c, d] = [m.d / det, -m.b / det, -m.c / det, m.a / det];
  return { a, b, c, d, e: -(a * m.e + c * m.f), f: -(b * m.e + d * m.f) };
}

/** Inner viewports hide what lies outside them; this version keeps it and says so. */
function reportClipped(reader: Reader, path: Path<"page">, frame: Frame): void {
  for (let clip: Clip | null = frame.clip; clip; clip = clip.outer) {
    const box = pathBounds(transformPath<"page", "page">(path, inverse(clip.matrix)));
    const eps = 1e-6 * Math.max(clip.width, clip.height);
    if (!box) continue;
    const inX = box.minX >= -eps && box.maxX <= clip.width + eps;
    const inY = box.minY >= -eps && box.maxY <= clip.height + eps;
    if (inX && inY) continue;
    reader.document.report.add(
      "stop",
      "clip-not-applied",
      clip.node,
      "shapes reach beyond this inner viewport and were kept whole",
      "cut the shapes at the viewport's edge in the drawing program",
    );
  }
}

/** A stroke's width on the page, the mean of both directions. */
function strokeMm(width: number, { matrix: { a, b, c, d } }: Frame): string {
  const mm = width * Math.sqrt(Math.abs(a * d - b * c));
  return mm >= 0.01 ? mm.toFixed(2) : mm.toPrecision(1);
}

/** Draws and paints one shape element in its frame. */
export function paintShape(reader: Reader, node: SvgNode, entered: Entered): void {
  const { report } = reader.document;
  const { frame } = entered;
  const { style } = frame;
  for (const child of node.children) if (child.svg) drawsNothing(child, report);
  if (!style.visible) return;
  if (marked.has(node.name) && style.markers.some((marker) => marker !== "none")) {
    const hint = "expand the markers to plain shapes in the drawing program";
    report.add("stop", "marker-not-drawn", node, "markers on the line are not drawn", hint);
  }
  const { paints, collector } = reader;
  const fill =
    node.name === "line"
      ? null
      : paints.tone(style.fill, style.color, style.fillOpacity * frame.opacity, node);
  let stroke = paints.tone(style.stroke, style.color, style.strokeOpacity * frame.opacity, node);
  const width = stroke ? strokeWidth(reader, node, entered) : 0;
  if (!(width > 0)) stroke = null;
  if (!fill && !stroke) return;
  const path = draw(reader, node, entered);
  if (!path) return;
  let beside: Shape | null = null;
  const paintFill = (tone: Tone): void => {
    const area = fillPath(path);
    if (tone.ink) beside = collector.ink(node, area, "fill", style.fillRule, beside) ?? beside;
    else if (tone.hides) collector.light(node, area, 0, tone.luminance);
  };
  const paintStroke = (tone: Tone): void => {
    if (tone.ink) {
      beside = collector.ink(node, path, "centre-line", style.fillRule, beside) ?? beside;
      report.add(
        "caution",
        "stroke-as-centre-line",
        node,
        `the stroke, ${strokeMm(width, frame)} mm wide in the artwork, was taken as its centre line`,
        "convert the stroke to an outline in the drawing program to keep its width",
      );
    } else if (tone.hides) {
      const { a, b, c, d } = frame.matrix;
      collector.light(node, path, (width / 2) * Math.max(Math.hypot(a, b), Math.hypot(c, d)), tone.luminance);
    }
  };
  if (stroke && style.strokeFirst) paintStroke(stroke);
  if (fill) paintFill(fill);
  if (stroke && !style.strokeFirst) paintStroke(stroke);
  if (beside) reportClipped(reader, path, frame);
}

export const placedIn = (frame: Frame, m: Affine): Frame => ({ ...frame, matrix: multiply(frame.matrix, m) });
