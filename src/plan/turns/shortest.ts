/**
 * The cheapest way over a grid from its top row to its bottom row (Dijkstra 1959) by steps to the eight neighbours.
 * A step of length l costs l (1 + the mean of `dear` over the nodes it passes): the two it joins, and for a slanting
 * step the two beside it too, so that it does not slip between two cells of a thin slanting stroke.
 */
import type { Grid } from "./raster.ts";

export interface Way {
  /** Indices of nodes, from top to bottom. */
  readonly nodes: readonly number[];
  readonly cost: number;
}

/**
 * `dear` (≥ 0) by node; `ends` (≥ 0) by column, what it costs to begin or to end there. Of ways that cost the same the
 * answer is always the same one.
 */
export function cheapestWay(
  { columns, rows, dx, dy }: Grid,
  dear: Float32Array,
  ends: ArrayLike<number>,
): Way {
  const count = columns * rows;
  const cost = new Float64Array(count).fill(Infinity);
  const from = new Int32Array(count).fill(-1);
  const queue = new Queue(cost);
  for (let i = 0; i < columns; i++) {
    cost[i] = ends[i]!;
    queue.put(i);
  }
  let [last, least] = [-1, Infinity];
  const slant = Math.hypot(dx, dy);
  for (let n = queue.take(); n >= 0 && cost[n]! < least; n = queue.take()) {
    const i = n % columns;
    const j = (n - i) / columns;
    const here = cost[n]!;
    const own = dear[n]!;
    if (j === rows - 1 && here + ends[i]! < least) {
      least = here + ends[i]!;
      last = n;
    }
    for (let down = -1; down <= 1; down++) {
      if (j + down < 0 || j + down >= rows) continue;
      for (let right = -1; right <= 1; right++) {
        if (i + right < 0 || i + right >= columns || (down === 0 && right === 0)) continue;
        const next = n + down * columns + right;
        const total =
          down === 0
            ? here + dx * (1 + (own + dear[next]!) / 2)
            : right === 0
              ? here + dy * (1 + (own + dear[next]!) / 2)
              : here + slant * (1 + (own + dear[next]! + dear[n + right]! + dear[n + down * columns]!) / 4);
        if (total < cost[next]!) {
          cost[next] = total;
          from[next] = n;
          queue.put(next);
        }
      }
    }
  }
  const nodes: number[] = [];
  for (let n = last; n >= 0; n = from[n]!) nodes.push(n);
  return { nodes: nodes.reverse(), cost: least };
}

/** A binary heap of nodes by their cost, then by their index. */
class Queue {
  readonly #cost: Float64Array;
  readonly #heap: Int32Array;
  /** Where in the heap a node is, from 1; 0 where it is not. */
  readonly #place: Int32Array;
  #length = 0;

  constructor(cost: Float64Array) {
    this.#cost = cost;
    this.#heap = new Int32Array(cost.length + 1);
    this.#place = new Int32Array(cost.length);
  }

  /** A node that is new or has become cheaper. */
  put(node: number): void {
    let at = this.#place[node]!;
    if (at === 0) at = ++this.#length;
    while (at > 1) {
      const above = at >> 1;
      const other = this.#heap[above]!;
      if (!this.#before(node, other)) break;
      this.#set(at, other);
      at = above;
    }
    this.#set(at, node);
  }

  /** The cheapest; −1 where there is none. */
  take(): number {
    if (this.#length === 0) return -1;
    const taken = this.#heap[1]!;
    this.#place[taken] = 0;
    const node = this.#heap[this.#length--]!;
    if (this.#length === 0) return taken;
    let at = 1;
    for (let below = 2; below <= this.#length; below = 2 * at) {
      if (below < this.#length && this.#before(this.#heap[below + 1]!, this.#heap[below]!)) below++;
      if (!this.#before(this.#heap[below]!, node)) break;
      this.#set(at, this.#heap[below]!);
      at = below;
    }
    this.#set(at, node);
    return taken;
  }

  #before(a: number, b: number): boolean {
    const difference = this.#cost[a]! - this.#cost[b]!;
    return difference < 0 || (difference === 0 && a < b);
  }

  #set(at: number, node: number): void {
    this.#heap[at] = node;
    this.#place[node] = at;
  }
}
