/**
 * The union of a crowd of outlines: each is followed around, and what is wound around by no other is kept.
 *
 * With the area on its left, a stretch of outline bounds the union where the winding number on its right is 0
 * (nonzero rule, no negative windings). The number is known at one vertex of each outline (`winding.ts`) and changes
 * by one at each crossing (`crossings.ts`); where a kept stretch of one outline ends at a crossing, one of another
 * begins. The time grows with the edges and the crossings.
 */
import type { Path64, Paths64 } from "clipper2-ts";
import type { Effort } from "../effort.ts";
import { SHEAR } from "../grid.ts";
import type { Meet } from "../sweep.ts";
import { Cells } from "./cells.ts";
import { agrees } from "./checked.ts";
import { Crossings } from "./crossings.ts";
import { Edges } from "./edges.ts";
import type { Outlines } from "./outlines.ts";
import { startsOf } from "./winding.ts";

/** Steps for an edge, for a look at two in a cell, and for a crossing. */
const atEdge = 20;
const atPair = 0.2;
const atCrossing = 40;
/** Where edges pass through more cells than this on average, or meet more others in them, a sweep does better. */
const mostInCells = 16;
const mostPairs = 200;

type Vertex = Path64[number];

/** A kept stretch of outline from a crossing to a crossing: `count` vertices from vertex `start` on. */
interface Stretch {
  from: number;
  start: number;
  count: number;
  to: number;
}

/**
 * The union of outlines that nowhere wind negatively; null where it is not told for certain, or where a sweep does
 * better. Throws JobError `outlines-too-dense` where it takes more than is left of `effort`.
 */
export function unitedCrowd(outlines: Outlines, meet: Meet, effort: Effort): Paths64 | null {
  const edges = new Edges(outlines);
  effort.spend(atEdge * edges.length);
  const cells = new Cells(edges, mostInCells * edges.length);
  const pairs = cells.complete ? cells.pairs() : Number.POSITIVE_INFINITY;
  if (pairs > mostPairs * edges.length) return null;
  effort.spend(atPair * pairs);
  const crossings = new Crossings(edges, cells, () => effort.spend(atCrossing));
  const starts = startsOf(edges, cells);
  const answer: Paths64 = [];
  const stretches: Stretch[] = [];
  for (let p = 0; p < outlines.starts.length; p++) {
    const kept = follow(edges, p, crossings, starts.vertex[p]!, starts.winding[p]!, stretches);
    if (kept === null) return null;
    if (kept) answer.push(wholeOutline(outlines, edges, p));
  }
  return joined(stretches, outlines, edges, crossings, meet, answer) && agrees(outlines, answer)
    ? answer
    : null;
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
  let open: Stretch | null = w === 0 ? { from: -1, start, count: 0, to: -1 } : null;
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
      } else if (w === 0) open = { from: side >> 1, start: next[k]!, count: 0, to: -1 };
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

/** Joins the stretches to outlines; whether they fit together. */
function joined(
  stretches: readonly Stretch[],
  outlines: Outlines,
  edges: Edges,
  crossings: Crossings,
  meet: Meet,
  answer: Paths64,
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
    const outline: Path64 = [];
    let at = i;
    do {
      if (at < 0 || done[at]) return false;
      done[at] = 1;
      const { from, start, count, to } = stretches[at]!;
      put(outline, crossingAt(from, outlines, edges, crossings, meet), meet);
      for (let k = start, left = count; left > 0; left--, k = edges.next[k]!) {
        put(outline, vertexOf(outlines, k), meet);
      }
      at = after[to]!;
    } while (at !== i);
    const last = outline.pop()!;
    if (isAt(last, outline[0])) meet(last, last, outline[0]!, outline[0]!, outline[0]!);
    else outline.push(last);
    if (outline.length > 2) answer.push(outline);
  }
  return true;
}

const isAt = (a: Vertex, b: Vertex | undefined): boolean => a.x === b?.x && a.y === b.y;

/** Puts a vertex behind others; where it is in the last one's place, the last one comes from where both come from. */
function put(outline: Path64, vertex: Vertex, meet: Meet): void {
  const last = outline[outline.length - 1];
  if (last && isAt(vertex, last)) meet(last, last, vertex, vertex, last);
  else outline.push(vertex);
}

function wholeOutline(outlines: Outlines, { first }: Edges, p: number): Path64 {
  const outline: Path64 = [];
  for (let k = first[p]!; k < first[p + 1]!; k++) outline.push(vertexOf(outlines, k));
  return outline;
}

function vertexOf({ x, y, z }: Outlines, k: number): Vertex {
  return { x: x[k]!, y: y[k]! + SHEAR * x[k]!, z: z[k]! };
}

/** A crossing on the grid, with where it came from. */
function crossingAt(
  crossing: number,
  outlines: Outlines,
  { next }: Edges,
  { edge, along }: Crossings,
  meet: Meet,
): Vertex {
  const e = edge[2 * crossing]!;
  const g = edge[2 * crossing + 1]!;
  const a = vertexOf(outlines, e);
  const b = vertexOf(outlines, next[e]!);
  const c = vertexOf(outlines, g);
  const d = vertexOf(outlines, next[g]!);
  // Of the edges as they are; of the grown ones where those run side by side.
  const across = (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x);
  const own = ((c.x - a.x) * (d.y - c.y) - (c.y - a.y) * (d.x - c.x)) / across;
  const s = across === 0 ? along[2 * crossing]! : Math.min(1, Math.max(0, own));
  const at = { x: Math.round(a.x + s * (b.x - a.x)), y: Math.round(a.y + s * (b.y - a.y)), z: 0 };
  meet(a, b, c, d, at);
  return at;
}
