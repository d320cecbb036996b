/**
 * Closed outlines in the order of the nearest neighbour rule (D. J. Rosenkrantz, R. E. Stearns & P. M. Lewis, SIAM Journal on
 * Computing 6, 1977, 563–581): the first one drawn first, then always the one whose beginning is nearest to where the last one
 * ended, which is where it began.
 */
import Flatbush from "flatbush";
import type { Contour, Space } from "../../geometry/path.ts";

/** Each of them once. */
export function nearestFirst<S extends Space>(outlines: readonly Contour<S>[]): Contour<S>[] {
  const ordered: Contour<S>[] = [];
  let left = outlines.slice(1);
  if (outlines[0]) ordered.push(outlines[0]);
  while (left.length > 0) {
    const index = new Flatbush(left.length);
    for (const { points: p } of left) index.add(p[0]!, p[1]!);
    index.finish();
    const taken = new Uint8Array(left.length);
    // Half of them, lest the index be full of what is taken.
    for (let n = 0; 2 * n < left.length; n++) {
      const { points: p } = ordered[ordered.length - 1]!;
      const [next] = index.neighbors(p[0]!, p[1]!, 1, Infinity, (i) => taken[i] === 0);
      taken[next!] = 1;
      ordered.push(left[next!]!);
    }
    left = left.filter((_, i) => taken[i] === 0);
  }
  return ordered;
}
