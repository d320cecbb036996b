/**
 * Centre lines parted along a border: cut where they cross it, both parts half a spot longer there along the line.
 * Lengths mm. A place on a line is a number: segment k at its parameter t is k + t.
 */
import { contourLength, evalCubic, subCubic } from "../../geometry/cubic.ts";
import type { Contour, Path } from "../../geometry/path.ts";
import { bracketRoot, PolynomialRoots } from "../../geometry/roots.ts";
import type { Border } from "./border.ts";
import { isIn } from "./chords.ts";

type Flat = Contour<"flat">;
type Stretch = [from: number, to: number];
type Side = "left" | "right";

/** Places closer than this are one. */
const SAME = 1e-9;

export function partLines(
  path: Path<"flat">,
  border: Border,
  half: number,
): { left: Path<"flat">; right: Path<"flat"> } {
  const parts = { left: [] as Flat[], right: [] as Flat[] };
  for (const line of path.contours) {
    const stretches = stretchesOf(line, border);
    for (const side of ["left", "right"] as const) {
      const own = stretches.filter((s) => s.side === side).map((s) => s.stretch);
      if (own.length === stretches.length) parts[side].push(line);
      else
        for (const stretch of joined(lengthened(own, line, half), line))
          parts[side].push(piece(line, stretch));
    }
  }
  return { left: { contours: parts.left }, right: { contours: parts.right } };
}

/** Where a line runs on which side, one after the other; on a closed line the last may go on past its end. */
function stretchesOf(line: Flat, border: Border): { side: Side; stretch: Stretch }[] {
  const n = line.straight.length;
  const cuts = crossingsOf(line, border.points);
  const ends = line.closed && cuts.length > 0 ? [...cuts, cuts[0]! + n] : [0, ...cuts, n];
  const found: { side: Side; stretch: Stretch }[] = [];
  for (let i = 0; i + 1 < ends.length; i++) {
    const [from, to] = [ends[i]!, ends[i + 1]!];
    if (to - from < SAME) continue;
    const [x, y] = at(line, (from + to) / 2);
    const side = isIn(border.left, x, y) ? "left" : "right";
    const last = found.at(-1);
    if (last?.side === side) last.stretch[1] = to;
    else found.push({ side, stretch: [from, to] });
  }
  const [first, last] = [found[0], found.at(-1)];
  if (line.closed && first && last && first !== last && first.side === last.side) {
    last.stretch[1] = first.stretch[1] + n;
    found.shift();
  }
  return found;
}

/** Places where a line crosses a polyline, ascending; where they only touch there may be one, too. */
function crossingsOf({ closed, points: p, straight }: Flat, border: Float64Array): number[] {
  const solver = new PolynomialRoots(3);
  const roots = new Float64Array(3);
  const at = new Float64Array(4);
  const found: number[] = [];
  for (let k = 0; k < straight.length; k++) {
    for (let i = 0; i + 3 < border.length; i += 2) {
      const [x0, y0] = [border[i]!, border[i + 1]!];
      const [dx, dy] = [border[i + 2]! - x0, border[i + 3]! - y0];
      const off = (j: number): number => dx * (p[6 * k + 2 * j + 1]! - y0) - dy * (p[6 * k + 2 * j]! - x0);
      const [a, b, c, d] = [off(0), off(1), off(2), off(3)];
      if ((a > 0 && b > 0 && c > 0 && d > 0) || (a < 0 && b < 0 && c < 0 && d < 0)) continue;
      const powers = straight[k] ? [a, d - a] : [a, 3 * (b - a), 3 * (a - 2 * b + c), d - a + 3 * (b - c)];
      const count = solver.find(powers, powers.length - 1, -SAME, 1 + SAME, roots);
      for (const t of roots.subarray(0, count)) {
        evalCubic(p, 6 * k, t, at);
        const u = ((at[0]! - x0) * dx + (at[1]! - y0) * dy) / (dx * dx + dy * dy);
        if (u >= -SAME && u <= 1 + SAME) found.push(k + Math.min(1, Math.max(0, t)));
      }
    }
  }
  const n = straight.length;
  // A closed line's end is its start; an open line is not cut at its ends.
  return found
    .map((t) => (closed && t > n - SAME ? 0 : t))
    .sort((s, t) => s - t)
    .filter((t, i, all) => i === 0 || t - all[i - 1]! > SAME)
    .filter((t) => closed || (t > SAME && t < n - SAME));
}

function lengthened(stretches: readonly Stretch[], line: Flat, half: number): Stretch[] {
  const n = line.straight.length;
  const open = !line.closed;
  return stretches.map(([from, to]) => [
    open && from <= SAME ? 0 : moved(line, from, -half),
    open && to >= n - SAME ? n : moved(line, to, half),
  ]);
}

/** Stretches that overlap as one; on a closed line the last may reach over the first. */
function joined(stretches: readonly Stretch[], line: Flat): Stretch[] {
  const n = line.straight.length;
  const found: Stretch[] = [];
  for (const [from, to] of [...stretches].sort((a, b) => a[0] - b[0])) {
    const last = found.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else found.push([from, to]);
  }
  const [first, last] = [found[0], found.at(-1)];
  if (line.closed && first && last && last !== first && last[1] >= first[0] + n) {
    last[1] = Math.max(last[1], first[1] + n);
    found.shift();
  }
  return found.map(([from, to]) => (to - from >= n ? [0, n] : [from, to]));
}

/** The place so far along a line from another, mm; an open line ends at its ends, a closed one goes on around. */
function moved(line: Flat, place: number, way: number): number {
  const n = line.straight.length;
  const total = contourLength(line);
  if (line.closed && Math.abs(way) >= total) return place + Math.sign(way) * n;
  let left = Math.abs(way);
  let now = place;
  while (left > 0) {
    if (!line.closed && (way > 0 ? now >= n : now <= 0)) return now;
    const k = way > 0 ? Math.floor(now) : Math.ceil(now) - 1;
    const end = way > 0 ? k + 1 : k;
    const from = now;
    const beyond = (to: number): number => lengthBetween(line, k, from, to) - left;
    if (beyond(end) > 0) return bracketRoot(beyond, from, end) ?? end;
    left -= lengthBetween(line, k, from, end);
    now = end;
  }
  return now;
}

/** Between two places on the segment that k counts to, around a closed line. */
function lengthBetween(line: Flat, k: number, from: number, to: number): number {
  const part = segment(line, k, Math.min(from, to) - k, Math.max(from, to) - k);
  return contourLength({ points: part, straight: Uint8Array.of(line.straight[turned(line, k)]!) });
}

const turned = ({ straight: { length: n } }: Flat, k: number): number => ((k % n) + n) % n;

const segment = (line: Flat, k: number, t0: number, t1: number): Float64Array =>
  subCubic(line.points, 6 * turned(line, k), Math.max(0, t0), Math.min(1, t1));

function at(line: Flat, place: number): [number, number] {
  const k = Math.min(Math.floor(place), line.closed ? Infinity : line.straight.length - 1);
  const p = segment(line, k, place - k, place - k);
  return [p[0]!, p[1]!];
}

/** A stretch of a line as a line of its own. */
function piece(line: Flat, [from, to]: Stretch): Flat {
  if (to - from >= line.straight.length && line.closed) return line;
  const points: number[] = [];
  const straight: number[] = [];
  for (let k = Math.floor(from); k < to; k++) {
    const [t0, t1] = [Math.max(0, from - k), Math.min(1, to - k)];
    if (t1 - t0 < SAME) continue;
    const part = segment(line, k, t0, t1);
    points.push(...(points.length === 0 ? part : part.subarray(2)));
    straight.push(line.straight[turned(line, k)]!);
  }
  return { closed: false, points: Float64Array.from(points), straight: Uint8Array.from(straight) };
}
