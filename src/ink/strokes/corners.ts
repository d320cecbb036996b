/** Caps and joins: SVG 2, 13.5.3 to 13.5.5, in the stroke's own space. */
import type { Stroke } from "../../artwork/types.ts";
import type { Piece } from "./piece.ts";
import { Pencil, type Sheet } from "./sheet.ts";

/** What all outlines of one stroke have in common; lengths in the stroke's own space. */
export interface Nib {
  readonly sheet: Sheet;
  /** Half the width. */
  readonly h: number;
  readonly tolerance: number;
  readonly stroke: Stroke;
}

/** Goes round (x, y) by `sweep` radians, from (x, y) + (vx, vy) to the point given. */
function arc(
  pencil: Pencil,
  { h, tolerance }: Nib,
  x: number,
  y: number,
  vx: number,
  vy: number,
  sweep: number,
  endX: number,
  endY: number,
): void {
  let n = Math.max(1, Math.ceil(Math.abs(sweep) / (Math.PI / 2) - 1e-9));
  // A cubic with arms 4/3 tan(θ/4) leaves the circle by at most 2/27 r sin⁶(θ/4)/cos²(θ/4).
  const off = (theta: number): number => ((2 / 27) * h * Math.sin(theta / 4) ** 6) / Math.cos(theta / 4) ** 2;
  while (off(sweep / n) > 0.5 * tolerance) n++;
  const step = sweep / n;
  const k = (4 / 3) * Math.tan(step / 4);
  let ax = vx;
  let ay = vy;
  for (let m = 1; m <= n; m++) {
    const cos = Math.cos(m * step);
    const sin = Math.sin(m * step);
    const bx = vx * cos - vy * sin;
    const by = vx * sin + vy * cos;
    pencil.cubic(
      x + ax - k * ay,
      y + ay + k * ax,
      x + bx + k * by,
      y + by - k * bx,
      m === n ? endX : x + bx,
      m === n ? endY : y + by,
    );
    ax = bx;
    ay = by;
  }
}

/** Goes round the end at (x, y) of a line that leaves in the direction (tx, ty), from its −h side to its +h side. */
export function capOnto(pencil: Pencil, nib: Nib, x: number, y: number, tx: number, ty: number): void {
  const { h } = nib;
  const x0 = x + ty * h;
  const y0 = y - tx * h;
  const x1 = x - ty * h;
  const y1 = y + tx * h;
  if (nib.stroke.cap === "round") arc(pencil, nib, x, y, ty * h, -tx * h, Math.PI, x1, y1);
  else if (nib.stroke.cap === "square") {
    pencil.line(x0 + tx * h, y0 + ty * h).line(x1 + tx * h, y1 + ty * h);
  }
  pencil.line(x1, y1);
}

/** A cap by itself. */
export function loneCap(nib: Nib, x: number, y: number, tx: number, ty: number): void {
  if (nib.stroke.cap === "butt") return;
  const pencil = new Pencil(nib.sheet, x + ty * nib.h, y - tx * nib.h);
  capOnto(pencil, nib, x, y, tx, ty);
  pencil.close();
}

/** What a line without length leaves: a disc, a square along its direction, or nothing with butt caps. */
export function dot(nib: Nib, x: number, y: number, tx: number, ty: number): void {
  if (nib.stroke.cap === "butt") return;
  const pencil = new Pencil(nib.sheet, x + ty * nib.h, y - tx * nib.h);
  capOnto(pencil, nib, x, y, tx, ty);
  capOnto(pencil, nib, x, y, -tx, -ty);
  pencil.close();
}

/** A small rectangle over the edge at which two outlines meet: no slit is left there by rounding. */
export function patch({ sheet, h, tolerance }: Nib, x: number, y: number, tx: number, ty: number): void {
  const w = Math.min(tolerance / 4, h / 4);
  const q = h - w;
  new Pencil(sheet, x + ty * q - tx * w, y - tx * q - ty * w)
    .line(x + ty * q + tx * w, y - tx * q + ty * w)
    .line(x - ty * q + tx * w, y + tx * q + ty * w)
    .line(x - ty * q - tx * w, y + tx * q - ty * w)
    .close();
}

/**
 * The join between the end of one piece and the start of the next, on the outer side of the turn. Its inner corner
 * lies a little back inside both. A cusp is joined round: it is the limit of a turn that sweeps a half disc.
 */
export function wedge(nib: Nib, before: Piece, after: Piece, join: Stroke["join"]): void {
  const { sheet, h, stroke } = nib;
  const ax = before.dirs[2]!;
  const ay = before.dirs[3]!;
  const bx = after.dirs[0]!;
  const by = after.dirs[1]!;
  const x = after.c[0]!;
  const y = after.c[1]!;
  const cross = ax * by - ay * bx;
  const turn = Math.atan2(cross, ax * bx + ay * by);
  const side = cross > 0 ? -h : h;
  const x0 = before.c[6]! - ay * side;
  const y0 = before.c[7]! + ax * side;
  const x1 = x - by * side;
  const y1 = y + bx * side;
  // The outward bisector: of the normals, or of the directions where those cancel.
  const cos = Math.cos(turn / 2);
  const sin = Math.abs(Math.sin(turn / 2));
  let mx = cos > sin ? -(ay + by) * side : ax - bx;
  let my = cos > sin ? (ax + bx) * side : ay - by;
  const length = Math.hypot(mx, my);
  mx /= length;
  my /= length;
  const back = Math.min(h, before.size, after.size) / 4;
  const apex = [x - mx * back, y - my * back] as const;
  // Positive: counter-clockwise in the stroke's axes, which is the way of the turn when it goes to the left.
  const left = cross > 0;
  const pencil = new Pencil(sheet, ...apex);
  if (left) pencil.line(x0, y0);
  else pencil.line(x1, y1);
  if (join === "round") {
    const vx = left ? -ay * side : -by * side;
    const vy = left ? ax * side : bx * side;
    arc(pencil, nib, x, y, vx, vy, Math.abs(turn), left ? x1 : x0, left ? y1 : y0);
  } else if (join !== "bevel" && 1 <= stroke.miterLimit * cos * (1 + 1e-9)) {
    pencil.line(x + (mx * h) / cos, y + (my * h) / cos);
  } else if (join === "miter-clip") {
    // Cut square at half the miter limit times the width from the corner.
    const run = (stroke.miterLimit * h - h * cos) / sin;
    if (run > 0) {
      if (left) pencil.line(x0 + ax * run, y0 + ay * run).line(x1 - bx * run, y1 - by * run);
      else pencil.line(x1 - bx * run, y1 - by * run).line(x0 + ax * run, y0 + ay * run);
    }
  }
  if (left) pencil.line(x1, y1);
  else pencil.line(x0, y0);
  pencil.close();
}
