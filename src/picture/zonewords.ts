/** Where a zone has the room for a word: stretches that lie inside it over the word's whole height, by even-odd. */
import { areaD } from "clipper2-ts";
import type { Rings } from "./zoneareas.ts";

/** From left to right along a level line. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Stretches inside the rings along a level line at y. */
export function stretchesAt(rings: Rings, y: number): Stretch[] {
  const at: number[] = [];
  for (const ring of rings) {
    ring.forEach((p, i) => {
      const q = ring[(i + 1) % ring.length]!;
      if (p.y <= y !== q.y <= y) at.push(p.x + ((y - p.y) / (q.y - p.y)) * (q.x - p.x));
    });
  }
  at.sort((p, q) => p - q);
  return Array.from({ length: Math.floor(at.length / 2) }, (_, i) => ({
    from: at[2 * i]!,
    to: at[2 * i + 1]!,
  }));
}

/** Rows that are looked at from the top of a word to its bottom: an edge between two of them may cut in a little. */
const ROWS = 9;

/** Stretches that lie inside the rings on all rows from `top` to `bottom`. */
export function clearStretches(rings: Rings, top: number, bottom: number): Stretch[] {
  const rows = Array.from({ length: ROWS }, (_, i) =>
    stretchesAt(rings, top + ((bottom - top) * i) / (ROWS - 1)),
  );
  return rows.reduce(both);
}

/** What two lists of stretches have in common. */
const both = (a: readonly Stretch[], b: readonly Stretch[]): Stretch[] =>
  a.flatMap((p) =>
    b.flatMap((q) => {
      const [from, to] = [Math.max(p.from, q.from), Math.min(p.to, q.to)];
      return to > from ? [{ from, to }] : [];
    }),
  );

/** The widest stretch that is at least so wide; null where none is. */
function widest(stretches: readonly Stretch[], least: number): Stretch | null {
  const wide = stretches.filter(({ from, to }) => to - from >= least);
  return wide.length === 0 ? null : wide.reduce((a, b) => (b.to - b.from > a.to - a.from + 1e-9 ? b : a));
}

/** A word: its length with the air around it and its size; a piece that ends above `low` stands above the ink. */
interface Word {
  readonly long: number;
  readonly size: number;
  readonly low: number;
}

/**
 * Where a zone's word stands within one of the zone's rings, by the middle of its baseline: level where it fits, else
 * upright; null where it does not, and in a hole, which is a ring turned against what is around it.
 */
export function wordPlace(
  ring: Rings[number],
  rings: Rings,
  { long, size, low }: Word,
): { readonly x: number; readonly y: number; readonly rotate: number } | null {
  if (areaD(ring) < 0) return null;
  const ys = ring.map((p) => p.y);
  const [top, bottom] = [ys.reduce((a, b) => Math.min(a, b)), ys.reduce((a, b) => Math.max(a, b))];
  const middle = (top + bottom) / 2;
  const room = (from: number, to: number, least: number): number | null => {
    const free = widest(both(clearStretches(rings, from, to), clearStretches([ring], from, to)), least);
    return free && (free.from + free.to) / 2;
  };
  // Above or below the ink, where the border leaves it room.
  const liked = bottom < low ? Math.min(middle, top + 1.5 * size) : Math.max(middle, bottom - 0.8 * size);
  for (const y of nearest(top + 0.9 * size, bottom - 0.4 * size, liked, size / 2)) {
    const x = room(y - 0.9 * size, y + 0.4 * size, long);
    if (x !== null) return { x, y, rotate: 0 };
  }
  for (const y of nearest(top + long / 2, bottom - long / 2, middle, size)) {
    const x = room(y - long / 2, y + long / 2, 1.6 * size);
    if (x !== null) return { x: x + 0.36 * size, y, rotate: -90 };
  }
  return null;
}

/** Places from one end to the other, those next to the one that is liked first; none where there is no room. */
function nearest(from: number, to: number, liked: number, step: number): number[] {
  if (!(to >= from)) return [];
  const count = Math.min(MOST_PLACES, Math.floor((to - from) / step));
  const all = Array.from({ length: count + 1 }, (_, i) => from + i * step);
  const near = (y: number): number => Math.abs(y - liked);
  return [Math.max(from, Math.min(to, liked)), ...all.sort((p, q) => near(p) - near(q))];
}
const MOST_PLACES = 200;
