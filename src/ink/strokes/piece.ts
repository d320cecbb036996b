/**
 * A stretch of the stroked line in the stroke's own space, and its local frame.
 *
 * With P the line, T = P′/|P′| and N = T turned by +90° in the stroke's axes, N′ = −ω T where
 * ω = (P′ × P″)/|P′|² is the turning per unit of t; the curvature is ω/|P′|. Where P′ vanishes at an end, with
 * P′ ≈ P″τ + P‴τ²/2, the limits are T = ±P″/|P″| and ω = (P″ × P‴)/(2|P″|²).
 */
import { subCubic } from "../../geometry/cubic.ts";

/** How a piece follows the one before: in its direction, at an angle, or turning back within one segment. */
export type Joint = "smooth" | "corner" | "cusp";

export interface Piece {
  /** One cubic, eight numbers. */
  readonly c: Float64Array;
  readonly straight: boolean;
  /** Sum of its three arms: no shorter than the piece itself. */
  readonly size: number;
  /** Unit directions at start and end. */
  readonly dirs: Float64Array;
  /** The sign of the curvature where it may be tighter than half the width, else 0. */
  readonly tight: -1 | 0 | 1;
  readonly joint: Joint;
}

/** Slower than this share of the arms' length the line stands still. */
const standstill = 1e-9;

export function sizeOf(c: Float64Array): number {
  let size = 0;
  for (let i = 0; i < 6; i += 2) size += Math.hypot(c[i + 2]! - c[i]!, c[i + 3]! - c[i + 1]!);
  return size;
}

/** Unit directions at both ends; toward the next point that differs where an arm is zero. */
export function dirsOf(c: Float64Array, size: number): Float64Array {
  const out = new Float64Array(4);
  for (let end = 0; end < 2; end++) {
    for (let step = 1; step <= 3; step++) {
      const i = end ? 6 - 2 * step : 0;
      const j = end ? 6 : 2 * step;
      const x = c[j]! - c[i]!;
      const y = c[j + 1]! - c[i + 1]!;
      const length = Math.hypot(x, y);
      if (!(length > standstill * size)) continue;
      out[2 * end] = x / length;
      out[2 * end + 1] = y / length;
      break;
    }
  }
  return out;
}

export function linePiece(x0: number, y0: number, x1: number, y1: number, joint: Joint): Piece {
  const dx = x1 - x0;
  const dy = y1 - y0;
  const size = Math.hypot(dx, dy);
  return {
    c: Float64Array.of(x0, y0, x0 + dx / 3, y0 + dy / 3, x1 - dx / 3, y1 - dy / 3, x1, y1),
    straight: true,
    size,
    dirs: Float64Array.of(dx / size, dy / size, dx / size, dy / size),
    tight: 0,
    joint,
  };
}

/** Writes x, y, Tx, Ty, |P′| and ω at t into out[0..5]. */
export function jetOf({ c, size, dirs, straight }: Piece, t: number, out: Float64Array): void {
  const s = 1 - t;
  const ax = c[2]! - c[0]!;
  const ay = c[3]! - c[1]!;
  const bx = c[4]! - c[2]!;
  const by = c[5]! - c[3]!;
  const ex = c[6]! - c[4]!;
  const ey = c[7]! - c[5]!;
  out[0] =
    t === 0
      ? c[0]!
      : t === 1
        ? c[6]!
        : s * s * (s * c[0]! + 3 * t * c[2]!) + t * t * (3 * s * c[4]! + t * c[6]!);
  out[1] =
    t === 0
      ? c[1]!
      : t === 1
        ? c[7]!
        : s * s * (s * c[1]! + 3 * t * c[3]!) + t * t * (3 * s * c[5]! + t * c[7]!);
  if (straight) {
    out[2] = dirs[0]!;
    out[3] = dirs[1]!;
    out[4] = size;
    out[5] = 0;
    return;
  }
  const ux = 3 * (s * s * ax + 2 * s * t * bx + t * t * ex);
  const uy = 3 * (s * s * ay + 2 * s * t * by + t * t * ey);
  const vx = 6 * (s * (bx - ax) + t * (ex - bx));
  const vy = 6 * (s * (by - ay) + t * (ey - by));
  const speed = Math.sqrt(ux * ux + uy * uy);
  if (speed > standstill * size) {
    out[2] = ux / speed;
    out[3] = uy / speed;
    out[4] = speed;
    out[5] = (ux * vy - uy * vx) / (speed * speed);
  } else {
    const bend = vx * vx + vy * vy;
    const wx = 6 * (ex - 2 * bx + ax);
    const wy = 6 * (ey - 2 * by + ay);
    out[2] = dirs[t < 0.5 ? 0 : 2]!;
    out[3] = dirs[t < 0.5 ? 1 : 3]!;
    out[4] = 0;
    out[5] = bend > (standstill * size) ** 2 ? (vx * wy - vy * wx) / (2 * bend) : 0;
  }
  // The ends' own directions are shared with the neighbours, so that edges there are the same to the bit.
  if (t === 0) {
    out[2] = dirs[0]!;
    out[3] = dirs[1]!;
  } else if (t === 1) {
    out[2] = dirs[2]!;
    out[3] = dirs[3]!;
  }
}

/** The part of a piece between two parameters. */
export function cutPiece(piece: Piece, t0: number, t1: number): Piece {
  if (t0 === 0 && t1 === 1) return piece;
  const c = subCubic(piece.c, 0, t0, t1);
  if (piece.straight) return { ...linePiece(c[0]!, c[1]!, c[6]!, c[7]!, piece.joint), dirs: piece.dirs };
  const dirs = new Float64Array(4);
  const jet = new Float64Array(6);
  jetOf(piece, t0, jet);
  dirs.set(jet.subarray(2, 4), 0);
  jetOf(piece, t1, jet);
  dirs.set(jet.subarray(2, 4), 2);
  return { ...piece, c, size: sizeOf(c), dirs };
}
