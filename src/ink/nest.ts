/** Which outline each hole of a region lies in. */
import Flatbush from "flatbush";
import type { Polygons } from "../region/plane.ts";

type Polygon = Polygons[number];

/** By hole: the index of the first of `outlines` that encloses it, or −1. Outlines and holes may touch at corners. */
export function enclosing(outlines: readonly Polygon[], holes: readonly Polygon[]): Int32Array {
  const found = new Int32Array(holes.length).fill(-1);
  const count = outlines.reduce((n, p) => n + p.length, 0);
  if (count === 0 || holes.length === 0) return found;
  const index = new Flatbush(count);
  const outlineOf = new Int32Array(count);
  const edges = new Float64Array(4 * count);
  let n = 0;
  outlines.forEach((polygon, which) => {
    let a = polygon[polygon.length - 1]!;
    for (const b of polygon) {
      outlineOf[n] = which;
      edges.set([a.x, a.y, b.x, b.y], 4 * n);
      n = index.add(Math.min(a.x, b.x), Math.min(a.y, b.y), Math.max(a.x, b.x), Math.max(a.y, b.y)) + 1;
      a = b;
    }
  });
  index.finish();
  const sizes = outlines.map((p) => Math.abs(doubleArea(p)));
  const odd = new Map<number, boolean>();
  holes.forEach((hole, h) => {
    const [a, b] = hole;
    if (!a || !b) return;
    // The middle of an edge is on no other outline.
    const x = (a.x + b.x) / 2;
    const y = (a.y + b.y) / 2;
    odd.clear();
    for (const e of index.search(Number.NEGATIVE_INFINITY, y, x, y)) {
      const [x0, y0, x1, y1] = edges.subarray(4 * e, 4 * e + 4) as unknown as [
        number,
        number,
        number,
        number,
      ];
      if (y0 > y === y1 > y || x < x0 + ((y - y0) * (x1 - x0)) / (y1 - y0)) continue;
      odd.set(outlineOf[e]!, !odd.get(outlineOf[e]!));
    }
    const size = Math.abs(doubleArea(hole));
    for (const [which, inside] of odd) {
      // The hole's edge may lie on a sliver beside it, which cannot hold it.
      if (inside && sizes[which]! >= size && (found[h]! < 0 || which < found[h]!)) found[h] = which;
    }
  });
  return found;
}

function doubleArea(polygon: Polygon): number {
  let sum = 0;
  let a = polygon[polygon.length - 1]!;
  for (const b of polygon) {
    sum += (a.x + b.x) * (b.y - a.y);
    a = b;
  }
  return sum;
}
