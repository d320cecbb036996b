/**
 * One boolean of clipper2-ts with its work counted beforehand, where that can be told, and else on the way.
 *
 * The sweep goes through all edges at hand at every vertex; how many those are is known from the input. What cannot be
 * known, the crossings, is counted in the sweep's own methods, which version 2.0.1 keeps private: where they are
 * missing, nothing is counted there. Where no edges cross between two heights, as nearly everywhere, its search for
 * crossings (a merge sort of all edges) is passed over.
 */
import { Clipper64, ClipperBase, type ClipType, type FillRule, type Paths64, PathType } from "clipper2-ts";
import { JobError } from "../problem.ts";
import type { Effort } from "./effort.ts";

export type Z = { x: number; y: number; z?: number };
export type Meet = (b1: Z, t1: Z, b2: Z, t2: Z, at: Z) => void;

/** Steps for a sweep and for a vertex of its input. */
const atStart = 400;
const atVertex = 20;
/** Steps for each call of a method: a crossing, edges that meet, a look at one of the crossings or edges. */
const steps = {
  addNewIntersectNode: 60,
  intersectEdges: 20,
  edgesAdjacentInAEL: 0.2,
  isValidAelOrder: 2,
} as const;
/** Outlines that begin at a crossing take memory: as much as so many steps take time. */
const atOutline = 1500;
/** Where vertices share a height each of them may be looked up among the edges there: this much of a step for each. */
const another = 0.2;
/** Fewer vertices than this have few edges at hand. */
const few = 100;

/** An edge at hand: the sweep's list of them runs from left to right. */
interface Edge {
  curX: number;
  readonly nextInAEL: Edge | null;
}

interface Inner {
  readonly actives: Edge | null;
  doIntersections?: (y: number) => void;
  addLocalMinPoly?: (...args: unknown[]) => unknown;
}

const { topX } = ClipperBase as unknown as { topX?: (edge: Edge, y: number) => number };

/** Throws JobError `outlines-too-dense` and, where the sweep itself fails, `outlines-not-united`. */
export function sweep(
  type: ClipType,
  rule: FillRule,
  subject: Paths64,
  clip: Paths64,
  meet: Meet,
  effort: Effort,
): Paths64 {
  effort.spend(atStart + edgesAtHand([...subject, ...clip]));
  const clipper = new Clipper64();
  watch(clipper as unknown as Inner, verticesOf(subject) + verticesOf(clip), effort);
  clipper.zCallback = meet;
  clipper.addPaths(subject, PathType.Subject);
  if (clip.length > 0) clipper.addPaths(clip, PathType.Clip);
  const answer: Paths64 = [];
  const done = clipper.execute(type, rule, answer);
  // It keeps what is thrown on the way to itself.
  effort.spend(0);
  if (!done) {
    throw new JobError(
      "outlines-not-united",
      "the outlines cannot be united: the sweep over them fails",
      "simplify the artwork, or unite the outlines in the drawing program",
    );
  }
  return answer;
}

const verticesOf = (paths: Paths64): number => paths.reduce((n, path) => n + path.length, 0);

/** Puts methods that count in the place of the sweep's own. */
function watch(clipper: Inner, vertices: number, effort: Effort): void {
  const methods = clipper as unknown as Record<string, unknown>;
  for (const [name, each] of Object.entries(steps)) {
    const method = methods[name];
    if (typeof method !== "function") continue;
    methods[name] = (a: unknown, b: unknown, c: unknown): unknown => {
      effort.spend(each);
      return method.call(clipper, a, b, c);
    };
  }
  const begin = clipper.addLocalMinPoly;
  let outlines = 0;
  if (begin) {
    clipper.addLocalMinPoly = (...args) => {
      if (++outlines > vertices) effort.spend(atOutline);
      return begin.apply(clipper, args);
    };
  }
  const cross = clipper.doIntersections;
  if (cross && topX) {
    clipper.doIntersections = (y) => {
      if (!inOrder(clipper.actives, y, topX)) cross.call(clipper, y);
    };
  }
}

/** Moves the edges up to y; whether they are in order there. */
function inOrder(first: Edge | null, y: number, at: (edge: Edge, y: number) => number): boolean {
  let last = Number.NEGATIVE_INFINITY;
  for (let edge = first; edge; edge = edge.nextInAEL) {
    const x = at(edge, y);
    if (x < last) return false;
    edge.curX = x;
    last = x;
  }
  return true;
}

/** The sum over all heights with a vertex of the edges there, and something for every vertex. */
function edgesAtHand(paths: Paths64): number {
  const n = verticesOf(paths);
  if (n < few) return atVertex * n;
  const heights = new Float64Array(n);
  const from = new Float64Array(n);
  const to = new Float64Array(n);
  let i = 0;
  for (const path of paths) {
    let last = path[path.length - 1]?.y ?? 0;
    for (const { y } of path) {
      heights[i] = y;
      from[i] = Math.min(y, last);
      to[i++] = Math.max(y, last);
      last = y;
    }
  }
  heights.sort();
  from.sort();
  to.sort();
  let sum = atVertex * n;
  let begun = 0;
  let ended = 0;
  for (i = 0; i < n; i++) {
    const y = heights[i]!;
    if (i > 0 && y === heights[i - 1]) {
      sum += another * (begun - ended);
      continue;
    }
    while (begun < n && from[begun]! <= y) begun++;
    while (ended < n && to[ended]! < y) ended++;
    sum += begun - ended;
  }
  return sum;
}
