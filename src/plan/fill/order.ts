/**
 * The marking order of one set's lines. Lines that lie one behind another, row after row, make a region, as the cells
 * of the boustrophedon decomposition do (H. Choset, Autonomous Robots 9, 2000, 247–253): where lines split, join,
 * begin or end, new ones begin. In which order and which way they are marked: route.ts.
 */
import { directions, type Rows } from "../../geometry/rows.ts";
import { routed, type Ways } from "./route.ts";

/** To and fro within a region, or every line toward +s. */
export type Travel = "both-ways" | "one-way";

/** Lines of a set on the flat in marking order: four numbers each, a0 b0 a1 b1 (mm). Region k is lines regions[k] … regions[k+1]. */
export interface Laid {
  readonly ends: Float64Array;
  readonly regions: Int32Array;
}

/** The point on the flat that lies at s along the set's lines and t across them (mm). */
export function pointOf(s: number, t: number, angleDeg: number): [number, number] {
  const [ax, ay, px, py] = directions(angleDeg);
  return [s * ax + t * px, s * ay + t * py];
}

/** The way from each line's end to the next line's beginning, summed (mm). */
export function jumpLength({ ends }: Laid): number {
  let sum = 0;
  for (let i = 4; i < ends.length; i += 4) {
    sum += Math.hypot(ends[i]! - ends[i - 2]!, ends[i + 1]! - ends[i - 1]!);
  }
  return sum;
}

/**
 * All lines of the rows that lie at t = `at` (mm), each exactly once, in marking order: begins with the region nearest
 * to the corner of least s and t. For that order of the regions no other ways of marking them jump less.
 * RangeError if a number is not finite.
 */
export function laidInOrder(rows: Rows, at: Float64Array, angleDeg: number, travel: Travel): Laid {
  const { s } = rows;
  const tOf = new Float64Array(s.length / 2);
  for (let row = 0; row + 1 < rows.from.length; row++) {
    tOf.fill(at[row]!, rows.from[row]! / 2, rows.from[row + 1]! / 2);
  }
  const corner = [least(s), least(tOf)] as const;
  const cut = regionsOf(rows);
  const ways = waysOf(cut, s, tOf, travel);
  const order = routed(ways, ...corner);
  // As pointOf does, with the directions worked out once.
  const [ax, ay, px, py] = directions(angleDeg);
  const ends = new Float64Array(2 * s.length);
  const regions = new Int32Array(order.length + 1);
  let to = 0;
  for (let k = 0; k < order.length; k++) {
    const way = order[k]!;
    const region = Math.floor(way / ways.each);
    const [first, after] = [cut.from[region]!, cut.from[region + 1]!];
    for (let i = 0; i < after - first; i++) {
      const line = cut.lines[way & 1 ? after - 1 - i : first + i]!;
      const fro = travel === "both-ways" ? ((way >> 1) + i) & 1 : 0;
      const t = tOf[line]!;
      for (const crossing of [s[2 * line + fro]!, s[2 * line + 1 - fro]!]) {
        ends[to++] = crossing * ax + t * px;
        ends[to++] = crossing * ay + t * py;
      }
    }
    regions[k + 1] = to / 4;
  }
  return { ends, regions };
}

function least(values: Float64Array): number {
  let min = Infinity;
  for (const v of values) {
    if (!Number.isFinite(v)) throw new RangeError(`a fill line at ${v}`);
    if (v < min) min = v;
  }
  return min;
}

/** Lines are numbered through the rows. Region k is lines[from[k] … from[k + 1]), each of the row after the last one's. */
interface Cut {
  readonly from: Int32Array;
  readonly lines: Int32Array;
}

function regionsOf({ from: rowFrom, s }: Rows): Cut {
  const count = s.length / 2;
  // The one line that overlaps this one in the row before and the row after; or none, or many.
  const [NONE, MANY] = [-1, -2];
  const before = new Int32Array(count).fill(NONE);
  const after = new Int32Array(count).fill(NONE);
  for (let row = 1; row + 1 < rowFrom.length; row++) {
    let p = rowFrom[row - 1]! / 2;
    let k = rowFrom[row]! / 2;
    const [pEnd, kEnd] = [k, rowFrom[row + 1]! / 2];
    while (p < pEnd && k < kEnd) {
      if (s[2 * p]! < s[2 * k + 1]! && s[2 * k]! < s[2 * p + 1]!) {
        after[p] = after[p] === NONE ? k : MANY;
        before[k] = before[k] === NONE ? p : MANY;
      }
      if (s[2 * p + 1]! <= s[2 * k + 1]!) p++;
      else k++;
    }
  }
  const regionOf = new Int32Array(count);
  let regions = 0;
  for (let k = 0; k < count; k++) {
    const p = before[k]!;
    regionOf[k] = p >= 0 && after[p] === k ? regionOf[p]! : regions++;
  }
  const from = new Int32Array(regions + 1);
  for (const r of regionOf) from[r + 1]!++;
  for (let r = 0; r < regions; r++) from[r + 1]! += from[r]!;
  const next = from.slice();
  const lines = new Int32Array(count);
  for (let k = 0; k < count; k++) lines[next[regionOf[k]!]!++] = k;
  return { from, lines };
}

function waysOf({ from, lines }: Cut, s: Float64Array, tOf: Float64Array, travel: Travel): Ways {
  const toAndFro = travel === "both-ways";
  const each = toAndFro ? 4 : 2;
  const count = each * (from.length - 1);
  const [entry, exit] = [new Float64Array(2 * count), new Float64Array(2 * count)];
  const inside = new Float64Array(count);
  for (let way = 0; way < count; way++) {
    const region = Math.floor(way / each);
    const [first, after] = [from[region]!, from[region + 1]!];
    const [start, step] = way & 1 ? [after - 1, -1] : [first, 1];
    let upper = toAndFro ? (way >> 1) & 1 : 0;
    let line = lines[start]!;
    entry[2 * way] = s[2 * line + upper]!;
    entry[2 * way + 1] = tOf[line]!;
    upper = 1 - upper;
    for (let i = 1; i < after - first; i++) {
      const next = lines[start + i * step]!;
      const begin = toAndFro ? upper : 0;
      inside[way]! += Math.hypot(s[2 * next + begin]! - s[2 * line + upper]!, tOf[next]! - tOf[line]!);
      upper = 1 - begin;
      line = next;
    }
    exit[2 * way] = s[2 * line + upper]!;
    exit[2 * way + 1] = tOf[line]!;
  }
  return { each, entry, exit, inside };
}
