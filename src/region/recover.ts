/** Outlines of a Plane → contours of the curves that they came from. */
import { evalCubic, subCubic } from "../geometry/cubic.ts";
import type { Contour, Space } from "../geometry/path.ts";
import { PathBuilder } from "../geometry/path.ts";
import type { Outlines } from "./crowd/outlines.ts";
import type { Sources } from "./sources.ts";

/** Consecutive edges of one segment, or one edge of unknown source (segment −1). */
interface Run {
  readonly segment: number;
  t0: number;
  t1: number;
  /** The vertex where it starts. */
  readonly from: number;
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
    const runs = this.#runs(outlines, p);
    const ends = runs.map((run, i) =>
      this.#meeting(runs[(i + runs.length - 1) % runs.length]!, run, outlines),
    );
    const builder = this.#builder;
    const start = ends[0];
    if (!start) return null;
    builder.move(start.x, start.y);
    let at: Point = start;
    let drawn = 0;
    for (let i = 0; i < runs.length; i++) {
      const run = runs[i]!;
      const to = i + 1 < runs.length ? ends[i + 1]! : start;
      if (to.x === at.x && to.y === at.y && (run.segment < 0 || this.#sources.isStraight(run.segment)))
        continue;
      if (run.segment < 0 || this.#sources.isStraight(run.segment)) builder.line(to.x, to.y);
      else this.#curve(builder, run, at, to);
      at = to;
      drawn++;
    }
    if (drawn < 2 && runs.length > 1) return null;
    const [contour] = builder.close().build().contours;
    return contour ? straightened(contour, 4 / this.#scale) : null;
  }

  #ungrid({ x, y }: Outlines, k: number): Point {
    return { x: x[k]! / this.#scale, y: y[k]! / this.#scale };
  }

  /** Edges gathered by segment and direction, beginning where a run begins. */
  #runs(outlines: Outlines, p: number): Run[] {
    const { z } = outlines;
    const begin = outlines.starts[p]!;
    const end = outlines.end(p);
    const runs: Run[] = [];
    for (let k = begin; k < end; k++) {
      const shared = this.#sources.shared(z[k]!, z[k + 1 < end ? k + 1 : begin]!);
      if (!shared) {
        runs.push({ segment: -1, t0: 0, t1: 1, from: k });
        continue;
      }
      const last = runs[runs.length - 1];
      if (last && goesOn(last, shared.segment, shared.t0, shared.t1)) last.t1 = shared.t1;
      else runs.push({ segment: shared.segment, t0: shared.t0, t1: shared.t1, from: k });
    }
    // The first run may go on from the last.
    const first = runs[0];
    const last = runs[runs.length - 1];
    if (first && last && first !== last && goesOn(last, first.segment, first.t0, first.t1)) {
      last.t1 = first.t1;
      runs.shift();
    }
    // An outline begins where its first segment does, whatever the sweep began with.
    let least = 0;
    for (let i = 1; i < runs.length; i++) if (isBefore(runs[i]!, runs[least]!)) least = i;
    return least === 0 ? runs : [...runs.slice(least), ...runs.slice(0, least)];
  }

  /** The point where one run ends and the next begins; sets the parameters of both to it. */
  #meeting(before: Run, after: Run, outlines: Outlines): Point {
    const grid = this.#ungrid(outlines, after.from);
    if (before.segment < 0 && after.segment < 0) return grid;
    if (before.segment < 0) return this.#at(after.segment, after.t0, this.#a);
    if (after.segment < 0) return this.#at(before.segment, before.t1, this.#a);
    const joint = isEnd(before.t1) && isEnd(after.t0);
    if (joint) {
      const p = this.#at(before.segment, before.t1, this.#a);
      const q = this.#at(after.segment, after.t0, this.#b);
      const x = p.x;
      const y = p.y;
      if (Math.abs(x - q.x) <= 2 / this.#scale && Math.abs(y - q.y) <= 2 / this.#scale) return { x, y };
    }
    if (before.segment === after.segment) return this.#at(before.segment, before.t1, this.#a);
    return this.#crossing(before, after) ?? grid;
  }

  /** Newton's method on A(s) − B(t) from the chords' crossing; null where it leaves that neighbourhood. */
  #crossing(before: Run, after: Run): Point | null {
    let s = before.t1;
    let t = after.t0;
    for (let step = 0; step < newtonSteps; step++) {
      const a = this.#eval(before.segment, s, this.#a);
      const b = this.#eval(after.segment, t, this.#b);
      const ex = b[0]! - a[0]!;
      const ey = b[1]! - a[1]!;
      const det = a[3]! * b[2]! - a[2]! * b[3]!;
      const speeds = (a[2]! * a[2]! + a[3]! * a[3]!) * (b[2]! * b[2]! + b[3]! * b[3]!);
      if (!(det * det > 1e-12 * speeds)) return null;
      const ds = (ey * b[2]! - ex * b[3]!) / det;
      const dt = (ey * a[2]! - ex * a[3]!) / det;
      s = Math.min(1, Math.max(0, s + ds));
      t = Math.min(1, Math.max(0, t + dt));
      if (Math.abs(ds) + Math.abs(dt) < 1e-13) break;
    }
    const a = this.#eval(before.segment, s, this.#a);
    const b = this.#eval(after.segment, t, this.#b);
    if (!(distance(b, a) <= 2 / this.#scale)) return null;
    const from = this.#eval(before.segment, before.t1, this.#c);
    const moved = distance(from, a);
    // Chords that cross at a small angle lie a sagitta off, and their crossing many of them.
    if (moved > 100 * this.#sagitta) return null;
    if ((before.t1 - before.t0) * (s - before.t0) < 0 || (after.t1 - after.t0) * (after.t1 - t) < 0)
      return null;
    before.t1 = s;
    after.t0 = t;
    return { x: a[0]!, y: a[1]! };
  }

  #eval(segment: number, t: number, out: Float64Array): Float64Array {
    evalCubic(this.#sources.contourOf(segment).points, this.#sources.offsetOf(segment), t, out);
    return out;
  }

  #at(segment: number, t: number, out: Float64Array): Point {
    this.#eval(segment, t, out);
    return { x: out[0]!, y: out[1]! };
  }

  /** The segment between the run's parameters, its ends set on the given points. */
  #curve(builder: PathBuilder<S>, run: Run, from: Point, to: Point): void {
    const { points } = this.#sources.contourOf(run.segment);
    const c = subCubic(points, this.#sources.offsetOf(run.segment), run.t0, run.t1, this.#part);
    const x1 = c[2]! + from.x - c[0]!;
    const y1 = c[3]! + from.y - c[1]!;
    const x2 = c[4]! + to.x - c[6]!;
    const y2 = c[5]! + to.y - c[7]!;
    builder.cubic(x1, y1, x2, y2, to.x, to.y);
  }
}

function distance(a: Float64Array, b: Float64Array): number {
  const dx = a[0]! - b[0]!;
  const dy = a[1]! - b[1]!;
  return Math.sqrt(dx * dx + dy * dy);
}

const isEnd = (t: number): boolean => t === 0 || t === 1;

const isBefore = (a: Run, b: Run): boolean =>
  a.segment >= 0 && (b.segment < 0 || a.segment < b.segment || (a.segment === b.segment && a.t0 < b.t0));

const goesOn = (run: Run, segment: number, t0: number, t1: number): boolean =>
  run.segment === segment && Math.abs(run.t1 - t0) < 1e-12 && (run.t1 - run.t0) * (t1 - t0) > 0;

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
