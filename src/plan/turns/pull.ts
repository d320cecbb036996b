/**
 * A way over the grid → a polyline of few pieces: pulled straight wherever that adds no ink and takes no clearance,
 * each crossing of a stroke one straight piece, moved to where the stroke is narrowest. Lengths mm.
 */
import { type Patch, pointAt, runsInside } from "./chords.ts";
import { type Measure, sumOver } from "./measure.ts";

/** The window that a polyline stays in. */
export interface Room {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Vertices over which a piece may reach at once. */
const REACH = 12;
/** Lengths as good as equal. */
const HAIR = 1e-9;
/** What an upright or level crossing may have more of ink than a slanting one: a share, and mm. */
const EASE = { share: 0.005, mm: 0.005 };

type Length = (x0: number, y0: number, x1: number, y1: number) => number;

/** Leaves vertices out while neither of the two lengths grows by that: ink, and what is beside ink. */
export function pulled(points: readonly number[], ink: Length, near: Length): number[] {
  let now = [...points];
  for (;;) {
    const next = pullOnce(now, ink, near);
    if (next.length === now.length) return next;
    now = next;
  }
}

function pullOnce(p: readonly number[], ink: Length, near: Length): number[] {
  const n = p.length / 2;
  const between = (i: number, j: number, length: Length): number =>
    length(p[2 * i]!, p[2 * i + 1]!, p[2 * j]!, p[2 * j + 1]!);
  const sums = (length: Length): number[] => {
    const sum = [0];
    for (let k = 1; k < n; k++) sum.push(sum[k - 1]! + between(k - 1, k, length));
    return sum;
  };
  const [inks, nears] = [sums(ink), sums(near)];
  const may = (i: number, j: number): boolean =>
    between(i, j, ink) <= inks[j]! - inks[i]! + HAIR && between(i, j, near) <= nears[j]! - nears[i]! + HAIR;
  const kept = [p[0]!, p[1]!];
  for (let i = 0; i < n - 1; ) {
    let j = Math.min(n - 1, i + REACH);
    while (j > i + 1 && !may(i, j)) j--;
    kept.push(p[2 * j]!, p[2 * j + 1]!);
    i = j;
  }
  return kept;
}

/**
 * Each run through ink as the straight line between its ends, which is no longer; it goes on by `beyond` on both sides
 * where that keeps to the room and takes no more ink.
 */
export function straightThrough(
  points: readonly number[],
  patches: readonly Patch[],
  room: Room,
  beyond: number,
  ink: Length,
): number[] {
  let now = [...points];
  for (const [from, to] of runsInside(patches, points).reverse()) {
    const [first, last] = [Math.floor(from) + 1, Math.ceil(to) - 1];
    if (last < first || from <= 0 || to >= points.length / 2 - 1) continue;
    const [x0, y0] = pointAt(points, from);
    const [x1, y1] = pointAt(points, to);
    const length = Math.hypot(x1 - x0, y1 - y0);
    const [ex, ey] = length > 0 ? [((x1 - x0) / length) * beyond, ((y1 - y0) / length) * beyond] : [0, 0];
    const through = (e: 0 | 1): number[] => [
      ...now.slice(0, 2 * first),
      ...within(room, x0 - e * ex, y0 - e * ey),
      ...within(room, x1 + e * ex, y1 + e * ey),
      ...now.slice(2 * last + 2),
    ];
    const long = through(1);
    now = sumOver(long, ink) <= sumOver(now, ink) + HAIR ? long : through(0);
  }
  return now;
}

const within = (room: Room, x: number, y: number): [number, number] => [
  Math.min(room.right, Math.max(room.left, x)),
  Math.min(room.bottom, Math.max(room.top, y)),
];

const DIRECTIONS = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
  [1, 1],
  [-1, -1],
  [1, -1],
  [-1, 1],
] as const;
/** How often a step is halved, and how often all vertices are gone through. */
const HALVINGS = 5;
const ROUNDS = 16;

/** Moves the ends of pieces that cross ink, by `step` and less and less, while that costs less. The ends stay level. */
export function narrowed(points: readonly number[], measure: Measure, room: Room, step: number): number[] {
  const p = [...points];
  const last = p.length - 2;
  const cost: Length = (...piece) => measure.cost(...piece);
  const around = (i: number): number => sumOver(p.slice(Math.max(0, i - 2), i + 4), cost);
  const crosses = (i: number): boolean =>
    sumOver(p.slice(Math.max(0, i - 2), i + 4), (...piece) => measure.ink(...piece)) > 0;
  let size = step;
  for (let round = 0, halved = 0; round < ROUNDS && halved <= HALVINGS; round++) {
    let moved = false;
    for (let i = 0; i <= last; i += 2) {
      if (!crosses(i)) continue;
      const [x, y] = [p[i]!, p[i + 1]!];
      let [bestX, bestY, best] = [x, y, around(i) - HAIR];
      for (const [dx, dy] of DIRECTIONS) {
        if ((i === 0 || i === last) && dy !== 0) continue;
        [p[i], p[i + 1]] = within(room, x + dx * size, y + dy * size);
        const here = around(i);
        if (here < best) [bestX, bestY, best] = [p[i]!, p[i + 1]!, here];
      }
      p[i] = bestX;
      p[i + 1] = bestY;
      if (bestX !== x || bestY !== y) moved = true;
    }
    if (moved) continue;
    size /= 2;
    halved++;
  }
  return p;
}

/** Makes pieces that cross ink upright or level where that takes hardly more ink: easier to see and to set. */
export function squared(points: readonly number[], measure: Measure): number[] {
  let p = [...points];
  const last = p.length - 2;
  const ink: Length = (...piece) => measure.ink(...piece);
  for (let i = 0; i < last; i += 2) {
    const [x0, y0, x1, y1] = p.slice(i, i + 4) as [number, number, number, number];
    if (x0 === x1 || y0 === y1 || !(measure.ink(x0, y0, x1, y1) > 0)) continue;
    const upright = Math.abs(x1 - x0) < Math.abs(y1 - y0);
    if (!upright && (i === 0 || i + 2 === last)) continue;
    const axis = upright ? 0 : 1;
    const [a, b] = upright ? [x0, x1] : [y0, y1];
    const before = sumOver(p, ink);
    const most = before + Math.min(EASE.mm, EASE.share * before);
    let [best, least] = [p, Infinity];
    for (const at of [(a + b) / 2, a, b]) {
      const tried = [...p];
      tried[i + axis] = at;
      tried[i + 2 + axis] = at;
      const now = sumOver(tried, ink);
      if (now <= most && now < least - HAIR) [best, least] = [tried, now];
    }
    p = best;
  }
  return p;
}

/** Whether two pieces of a polyline that are not neighbours meet. */
export function meetsItself(p: ArrayLike<number>): boolean {
  const n = p.length / 2 - 1;
  const side = (i: number, j: number): number =>
    (p[2 * i + 2]! - p[2 * i]!) * (p[2 * j + 1]! - p[2 * i + 1]!) -
    (p[2 * i + 3]! - p[2 * i + 1]!) * (p[2 * j]! - p[2 * i]!);
  for (let i = 0; i < n; i++) {
    for (let j = i + 2; j < n; j++) {
      if (side(i, j) * side(i, j + 1) <= 0 && side(j, i) * side(j, i + 1) <= 0 && boxesMeet(p, i, j))
        return true;
    }
  }
  return false;
}

function boxesMeet(p: ArrayLike<number>, i: number, j: number): boolean {
  for (const axis of [0, 1]) {
    const [a, b] = [p[2 * i + axis]!, p[2 * i + 2 + axis]!];
    const [c, d] = [p[2 * j + axis]!, p[2 * j + 2 + axis]!];
    if (Math.max(a, b) < Math.min(c, d) || Math.max(c, d) < Math.min(a, b)) return false;
  }
  return true;
}
