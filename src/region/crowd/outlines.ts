/** Closed outlines on the grid, in numbers. */
import type { Path64 } from "clipper2-ts";
import { SHEAR } from "../grid.ts";

export class Outlines {
  /** Vertices in steps of the grid, not sheared, and their sources. Only the first `length` count. */
  x: Int32Array;
  y: Int32Array;
  z: Int32Array;
  length = 0;
  /** Where each outline begins. */
  readonly starts: number[] = [];
  /** What each outline belongs to: a number of the caller's, −1 for nothing. */
  readonly owners: number[] = [];

  /** With room for so many vertices before it has to grow. */
  constructor(size = 1024) {
    this.x = new Int32Array(size);
    this.y = new Int32Array(size);
    this.z = new Int32Array(size);
  }

  static of(polygons: readonly Path64[]): Outlines {
    const outlines = new Outlines(polygons.reduce((n, p) => n + p.length, 1));
    for (const polygon of polygons) outlines.polygon(polygon);
    return outlines;
  }

  begin(owner = -1): void {
    this.starts.push(this.length);
    this.owners.push(owner);
  }

  put(x: number, y: number, z: number): void {
    if (this.length === this.x.length) this.#grow();
    this.x[this.length] = x;
    this.y[this.length] = y;
    this.z[this.length++] = z;
  }

  /** Adds a polygon of the sheared grid. */
  polygon(polygon: Path64, owner = -1): void {
    this.begin(owner);
    for (const { x, y, z } of polygon) this.put(x, y - SHEAR * x, z ?? 0);
  }

  /** Before which vertex outline p ends. */
  end(p: number): number {
    return this.starts[p + 1] ?? this.length;
  }

  /** Outline p as a polygon of the sheared grid. */
  polygonOf(p: number): Path64 {
    const { x, y, z } = this;
    const polygon: Path64 = [];
    for (let k = this.starts[p]!; k < this.end(p); k++) {
      polygon.push({ x: x[k]!, y: y[k]! + SHEAR * x[k]!, z: z[k]! });
    }
    return polygon;
  }

  /** Twice the signed area of outline p. */
  doubleArea(p: number): number {
    const { x, y } = this;
    const from = this.starts[p]!;
    const to = this.end(p);
    let sum = 0;
    for (let i = from, j = to - 1; i < to; j = i++) sum += (x[j]! + x[i]!) * (y[i]! - y[j]!);
    return sum;
  }

  clear(): void {
    this.length = 0;
    this.starts.length = 0;
    this.owners.length = 0;
  }

  /** Takes the last outline out again. */
  drop(): void {
    this.owners.pop();
    this.length = this.starts.pop() ?? 0;
  }

  /** Turns the last outline round. */
  reverse(): void {
    const from = this.starts[this.starts.length - 1]!;
    for (const list of [this.x, this.y, this.z]) list.subarray(from, this.length).reverse();
  }

  #grow(): void {
    const size = 2 * this.x.length;
    const [x, y, z] = [new Int32Array(size), new Int32Array(size), new Int32Array(size)];
    x.set(this.x);
    y.set(this.y);
    z.set(this.z);
    this.x = x;
    this.y = y;
    this.z = z;
  }
}
