/** A contour of the page → pieces in the stroke's own space, each of them easy to outline. */
import { subCubic } from "../../geometry/cubic.ts";
import type { Contour } from "../../geometry/path.ts";
import { bendsOf } from "./bends.ts";
import { dirsOf, type Joint, linePiece, type Piece, sizeOf } from "./piece.ts";
import type { Sheet } from "./sheet.ts";

/** Control points this near to one line, as a share of its length, are on it. */
const collinear = 1e-10;
/** Directions that differ by less (radians) may count as one. */
const smooth = 0.02;

/** The pieces of a contour, without those of no length; `h` half the width, `tolerance` in the stroke's units. */
export function piecesOf(contour: Contour<"page">, sheet: Sheet, h: number, tolerance: number): Piece[] {
  const p = sheet.back(contour.points);
  let far = 0;
  for (let i = 0; i < p.length; i++) far = Math.max(far, Math.abs(p[i]!));
  const none = 1e-9 * h + 1e-13 * far;
  const pieces: Piece[] = [];
  for (let k = 0; k < contour.straight.length; k++) {
    const c = p.slice(6 * k, 6 * k + 8);
    const size = sizeOf(c);
    if (!(size > none)) continue;
    if (contour.straight[k]) pushLine(pieces, c[0]!, c[1]!, c[6]!, c[7]!, "corner", none);
    else if (!pushFlat(pieces, c, size, none)) pushBent(pieces, c, size, h, 0.02 * tolerance);
  }
  const n = pieces.length;
  for (let k = contour.closed ? 0 : 1; k < n; k++) {
    const piece = pieces[k]!;
    if (piece.joint === "corner" && follows(pieces[(k + n - 1) % n]!, piece, h, tolerance)) {
      pieces[k] = { ...piece, joint: "smooth" };
    }
  }
  return pieces;
}

/** Whether the sides of the one go on into the other's with a step that does not matter. */
function follows(a: Piece, b: Piece, h: number, tolerance: number): boolean {
  const ax = a.dirs[2]!;
  const ay = a.dirs[3]!;
  const bx = b.dirs[0]!;
  const by = b.dirs[1]!;
  if (!(ax * bx + ay * by > 0)) return false;
  const step = h * Math.abs(ax * by - ay * bx);
  return step <= Math.min(0.1 * tolerance, 0.25 * a.size, 0.25 * b.size, smooth * h);
}

function pushLine(
  pieces: Piece[],
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  joint: Joint,
  none: number,
): boolean {
  if (!(Math.hypot(x1 - x0, y1 - y0) > none)) return false;
  pieces.push(linePiece(x0, y0, x1, y1, joint));
  return true;
}

/** A cubic whose points are all on one line, as straight pieces that may double back; says whether it was one. */
function pushFlat(pieces: Piece[], c: Float64Array, size: number, none: number): boolean {
  let ux = 0;
  let uy = 0;
  for (let i = 2; i < 8; i += 2) {
    const x = c[i]! - c[0]!;
    const y = c[i + 1]! - c[1]!;
    if (x * x + y * y > ux * ux + uy * uy) {
      ux = x;
      uy = y;
    }
  }
  const length2 = ux * ux + uy * uy;
  const q = [0, 0, 0, 0];
  for (let j = 1; j < 4; j++) {
    const x = c[2 * j]! - c[0]!;
    const y = c[2 * j + 1]! - c[1]!;
    if (Math.abs(x * uy - y * ux) > collinear * size * size) return false;
    q[j] = (x * ux + y * uy) / length2;
  }
  // Along the line it is a cubic of one number, which turns where its derivative changes sign.
  const [q0, q1, q2, q3] = q as [number, number, number, number];
  const a = q1 - q0 - 2 * (q2 - q1) + (q3 - q2);
  const b = 2 * (q2 - q1) - 2 * (q1 - q0);
  const e = q1 - q0;
  const root = Math.sqrt(Math.max(0, b * b - 4 * a * e));
  const w = -(b + (b < 0 ? -root : root)) / 2;
  const turns = root > 0 ? [w / a, e / w].filter((t) => t > 1e-9 && t < 1 - 1e-9).sort((s, t) => s - t) : [];
  let x = c[0]!;
  let y = c[1]!;
  let joint: Joint = "corner";
  for (const t of [...turns, 1]) {
    const s = 1 - t;
    const along = 3 * s * s * t * q1 + 3 * s * t * t * q2 + t * t * t * q3;
    const nextX = t === 1 ? c[6]! : c[0]! + along * ux;
    const nextY = t === 1 ? c[7]! : c[1]! + along * uy;
    if (!pushLine(pieces, x, y, nextX, nextY, joint, none)) continue;
    joint = "cusp";
    x = nextX;
    y = nextY;
  }
  return true;
}

function pushBent(pieces: Piece[], c: Float64Array, size: number, h: number, slack: number): void {
  const bends = bendsOf(c, h, size, slack);
  bends.forEach(({ t0, t1, tight, cusp }, k) => {
    if (bends.length === 1) {
      pieces.push({ c, straight: false, size, dirs: dirsOf(c, size), tight, joint: "corner" });
      return;
    }
    const part = subCubic(c, 0, t0, t1);
    if (cusp) {
      part[2] = part[0]!;
      part[3] = part[1]!;
    }
    if (bends[k + 1]?.cusp) {
      part[4] = part[6]!;
      part[5] = part[7]!;
    }
    const own = sizeOf(part);
    const dirs = dirsOf(part, own);
    if (k > 0 && !cusp) {
      const before = pieces[pieces.length - 1]!;
      dirs[0] = before.dirs[2]!;
      dirs[1] = before.dirs[3]!;
    }
    const joint: Joint = k === 0 ? "corner" : cusp ? "cusp" : "smooth";
    pieces.push({ c: part, straight: false, size: own, dirs, tight, joint });
  });
}
