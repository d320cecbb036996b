/** Clusters onto the drawing: on their baseline, or along the curve of a text path (SVG 2, 11.5, step 8). */
import type { Affine } from "../../geometry/affine.ts";
import { multiply, rotate, translate } from "../../geometry/affine.ts";
import type { Baselines } from "./baseline.ts";
import type { Curve } from "./curve.ts";
import type { Placed } from "./layout.ts";

const radians = Math.PI / 180;

/** Where on the curve a glyph's middle lies; null past the ends. Text on a closed curve runs on around it. */
function stationOf(curve: Curve, item: Placed): number | null {
  const { length, closed, offset } = curve;
  const along = item.x + item.width / 2;
  const middle = along + offset;
  if (!closed) return middle >= 0 && middle <= length ? middle : null;
  const { anchor } = item.span.style;
  const [low, high] =
    anchor === "middle"
      ? [-length / 2, length / 2]
      : (anchor === "end") !== item.span.style.rtl
        ? [-length, 0]
        : [0, length];
  if (along < low || along > high) return null;
  return ((middle % length) + length) % length;
}

/**
 * From a cluster's own axes (x along its baseline from its left edge, y down, user units) to the text's user
 * units; null for one that falls off its curve.
 */
export function matrixOf(item: Placed, baselines: Baselines): Affine | null {
  const down = item.y + baselines.offset(item.span);
  const turn = item.rotate === 0 ? null : rotate(item.rotate * radians);
  const { curve } = item.span;
  let matrix = translate(item.x, down);
  if (curve) {
    const distance = stationOf(curve, item);
    if (distance === null) return null;
    const { x, y, angle } = curve.at(distance);
    matrix = multiply(multiply(translate(x, y), rotate(angle)), translate(-item.width / 2, down));
  }
  return turn ? multiply(matrix, turn) : matrix;
}
