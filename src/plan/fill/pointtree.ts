/**
 * The nearest of points that go one by one: a k-d tree that counts what is left in each of its nodes (J. L. Bentley,
 * Fast algorithms for geometric traveling salesman problems, ORSA Journal on Computing 4, 1992, 387–411).
 */

/** At most so many points are looked at one by one. */
const LEAF = 8;

/** Points (x, y) in a k-d tree, each until it is taken out. Node n has the children 2n and 2n + 1. */
export class PointTree {
  readonly #xy: Float64Array;
  /** The points in the order of the tree, ~point if it is taken out, and where in it each is. */
  readonly #point: Int32Array;
  readonly #place: Int32Array;
  readonly #alive: Int32Array;
  readonly #box: Float64Array;
  #best = 0;
  #bestSquare = 0;

  constructor(xy: Float64Array) {
    const count = xy.length / 2;
    this.#xy = xy;
    this.#point = Int32Array.from({ length: count }, (_, i) => i);
    let nodes = 2;
    for (let size = count; size > LEAF; size = Math.ceil(size / 2)) nodes *= 2;
    this.#alive = new Int32Array(nodes);
    this.#box = new Float64Array(4 * nodes);
    this.#build(1, 0, count);
    this.#place = new Int32Array(count);
    for (let i = 0; i < count; i++) this.#place[this.#point[i]!] = i;
  }

  #build(node: number, lo: number, hi: number): void {
    const [xy, point] = [this.#xy, this.#point];
    let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let i = lo; i < hi; i++) {
      const [x, y] = [xy[2 * point[i]!]!, xy[2 * point[i]! + 1]!];
      if (x < minX) minX = x;
      if (x > maxX) maxX = x;
      if (y < minY) minY = y;
      if (y > maxY) maxY = y;
    }
    this.#box.set([minX, minY, maxX, maxY], 4 * node);
    this.#alive[node] = hi - lo;
    if (hi - lo <= LEAF) return;
    const middle = (lo + hi) >> 1;
    this.#select(lo, hi - 1, middle, maxX - minX < maxY - minY ? 1 : 0);
    this.#build(2 * node, lo, middle);
    this.#build(2 * node + 1, middle, hi);
  }

  /** Puts the point of that rank in its place, no larger ones before and no smaller ones after it (Hoare's find). */
  #select(lo: number, hi: number, rank: number, axis: number): void {
    const [xy, point] = [this.#xy, this.#point];
    while (lo < hi) {
      const pivot = xy[2 * point[(lo + hi) >> 1]! + axis]!;
      let [i, j] = [lo, hi];
      while (i <= j) {
        while (xy[2 * point[i]! + axis]! < pivot) i++;
        while (xy[2 * point[j]! + axis]! > pivot) j--;
        if (i <= j) {
          const swap = point[i]!;
          point[i++] = point[j]!;
          point[j--] = swap;
        }
      }
      if (rank <= j) hi = j;
      else if (rank >= i) lo = i;
      else return;
    }
  }

  take(index: number): void {
    this.#count(this.#place[index]!, -1);
    this.#point[this.#place[index]!] = ~index;
  }

  putBack(index: number): void {
    this.#count(this.#place[index]!, 1);
    this.#point[this.#place[index]!] = index;
  }

  #count(place: number, more: number): void {
    let [node, lo, hi] = [1, 0, this.#point.length];
    for (;;) {
      this.#alive[node]! += more;
      if (hi - lo <= LEAF) return;
      const middle = (lo + hi) >> 1;
      if (place < middle) [node, hi] = [2 * node, middle];
      else [node, lo] = [2 * node + 1, middle];
    }
  }

  /** The living point nearest to (x, y), of several the one of the lowest number; −1 if there is none. */
  nearest(x: number, y: number): number {
    this.#best = -1;
    this.#bestSquare = Infinity;
    this.#search(1, 0, this.#point.length, x, y);
    return this.#best;
  }

  #search(node: number, lo: number, hi: number, x: number, y: number): void {
    if (hi - lo > LEAF) {
      const middle = (lo + hi) >> 1;
      const one = this.#square(2 * node, x, y);
      const two = this.#square(2 * node + 1, x, y);
      if (one <= two && one <= this.#bestSquare) this.#search(2 * node, lo, middle, x, y);
      if (two <= this.#bestSquare) this.#search(2 * node + 1, middle, hi, x, y);
      if (one > two && one <= this.#bestSquare) this.#search(2 * node, lo, middle, x, y);
      return;
    }
    for (let i = lo; i < hi; i++) {
      const p = this.#point[i]!;
      if (p < 0) continue;
      const square = (this.#xy[2 * p]! - x) ** 2 + (this.#xy[2 * p + 1]! - y) ** 2;
      if (square < this.#bestSquare || (square === this.#bestSquare && p < this.#best)) {
        this.#best = p;
        this.#bestSquare = square;
      }
    }
  }

  /** The square of the distance to what is in a node; infinite, and never looked at, where all is taken out. */
  #square(node: number, x: number, y: number): number {
    if (this.#alive[node] === 0) return Infinity;
    const box = this.#box;
    const dx = Math.max(box[4 * node]! - x, 0, x - box[4 * node + 2]!);
    const dy = Math.max(box[4 * node + 1]! - y, 0, y - box[4 * node + 3]!);
    return dx * dx + dy * dy;
  }
}
