/**
 * Closed outlines in the order of the nearest neighbour rule (D. J. Rosenkrantz, R. E. Stearns & P. M. Lewis, SIAM Journal on
 * Computing 6, 1977, 563–581): the first one drawn first, then always the one whose beginning is nearest to where the last one
 * ended, which is where it began.
 */
import type { Contour, Space } from "../../geometry/path.ts";
import { PointTree } from "./pointtree.ts";

/** Each of them once. */
export function nearestFirst<S extends Space>(outlines: readonly Contour<S>[]): Contour<S>[] {
  if (outlines.length === 0) return [];
  const tree = new PointTree(Float64Array.from(outlines.flatMap(({ points: p }) => [p[0]!, p[1]!])));
  const ordered: Contour<S>[] = [];
  for (let next = 0; next >= 0; ) {
    const outline = outlines[next]!;
    ordered.push(outline);
    tree.take(next);
    next = tree.nearest(outline.points[0]!, outline.points[1]!);
  }
  return ordered;
}
