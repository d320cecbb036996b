/**
 * In which order regions are marked, and which way each. They follow by the nearest neighbour rule; those left behind
 * are then moved beside a region near to them if the jumps get shorter (I. Or's exchange; see J. L. Bentley, ORSA
 * Journal on Computing 4, 1992, 387–411). Which way each of that order is marked is decided over all of them at once:
 *   cost(k, way) = inside(way) + min over ways′ of region k − 1 of [cost(k − 1, way′) + |exit(way′) − entry(way)|].
 */
import { PointTree } from "./pointtree.ts";

/**
 * How each region may be marked, `each` ways: way w is of region ⌊w / each⌋, from its last row if w is odd, beginning
 * at the upper end of s if w & 2 (of four ways). Where it begins, where it ends, s and t each, and its jumps inside (mm).
 */
export interface Ways {
  readonly each: number;
  readonly entry: Float64Array;
  readonly exit: Float64Array;
  readonly inside: Float64Array;
}

/** The ways in marking order (one for each region), begun with the region that may begin nearest to (s, t). */
export function routed(ways: Ways, s: number, t: number): Int32Array {
  const tree = new PointTree(ways.entry);
  const near = neighbours(ways, tree);
  return bestWays(movedNearer(nearestNext(ways, tree, s, t), ways, near), ways);
}

/** From the end of way p to the beginning of way q; no way if either is −1. */
function jump({ entry, exit }: Ways, p: number, q: number): number {
  if (p < 0 || q < 0) return 0;
  return Math.hypot(entry[2 * q]! - exit[2 * p]!, entry[2 * q + 1]! - exit[2 * p + 1]!);
}

/** For each way the region, other than its own, that may begin nearest to where it begins; −1 if there is no other. */
function neighbours({ each, entry }: Ways, tree: PointTree): Int32Array {
  const near = new Int32Array(entry.length / 2);
  for (let first = 0; first < near.length; first += each) {
    for (let w = first; w < first + each; w++) tree.take(w);
    for (let w = first; w < first + each; w++) {
      near[w] = Math.floor(tree.nearest(entry[2 * w]!, entry[2 * w + 1]!) / each);
    }
    for (let w = first; w < first + each; w++) tree.putBack(w);
  }
  return near;
}

/** Every region once, by the way of it whose entry is nearest to the last one's exit, the first to (s, t). */
function nearestNext({ each, entry, exit }: Ways, tree: PointTree, s: number, t: number): Int32Array {
  const order = new Int32Array(entry.length / 2 / each);
  let [x, y] = [s, t];
  for (let k = 0; k < order.length; k++) {
    const way = tree.nearest(x, y);
    order[k] = way;
    [x, y] = [exit[2 * way]!, exit[2 * way + 1]!];
    const first = way - (way % each);
    for (let w = first; w < first + each; w++) tree.take(w);
  }
  return order;
}

/** More passes gain next to nothing. */
const PASSES = 4;

/** Regions but the first taken out and put in, in any way, where they cost least: before or after one near to them. */
function movedNearer(order: Int32Array, ways: Ways, near: Int32Array): Int32Array {
  const { each } = ways;
  const count = order.length;
  // A ring of regions, closed by one more that is none.
  const [next, last] = [new Int32Array(count + 1), new Int32Array(count + 1)];
  const way = new Int32Array(count + 1).fill(-1);
  const link = (p: number, q: number): void => {
    next[p] = q;
    last[q] = p;
  };
  let end = count;
  for (const w of order) {
    const region = Math.floor(w / each);
    way[region] = w;
    link(end, region);
    end = region;
  }
  link(end, count);
  const first = next[count]!;
  const look = new Uint8Array(count + 1).fill(1);
  for (let pass = 0; pass < PASSES; pass++) {
    for (let r = 0; r < count; r++) {
      if (look[r] === 0 || r === first) continue;
      look[r] = 0;
      const [p, q, was] = [last[r]!, next[r]!, way[r]!];
      link(p, q);
      let [after, by] = [p, was];
      // Not for less than a rounding error.
      let least = jump(ways, way[p]!, was) + jump(ways, was, way[q]!) - jump(ways, way[p]!, way[q]!) - 1e-9;
      for (let c = 0; c <= 2 * each; c++) {
        const beside = near[r * each + (c >> 1)]!;
        const x = c === 2 * each ? p : c & 1 ? last[beside]! : beside;
        if (x === count) continue;
        const without = jump(ways, way[x]!, way[next[x]!]!);
        for (let w = r * each; w < (r + 1) * each; w++) {
          const cost = jump(ways, way[x]!, w) + jump(ways, w, way[next[x]!]!) - without;
          if (cost < least) [least, after, by] = [cost, x, w];
        }
      }
      if (after !== p || by !== was) for (const c of [p, q, r, after, next[after]!]) look[c] = 1;
      way[r] = by;
      link(r, next[after]!);
      link(after, r);
    }
  }
  let r = count;
  return order.map(() => {
    r = next[r]!;
    return way[r]!;
  });
}

/** The regions in the same order, each in the way by which all jumps together are shortest. */
function bestWays(order: Int32Array, ways: Ways): Int32Array {
  const { each, inside } = ways;
  const firstWay = order.map((way) => way - (way % each));
  const before = new Uint8Array(order.length * each);
  const cost = new Float64Array((order.length + 1) * each);
  for (let k = 0; k < order.length; k++) {
    for (let e = 0; e < each; e++) {
      const way = firstWay[k]! + e;
      let min = Infinity;
      for (let f = 0; f < each; f++) {
        const sum = cost[k * each + f]! + (k > 0 ? jump(ways, firstWay[k - 1]! + f, way) : 0);
        if (sum >= min) continue;
        min = sum;
        before[k * each + e] = f;
      }
      cost[(k + 1) * each + e] = min + inside[way]!;
    }
  }
  const final = cost.subarray(order.length * each);
  let e = final.indexOf(Math.min(...final));
  for (let k = order.length - 1; k >= 0; k--) {
    firstWay[k]! += e;
    e = before[k * each + e]!;
  }
  return firstWay;
}
