/** Parts of the ink so small that they lie between the lines of every set: nothing of them is marked. */
import { cubicBounds } from "../../geometry/cubic.ts";
import { signedArea } from "../../geometry/path.ts";
import { directions } from "../../geometry/rows.ts";
import type { InkShape } from "../ink.ts";

/** `rows`: t of the rows of each set, ascending, in the order of the angles. */
export function missedParts(
  shapes: readonly InkShape[],
  anglesDeg: readonly number[],
  rows: readonly Float64Array[],
): InkShape[] {
  return shapes.flatMap((shape) => {
    const areas = shape.path.contours.map(signedArea);
    const side = Math.sign(areas.reduce((sum, area) => sum + area, 0));
    return shape.path.contours.flatMap(({ points }, k) => {
      // Holes turn the other way.
      if (areas[k]! * side <= 0) return [];
      const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
      cubicBounds(points, box);
      return anglesDeg.some((angle, i) => hasRow(box, angle, rows[i]!)) ? [] : [shape];
    });
  });
}

/** Whether a row crosses the box: of a part as small as this all of it, nearly. */
function hasRow(
  { minX, minY, maxX, maxY }: { minX: number; minY: number; maxX: number; maxY: number },
  angleDeg: number,
  rows: Float64Array,
): boolean {
  const [, , px, py] = directions(angleDeg);
  const from = Math.min(minX * px, maxX * px) + Math.min(minY * py, maxY * py);
  const to = Math.max(minX * px, maxX * px) + Math.max(minY * py, maxY * py);
  let [low, high] = [0, rows.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rows[middle]! < from) low = middle + 1;
    else high = middle;
  }
  return low < rows.length && rows[low]! <= to;
}
