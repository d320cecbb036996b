/** The area of a united crowd against clipper2-ts, in windows spread over its polygons. */
import { Clipper64, ClipType, FillRule, type Path64, type Paths64, PathType } from "clipper2-ts";
import { SHEAR } from "../grid.ts";
import type { Outlines } from "./outlines.ts";

const windows = 8;
/** Share of a window's area by which the two may differ; and by a step along its sides. */
const mismatch = 1e-3;

/** left, right, low, high */
type Window = readonly [number, number, number, number];

type Vertex = Path64[number];

/** Four numbers for each outline: left, right, low, high. */
function boxesOf(outlines: Outlines): Float64Array {
  const { x, y, starts } = outlines;
  const boxes = new Float64Array(4 * starts.length);
  for (let p = 0; p < starts.length; p++) {
    const end = outlines.end(p);
    let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
    for (let k = starts[p]!; k < end; k++) {
      left = Math.min(left, x[k]!);
      right = Math.max(right, x[k]!);
      low = Math.min(low, y[k]!);
      high = Math.max(high, y[k]!);
    }
    boxes.set([left, right, low, high], 4 * p);
  }
  return boxes;
}

/** What of a polygon has `above` at least 0 (Sutherland & Hodgman, 1974); where it is in parts, they hang together. */
function cutAt(polygon: Path64, above: (v: Vertex) => number): Path64 {
  const left: Path64 = [];
  let a = polygon[polygon.length - 1];
  let from = a ? above(a) : 0;
  for (const b of polygon) {
    const to = above(b);
    if (from < 0 !== to < 0) {
      const t = from / (from - to);
      left.push({ x: Math.round(a!.x + t * (b.x - a!.x)), y: Math.round(a!.y + t * (b.y - a!.y)) });
    }
    if (to >= 0) left.push(b);
    a = b;
    from = to;
  }
  return left;
}

/** What of the outlines is in a window, sheared. */
function within(outlines: Outlines, boxes: Float64Array, [left, right, low, high]: Window): Paths64 {
  const { x, y, starts } = outlines;
  const cuts = [
    (v: Vertex) => v.x - left,
    (v: Vertex) => right - v.x,
    (v: Vertex) => v.y - low,
    (v: Vertex) => high - v.y,
  ];
  const found: Paths64 = [];
  for (let p = 0; p < starts.length; p++) {
    const b = 4 * p;
    if (boxes[b]! >= right || boxes[b + 1]! <= left || boxes[b + 2]! >= high || boxes[b + 3]! <= low)
      continue;
    const polygon: Path64 = [];
    for (let k = starts[p]!; k < outlines.end(p); k++) polygon.push({ x: x[k]!, y: y[k]! });
    const part = cuts.reduce(cutAt, polygon);
    if (part.length > 2) found.push(part.map((v) => ({ x: v.x, y: v.y + SHEAR * v.x })));
  }
  return found;
}

function areaOf(polygons: Paths64): number {
  let sum = 0;
  for (const p of polygons) {
    for (let i = 0, j = p.length - 1; i < p.length; j = i++) sum += (p[j]!.x + p[i]!.x) * (p[i]!.y - p[j]!.y);
  }
  return sum / 2;
}

/** Whether the two have the same area, within 0.1 %, in the boxes of eight of the outlines. */
export function agrees(outlines: Outlines, united: Outlines): boolean {
  const boxes = boxesOf(outlines);
  const unitedBoxes = boxesOf(united);
  for (let i = 0; i < windows; i++) {
    const b = 4 * Math.floor(((i + 0.5) * outlines.starts.length) / windows);
    const window: Window = [boxes[b]!, boxes[b + 1]!, boxes[b + 2]!, boxes[b + 3]!];
    const clipper = new Clipper64();
    clipper.addPaths(within(outlines, boxes, window), PathType.Subject);
    const swept: Paths64 = [];
    if (!clipper.execute(ClipType.Union, FillRule.NonZero, swept)) return false;
    const area = areaOf(swept);
    const found = areaOf(within(united, unitedBoxes, window));
    const sides = 2 * (window[1] - window[0] + window[3] - window[2]);
    if (!(Math.abs(found - area) <= mismatch * area + sides)) return false;
  }
  return true;
}
