/**
 * Corners of an outline. Marching squares cuts each by half a pixel, and a pixel's square rounds it besides; a
 * corner is where the outline, seen over a few pixels, is told better by two curves that meet than by one, and
 * its place is where the two meet.
 *
 * Two signs are used. Runs along the pixels' sides, three or more on both sides of a turn, are an axis-parallel
 * corner: a digitised smooth curve has no two such runs in a row (its chain code has runs of one length, and of
 * one, alternating: A. Rosenfeld, "Digital straight line segments", 1974). Elsewhere the turning over a short
 * arm has a local maximum there, and one cubic over the neighbourhood misses the points.
 */

import { type Field, FLAT } from "./edge.ts";
import type { Grain } from "./grain.ts";
import { type Line, LocalFit, meet, nearestLine } from "./local.ts";
import type { Loop } from "./walk.ts";

export interface Corner {
  /** Length along the outline. */
  readonly s: number;
  x: number;
  y: number;
  /** Length on either side in which the outline does not show its true course. */
  readonly gap: number;
  /** Fixed by axis-parallel runs: not to be moved. */
  readonly fixed: boolean;
  /** Null where fixed. */
  readonly seen: Seen | null;
}

/** The outline's own vertex at a corner, and whether the corner's tip is ink. */
interface Seen {
  readonly x: number;
  readonly y: number;
  readonly outward: boolean;
}

/** A tip may reach so far (pixels) into a pixel that shows nothing of it. */
const UNSEEN = 0.4;

/** By how much (pixels) `place` lies further out than the picture shows: tips where there is ink, notches where not. */
export function excess(
  { width, height, value }: Field,
  grain: Grain,
  { x, y, outward }: Seen,
  [px, py]: readonly [number, number],
): number {
  const dx = px - x;
  const dy = py - y;
  const far = Math.hypot(dx, dy);
  const least = grain.smooth > 0.3 ? 0.5 : FLAT;
  const shows = (d: number): boolean => {
    const i = Math.floor(x + (d / far) * dx);
    const j = Math.floor(y + (d / far) * dy);
    const v = i < 0 || j < 0 || i >= width || j >= height ? 0 : value[j * width + i]!;
    return outward ? v > least : v < 1 - least;
  };
  let d = far;
  while (d > UNSEEN && !shows(d - UNSEEN)) d -= 0.1;
  return far - Math.max(0, d);
}

/** A closed outline opened into a period: entries −n … 2n − 1 of s, x, y lie at 0 … 3n − 1. */
export interface Course {
  readonly n: number;
  readonly length: number;
  readonly s: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

export function courseOf({ x, y }: Loop): Course {
  const n = x.length;
  const s = new Float64Array(3 * n);
  const length = x.reduce((sum, v, i) => {
    s[n + i] = sum;
    const k = i + 1 === n ? 0 : i + 1;
    return sum + Math.hypot(x[k]! - v, y[k]! - y[i]!);
  }, 0);
  const xs = new Float64Array(3 * n);
  const ys = new Float64Array(3 * n);
  for (let turn = 0; turn < 3; turn++) {
    xs.set(x, turn * n);
    ys.set(y, turn * n);
    for (let i = 0; i < n; i++) s[turn * n + i] = s[n + i]! + (turn - 1) * length;
  }
  return { n, length, s, x: xs, y: ys };
}

/** First index whose s is not below the given one. */
export function firstFrom(s: Float64Array, least: number): number {
  let lo = 0;
  let hi = s.length;
  while (lo < hi) {
    const mid = (lo + hi) >> 1;
    if (s[mid]! < least) lo = mid + 1;
    else hi = mid;
  }
  return lo;
}

/** Corners in the outline's order. */
export function cornersOf(loop: Loop, course: Course, grain: Grain, field: Field): Corner[] {
  const corners = axisCorners(loop, course);
  const { n, length } = course;
  const turns = turnings(course, grain.arm);
  const open: number[] = [];
  for (let i = 0; i < n; i++) {
    const t = Math.abs(turns[i]!);
    if (t >= grain.turn && isPeak(course, turns, i, grain.arm)) open.push(i);
  }
  open.sort((a, b) => Math.abs(turns[b]!) - Math.abs(turns[a]!) || a - b);
  const near = new Neighbours(length, grain.window);
  for (const { s } of corners) near.add(s);
  const finder = new CornerFinder(course, grain, field);
  for (const i of open) {
    const s = course.s[n + i]!;
    const most = Math.min(grain.window, length / 4);
    const [before, after] = near.room(s, most);
    for (const corner of finder.find(n + i, before, after, turns[i]!)) {
      corners.push(corner);
      near.add(corner.s);
    }
  }
  return corners.sort((a, b) => a.s - b.s);
}

/** Corners by their place along a closed outline, so that the nearest are found without looking at all. */
class Neighbours {
  readonly #length: number;
  readonly #cells: number[][];

  constructor(length: number, cell: number) {
    this.#length = length;
    this.#cells = Array.from({ length: Math.max(1, Math.floor(length / cell)) }, () => []);
  }

  #cellOf(s: number): number {
    const count = this.#cells.length;
    return Math.min(count - 1, Math.floor((s / this.#length) * count));
  }

  add(s: number): void {
    this.#cells[this.#cellOf(s)]!.push(s);
  }

  /** Lengths free of corners before and after s, each at most `most`, which is at most a cell. */
  room(s: number, most: number): [before: number, after: number] {
    let before = most;
    let after = most;
    const count = this.#cells.length;
    const cell = this.#cellOf(s);
    for (let k = cell - 1; k <= cell + 1; k++)
      for (const c of this.#cells[(k + count) % count]!) {
        const ahead = (c - s + 2 * this.#length) % this.#length;
        after = Math.min(after, ahead);
        before = Math.min(before, this.#length - ahead);
      }
    return [before, after];
  }
}

/** Where runs along the pixels' sides meet at right angles. */
function axisCorners({ x, y, way, hard }: Loop, { n, s, length }: Course): Corner[] {
  const starts: number[] = [];
  for (let i = 0; i < n; i++) if (way[i] !== way[(i + n - 1) % n]) starts.push(i);
  const runs = starts.length;
  const out: Corner[] = [];
  const span = (r: number): number => {
    const d = starts[(r + 1) % runs]! - starts[r]!;
    return d > 0 ? d : d + n;
  };
  const turn = (r: number): number => (way[starts[r]!]! - way[(starts[r]! + n - 1) % n]! + 4) & 3;
  /** The coordinate across the run that vertex `at` belongs to, of vertex k. */
  const level = (k: number, at: number): number => (way[at]! & 1 ? x : y)[(k + n) % n]!;
  // Second and third from the turn: the nearest are rounded with the corner.
  const evenEnd = (last: number): boolean => Math.abs(level(last - 1, last) - level(last - 2, last)) < 0.03;
  const evenStart = (i: number): boolean => Math.abs(level(i + 1, i) - level(i + 2, i)) < 0.03;
  const next = (r: number): number => (r + 1) % runs;
  const prior = (r: number): number => (r + runs - 1) % runs;
  /** The end of a bar one or two pixels wide. */
  const isCap = (r: number): boolean =>
    span(r) < 3 &&
    span(prior(r)) >= 3 &&
    span(next(r)) >= 3 &&
    turn(r) === turn(next(r)) &&
    evenEnd((starts[r]! + n - 1) % n) &&
    evenStart(starts[next(r)]!);
  const square = runs === 4 && hard.every((h) => h === 1);
  for (let r = 0; r < runs; r++) {
    const i = starts[r]!;
    const last = (i + n - 1) % n;
    const before = span(prior(r));
    const after = span(r);
    const long = before >= 3 && after >= 3 && evenEnd(last) && evenStart(i);
    if (!(square || long || isCap(r) || isCap(prior(r)))) continue;
    const p = level(before >= 3 ? last - 1 : last, last);
    const q = level(after >= 3 ? i + 1 : i, i);
    const end = s[n + i]! + (i === 0 ? length : 0);
    const middle = (s[n + last]! + end) / 2;
    out.push({
      s: middle >= length ? middle - length : middle,
      x: way[last]! & 1 ? p : q,
      y: way[last]! & 1 ? q : p,
      seen: null,
      gap: (hard[last] && hard[i]) || before < 3 || after < 3 ? 0.1 : 1.2,
      fixed: true,
    });
  }
  return out;
}

/** Signed turning at each vertex between the chords to the points one arm before and after it. */
function turnings(course: Course, arm: number): Float64Array {
  const { n, length, s, x, y } = course;
  const out = new Float64Array(n);
  const reach = Math.min(arm, length / 6);
  const p = new Float64Array(4);
  for (let i = 0, a = 0, b = 0; i < n; i++) {
    const at = n + i;
    while (s[a + 1]! <= s[at]! - reach) a++;
    while (s[b + 1]! <= s[at]! + reach) b++;
    between(course, a, s[at]! - reach, p, 0);
    between(course, b, s[at]! + reach, p, 2);
    const ax = x[at]! - p[0]!,
      ay = y[at]! - p[1]!;
    const bx = p[2]! - x[at]!,
      by = p[3]! - y[at]!;
    out[i] = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  }
  return out;
}

function between({ s, x, y }: Course, k: number, at: number, out: Float64Array, o: number): void {
  const d = s[k + 1]! - s[k]!;
  const f = d > 0 ? (at - s[k]!) / d : 0;
  out[o] = x[k]! + f * (x[k + 1]! - x[k]!);
  out[o + 1] = y[k]! + f * (y[k + 1]! - y[k]!);
}

/** Whether no vertex within an arm turns more the same way; of equals the first. */
function isPeak({ n, s }: Course, turns: Float64Array, i: number, arm: number): boolean {
  const sign = Math.sign(turns[i]!);
  const here = sign * turns[i]!;
  for (let k = i - 1; k > i - n && s[n + i]! - s[n + k]! <= arm; k--)
    if (sign * turns[(k + n) % n]! >= here) return false;
  for (let k = i + 1; k < i + n && s[n + k]! - s[n + i]! <= arm; k++)
    if (sign * turns[k % n]! > here) return false;
  return true;
}

/** Further from the outline than this many pixels, where two sides meet is no longer believed. */
const FARTHEST = 3;
/** Sides whose directions' product is below this run back beside each other. */
const OPPOSED = -0.8;
/** Sides shorter than this do not say whether they are smooth; there a sharp turn must do. */
const SHORT = 2.4;

class CornerFinder {
  readonly #course: Course;
  readonly #grain: Grain;
  readonly #field: Field;
  readonly #fit = new LocalFit();
  readonly #left = new LocalFit();
  readonly #right = new LocalFit();
  readonly #a = new Float64Array(4);
  readonly #b = new Float64Array(4);

  constructor(course: Course, grain: Grain, field: Field) {
    this.#course = course;
    this.#grain = grain;
    this.#field = field;
  }

  /** The corner near vertex `at` of the period, whose neighbourhood is so long: none, one, or a bar's two. */
  find(at: number, before: number, after: number, turn: number): Corner[] {
    const { s, x, y, length } = this.#course;
    if (before < 1 || after < 1) return [];
    const s0 = s[at]!;
    const from = firstFrom(s, s0 - before);
    const to = firstFrom(s, s0 + after);
    const reach = Math.max(before, after);
    if (Math.min(before, after) >= SHORT) {
      if (!this.#fit.fit(s, x, y, from, to, s0, reach, 3, false)) return [];
      if (this.#fit.worst(s, x, y, from, to, s0, this.#a) < this.#grain.smooth) return [];
    } else if (Math.abs(turn) < 0.9) return [];
    const gap = Math.min(1.2, before / 3, after / 3);
    const ends = [s0 - before + gap / 2, s0 - gap, s0 + gap, s0 + after - gap / 2] as const;
    const seen: Seen = { x: x[at]!, y: y[at]!, outward: turn > 0 };
    const corner = ([px, py]: readonly [number, number], aside: number): Corner => ({
      s: (s0 + aside + length) % length,
      x: px,
      y: py,
      gap,
      fixed: false,
      seen,
    });
    const place = this.#meeting(at, ...ends);
    const over = place ? excess(this.#field, this.#grain, seen, place) : 0;
    if (place && over <= this.#grain.excess) return [corner(place, 0)];
    const bar = this.#cutOff(at, gap, place, over, ...ends);
    if (!bar) return [corner([seen.x, seen.y], 0)];
    const half = Math.min(gap, Math.hypot(bar[1][0] - bar[0][0], bar[1][1] - bar[0][1]) / 2);
    return [corner(bar[0], -half), corner(bar[1], half)];
  }

  /**
   * The two corners of a blunt end, cut off square to its sides' mean direction: `over` before the tip where they
   * meet; of sides that run back beside each other, where the outline reaches furthest. Else null.
   */
  #cutOff(
    at: number,
    gap: number,
    tip: readonly [number, number] | null,
    over: number,
    s0: number,
    s1: number,
    s2: number,
    s3: number,
  ): [[number, number], [number, number]] | null {
    const { s, x, y } = this.#course;
    const a = nearestLine(x, y, firstFrom(s, s0), firstFrom(s, s1));
    const b = nearestLine(x, y, firstFrom(s, s2), firstFrom(s, s3));
    if (!a || !b || (!tip && a.dx * b.dx + a.dy * b.dy > OPPOSED)) return null;
    const length = Math.hypot(a.dx - b.dx, a.dy - b.dy);
    if (length < 0.5) return null;
    const ux = (a.dx - b.dx) / length;
    const uy = (a.dy - b.dy) / length;
    let far = -Infinity;
    if (tip) far = tip[0] * ux + tip[1] * uy - over;
    else
      for (let i = firstFrom(s, s[at]! - 2 * gap); s[i]! <= s[at]! + 2 * gap; i++)
        far = Math.max(far, x[i]! * ux + y[i]! * uy);
    const cut = (l: Line): [number, number] => {
      const t = (far - l.x * ux - l.y * uy) / (l.dx * ux + l.dy * uy);
      return [l.x + t * l.dx, l.y + t * l.dy];
    };
    return [cut(a), cut(b)];
  }

  /** Where the curve from s0 to s1, carried on, meets the one from s2 to s3. */
  #meeting(at: number, s0: number, s1: number, s2: number, s3: number): [number, number] | null {
    const { s, x, y } = this.#course;
    const i0 = firstFrom(s, s0),
      i1 = firstFrom(s, s1),
      i2 = firstFrom(s, s2),
      i3 = firstFrom(s, s3);
    const near = (p: [number, number] | null): p is [number, number] =>
      p !== null && Math.hypot(p[0] - x[at]!, p[1] - y[at]!) <= FARTHEST;
    // Curved sides where the places are good enough to tell; else lines.
    if (this.#grain.smooth < 0.3 && i1 - i0 >= 5 && i3 - i2 >= 5) {
      const here = s[at]!;
      if (
        this.#left.fit(s, x, y, i0, i1, here, here - s0, 2, false) &&
        this.#right.fit(s, x, y, i2, i3, here, s3 - here, 2, false)
      ) {
        const p = this.#newton();
        if (near(p)) return p;
      }
    }
    const a = nearestLine(x, y, i0, i1);
    const b = nearestLine(x, y, i2, i3);
    const p = a && b ? meet(a, b) : null;
    return near(p) ? p : null;
  }

  #newton(): [number, number] | null {
    const a = this.#a;
    const b = this.#b;
    let u = 0,
      v = 0;
    for (let pass = 0; pass < 12; pass++) {
      this.#left.at(u, a);
      this.#right.at(v, b);
      const ex = b[0]! - a[0]!,
        ey = b[1]! - a[1]!;
      if (Math.hypot(ex, ey) < 1e-9) return [a[0]!, a[1]!];
      // a + du·a′ = b + dv·b′.
      const cross = a[2]! * b[3]! - a[3]! * b[2]!;
      if (Math.abs(cross) < 0.05) return null;
      u += (ex * b[3]! - ey * b[2]!) / cross;
      v += (ex * a[3]! - ey * a[2]!) / cross;
      if (Math.abs(u) > 2 * FARTHEST || Math.abs(v) > 2 * FARTHEST) return null;
    }
    return null;
  }
}
