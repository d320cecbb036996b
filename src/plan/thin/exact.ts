/**
 * A sampled width taken to the curves themselves: the least 2r over the sample's share of its element, where
 *
 *   r(t) = min over u of |Q(u) − P(t)|² / (2 n(t)·(Q(u) − P(t)))
 *
 * with Q near the sample's own opposite point, and on no disc that another part of the outline next to P reaches
 * into.
 */
import { evalCubic } from "../../geometry/cubic.ts";
import { OPPOSITE } from "./ball.ts";
import { lengthOf } from "./chords.ts";
import type { Outline } from "./outline.ts";
import { type Found, FREE } from "./search.ts";

export interface Exact {
  /** The disc's diameter (mm). */
  readonly width: number;
  readonly p: readonly [number, number];
  readonly q: readonly [number, number];
}

/** A stretch of one element. */
interface Stretch {
  readonly e: number;
  readonly lo: number;
  readonly hi: number;
}

const PROBES = 8;
/** A little more than opposite, so that the search does not end at the samples' own edge. */
const COSINE = Math.cos(1.2 * OPPOSITE);

export function exactWidth(outline: Outline, found: Found): Exact {
  if (found.reach === 0 || !(found.width > 0)) return found;
  const { points, straight, heading } = outline;
  // Between parallels the sample is exact already.
  const turned = Math.sin(heading[found.e]! - heading[found.f]!);
  if (straight[found.e] && straight[found.f] && Math.abs(turned) < 1e-9) return found;
  const p = new Float64Array(4);
  const q = new Float64Array(4);
  evalCubic(points, 8 * found.e, found.t, p);
  // Which way the disc lies: the sample's own q tells.
  const way = -p[3]! * (found.q[0] - p[0]!) + p[2]! * (found.q[1] - p[1]!) > 0 ? 1 : -1;
  const far = 3 * found.reach * lengthOf(outline, found.e) + found.width;
  const opposite = around(outline, found.f, found.u, far).filter((s) => s.e !== found.e);
  const beside = [outline.previous(found.e), outline.next(found.e)].map((e) => ({ e, lo: 0, hi: 1 }));
  const radiusAt = (e: number, u: number, nearest: number): number => {
    evalCubic(points, 8 * e, u, q);
    const dx = q[0]! - p[0]!;
    const dy = q[1]! - p[1]!;
    const dd = dx * dx + dy * dy;
    const down = (way * (p[2]! * dy - p[3]! * dx)) / Math.hypot(p[2]!, p[3]!);
    return down > 0 && dd >= nearest ? dd / (2 * down) : Infinity;
  };
  /** Least r over a stretch, and where; points closer to P than √nearest are left out. */
  const leastOver = ({ e, lo, hi }: Stretch, nearest = 0): [number, number] => {
    const at = (k: number): number => lo + ((hi - lo) * k) / PROBES;
    let probe = 0;
    let value = Infinity;
    for (let k = 0; k <= PROBES; k++) {
      const r = radiusAt(e, at(k), nearest);
      if (r < value) [probe, value] = [k, r];
    }
    if (value === Infinity) return [lo, value];
    const f = (u: number): number => radiusAt(e, u, nearest);
    const u = minimum(f, at(Math.max(0, probe - 1)), at(Math.min(PROBES, probe + 1)));
    return f(u) < value ? [u, f(u)] : [at(probe), value];
  };
  let best: Exact = { ...found, width: Infinity };
  const widthAt = (t: number): number => {
    evalCubic(points, 8 * found.e, t, p);
    let least = Infinity;
    let at: readonly [number, number] = found.q;
    for (const stretch of opposite) {
      const [u, r] = leastOver(stretch);
      if (!(r < least)) continue;
      evalCubic(points, 8 * stretch.e, u, q);
      if (Math.hypot(q[0]! - p[0]!, q[1]! - p[1]!) < 2 * r * COSINE) continue;
      least = r;
      at = [q[0]!, q[1]!];
    }
    if (beside.some((s) => leastOver(s, (0.1 * least) ** 2)[1] < FREE * least)) return Infinity;
    if (2 * least < best.width * (1 - 1e-9)) best = { width: 2 * least, p: [p[0]!, p[1]!], q: at };
    return least;
  };
  // On the curve itself the width replaces the chords'; then its neighbourhood is searched for a smaller one.
  widthAt(found.t);
  minimum(widthAt, Math.max(0, found.t - 3 * found.reach), Math.min(1, found.t + 3 * found.reach));
  return best.width < Infinity ? best : found;
}

/** The stretch within `far` (mm) of a place on an element, in up to three parts. */
function around(outline: Outline, f: number, u: number, far: number): Stretch[] {
  const length = lengthOf(outline, f);
  const list: Stretch[] = [{ e: f, lo: Math.max(0, u - far / length), hi: Math.min(1, u + far / length) }];
  const before = far - u * length;
  const after = far - (1 - u) * length;
  if (before > 0) {
    const e = outline.previous(f);
    list.push({ e, lo: Math.max(0, 1 - before / lengthOf(outline, e)), hi: 1 });
  }
  if (after > 0) {
    const e = outline.next(f);
    list.push({ e, lo: 0, hi: Math.min(1, after / lengthOf(outline, e)) });
  }
  return list;
}

const GOLD = (Math.sqrt(5) - 1) / 2;

/** Golden section for a function with one hollow: 22 steps are 2.5e-5 of the bracket. */
function minimum(f: (x: number) => number, lo: number, hi: number): number {
  let [a, b] = [lo, hi];
  let x1 = b - GOLD * (b - a);
  let x2 = a + GOLD * (b - a);
  let [f1, f2] = [f(x1), f(x2)];
  for (let k = 0; k < 22; k++) {
    if (f1 < f2) {
      [b, x2, f2] = [x2, x1, f1];
      x1 = b - GOLD * (b - a);
      f1 = f(x1);
    } else {
      [a, x1, f1] = [x1, x2, f2];
      x2 = a + GOLD * (b - a);
      f2 = f(x2);
    }
  }
  return (a + b) / 2;
}
