/**
 * The union of a crowd of outlines: each is followed around, and what is wound around by no other is kept.
 *
 * With the area on its left, a stretch of outline bounds the union where the winding number on its right is 0
 * (nonzero rule, no negative windings). The number is known at one vertex of each outline (`winding.ts`) and changes
 * by one at each crossing (`crossings.ts`); where a kept stretch of one outline ends at a crossing, one of another
 * begins. The time grows with the edges and the crossings.
 */
import type { Effort } from "../effort.ts";
import { SHEAR } from "../grid.ts";
import type { Meet, Z } from "../sweep.ts";
import { Cells } from "./cells.ts";
import { agrees } from "./checked.ts";
import { Crossings } from "./crossings.ts";
import { Edges } from "./edges.ts";
import { Outlines } from "./outlines.ts";
import { startsOf } from "./winding.ts";

/** Steps for an edge, for a look at two in a cell, and for a crossing. */
const atEdge = 60;
const atPair = 0.5;
const atCrossing = 200;
/** Where edges pass through more cells than this on average, or meet more others in them, a sweep does better. */
const mostInCells = 16;
const mostPairs = 200;

export interface Union {
  readonly outlines: Outlines;
  /** By outline of the union: the first of those united that it runs along. */
  readonly along: readonly number[];
  /** By outline of the union: the one that it is, whole and as it was; −1 where it is made of several. */
  readonly whole: readonly number[];
  /** By outline of those united: a number that those share that hang together, by crossings or an owner. */
  readonly group: Int32Array;
}

/** A kept stretch of outline `of` from a crossing to a crossing: `count` vertices from vertex `start` on. */
interface Stretch {
  readonly of: number;
  from: number;
  start: number;
  count: number;
  to: number;
}

/**
 * The union of outlines that nowhere wind negatively; null where it is not told for certain, or where a sweep does
 * better. Throws JobError `outlines-too-dense` where it takes more than is left of `effort`.
 */
export function unitedCrowd(outlines: Outlines, meet: Meet, effort: Effort): Union | null {
  const edges = new Edges(outlines);
  effort.spend(atEdge * edges.length);
  const cells = new Cells(edges, mostInCells * edges.length);
  const pairs = cells.complete ? cells.pairs() : Number.POSITIVE_INFINITY;
  if (pairs > mostPairs * edges.length) return null;
  effort.spend(atPair * pairs);
  const crossings = new Crossings(edges, cells, () => effort.spend(atCrossing));
  const starts = startsOf(edges, cells);
  const answer = new Outlines();
  const along: number[] = [];
  const whole: number[] = [];
  const stretches: Stretch[] = [];
  for (let p = 0; p < outlines.starts.length; p++) {
    const kept = follow(edges, p, crossings, starts.vertex[p]!, starts.winding[p]!, stretches);
    if (kept === null) return null;
    if (!kept) continue;
    answer.begin();
    for (let k = edges.first[p]!; k < edges.first[p + 1]!; k++) {
      answer.put(outlines.x[k]!, outlines.y[k]!, outlines.z[k]!);
    }
    along.push(p);
    whole.push(p);
  }
  const fits = joined(
    stretches,
    outlines,
    edges,
    crossings,
    meet,
    (firstOf) => {
      along.push(firstOf);
      whole.push(-1);
    },
    answer,
  );
  if (!fits || !agrees(outlines, answer)) return null;
  return { outlines: answer, along, whole, group: groupsOf(outlines, edges, crossings) };
}

/**
 * Follows outline p around from a vertex; whether all of it is kept, or null where the windings do not fit together.
 */
function follow(
  { first, next }: Edges,
  p: number,
  crossings: Crossings,
  start: number,
  winding: number,
  stretches: Stretch[],
): boolean | null {
  if (winding < 0) return null;
  let w = winding;
  let open: Stretch | null = w === 0 ? { of: p, from: -1, start, count: 0, to: -1 } : null;
  const atStart = open;
  for (let k = start, left = first[p + 1]! - first[p]!; left > 0; left--, k = next[k]!) {
    if (open) open.count++;
    const end = crossings.first[k + 1]!;
    for (let m = crossings.first[k]!; m < end; m++) {
      const side = crossings.sides[m]!;
      const turn = crossings.turn[side >> 1]!;
      w += (side & 1) === 0 ? turn : -turn;
      if (w < 0) return null;
      if (open) {
        open.to = side >> 1;
        stretches.push(open);
        open = null;
      } else if (w === 0) open = { of: p, from: side >> 1, start: next[k]!, count: 0, to: -1 };
    }
  }
  if (w !== winding) return null;
  if (!open || !atStart) return false;
  if (open === atStart) return true;
  // The stretch over the start is in two parts.
  atStart.from = open.from;
  atStart.start = open.start;
  atStart.count += open.count;
  return false;
}

/** Joins the stretches to outlines, each told with the first that it runs along; whether they fit together. */
function joined(
  stretches: readonly Stretch[],
  outlines: Outlines,
  edges: Edges,
  crossings: Crossings,
  meet: Meet,
  tell: (firstOf: number) => void,
  answer: Outlines,
): boolean {
  const after = new Int32Array(crossings.length).fill(-1);
  for (let i = 0; i < stretches.length; i++) {
    const { from } = stretches[i]!;
    if (after[from] !== -1) return false;
    after[from] = i;
  }
  const done = new Uint8Array(stretches.length);
  for (let i = 0; i < stretches.length; i++) {
    if (done[i]) continue;
    answer.begin();
    let firstOf = stretches[i]!.of;
    let at = i;
    do {
      if (at < 0 || done[at]) return false;
      done[at] = 1;
      const { of, from, start, count, to } = stretches[at]!;
      firstOf = Math.min(firstOf, of);
      const { x, y, z } = crossingAt(from, outlines, edges, crossings, meet);
      put(answer, x, y - SHEAR * x, z ?? 0, meet);
      for (let k = start, left = count; left > 0; left--, k = edges.next[k]!) {
        put(answer, outlines.x[k]!, outlines.y[k]!, outlines.z[k]!, meet);
      }
      at = after[to]!;
    } while (at !== i);
    close(answer, meet);
    for (let parts = apart(answer); parts > 0; parts--) tell(firstOf);
  }
  return true;
}

/** Puts a vertex behind others; where it is in the last one's place, the last one comes from where both come from. */
function put(to: Outlines, x: number, y: number, z: number, meet: Meet): void {
  const last = to.length - 1;
  if (last >= to.starts[to.starts.length - 1]! && to.x[last] === x && to.y[last] === y) {
    to.z[last] = together(to, last, z, meet);
  } else to.put(x, y, z);
}

/** Makes the last vertex of the last outline one with its first where they are in one place. */
function close(outlines: Outlines, meet: Meet): void {
  const { x, y, z, starts } = outlines;
  const first = starts[starts.length - 1]!;
  const last = outlines.length - 1;
  if (last === first || x[last] !== x[first] || y[last] !== y[first]) return;
  z[first] = together(outlines, first, z[last]!, meet);
  outlines.length--;
}

/**
 * Parts the last outline where it comes back to a crossing: it touches itself there, for the outlines were grown. Parts
 * of less than three vertices enclose nothing and are dropped. Tells how many there are.
 */
function apart(outlines: Outlines): number {
  const begin = outlines.starts[outlines.starts.length - 1]!;
  const [x, y, z] = [outlines.x, outlines.y, outlines.z].map((list) => list.slice(begin, outlines.length));
  outlines.drop();
  let parts = 0;
  const open: number[] = [];
  /** Where in `open` the crossings are. */
  const at = new Map<number, number>();
  const place = (k: number): number => x![k]! * 2 ** 26 + y![k]!;
  const part = (from: number): void => {
    const vertices = open.splice(from);
    for (const k of vertices) if (z![k]! <= 0) at.delete(place(k));
    if (vertices.length < 3) return;
    outlines.begin();
    for (const k of vertices) outlines.put(x![k]!, y![k]!, z![k]!);
    parts++;
  };
  for (let k = 0; k < z!.length; k++) {
    if (z![k]! <= 0) {
      const back = at.get(place(k));
      if (back !== undefined) part(back);
      at.set(place(k), open.length);
    }
    open.push(k);
  }
  part(0);
  return parts;
}

/** The source of a vertex that comes from two places. */
function together({ x, y, z }: Outlines, k: number, other: number, meet: Meet): number {
  const a: Z = { x: x[k]!, y: y[k]!, z: z[k]! };
  const b: Z = { x: x[k]!, y: y[k]!, z: other };
  const at: Z = { x: x[k]!, y: y[k]!, z: 0 };
  meet(a, a, b, b, at);
  return at.z ?? 0;
}

/** A crossing on the sheared grid, with where it came from. */
function crossingAt(
  crossing: number,
  { x, y, z }: Outlines,
  { next }: Edges,
  { edge, along }: Crossings,
  meet: Meet,
): Z {
  const end = (k: number): Z => ({ x: x[k]!, y: y[k]! + SHEAR * x[k]!, z: z[k]! });
  const e = edge[2 * crossing]!;
  const g = edge[2 * crossing + 1]!;
  const a = end(e);
  const b = end(next[e]!);
  const c = end(g);
  const d = end(next[g]!);
  // Of the edges as they are; of the grown ones where those run side by side.
  const across = (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x);
  const own = ((c.x - a.x) * (d.y - c.y) - (c.y - a.y) * (d.x - c.x)) / across;
  const s = across === 0 ? along[2 * crossing]! : Math.min(1, Math.max(0, own));
  const at: Z = { x: Math.round(a.x + s * (b.x - a.x)), y: Math.round(a.y + s * (b.y - a.y)), z: 0 };
  meet(a, b, c, d, at);
  return at;
}

/** By outline: the least of those that hang together with it. */
function groupsOf({ owners }: Outlines, { first, length }: Edges, crossings: Crossings): Int32Array {
  const of = new Int32Array(length);
  for (let p = 0; p + 1 < first.length; p++) of.fill(p, first[p]!, first[p + 1]!);
  const root = new Int32Array(first.length - 1).map((_, p) => p);
  const find = (p: number): number => {
    let r = p;
    while (root[r] !== r) {
      root[r] = root[root[r]!]!;
      r = root[r]!;
    }
    return r;
  };
  const join = (p: number, q: number): void => {
    const a = find(p);
    const b = find(q);
    root[Math.max(a, b)] = Math.min(a, b);
  };
  for (let i = 0; i < 2 * crossings.length; i += 2) {
    join(of[crossings.edge[i]!]!, of[crossings.edge[i + 1]!]!);
  }
  for (let p = 1; p < owners.length; p++) if (owners[p]! >= 0 && owners[p] === owners[p - 1]) join(p - 1, p);
  return root.map((_, p) => find(p));
}
