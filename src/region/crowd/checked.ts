/** The area of a united crowd against clipper2-ts, in windows spread over its polygons. */
import { Clipper64, ClipType, FillRule, type Path64, type Paths64, PathType } from "clipper2-ts";
import { SHEAR } from "../grid.ts";
import type { Outlines } from "./outlines.ts";

const windows = 8;
/** Share of a window's area by which the two may differ; and by a step along its sides. */
const mismatch = 1e-3;

interface Window {
  left: number;
  right: number;
  low: number;
  high: number;
}

type Vertex = Path64[number];

function boxesOf({ x, y, starts, length }: Outlines): Window[] {
  return starts.map((from, p) => {
    const to = starts[p + 1] ?? length;
    let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
    for (let k = from; k < to; k++) {
      if (x[k]! < left) left = x[k]!;
      if (x[k]! > right) right = x[k]!;
      if (y[k]! < low) low = y[k]!;
      if (y[k]! > high) high = y[k]!;
    }
    return { left, right, low, high };
  });
}

const meet = (a: Window, b: Window): boolean =>
  a.left < b.right && b.left < a.right && a.low < b.high && b.low < a.high;

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
function within(outlines: Outlines, boxes: readonly Window[], window: Window): Paths64 {
  const { x, y, starts, length } = outlines;
  const cuts = [
    (v: Vertex) => v.x - window.left,
    (v: Vertex) => window.right - v.x,
    (v: Vertex) => v.y - window.low,
    (v: Vertex) => window.high - v.y,
  ];
  const found: Paths64 = [];
  boxes.forEach((box, p) => {
    if (!meet(window, box)) return;
    const polygon: Path64 = [];
    for (let k = starts[p]!; k < (starts[p + 1] ?? length); k++) polygon.push({ x: x[k]!, y: y[k]! });
    const left = cuts.reduce(cutAt, polygon);
    if (left.length > 2) found.push(left.map((v) => ({ x: v.x, y: v.y + SHEAR * v.x })));
  });
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
    const window = boxes[Math.floor(((i + 0.5) * boxes.length) / windows)]!;
    const clipper = new Clipper64();
    clipper.addPaths(within(outlines, boxes, window), PathType.Subject);
    const swept: Paths64 = [];
    if (!clipper.execute(ClipType.Union, FillRule.NonZero, swept)) return false;
    const area = areaOf(swept);
    const found = areaOf(within(united, unitedBoxes, window));
    const sides = 2 * (window.right - window.left + window.high - window.low);
    if (!(Math.abs(found - area) <= mismatch * area + sides)) return false;
  }
  return true;
}
