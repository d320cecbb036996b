/** The outlines of a union, made of whole outlines and of stretches from crossing to crossing. */
import { SHEAR } from "../grid.ts";
import type { Meet, Z } from "../sweep.ts";
import type { Crossings } from "./crossings.ts";
import type { Edges } from "./edges.ts";
import { Outlines } from "./outlines.ts";

/** A kept stretch of outline `of` from a crossing to a crossing: `count` vertices from vertex `start` on. */
export interface Stretch {
  readonly of: number;
  from: number;
  start: number;
  count: number;
  to: number;
}

/** So few crossings are looked at in pairs. */
const several = 16;

export class Rings {
  readonly outlines: Outlines;
  /** By outline of these: the first of those given that it runs along. */
  readonly along: number[] = [];
  /** By outline of these: the one given that it is, whole and as it was; −1 where it is made of stretches. */
  readonly whole: number[] = [];
  readonly #given: Outlines;
  readonly #edges: Edges;
  readonly #crossings: Crossings;
  readonly #meet: Meet;

  constructor(given: Outlines, edges: Edges, crossings: Crossings, meet: Meet) {
    this.outlines = new Outlines(given.length);
    this.#given = given;
    this.#edges = edges;
    this.#crossings = crossings;
    this.#meet = meet;
  }

  /** Takes outline p as it is. */
  keep(p: number): void {
    const { x, y, z } = this.#given;
    this.outlines.begin();
    for (let k = this.#edges.first[p]!; k < this.#edges.first[p + 1]!; k++) {
      this.outlines.put(x[k]!, y[k]!, z[k]!);
    }
    this.along.push(p);
    this.whole.push(p);
  }

  /** Joins stretches, each to the one that begins where it ends; whether they fit together. */
  join(stretches: readonly Stretch[]): boolean {
    const after = new Int32Array(this.#crossings.length).fill(-1);
    for (let i = 0; i < stretches.length; i++) {
      const { from } = stretches[i]!;
      if (after[from] !== -1) return false;
      after[from] = i;
    }
    const done = new Uint8Array(stretches.length);
    for (let i = 0; i < stretches.length; i++) {
      if (done[i]) continue;
      this.outlines.begin();
      let first = stretches[i]!.of;
      let at = i;
      do {
        if (at < 0 || done[at]) return false;
        done[at] = 1;
        first = Math.min(first, stretches[at]!.of);
        this.#draw(stretches[at]!);
        at = after[stretches[at]!.to]!;
      } while (at !== i);
      this.#close();
      for (let parts = this.#part(); parts > 0; parts--) {
        this.along.push(first);
        this.whole.push(-1);
      }
    }
    return true;
  }

  #draw({ from, start, count }: Stretch): void {
    const { x, y, z } = this.#given;
    const crossing = this.#crossing(from);
    this.#put(crossing.x, crossing.y - SHEAR * crossing.x, crossing.z ?? 0);
    for (let k = start, left = count; left > 0; left--, k = this.#edges.next[k]!) {
      this.#put(x[k]!, y[k]!, z[k]!);
    }
  }

  /** Puts a vertex behind others; where it is in the last one's place, the last one comes from where both come from. */
  #put(x: number, y: number, z: number): void {
    const to = this.outlines;
    const last = to.length - 1;
    if (last >= to.starts[to.starts.length - 1]! && to.x[last] === x && to.y[last] === y) {
      to.z[last] = this.#together(last, z);
    } else to.put(x, y, z);
  }

  /** Makes the last vertex of the last outline one with its first where they are in one place. */
  #close(): void {
    const { x, y, z, starts } = this.outlines;
    const first = starts[starts.length - 1]!;
    const last = this.outlines.length - 1;
    if (last === first || x[last] !== x[first] || y[last] !== y[first]) return;
    z[first] = this.#together(first, z[last]!);
    this.outlines.length--;
  }

  /**
   * Parts the last outline where it comes back to a crossing: it touches itself there, for the outlines were grown.
   * Parts of less than three vertices enclose nothing and are dropped. Tells how many there are.
   */
  #part(): number {
    const { outlines } = this;
    const begin = outlines.starts[outlines.starts.length - 1]!;
    if (!this.#comesBack(begin)) {
      if (outlines.length - begin >= 3) return 1;
      outlines.drop();
      return 0;
    }
    const x = outlines.x.slice(begin, outlines.length);
    const y = outlines.y.slice(begin, outlines.length);
    const z = outlines.z.slice(begin, outlines.length);
    outlines.drop();
    let parts = 0;
    const open: number[] = [];
    /** Where in `open` the crossings are. */
    const at = new Map<number, number>();
    const place = (k: number): number => x[k]! * 2 ** 26 + y[k]!;
    const take = (from: number): void => {
      const vertices = open.splice(from);
      for (const k of vertices) if (z[k]! <= 0) at.delete(place(k));
      if (vertices.length < 3) return;
      outlines.begin();
      for (const k of vertices) outlines.put(x[k]!, y[k]!, z[k]!);
      parts++;
    };
    for (let k = 0; k < z.length; k++) {
      if (z[k]! <= 0) {
        const back = at.get(place(k));
        if (back !== undefined) take(back);
        at.set(place(k), open.length);
      }
      open.push(k);
    }
    take(0);
    return parts;
  }

  /** Whether two crossings of the last outline may be in one place; for certain not where false. */
  #comesBack(begin: number): boolean {
    const { x, y, z, length } = this.outlines;
    const before: number[] = [];
    for (let k = begin; k < length; k++) {
      if (z[k]! > 0) continue;
      if (before.length > several) return true;
      for (const m of before) if (x[m] === x[k] && y[m] === y[k]) return true;
      before.push(k);
    }
    return false;
  }

  /** The source of vertex k where another comes from elsewhere to the same place. */
  #together(k: number, other: number): number {
    const { x, y, z } = this.outlines;
    const a: Z = { x: x[k]!, y: y[k]!, z: z[k]! };
    const b: Z = { x: x[k]!, y: y[k]!, z: other };
    const at: Z = { x: x[k]!, y: y[k]!, z: 0 };
    this.#meet(a, a, b, b, at);
    return at.z ?? 0;
  }

  /** A crossing on the sheared grid, with where it came from. */
  #crossing(crossing: number): Z {
    const { edge, along } = this.#crossings;
    const { next } = this.#edges;
    const e = edge[2 * crossing]!;
    const g = edge[2 * crossing + 1]!;
    const a = this.#sheared(e);
    const b = this.#sheared(next[e]!);
    const c = this.#sheared(g);
    const d = this.#sheared(next[g]!);
    // Of the edges as they are; of the grown ones where those run side by side.
    const across = (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x);
    const own = ((c.x - a.x) * (d.y - c.y) - (c.y - a.y) * (d.x - c.x)) / across;
    const s = across === 0 ? along[2 * crossing]! : Math.min(1, Math.max(0, own));
    const at: Z = { x: Math.round(a.x + s * (b.x - a.x)), y: Math.round(a.y + s * (b.y - a.y)), z: 0 };
    this.#meet(a, b, c, d, at);
    return at;
  }

  #sheared(k: number): Z {
    const { x, y, z } = this.#given;
    return { x: x[k]!, y: y[k]! + SHEAR * x[k]!, z: z[k]! };
  }
}
