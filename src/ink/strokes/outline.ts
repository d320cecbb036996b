/**
 * A stroke's region as outlines to be filled nonzero: SVG 2, 13.5, "Computing the shape of the stroke". All is done
 * in the stroke's own space, where the width is the same all around, and mapped onto the page.
 *
 * A run of pieces that join smoothly is one strip, which covers each point as often as normals of the line meet it,
 * never less than none; a corner adds a wedge, a bend tighter than half the width is swept (`sweep.ts`).
 */
import type { Stroke } from "../../artwork/types.ts";
import type { Path } from "../../geometry/path.ts";
import { capOnto, dot, loneCap, type Nib, patch, wedge } from "./corners.ts";
import { type Chain, dashesOf } from "./cuts.ts";
import { piecesOf } from "./line.ts";
import type { Piece } from "./piece.ts";
import { Sheet } from "./sheet.ts";
import { Sides } from "./sides.ts";
import { sweep } from "./sweep.ts";

/**
 * `path` is the line, in mm on the page. The answer's union, by the nonzero rule, is the stroke within `toleranceMm`.
 * Its contours are closed and positive, except that a closed line without corners is an outer contour and an inner
 * one turned against it. A contour without length is a dot: a disc or a square by its cap, nothing with butt caps.
 * No contours where the width is 0 or the map singular. Throws JobError `too-many-dashes`.
 */
export function strokeOutline(path: Path<"page">, stroke: Stroke, toleranceMm: number): Path<"page"> {
  const sheet = new Sheet(stroke.space);
  const h = stroke.width / 2;
  if (!(h > 0 && sheet.least > 0)) return { contours: [] };
  const nib: Nib = { sheet, h, tolerance: toleranceMm / sheet.most, stroke };
  const sides = new Sides(nib);
  let dashes = 0;
  for (const contour of path.contours) {
    const pieces = piecesOf(contour, sheet, h, nib.tolerance);
    if (pieces.length === 0) {
      const [x, y] = sheet.back(contour.points);
      if (x !== undefined && y !== undefined) dot(nib, x, y, 1, 0);
      continue;
    }
    const line: Chain = { pieces, closed: contour.closed };
    if (stroke.dashes.length === 0) {
      outline(line, nib, sides);
      continue;
    }
    const parts = dashesOf(line, stroke, dashes);
    dashes += parts.length;
    for (const part of parts) {
      if ("pieces" in part) outline(part, nib, sides);
      else dot(nib, part.x, part.y, part.tx, part.ty);
    }
  }
  return { contours: sheet.contours };
}

function outline({ pieces, closed }: Chain, nib: Nib, sides: Sides): void {
  const n = pieces.length;
  // Whether a new outline begins at the start of piece k.
  const breaks = (k: number): boolean =>
    pieces[k]!.joint !== "smooth" || pieces[k]!.tight !== 0 || pieces[(k + n - 1) % n]!.tight !== 0;
  let first = 0;
  if (closed) {
    while (first < n && !breaks(first)) first++;
    if (first === n) {
      sides.ring(pieces);
      return;
    }
  }
  let run: Piece[] = [];
  for (let m = 0; m < n; m++) {
    const k = (first + m) % n;
    const piece = pieces[k]!;
    if ((m > 0 || closed) && breaks(k)) seam(pieces[(k + n - 1) % n]!, piece, nib);
    run.push(piece);
    const last = m === n - 1;
    if (!last && !breaks((k + 1) % n)) continue;
    const opens = !closed && m + 1 === run.length;
    const ends = !closed && last;
    if (piece.tight !== 0) {
      sweep(piece, nib, sides);
      const [x0, y0] = piece.c as unknown as [number, number];
      const [tx0, ty0, tx1, ty1] = piece.dirs as unknown as [number, number, number, number];
      if (opens) tightEnd(nib, x0, y0, -tx0, -ty0);
      if (ends) tightEnd(nib, piece.c[6]!, piece.c[7]!, tx1, ty1);
    } else {
      const head = run[0]!;
      const pencil = sides.strip(run, (at) => {
        if (ends) capOnto(at, nib, piece.c[6]!, piece.c[7]!, piece.dirs[2]!, piece.dirs[3]!);
      });
      if (opens) capOnto(pencil, nib, head.c[0]!, head.c[1]!, -head.dirs[0]!, -head.dirs[1]!);
      pencil.close();
    }
    run = [];
  }
}

/** What lies between two outlines. */
function seam(before: Piece, after: Piece, nib: Nib): void {
  if (after.joint === "smooth") patch(nib, after.c[0]!, after.c[1]!, after.dirs[0]!, after.dirs[1]!);
  else wedge(nib, before, after, after.joint === "cusp" ? "round" : nib.stroke.join);
}

/** The cap of a swept end, in the direction out of it. */
function tightEnd(nib: Nib, x: number, y: number, tx: number, ty: number): void {
  if (nib.stroke.cap === "butt") return;
  loneCap(nib, x, y, tx, ty);
  patch(nib, x, y, tx, ty);
}
