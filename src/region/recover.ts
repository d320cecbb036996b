/** Outlines of a Plane → contours of the curves that they came from. */
import { evalCubic, subCubic } from "../geometry/cubic.ts";
import type { Contour, Space } from "../geometry/path.ts";
import { PathBuilder } from "../geometry/path.ts";
import type { Outlines } from "./crowd/outlines.ts";
import type { Sources } from "./sources.ts";

/** Runs of consecutive edges of one segment, in order; a run of one edge of unknown source has segment −1. */
class Runs {
  length = 0;
  segment = new Int32Array(64);
  t0 = new Float64Array(64);
  t1 = new Float64Array(64);
  /** The vertex where it starts. */
  from = new Int32Array(64);
  /** The point where it starts, in mm. */
  x = new Float64Array(64);
  y = new Float64Array(64);

  add(segment: number, t0: number, t1: number, from: number): void {
    if (this.length === this.from.length) this.#grow();
    const i = this.length++;
    this.segment[i] = segment;
    this.t0[i] = t0;
    this.t1[i] = t1;
    this.from[i] = from;
  }

  /** Whether run i goes on along a segment from t0 to t1. */
  goesOn(i: number, segment: number, t0: number, t1: number): boolean {
    const end = this.t1[i]!;
    return this.segment[i] === segment && Math.abs(end - t0) < 1e-12 && (end - this.t0[i]!) * (t1 - t0) > 0;
  }

  isBefore(i: number, j: number): boolean {
    const a = this.segment[i]!;
    const b = this.segment[j]!;
    return a >= 0 && (b < 0 || a < b || (a === b && this.t0[i]! < this.t0[j]!));
  }

  #grow(): void {
    const { segment, t0, t1, from } = this;
    const size = 2 * from.length;
    this.segment = new Int32Array(size);
    this.t0 = new Float64Array(size);
    this.t1 = new Float64Array(size);
    this.from = new Int32Array(size);
    this.x = new Float64Array(size);
    this.y = new Float64Array(size);
    this.segment.set(segment);
    this.t0.set(t0);
    this.t1.set(t1);
    this.from.set(from);
  }
}

type Point = { x: number; y: number };

const newtonSteps = 12;

export class Recovery<S extends Space> {
  readonly #sources: Sources<S>;
  readonly #scale: number;
  readonly #sagitta: number;
  readonly #a = new Float64Array(4);
  readonly #b = new Float64Array(4);
  readonly #c = new Float64Array(4);
  readonly #part = new Float64Array(8);
  readonly #builder = new PathBuilder<S>();
  readonly #runs = new Runs();

  constructor(sources: Sources<S>, scale: number, sagitta: number) {
    this.#sources = sources;
    this.#scale = scale;
    this.#sagitta = sagitta;
  }

  /** The edges of outline p as straight lines; null for fewer than three vertices. */
  lines(outlines: Outlines, p: number): Contour<S> | null {
    const from = outlines.starts[p]!;
    const to = outlines.end(p);
    if (to - from < 3) return null;
    const builder = this.#builder;
    for (let k = from; k < to; k++) {
      const { x, y } = this.#ungrid(outlines, k);
      if (k === from) builder.move(x, y);
      else builder.line(x, y);
    }
    return builder.close().build().contours[0] ?? null;
  }

  /** Outline p on the curves that it came from; null where nothing is left of it. */
  contour(outlines: Outlines, p: number): Contour<S> | null {
    const runs = this.#runs;
    const first = this.#gather(outlines, p);
    const n = runs.length;
    if (n === 0) return null;
    for (let m = 0; m < n; m++) this.#meet((first + m + n - 1) % n, (first + m) % n, outlines);
    const { segment, x, y } = runs;
    const builder = this.#builder;
    builder.move(x[first]!, y[first]!);
    let at = first;
    let drawn = 0;
    for (let m = 0; m < n; m++) {
      const i = (first + m) % n;
      const to = (i + 1) % n;
      const straight = segment[i]! < 0 || this.#sources.isStraight(segment[i]!);
      if (straight && x[to] === x[at] && y[to] === y[at]) continue;
      if (straight) builder.line(x[to]!, y[to]!);
      else this.#curve(builder, i, at, to);
      at = to;
      drawn++;
    }
    const [contour] = builder.close().build().contours;
    if (drawn < 2 && n > 1) return null;
    return contour ? straightened(contour, 4 / this.#scale) : null;
  }

  #ungrid({ x, y }: Outlines, k: number): Point {
    return { x: x[k]! / this.#scale, y: y[k]! / this.#scale };
  }

  /** Gathers the edges of an outline by segment and direction; the run that the contour is to begin with. */
  #gather(outlines: Outlines, p: number): number {
    const { z } = outlines;
    const begin = outlines.starts[p]!;
    const end = outlines.end(p);
    const runs = this.#runs;
    runs.length = 0;
    for (let k = begin; k < end; k++) {
      const shared = this.#sources.shared(z[k]!, z[k + 1 < end ? k + 1 : begin]!);
      const last = runs.length - 1;
      if (!shared) runs.add(-1, 0, 1, k);
      else if (last >= 0 && runs.goesOn(last, shared.segment, shared.t0, shared.t1))
        runs.t1[last] = shared.t1;
      else runs.add(shared.segment, shared.t0, shared.t1, k);
    }
    // The first run may go on from the last.
    const { segment, t0, t1, from } = runs;
    const last = runs.length - 1;
    if (last > 0 && runs.goesOn(last, segment[0]!, t0[0]!, t1[0]!)) {
      t0[0] = t0[last]!;
      from[0] = from[last]!;
      runs.length--;
    }
    // An outline begins where its first segment does, whatever the sweep began with.
    let least = 0;
    for (let i = 1; i < runs.length; i++) if (runs.isBefore(i, least)) least = i;
    return least;
  }

  /** Sets the point where one run ends and the next begins, and the parameters of both to it. */
  #meet(before: number, after: number, outlines: Outlines): void {
    const { segment, t0, t1, from, x, y } = this.#runs;
    const a = segment[before]!;
    const b = segment[after]!;
    if (a >= 0 && b >= 0) {
      const p = this.#eval(a, t1[before]!, this.#a);
      x[after] = p[0]!;
      y[after] = p[1]!;
      if (isEnd(t1[before]!) && isEnd(t0[after]!)) {
        const q = this.#eval(b, t0[after]!, this.#b);
        const near = 2 / this.#scale;
        if (Math.abs(p[0]! - q[0]!) <= near && Math.abs(p[1]! - q[1]!) <= near) return;
      }
      if (a === b || this.#cross(before, after)) return;
    } else if (a >= 0 || b >= 0) {
      const p = a < 0 ? this.#eval(b, t0[after]!, this.#a) : this.#eval(a, t1[before]!, this.#a);
      x[after] = p[0]!;
      y[after] = p[1]!;
      return;
    }
    x[after] = outlines.x[from[after]!]! / this.#scale;
    y[after] = outlines.y[from[after]!]! / this.#scale;
  }

  /** Newton's method on A(s) − B(t) from the chords' crossing; false where it leaves that neighbourhood. */
  #cross(before: number, after: number): boolean {
    const { segment, t0, t1, x, y } = this.#runs;
    const first = segment[before]!;
    const second = segment[after]!;
    let s = t1[before]!;
    let t = t0[after]!;
    for (let step = 0; step < newtonSteps; step++) {
      const a = this.#eval(first, s, this.#a);
      const b = this.#eval(second, t, this.#b);
      const ex = b[0]! - a[0]!;
      const ey = b[1]! - a[1]!;
      const det = a[3]! * b[2]! - a[2]! * b[3]!;
      const speeds = (a[2]! * a[2]! + a[3]! * a[3]!) * (b[2]! * b[2]! + b[3]! * b[3]!);
      if (!(det * det > 1e-12 * speeds)) return false;
      const ds = (ey * b[2]! - ex * b[3]!) / det;
      const dt = (ey * a[2]! - ex * a[3]!) / det;
      s = Math.min(1, Math.max(0, s + ds));
      t = Math.min(1, Math.max(0, t + dt));
      if (Math.abs(ds) + Math.abs(dt) < 1e-13) break;
    }
    const a = this.#eval(first, s, this.#a);
    const b = this.#eval(second, t, this.#b);
    if (!(distance(b, a) <= 2 / this.#scale)) return false;
    const from = this.#eval(first, t1[before]!, this.#c);
    // Chords that cross at a small angle lie a sagitta off, and their crossing many of them.
    if (distance(from, a) > 100 * this.#sagitta) return false;
    if ((t1[before]! - t0[before]!) * (s - t0[before]!) < 0) return false;
    if ((t1[after]! - t0[after]!) * (t1[after]! - t) < 0) return false;
    t1[before] = s;
    t0[after] = t;
    x[after] = a[0]!;
    y[after] = a[1]!;
    return true;
  }

  #eval(segment: number, t: number, out: Float64Array): Float64Array {
    evalCubic(this.#sources.contourOf(segment).points, this.#sources.offsetOf(segment), t, out);
    return out;
  }

  /** The segment between run i's parameters, its ends set on the starts of two runs. */
  #curve(builder: PathBuilder<S>, i: number, from: number, to: number): void {
    const { segment, t0, t1, x, y } = this.#runs;
    const { points } = this.#sources.contourOf(segment[i]!);
    const c = subCubic(points, this.#sources.offsetOf(segment[i]!), t0[i]!, t1[i]!, this.#part);
    const x1 = c[2]! + x[from]! - c[0]!;
    const y1 = c[3]! + y[from]! - c[1]!;
    const x2 = c[4]! + x[to]! - c[6]!;
    const y2 = c[5]! + y[to]! - c[7]!;
    builder.cubic(x1, y1, x2, y2, x[to]!, y[to]!);
  }
}

function distance(a: Float64Array, b: Float64Array): number {
  const dx = a[0]! - b[0]!;
  const dy = a[1]! - b[1]!;
  return Math.sqrt(dx * dx + dy * dy);
}

const isEnd = (t: number): boolean => t === 0 || t === 1;

/** Straight segments that go on in one line (within `eps` mm) made one. */
function straightened<S extends Space>(contour: Contour<S>, eps: number): Contour<S> {
  const { points: p, straight } = contour;
  const n = straight.length;
  /** Whether the straight segment k goes on in the line from the start of segment `from`. */
  const inLine = (from: number, k: number): boolean => {
    const [x0, y0] = [p[6 * from]!, p[6 * from + 1]!];
    const [x, y, x1, y1] = [p[6 * k]!, p[6 * k + 1]!, p[6 * k + 6]!, p[6 * k + 7]!];
    const length = Math.hypot(x1 - x0, y1 - y0);
    const off = Math.abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0));
    return (x1 - x) * (x - x0) + (y1 - y) * (y - y0) > 0 && off <= eps * length;
  };
  const isJoint = (k: number): boolean => straight[k] === 1 && straight[k === 0 ? n - 1 : k - 1] === 1;
  let start = 0;
  while (start < n && isJoint(start) && inLine(start === 0 ? n - 1 : start - 1, start)) start++;
  if (start === n) return contour;
  // The starts of the segments that are kept, from a certain corner on.
  const kept = [start];
  for (let m = 1; m < n; m++) {
    const k = (start + m) % n;
    if (!isJoint(k) || !inLine(kept[kept.length - 1]!, k)) kept.push(k);
  }
  if (kept.length === n || kept.length < 3) return contour;
  const builder = new PathBuilder<S>(kept.length);
  builder.move(p[6 * start]!, p[6 * start + 1]!);
  kept.forEach((k, m) => {
    const next = 6 * kept[(m + 1) % kept.length]!;
    const i = 6 * k;
    if (straight[k]) builder.line(p[next]!, p[next + 1]!);
    else builder.cubic(p[i + 2]!, p[i + 3]!, p[i + 4]!, p[i + 5]!, p[i + 6]!, p[i + 7]!);
  });
  return builder.close().build().contours[0] ?? contour;
}
