/**
 * A stretch of outline without corners → a smooth curve of few pieces, as a `MappedCurve` for the fitter.
 *
 * Each point is replaced by the value at its place of a local parabola (`local.ts`), the widest whose
 * points all lie within the picture's own grain of it. Straight runs become lines. Between them Hermite cubics
 * join some of the smoothed points with their directions, as few as follow the others closely.
 */
import { evalCubic } from "../../geometry/cubic.ts";
import type { MappedCurve } from "../../geometry/curve.ts";
import type { Grain } from "./grain.ts";
import { type Line, LocalFit, nearestLine } from "./local.ts";

/** Points along a stretch; those before `lo` and after `hi` only steady the smoothing. */
export interface Stretch {
  readonly s: Float64Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly lo: number;
  readonly hi: number;
  /** Ends are corners and stay where they are; else the stretch closes on itself. */
  readonly open: boolean;
}

/** Collects pieces, end to end, into one closed curve. */
export class Pieces {
  readonly #cubics: number[] = [];
  readonly #straight: number[] = [];

  line(x0: number, y0: number, x1: number, y1: number): void {
    const dx = (x1 - x0) / 3;
    const dy = (y1 - y0) / 3;
    if (dx === 0 && dy === 0) return;
    this.#cubics.push(x0, y0, x0 + dx, y0 + dy, x1 - dx, y1 - dy, x1, y1);
    this.#straight.push(1);
  }

  cubic(c: Float64Array): void {
    this.#cubics.push(...c);
    this.#straight.push(0);
  }

  curve(): MappedCurve<"page"> & { readonly cubics: Float64Array } {
    const cubics = Float64Array.from(this.#cubics);
    return {
      pieces: this.#straight.length,
      closed: true,
      straight: Uint8Array.from(this.#straight),
      cubics,
      at(piece, t, out) {
        evalCubic(cubics, 8 * piece, t, out);
        out[4] = 1;
      },
    };
  }
}

/** Points with unit directions, four numbers each: x, y, tx, ty. */
type Nodes = Float64Array;

/** Adds a stretch to the pieces. */
export function smoothInto(stretch: Stretch, grain: Grain, pieces: Pieces): void {
  const nodes = smoothed(stretch, grain);
  const { lo, hi } = stretch;
  let from = lo;
  for (const run of straightRuns(stretch, grain)) {
    place(nodes, run.from - lo, stretch, run.from, run.line);
    place(nodes, run.to - lo, stretch, run.to, run.line);
    if (run.from > from) hermites(nodes, from - lo, run.from - lo, grain, pieces);
    const a = 4 * (run.from - lo);
    const b = 4 * (run.to - lo);
    pieces.line(nodes[a]!, nodes[a + 1]!, nodes[b]!, nodes[b + 1]!);
    from = run.to;
  }
  if (hi > from) hermites(nodes, from - lo, hi - lo, grain, pieces);
}

function smoothed(stretch: Stretch, grain: Grain): Nodes {
  const { s, x, y, lo, hi, open } = stretch;
  const count = hi - lo + 1;
  const first = new Float64Array(4 * count);
  const reach = new Float64Array(count);
  const fit = new LocalFit();
  let level = 0;
  for (let i = lo; i <= hi; i++) {
    level = smoothWidest(fit, stretch, i, grain, level, first, 4 * (i - lo));
    reach[i - lo] = grain.widths[level]!;
  }
  // Where the width changes the points jump; once more, over them, with widths that change gradually.
  const whole = { s: s.slice(), x: x.slice(), y: y.slice() };
  for (let turn = open ? 0 : -1; turn <= (open ? 0 : 1); turn++)
    for (let k = 0; k < count; k++) {
      const at = lo + k + turn * (count - 1);
      if (at < 0 || at >= s.length) continue;
      whole.x[at] = first[4 * k]!;
      whole.y[at] = first[4 * k + 1]!;
    }
  const out = new Float64Array(4 * count);
  for (let k = 0; k < count; k++) {
    smooth(fit, { ...stretch, ...whole }, lo + k, meanOf(reach, k, Math.ceil(reach[k]! / 2)), out, 4 * k);
  }
  if (open)
    for (const i of [lo, hi]) {
      out[4 * (i - lo)] = x[i]!;
      out[4 * (i - lo) + 1] = y[i]!;
    }
  else out.copyWithin(out.length - 4, 0, 4);
  return out;
}

/** Noise may lie this much further off than the grain where no width is narrow enough to follow it. */
const NOISE = 2.5;

/** Widths may grow by so many steps from one point to the next. */
const STEP = 3;

/** Which of the grain's widths was taken; from one point to the next a few steps wider at most. */
function smoothWidest(
  fit: LocalFit,
  stretch: Stretch,
  i: number,
  grain: Grain,
  before: number,
  out: Float64Array,
  o: number,
): number {
  const last = grain.widths.length - 1;
  for (const residual of [grain.residual, NOISE * grain.residual])
    for (let k = Math.max(0, before - STEP); k <= last; k++)
      if (smooth(fit, stretch, i, grain.widths[k]!, out, o) <= residual) return k;
  return last;
}

function meanOf(v: Float64Array, k: number, half: number): number {
  const a = Math.max(0, k - half);
  const b = Math.min(v.length, k + half + 1);
  let sum = 0;
  for (let i = a; i < b; i++) sum += v[i]!;
  return sum / (b - a);
}

const jet = (): Float64Array => new Float64Array(4);

/** Writes the smoothed point i and its unit direction; returns how far the worst point lies off the parabola. */
function smooth(
  fit: LocalFit,
  { s, x, y, lo, hi, open }: Stretch,
  i: number,
  width: number,
  out: Float64Array,
  o: number,
): number {
  const first = open ? lo : 0;
  const last = open ? hi : s.length - 1;
  const length = s[hi]! - s[lo]!;
  const reach = Math.min(width, open ? length : length / 5);
  const s0 = s[i]!;
  let a = i;
  while (a > first && s0 - s[a - 1]! <= reach) a--;
  let b = i;
  while (b < last && s[b + 1]! - s0 <= reach) b++;
  // At least two neighbours on a side that has them.
  a = Math.max(first, Math.min(a, i - 2));
  b = Math.min(last, Math.max(b, i + 2));
  const far = Math.max(s0 - s[a]!, s[b]! - s0);
  const point = jet();
  let worst = Infinity;
  if (fit.fit(s, x, y, a, b + 1, s0, far, b - a >= 3 ? 2 : 1, true)) {
    worst = fit.worst(s, x, y, a, b + 1, s0, point);
    fit.at(0, point);
  } else point.set([x[i]!, y[i]!, x[b]! - x[a]!, y[b]! - y[a]!]);
  const speed = Math.hypot(point[2]!, point[3]!);
  out[o] = point[0]!;
  out[o + 1] = point[1]!;
  out[o + 2] = speed > 0 ? point[2]! / speed : 1;
  out[o + 3] = speed > 0 ? point[3]! / speed : 0;
  return worst;
}

/** Puts a node onto the foot of its point on the line, in its direction; corners stay. */
function place(nodes: Nodes, k: number, { x, y, lo, hi, open }: Stretch, i: number, line: Line): void {
  const o = 4 * k;
  if (!(open && (i === lo || i === hi))) {
    const t = (x[i]! - line.x) * line.dx + (y[i]! - line.y) * line.dy;
    nodes[o] = line.x + t * line.dx;
    nodes[o + 1] = line.y + t * line.dy;
  }
  nodes[o + 2] = line.dx;
  nodes[o + 3] = line.dy;
}

interface Run {
  readonly from: number;
  readonly to: number;
  readonly line: Line;
}

/** Straight runs that stand out: longer than the grain's, and no more bowed than it allows. */
function straightRuns(stretch: Stretch, grain: Grain): Run[] {
  const { s, x, y, lo, hi } = stretch;
  const runs: Run[] = [];
  const tries = (a: number, b: number): boolean => {
    const line = nearestLine(x, y, a, b + 1);
    return line !== null && line.worst <= grain.straight;
  };
  const reaching = (a: number, length: number): number => {
    let b = a;
    while (b < hi && s[b]! - s[a]! < length) b++;
    return b;
  };
  for (let a = lo; a < hi; ) {
    let b = reaching(a, grain.run);
    if (s[b]! - s[a]! < grain.run) break;
    if (!tries(a, b)) {
      a = reaching(a, grain.run / 6);
      continue;
    }
    let stop = hi + 1;
    for (let step = b - a; b < hi && stop > hi; step *= 2) {
      const next = Math.min(hi, b + step);
      if (tries(a, next)) b = next;
      else stop = next;
    }
    while (stop - b > 1 && stop <= hi) {
      const mid = (b + stop) >> 1;
      if (tries(a, mid)) b = mid;
      else stop = mid;
    }
    const run = settled(stretch, grain, a, b);
    if (run && run.from >= (runs.at(-1)?.to ?? lo)) {
      runs.push(run);
      a = Math.max(b, run.to);
    } else a = reaching(a, (s[b]! - s[a]!) / 4);
  }
  return runs;
}

/**
 * A line ends where the outline bends away: a quarter of its length further on it is off by more than this many
 * times the grain. A circle, which keeps to a chord within the grain on both sides, is off by four times by then.
 */
const BENDS = 6;

/**
 * The run that a seed from a to b belongs to: its middle part gives the line, which is followed both ways as far
 * as points keep to it, twice. Null where it is short or bowed.
 */
function settled({ s, x, y, lo, hi, open }: Stretch, grain: Grain, a: number, b: number): Run | null {
  let line: Line | null = null;
  for (let pass = 0; pass < 2; pass++) {
    const sixth = Math.floor((b - a) / 6);
    line = nearestLine(x, y, a + sixth, b - sixth + 1);
    if (!line) return null;
    const { x: lx, y: ly, dx, dy } = line;
    const near = (i: number): boolean => Math.abs((y[i]! - ly) * dx - (x[i]! - lx) * dy) <= grain.straight;
    const middle = (a + b) >> 1;
    a = b = middle;
    // A single point may lie off.
    while (a > lo && (near(a - 1) || (a - 1 > lo && near(a - 2)))) a--;
    while (b < hi && (near(b + 1) || (b + 1 < hi && near(b + 2)))) b++;
  }
  // What is straight to the grain reaches a little into the bends on both sides.
  const trim = Math.min(3 * grain.arm, (s[b]! - s[a]!) / 6);
  let from = a;
  let to = b;
  if (!(open && a === lo)) while (from < b && s[from]! - s[a]! < trim) from++;
  if (!(open && b === hi)) while (to > from && s[b]! - s[to]! < trim) to--;
  const kept = nearestLine(x, y, from, to + 1);
  const whole = nearestLine(x, y, a, b + 1);
  if (!kept || !whole || s[b]! - s[a]! < grain.run) return null;
  if (Math.max(kept.bow, whole.bow / 1.5) > grain.bow) return null;
  const beyond = (i: number): boolean =>
    Math.abs((y[i]! - kept.y) * kept.dx - (x[i]! - kept.x) * kept.dy) > BENDS * grain.straight;
  const quarter = (s[b]! - s[a]!) / 4;
  let after = b;
  while (after < (open ? hi : s.length - 1) && s[after]! - s[b]! < quarter) after++;
  let before = a;
  while (before > (open ? lo : 0) && s[a]! - s[before]! < quarter) before--;
  const corner = (i: number): boolean => open && (i === lo || i === hi);
  if (!(corner(a) || beyond(before)) || !(corner(b) || beyond(after))) return null;
  return { from, to, line: kept };
}

/** One Hermite cubic spans at most so much turning, as the cosine between its ends' directions. */
const WIDEST = Math.cos(1.2);

/** Cubics through as few of the nodes from a to b as keep close to the rest. */
function hermites(nodes: Nodes, a: number, b: number, grain: Grain, pieces: Pieces): void {
  const c = new Float64Array(8);
  const p = new Float64Array(4);
  let step = 8;
  for (let i = a; i < b; ) {
    step = Math.min(2 * step, b - i);
    while (step > 1 && !follows(nodes, i, i + step, grain.follow, c, p)) step >>= 1;
    hermite(nodes, i, i + step, c);
    pieces.cubic(c);
    i += step;
  }
}

function follows(
  nodes: Nodes,
  i: number,
  k: number,
  within: number,
  c: Float64Array,
  p: Float64Array,
): boolean {
  if (nodes[4 * i + 2]! * nodes[4 * k + 2]! + nodes[4 * i + 3]! * nodes[4 * k + 3]! < WIDEST) return false;
  const length = hermite(nodes, i, k, c);
  const stride = Math.max(1, (k - i) >> 4);
  let arc = 0;
  let before = i;
  for (let m = i + 1; m < k; m++) {
    arc += Math.hypot(nodes[4 * m]! - nodes[4 * before]!, nodes[4 * m + 1]! - nodes[4 * before + 1]!);
    before = m;
    if ((m - i) % stride !== 0) continue;
    evalCubic(c, 0, arc / length, p);
    const speed = Math.hypot(p[2]!, p[3]!);
    const off = (nodes[4 * m]! - p[0]!) * p[3]! - (nodes[4 * m + 1]! - p[1]!) * p[2]!;
    if (!(Math.abs(off) <= within * speed)) return false;
  }
  return true;
}

/** Writes the cubic from node i to node k, its arms a third of the way along the nodes; returns that way. */
function hermite(nodes: Nodes, i: number, k: number, c: Float64Array): number {
  let length = 0;
  for (let m = i; m < k; m++)
    length += Math.hypot(nodes[4 * m + 4]! - nodes[4 * m]!, nodes[4 * m + 5]! - nodes[4 * m + 1]!);
  const arm = length / 3;
  c[0] = nodes[4 * i]!;
  c[1] = nodes[4 * i + 1]!;
  c[2] = c[0] + arm * nodes[4 * i + 2]!;
  c[3] = c[1] + arm * nodes[4 * i + 3]!;
  c[6] = nodes[4 * k]!;
  c[7] = nodes[4 * k + 1]!;
  c[4] = c[6] - arm * nodes[4 * k + 2]!;
  c[5] = c[7] - arm * nodes[4 * k + 3]!;
  return length;
}
