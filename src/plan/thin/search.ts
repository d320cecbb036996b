/**
 * Widths of lines and gaps up to a limit, sampled along the outlines: at each sample the largest disc in the ink
 * (line) and outside it (gap) that touches there and again opposite, see ball.ts. Elements that nothing
 * opposite comes near are passed over. Corners that stick out into a gap or a line are samples of their own, with
 * every direction that the corner allows.
 */
import { Ball, nearestOnSegment } from "./ball.ts";
import { Chords, lengthOf } from "./chords.ts";
import type { BoxGrid } from "./grid.ts";
import { type Outline, signedTurn } from "./outline.ts";
import type { Patience } from "./patience.ts";

export type ThinKind = "line" | "gap";

/** One sample with a width, its disc's diameter: p on element e at t, q opposite on element f at u. */
export interface Found {
  readonly p: readonly [number, number];
  readonly q: readonly [number, number];
  readonly width: number;
  /** Length of outline that the sample stands for; 0 for a corner. */
  readonly length: number;
  /** Samples one after the other along an outline have numbers one apart. */
  readonly order: number;
  readonly e: number;
  readonly t: number;
  /** Half the sample's share of the element. */
  readonly reach: number;
  readonly f: number;
  readonly u: number;
}

export interface Search {
  readonly line: Found[];
  readonly gap: Found[];
  /** Distance between samples, mm: larger than asked for where that would have been too many. */
  readonly step: number;
}

/** Samples that one search may take. */
const MOST_SAMPLES = 100_000;
/** Anything nearer to a disc's centre than this share of its radius stands in its way. */
export const FREE = 0.95;
/** Joints that turn by less are part of a smooth outline (radians). */
const CORNER = (12 * Math.PI) / 180;
/** How far from opposite two tangents may be, with 4° for the chords (radians). */
const FACING = (24 * Math.PI) / 180;

/**
 * `limit`: widths up to it are found; `step`: distance between samples; `tolerance`: of the chords. All mm. Null where
 * patience ends.
 */
export function searchWidths(
  outline: Outline,
  grid: BoxGrid,
  sides: Int8Array,
  limit: number,
  step: number,
  tolerance: number,
  patience: Patience,
): Search | null {
  let samples = 0;
  for (let e = 0; e < outline.count; e++) samples += lengthOf(outline, e) / step;
  const coarser = Math.max(1, samples / MOST_SAMPLES);
  const walk = new Walk(outline, grid, sides, limit, coarser * step, coarser * tolerance);
  for (let e = 0; e < outline.count; e++) {
    if (sides[outline.contour[e]!] === 0) continue;
    walk.element(e);
    walk.corner(e);
    if (!patience.take(walk.looks)) return null;
    walk.looks = 0;
  }
  return { line: walk.line, gap: walk.gap, step: coarser * step };
}

/** True where two boxes are at most `limit` apart. */
function around(box: Float64Array, e: number, f: number, limit: number): boolean {
  const [i, j] = [4 * e, 4 * f];
  const dx = Math.max(box[i]! - box[j + 2]!, box[j]! - box[i + 2]!, 0);
  const dy = Math.max(box[i + 1]! - box[j + 3]!, box[j + 1]! - box[i + 3]!, 0);
  return dx * dx + dy * dy <= limit * limit;
}

/** True where the square of a point's distance from a box is less. */
function within(box: Float64Array, e: number, x: number, y: number, square: number): boolean {
  const dx = Math.max(box[4 * e]! - x, x - box[4 * e + 2]!, 0);
  const dy = Math.max(box[4 * e + 1]! - y, y - box[4 * e + 3]!, 0);
  return dx * dx + dy * dy < square;
}

class Walk {
  readonly line: Found[] = [];
  readonly gap: Found[] = [];
  /** Boxes and chords looked at since it was last set to 0. */
  looks = 0;
  readonly #outline: Outline;
  readonly #grid: BoxGrid;
  readonly #sides: Int8Array;
  readonly #limit: number;
  readonly #step: number;
  readonly #chords: Chords;
  readonly #ball = new Ball();
  readonly #near: number[] = [];
  #order = 0;
  /** How many neighbours the element at hand has. */
  #count = 0;
  /** Chord with the best opposite contact. */
  #chord = 0;

  constructor(
    outline: Outline,
    grid: BoxGrid,
    sides: Int8Array,
    limit: number,
    step: number,
    tolerance: number,
  ) {
    this.#outline = outline;
    this.#grid = grid;
    this.#sides = sides;
    this.#limit = limit;
    this.#step = step;
    this.#chords = new Chords(outline, tolerance, step);
  }

  element(e: number): void {
    const { box, contour, straight } = this.#outline;
    const side = this.#sides[contour[e]!]!;
    if (e === this.#outline.first[contour[e]!]) this.#order += 2;
    const b = 4 * e;
    const count = this.#neighbours(box[b]!, box[b + 1]!, box[b + 2]!, box[b + 3]!);
    this.#count = count;
    const facing = this.#facing(e, count);
    this.looks += 2 * count + 1;
    if (facing === 0) {
      this.#order += 2;
      return;
    }
    const chords = this.#chords;
    const n = chords.of(e);
    for (let k = 0; k < count; k++) chords.of(this.#near[k]!);
    const { xy } = chords;
    for (let k = 0; k < n; k++) {
      const i = chords.at(e) + 2 * k;
      const [x0, y0] = [xy[i]!, xy[i + 1]!];
      const [ex, ey] = [xy[i + 2]! - x0, xy[i + 3]! - y0];
      const length = Math.hypot(ex, ey);
      if (!(length > 0)) continue;
      const m = straight[e] === 1 ? Math.ceil(length / this.#step) : 1;
      const [nx, ny] = [(-ey / length) * side, (ex / length) * side];
      for (let j = 0; j < m; j++) {
        const s = (j + 0.5) / m;
        const [x, y] = [x0 + s * ex, y0 + s * ey];
        for (let way = 1; way >= -1; way -= 2) {
          const f = this.#opposite(x, y, way * nx, way * ny, facing);
          if (f < 0 || this.#stopped(count, i)) continue;
          const into = way === 1 ? this.line : this.gap;
          into.push(this.#found(e, (k + s) / n, 0.5 / (n * m), length / m, f));
        }
        this.#order++;
      }
    }
  }

  /** Puts elements whose tangents may run opposite to this one's first among its neighbours; how many they are. */
  #facing(e: number, count: number): number {
    const { contour, heading, spread, box } = this.#outline;
    const near = this.#near;
    const side = this.#sides[contour[e]!]!;
    const limit = this.#limit;
    let facing = 0;
    for (let k = 0; k < count; k++) {
      const f = near[k]!;
      const turn = heading[e]! - heading[f]! + (side === this.#sides[contour[f]!] ? Math.PI : 0);
      if (Math.abs(signedTurn(turn)) > FACING + spread[e]! + spread[f]!) continue;
      if (!around(box, e, f, limit)) continue;
      near[k] = near[facing]!;
      near[facing++] = f;
    }
    return facing;
  }

  #neighbours(minX: number, minY: number, maxX: number, maxY: number): number {
    const { contour } = this.#outline;
    const near = this.#near;
    const l = this.#limit;
    const n = this.#grid.find(minX - l, minY - l, maxX + l, maxY + l, near);
    let kept = 0;
    for (let k = 0; k < n; k++) if (this.#sides[contour[near[k]!]!] !== 0) near[kept++] = near[k]!;
    return kept;
  }

  /** The element with the nearest opposite contact for the disc at a point, or −1; it is in the ball then. */
  #opposite(x: number, y: number, nx: number, ny: number, facing: number): number {
    const ball = this.#ball;
    const chords = this.#chords;
    const { xy } = chords;
    const { box } = this.#outline;
    this.looks += facing;
    ball.begin(x, y, nx, ny, this.#limit / 2);
    let best = -1;
    for (let k = 0; k < facing; k++) {
      const f = this.#near[k]!;
      if (!ball.reaches(box, 4 * f)) continue;
      const from = chords.at(f);
      const to = from + 2 * chords.of(f);
      this.looks += to - from;
      for (let j = from; j < to; j += 2) {
        if (!ball.segment(xy[j]!, xy[j + 1]!, xy[j + 2]!, xy[j + 3]!)) continue;
        best = f;
        this.#chord = j;
      }
    }
    return best;
  }

  /** True where something stands in the way of the ball's disc; `own` is the chord that it lies on. */
  #stopped(count: number, own: number): boolean {
    const ball = this.#ball;
    const chords = this.#chords;
    const { xy } = chords;
    const { box } = this.#outline;
    for (let k = 0; k < count; k++) {
      const f = this.#near[k]!;
      this.looks++;
      if (!ball.reaches(box, 4 * f)) continue;
      const from = chords.at(f);
      const to = from + 2 * chords.of(f);
      this.looks += to - from;
      for (let j = from; j < to; j += 2) {
        if (j !== own && ball.least(xy[j]!, xy[j + 1]!, xy[j + 2]!, xy[j + 3]!) < FREE * ball.opposite)
          return true;
      }
    }
    return false;
  }

  #found(e: number, t: number, reach: number, length: number, f: number): Found {
    const ball = this.#ball;
    const chords = this.#chords;
    const { xy } = chords;
    const c = this.#chord;
    const whole = Math.hypot(xy[c + 2]! - xy[c]!, xy[c + 3]! - xy[c + 1]!);
    const along = Math.hypot(ball.qx - xy[c]!, ball.qy - xy[c + 1]!) / whole;
    const u = ((c - chords.at(f)) / 2 + along) / chords.of(f);
    const p = [ball.px, ball.py] as const;
    const q = [ball.qx, ball.qy] as const;
    return { p, q, width: 2 * ball.opposite, length, order: this.#order, e, t, reach, f, u };
  }

  /** The joint between an element and the next one, where it is a corner; right after `element`. */
  corner(e: number): void {
    const { points, contour } = this.#outline;
    const next = this.#outline.next(e);
    const t1 = endTangent(points, 8 * e, -1);
    const t2 = endTangent(points, 8 * next, 1);
    const turn = signedTurn(Math.atan2(t2[1], t2[0]) - Math.atan2(t1[1], t1[0]));
    if (Math.abs(turn) < CORNER) return;
    this.#order += 2;
    const [x, y] = [points[8 * e + 6]!, points[8 * e + 7]!];
    const chords = this.#chords;
    const count = this.#count;
    let least = this.#limit * this.#limit;
    let best = -1;
    let [qx, qy] = [0, 0];
    for (let k = 0; k < count; k++) {
      const f = this.#near[k]!;
      this.looks++;
      if (f === e || f === next || !within(this.#outline.box, f, x, y, least)) continue;
      const n = chords.of(f);
      this.looks += 2 * n;
      for (let i = chords.at(f), end = i + 2 * n; i < end; i += 2) {
        const { xy } = chords;
        const dd = nearestOnSegment(x, y, xy[i]!, xy[i + 1]!, xy[i + 2]!, xy[i + 3]!, foot);
        if (!(dd < least) || dd < TOUCH) continue;
        const [dx, dy] = [foot[0]! - x, foot[1]! - y];
        if (dx * t1[0] + dy * t1[1] < 0 || dx * t2[0] + dy * t2[1] > 0) continue;
        least = dd;
        best = f;
        [qx, qy] = [foot[0]!, foot[1]!];
      }
    }
    if (best < 0 || this.#blocked((x + qx) / 2, (y + qy) / 2, (FREE / 2) ** 2 * least, count)) return;
    // The corner sticks out to the side that it turns away from.
    const kind = turn > 0 === this.#sides[contour[e]!]! < 0 ? this.line : this.gap;
    const width = Math.sqrt(least);
    const order = this.#order;
    kind.push({ p: [x, y], q: [qx, qy], width, length: 0, order, e, t: 1, reach: 0, f: best, u: 0 });
    this.#order += 2;
  }

  #blocked(x: number, y: number, square: number, count: number): boolean {
    const chords = this.#chords;
    for (let k = 0; k < count; k++) {
      const f = this.#near[k]!;
      if (!within(this.#outline.box, f, x, y, square)) continue;
      const n = chords.of(f);
      const { xy } = chords;
      for (let i = chords.at(f), end = i + 2 * n; i < end; i += 2) {
        if (nearestOnSegment(x, y, xy[i]!, xy[i + 1]!, xy[i + 2]!, xy[i + 3]!, foot) < square) return true;
      }
    }
    return false;
  }
}
const foot = new Float64Array(2);
/** Corners this close (mm², squared) touch: there is no gap between them. */
const TOUCH = 1e-14;

/** The unit tangent at an element's start (1) or end (−1), along its direction. */
export function endTangent(p: Float64Array, i: number, end: 1 | -1): [number, number] {
  const from = end === 1 ? i : i + 6;
  for (let k = 2; k <= 6; k += 2) {
    const dx = end * (p[from + end * k]! - p[from]!);
    const dy = end * (p[from + end * k + 1]! - p[from + 1]!);
    const length = Math.hypot(dx, dy);
    if (length > 1e-12) return [dx / length, dy / length];
  }
  return [1, 0];
}
