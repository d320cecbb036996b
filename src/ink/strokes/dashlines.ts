/** Dashes as lines without width, for stations that engrave along them. */
import type { Stroke } from "../../artwork/types.ts";
import type { Contour, Path } from "../../geometry/path.ts";
import { dashesOf } from "./cuts.ts";
import { piecesOf } from "./line.ts";
import { Sheet } from "./sheet.ts";

/**
 * Each dash of `path` as an open line, mm on the page, and how many have no length and are left out. The path as
 * it is where the stroke is not dashed or its space is singular. Throws JobError `too-many-dashes`.
 */
export function dashLines(
  path: Path<"page">,
  stroke: Stroke,
  toleranceMm: number,
): { readonly path: Path<"page">; readonly dots: number } {
  const sheet = new Sheet(stroke.space);
  if (stroke.dashes.length === 0 || !(sheet.least > 0)) return { path, dots: 0 };
  const contours: Contour<"page">[] = [];
  let dots = 0;
  let count = 0;
  for (const contour of path.contours) {
    const pieces = piecesOf(contour, sheet, stroke.width / 2, toleranceMm / sheet.most);
    if (pieces.length === 0) {
      dots++;
      continue;
    }
    const parts = dashesOf({ pieces, closed: contour.closed }, stroke, count);
    count += parts.length;
    for (const part of parts) {
      if (!("pieces" in part)) {
        dots++;
        continue;
      }
      const points: number[] = [];
      part.pieces.forEach(({ c }, k) => {
        for (let i = k === 0 ? 0 : 2; i < 8; i += 2)
          points.push(sheet.x(c[i]!, c[i + 1]!), sheet.y(c[i]!, c[i + 1]!));
      });
      const straight = Uint8Array.from(part.pieces, (piece) => (piece.straight ? 1 : 0));
      contours.push({ closed: part.closed, points: Float64Array.from(points), straight });
    }
  }
  return { path: { contours }, dots };
}
