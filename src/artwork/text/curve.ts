/**
 * The line that a `textPath` runs along, measured by arc length s = ∫|B′(t)| dt (Gauss–Legendre on quarters of
 * each segment; the inverse by Newton's method kept inside a bracket). SVG 2, 11.8.
 */
import { identity } from "../../geometry/affine.ts";
import { evalCubic } from "../../geometry/cubic.ts";
import type { Path } from "../../geometry/path.ts";
import { gauss8 } from "../../geometry/quadrature.ts";
import type { Document } from "../document.ts";
import { targetOf } from "../document.ts";
import type { Entered } from "../frame.ts";
import { geometryOf, placed } from "../frame.ts";
import type { SvgNode } from "../node.ts";
import { hrefOf } from "../node.ts";
import { drawPathData } from "../pathdata.ts";
import { Pen } from "../pen.ts";
import { drawShape, shapeNames } from "../shapes.ts";
import { parseLength, userUnits } from "../units.ts";

/** A point of the curve and its direction (radians). */
export interface Station {
  readonly x: number;
  readonly y: number;
  readonly angle: number;
}

interface Piece {
  readonly points: Float64Array;
  readonly at: number;
  readonly from: number;
  readonly length: number;
}

const quarters = 4;

function speed(points: Float64Array, at: number, t: number): number {
  const out = new Float64Array(4);
  evalCubic(points, at, t, out);
  return Math.hypot(out[2], out[3]);
}

/** Arc length of a segment from 0 to t. */
function lengthTo(points: Float64Array, at: number, t: number): number {
  let sum = 0;
  const step = t / quarters;
  for (let q = 0; q < quarters; q++) {
    for (let g = 0; g < 8; g++) {
      sum += step * gauss8.weights[g] * speed(points, at, (q + gauss8.nodes[g]) * step);
    }
  }
  return sum;
}

export class Curve {
  readonly node: SvgNode;
  readonly length: number;
  /** One closed contour: text runs around it. */
  readonly closed: boolean;
  /** Distance along the curve at which the text's origin lies. */
  readonly offset: number;
  readonly #pieces: readonly Piece[];
  readonly #reversed: boolean;

  constructor(node: SvgNode, path: Path<"page">, reversed: boolean, offsetOf: (length: number) => number) {
    const pieces: Piece[] = [];
    let length = 0;
    for (const { points, straight } of path.contours) {
      straight.forEach((_, k) => {
        const piece = lengthTo(points, 6 * k, 1);
        if (!(piece > 0)) return;
        pieces.push({ points, at: 6 * k, from: length, length: piece });
        length += piece;
      });
    }
    this.node = node;
    this.#pieces = pieces;
    this.#reversed = reversed;
    this.length = length;
    this.closed = path.contours.length === 1 && path.contours[0].closed;
    this.offset = offsetOf(length);
  }

  /** The station at a distance from 0 to the length. */
  at(distance: number): Station {
    const s = this.#reversed ? this.length - distance : distance;
    const pieces = this.#pieces;
    let low = 0;
    let high = pieces.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (pieces[middle].from <= s) low = middle;
      else high = middle - 1;
    }
    const { points, at, from, length } = pieces[low];
    const t = parameterAt(points, at, Math.min(Math.max(s - from, 0), length), length);
    const out = new Float64Array(4);
    evalCubic(points, at, t, out);
    const [x, y] = out;
    // Where an arm has no length the direction is that of the chord a little further in.
    if (Math.hypot(out[2], out[3]) === 0) evalCubic(points, at, Math.min(Math.max(t, 1e-4), 1 - 1e-4), out);
    return { x, y, angle: Math.atan2(out[3], out[2]) + (this.#reversed ? Math.PI : 0) };
  }

  end(): Station {
    return this.at(this.length);
  }
}

function parameterAt(points: Float64Array, at: number, s: number, length: number): number {
  let low = 0;
  let high = 1;
  let t = s / length;
  for (let pass = 0; pass < 60; pass++) {
    const error = lengthTo(points, at, t) - s;
    if (Math.abs(error) <= 1e-12 * length) break;
    if (error > 0) high = t;
    else low = t;
    const newton = t - error / speed(points, at, t);
    t = newton > low && newton < high ? newton : (low + high) / 2;
  }
  return t;
}

/** The curve of a `textPath`; null, and reported, where it has none. */
export function curveOf(document: Document, node: SvgNode, entered: Entered): Curve | null {
  const { report } = document;
  const hint = "correct the text path, or convert the text to outlines";
  const fail = (message: string): null => {
    report.add("error", "text-path-missing", node, message, hint);
    return null;
  };
  let matrix = identity;
  let shape: SvgNode | null = null;
  const data = node.attributes.path?.trim();
  if (data === undefined || data === "") {
    const href = hrefOf(node) ?? "";
    shape = targetOf(document, href);
    if (!shape || !shapeNames.has(shape.name)) {
      return fail(`text runs along “${href.slice(0, 40)}”, which is no shape of this file`);
    }
    const { width, height, style } = entered.frame;
    const context = { width, height, fontSize: style.fontSize };
    matrix = placed(identity, document.cascade.of(shape), shape, context, report);
  }
  const pen = new Pen(matrix);
  if (shape) {
    const own = document.cascade.of(shape);
    drawShape(shape.name, geometryOf(document, shape, { frame: entered.frame, own }), pen);
  } else drawPathData(data as string, pen);
  const path = pen.path();
  if (!path.contours.every((c) => c.points.every(Number.isFinite)))
    return fail("the line of a text path is too large");
  if (node.attributes.method?.trim() === "stretch") {
    const message = "glyphs are set along the line as they are, not stretched to it";
    report.add(
      "caution",
      "text-path-stretch",
      node,
      message,
      "convert the text to outlines to have them stretched",
    );
  }
  const curve = new Curve(node, path, node.attributes.side?.trim() === "right", (length) => {
    const text = node.attributes.startOffset;
    const start = text === undefined ? null : parseLength(text);
    if (!start) return 0;
    if (start.unit === "%") return (start.value / 100) * length;
    const { width, height, style } = entered.frame;
    const said = Number(shape?.attributes.pathLength);
    const scale = said > 0 ? length / said : 1;
    return userUnits(start, "x", { width, height, fontSize: style.fontSize }) * scale;
  });
  return curve.length > 0 ? curve : fail("the line of a text path has no length");
}
