/**
 * The union of a crowd of outlines: each is followed around, and what is wound around by no other is kept.
 *
 * With the area on its left, a stretch of outline bounds the union where the winding number on its right is 0
 * (nonzero rule, no negative windings). The number is known at one vertex of each outline (`winding.ts`) and changes
 * by one at each crossing (`crossings.ts`); where a kept stretch of one outline ends at a crossing, one of another
 * begins. The time grows with the edges and the crossings.
 */
import type { Effort } from "../effort.ts";
import type { Meet } from "../sweep.ts";
import { Cells } from "./cells.ts";
import { agrees } from "./checked.ts";
import { Crossings } from "./crossings.ts";
import { Edges } from "./edges.ts";
import type { Outlines } from "./outlines.ts";
import { Rings, type Stretch } from "./rings.ts";
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
  const rings = new Rings(outlines, edges, crossings, meet);
  const stretches: Stretch[] = [];
  for (let p = 0; p < outlines.starts.length; p++) {
    const kept = follow(edges, p, crossings, starts.vertex[p]!, starts.winding[p]!, stretches);
    if (kept === null) return null;
    if (kept) rings.keep(p);
  }
  if (!rings.join(stretches) || !agrees(outlines, rings.outlines)) return null;
  const { along, whole } = rings;
  return { outlines: rings.outlines, along, whole, group: groupsOf(outlines, edges, crossings) };
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
