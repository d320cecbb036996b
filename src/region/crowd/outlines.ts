/** Closed outlines on the grid, in numbers: what a crowd is united from. */
import type { Path64 } from "clipper2-ts";
import { SHEAR } from "../grid.ts";

export class Outlines {
  /** Vertices in steps of the grid, not sheared, and their sources. Only the first `length` count. */
  x = new Float64Array(1024);
  y = new Float64Array(1024);
  z = new Int32Array(1024);
  length = 0;
  /** Where each outline begins. */
  readonly starts: number[] = [];

  begin(): void {
    this.starts.push(this.length);
  }

  put(x: number, y: number, z: number): void {
    if (this.length === this.x.length) this.#grow();
    this.x[this.length] = x;
    this.y[this.length] = y;
    this.z[this.length++] = z;
  }

  polygon(polygon: Path64): void {
    this.begin();
    for (const { x, y, z } of polygon) this.put(x, y - SHEAR * x, z ?? 0);
  }

  clear(): void {
    this.length = 0;
    this.starts.length = 0;
  }

  /** Takes the last outline out again. */
  drop(): void {
    this.length = this.starts.pop() ?? 0;
  }

  /** Turns the last outline round. */
  reverse(): void {
    const from = this.starts[this.starts.length - 1]!;
    for (const list of [this.x, this.y, this.z]) list.subarray(from, this.length).reverse();
  }

  #grow(): void {
    const size = 2 * this.x.length;
    const [x, y, z] = [new Float64Array(size), new Float64Array(size), new Int32Array(size)];
    x.set(this.x);
    y.set(this.y);
    z.set(this.z);
    this.x = x;
    this.y = y;
    this.z = z;
  }
}

/** Twice the signed area of the last outline. */
export function doubleArea({ x, y, starts, length }: Outlines): number {
  let sum = 0;
  const from = starts[starts.length - 1]!;
  for (let i = from, j = length - 1; i < length; j = i++) sum += (x[j]! + x[i]!) * (y[i]! - y[j]!);
  return sum;
}
