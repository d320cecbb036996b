/** Glyphs and decoration lines → contours in mm on the page. */
import type { PathCommand } from "fontkit";
import type { Affine } from "../../geometry/affine.ts";
import { multiply } from "../../geometry/affine.ts";
import type { Contour } from "../../geometry/path.ts";
import { Pen } from "../pen.ts";
import type { Cluster } from "./shape.ts";

type PageContour = Contour<"page">;

function drawCommands(pen: Pen, commands: readonly PathCommand[]): void {
  for (const { command, args } of commands) {
    if (command === "moveTo") {
      pen.close();
      pen.move(args[0], args[1]);
    } else if (command === "lineTo") pen.line(args[0], args[1]);
    else if (command === "quadraticCurveTo") pen.quadratic(args[0], args[1], args[2], args[3]);
    else if (command === "bezierCurveTo") pen.cubic(args[0], args[1], args[2], args[3], args[4], args[5]);
    else pen.close();
  }
  pen.close();
}

/** The outlines of a cluster; `matrix` from its own axes to mm. */
export function glyphContours(cluster: Cluster, stretch: number, matrix: Affine, into: PageContour[]): void {
  const { typeface, span, glyphs } = cluster;
  if (!typeface) return;
  const size = span.entered.frame.style.fontSize;
  const unit = size * typeface.perEm;
  for (const { id, x, y } of glyphs) {
    const commands = typeface.outline(id);
    if (commands.length === 0) continue;
    // Fonts draw with y up.
    const own = { a: unit * stretch, b: 0, c: 0, d: -unit, e: x * size * stretch, f: -y * size };
    const pen = new Pen(multiply(matrix, own));
    drawCommands(pen, commands);
    for (const contour of pen.path().contours) into.push(contour);
  }
}

/** An upright box of a cluster's axes. */
export function boxContours(
  x: number,
  y: number,
  width: number,
  height: number,
  matrix: Affine,
  into: PageContour[],
): void {
  if (!(width > 0 && height > 0)) return;
  const pen = new Pen(matrix);
  pen.move(x, y);
  pen.line(x + width, y);
  pen.line(x + width, y + height);
  pen.line(x, y + height);
  pen.close();
  for (const contour of pen.path().contours) into.push(contour);
}
