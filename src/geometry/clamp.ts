/**
 * A path drawn onto a box: what lies inside stays as it is, what lies outside is laid along the box's edges (x and
 * y are clamped). The retraction leaves every point inside the box, so that no contour winds another number of
 * times around one of them.
 */
import { evalCubic, subCubic } from "./cubic.ts";
import { type Box, type Contour, type Path, PathBuilder, type Space } from "./path.ts";
import { PolynomialRoots } from "./roots.ts";

const roots = new PolynomialRoots(3);

/** `path` within `box`, by nonzero or even-odd; contours stay closed. */
export function clampPath<S extends Space>(path: Path<S>, box: Box): Path<S> {
  const builder = new PathBuilder<S>();
  for (const contour of path.contours) clampContour(contour, box, builder);
  return builder.build();
}

const clamped = (v: number, lo: number, hi: number): number => Math.min(hi, Math.max(lo, v));

function clampContour<S extends Space>(
  { points: p, straight }: Contour<S>,
  box: Box,
  to: PathBuilder<S>,
): void {
  const at = new Float64Array(4);
  const x = (v: number): number => clamped(v, box.minX, box.maxX);
  const y = (v: number): number => clamped(v, box.minY, box.maxY);
  to.move(x(p[0]!), y(p[1]!));
  for (let k = 0; k < straight.length; k++) {
    const i = 6 * k;
    const cuts = [0, ...crossings(p, i, box), 1];
    for (let j = 0; j + 1 < cuts.length; j++) {
      const [t0, t1] = [cuts[j]!, cuts[j + 1]!];
      const c = subCubic(p, i, t0, t1);
      evalCubic(p, i, (t0 + t1) / 2, at);
      const inside = x(at[0]!) === at[0] && y(at[1]!) === at[1];
      if (inside && !straight[k]) to.cubic(c[2]!, c[3]!, c[4]!, c[5]!, x(c[6]!), y(c[7]!));
      else to.line(x(c[6]!), y(c[7]!));
    }
  }
  to.close();
}

/** Where a segment crosses the lines through the box's edges, t ascending in (0, 1). */
function crossings(p: Float64Array, i: number, box: Box): number[] {
  const found: number[] = [];
  const out = new Float64Array(3);
  for (const [axis, edges] of [
    [0, [box.minX, box.maxX]],
    [1, [box.minY, box.maxY]],
  ] as const) {
    const [a, b, c, d] = [p[i + axis]!, p[i + 2 + axis]!, p[i + 4 + axis]!, p[i + 6 + axis]!];
    for (const edge of edges) {
      if (Math.min(a, b, c, d) > edge || Math.max(a, b, c, d) < edge) continue;
      const n = roots.find([a - edge, 3 * (b - a), 3 * (a - 2 * b + c), d - a + 3 * (b - c)], 3, 0, 1, out);
      found.push(...out.subarray(0, n));
    }
  }
  return found.sort((s, t) => s - t);
}
