/**
 * Filled shapes as outlines that do not cross: shapes that cross each other or lie edge on edge are
 * united, the others are taken as they are. Shapes inside others need nothing: the
 * sides of their contours are found by winding.
 */
import { type Box, segmentCount, uniteBoxes } from "../../geometry/path.ts";
import { Plane } from "../../region/plane.ts";
import type { InkShape } from "../ink.ts";
import { Chords } from "./chords.ts";
import { BoxGrid } from "./grid.ts";
import { Outline, type Outlined } from "./outline.ts";
import type { Patience } from "./patience.ts";

/** Shapes that cross are united up to this many segments; above it there is no answer. */
const MOST_SEGMENTS = 20_000;
/** Edges that lie on each other for longer than this (mm) are one edge. */
const COMMON = 1e-3;
/** Crossings shallower than this (mm) are rounding. */
const SHALLOW = 1e-5;

/**
 * Outline and grid over its boxes, or null where too many shapes cross or patience ends. Lengths mm. Large ink that is said to be
 * `united` is taken at its word; looking for crossings would take as long as looking for thin places.
 */
export function cleanOutline(
  fills: readonly InkShape[],
  tolerance: number,
  longest: number,
  united: boolean,
  patience: Patience,
): { outline: Outline; grid: BoxGrid } | null {
  const outline = new Outline(fills, longest);
  const grid = new BoxGrid(outline.box);
  if (united && outline.count > MOST_SEGMENTS) return { outline, grid };
  const groups = crossing(new Chords(outline, tolerance, Infinity), grid, fills, patience);
  if (!groups) return null;
  if (groups.length === 0) return { outline, grid };
  const taken = new Set(groups.flat());
  const shapes: Outlined[] = fills.filter((_, s) => !taken.has(s));
  for (const group of groups) shapes.push(union(group.map((s) => fills[s]!)));
  const clean = new Outline(shapes, longest);
  return { outline: clean, grid: new BoxGrid(clean.box) };
}

function union(shapes: readonly InkShape[]): Outlined {
  const box = shapes.reduce<Box | null>((all, s) => uniteBoxes(all, s.box), null);
  if (!box) return { path: { contours: [] } };
  const plane = new Plane<"flat">(
    box,
    shapes.reduce((sum, s) => sum + segmentCount(s.path), 0),
  );
  return { path: plane.outlines(plane.union(shapes.flatMap((s) => plane.polygons(s.path)))) };
}

/** Groups of shapes that cross, or null where they have too many segments. */
function crossing(
  chords: Chords,
  grid: BoxGrid,
  fills: readonly InkShape[],
  patience: Patience,
): number[][] | null {
  const { outline } = chords;
  const { box, contour, shapeOf } = outline;
  const root = new Map<number, number>();
  const find = (s: number): number => {
    let r = s;
    while (root.get(r) !== r) r = root.get(r)!;
    return r;
  };
  let segments = 0;
  const add = (s: number): number => {
    if (!root.has(s)) {
      root.set(s, s);
      segments += segmentCount(fills[s]!.path);
    }
    return find(s);
  };
  const near: number[] = [];
  for (let e = 0; e < outline.count; e++) {
    const b = 4 * e;
    const count = grid.find(box[b]!, box[b + 1]!, box[b + 2]!, box[b + 3]!, near);
    let looks = count;
    for (let k = 0; k < count; k++) {
      const f = near[k]!;
      if (f <= e || outline.next(e) === f || outline.next(f) === e) continue;
      const [s, t] = [shapeOf[contour[e]!]!, shapeOf[contour[f]!]!];
      if (root.has(s) && root.has(t) && find(s) === find(t)) continue;
      looks += 2 * chords.of(e) * chords.of(f);
      if (!cross(chords, e, f)) continue;
      root.set(add(s), add(t));
      if (segments > MOST_SEGMENTS) return null;
    }
    if (!patience.take(looks)) return null;
  }
  const groups = new Map<number, number[]>();
  for (const s of root.keys()) {
    const r = find(s);
    groups.set(r, [...(groups.get(r) ?? []), s]);
  }
  return [...groups.values()];
}

function cross(chords: Chords, e: number, f: number): boolean {
  const [n, m] = [chords.of(e), chords.of(f)];
  const [a, b] = [chords.at(e), chords.at(f)];
  for (let i = 0; i < n; i++)
    for (let j = 0; j < m; j++) if (meet(chords.xy, a + 2 * i, b + 2 * j)) return true;
  return false;
}

/** True where chords cross, or lie on each other. */
function meet(p: Float64Array, i: number, j: number): boolean {
  const [ax, ay, bx, by] = [p[i]!, p[i + 1]!, p[i + 2]!, p[i + 3]!];
  const [cx, cy, dx, dy] = [p[j]!, p[j + 1]!, p[j + 2]!, p[j + 3]!];
  const [ux, uy, vx, vy] = [bx - ax, by - ay, dx - cx, dy - cy];
  const u = Math.hypot(ux, uy);
  const v = Math.hypot(vx, vy);
  if (!(u > 0) || !(v > 0)) return false;
  // Distances of the ends of each chord from the other's line.
  const c = (ux * (cy - ay) - uy * (cx - ax)) / u;
  const d = (ux * (dy - ay) - uy * (dx - ax)) / u;
  const a = (vx * (ay - cy) - vy * (ax - cx)) / v;
  const b = (vx * (by - cy) - vy * (bx - cx)) / v;
  const deep = Math.min(Math.abs(a), Math.abs(b), Math.abs(c), Math.abs(d)) > SHALLOW;
  if (deep) return a * b < 0 && c * d < 0;
  if (Math.max(Math.abs(c), Math.abs(d)) > SHALLOW) return false;
  const s = ((cx - ax) * ux + (cy - ay) * uy) / u;
  const t = ((dx - ax) * ux + (dy - ay) * uy) / u;
  return Math.min(u, Math.max(s, t)) - Math.max(0, Math.min(s, t)) > COMMON;
}
