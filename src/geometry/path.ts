/**
 * Paths: every segment is a cubic Bézier, straight ones are flagged. A space tag on points and paths makes it
 * a compile error to hand a command-plane path to code that wants a flat one; it costs nothing at run time.
 *
 * Lengths are mm in every space; x grows to the right and y down, as in SVG.
 */
import type { Affine } from "./affine.ts";
import { applyTo } from "./affine.ts";
import { areaTerm, cubicBounds } from "./cubic.ts";

/** page: the artwork's own page. flat: on the vessel's unrolled surface. command: the scan head's plane. */
export type Space = "page" | "flat" | "command";
declare const space: unique symbol;

export interface Point<S extends Space> {
  readonly x: number;
  readonly y: number;
  readonly [space]?: S;
}

/**
 * One run of joined segments. `points` holds x0 y0 and then three points (two arms, one end) for each segment,
 * 2 + 6n numbers. `straight[k]` is 1 where segment k is a straight line; its arms then lie at its thirds.
 * A closed contour ends on exactly its first point.
 */
export interface Contour<S extends Space> {
  readonly closed: boolean;
  readonly points: Float64Array;
  readonly straight: Uint8Array;
  readonly [space]?: S;
}

export interface Path<S extends Space> {
  readonly contours: readonly Contour<S>[];
}

export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

export const segmentCount = (path: Path<Space>): number =>
  path.contours.reduce((n, c) => n + c.straight.length, 0);

/** Segments in one array at most, but for a contour that has more. */
const largestRoom = 4096;

/**
 * Collects one contour after another; `close` joins back to the start with a line where there is a gap. The contours'
 * numbers are views of larger arrays: those of a builder used for many contours share a few of them.
 */
export class PathBuilder<S extends Space> {
  readonly #done: Contour<S>[] = [];
  #points: Float64Array;
  #straight: Uint8Array;
  /** Where the contour begun begins, and where its next numbers go. */
  #from = 0;
  #at = 0;
  #fromFlag = 0;
  #atFlag = 0;

  /** With room for so many segments before the first larger array. */
  constructor(segments = 16) {
    this.#points = new Float64Array(6 * segments + 2);
    this.#straight = new Uint8Array(segments);
  }

  move(x: number, y: number): this {
    this.#finish(false);
    this.#need(2);
    this.#points[this.#at++] = x;
    this.#points[this.#at++] = y;
    return this;
  }

  line(x: number, y: number): this {
    const x0 = this.#points[this.#at - 2]!;
    const y0 = this.#points[this.#at - 1]!;
    const dx = (x - x0) / 3;
    const dy = (y - y0) / 3;
    this.#put(x0 + dx, y0 + dy, x - dx, y - dy, x, y, 1);
    return this;
  }

  cubic(x1: number, y1: number, x2: number, y2: number, x: number, y: number): this {
    this.#put(x1, y1, x2, y2, x, y, 0);
    return this;
  }

  close(): this {
    const p = this.#points;
    if (this.#at === this.#from) return this;
    const x0 = p[this.#from]!;
    const y0 = p[this.#from + 1]!;
    if (p[this.#at - 2] !== x0 || p[this.#at - 1] !== y0) this.line(x0, y0);
    this.#finish(true);
    return this;
  }

  /** Hands over what was collected; the builder is empty again. */
  build(): Path<S> {
    this.#finish(false);
    return { contours: this.#done.splice(0) };
  }

  #put(x1: number, y1: number, x2: number, y2: number, x: number, y: number, straight: number): void {
    this.#need(6);
    const p = this.#points;
    const i = this.#at;
    p[i] = x1;
    p[i + 1] = y1;
    p[i + 2] = x2;
    p[i + 3] = y2;
    p[i + 4] = x;
    p[i + 5] = y;
    this.#at = i + 6;
    this.#straight[this.#atFlag++] = straight;
  }

  /** Goes on in larger arrays, with the contour begun, where there is no room for so many numbers more. */
  #need(numbers: number): void {
    if (this.#at + numbers <= this.#points.length && this.#atFlag < this.#straight.length) return;
    const points = this.#points.subarray(this.#from, this.#at);
    const flags = this.#straight.subarray(this.#fromFlag, this.#atFlag);
    const segments = Math.min(largestRoom, 2 * this.#straight.length) + 2 * flags.length;
    this.#points = new Float64Array(6 * segments + 2);
    this.#straight = new Uint8Array(segments);
    this.#points.set(points);
    this.#straight.set(flags);
    this.#from = 0;
    this.#fromFlag = 0;
    this.#at = points.length;
    this.#atFlag = flags.length;
  }

  #finish(closed: boolean): void {
    if (this.#atFlag > this.#fromFlag) {
      this.#done.push({
        closed,
        points: this.#points.subarray(this.#from, this.#at),
        straight: this.#straight.subarray(this.#fromFlag, this.#atFlag),
      });
      this.#from = this.#at;
      this.#fromFlag = this.#atFlag;
    } else this.#at = this.#from;
  }
}

/** The path under an affine map, into another space. */
export function transformPath<A extends Space, B extends Space>(path: Path<A>, m: Affine): Path<B> {
  return {
    contours: path.contours.map((c) => ({
      closed: c.closed,
      points: applyTo(m, c.points),
      straight: c.straight,
    })),
  };
}

/** The tight box around the curves themselves (not around their arms), or null for no contours. */
export function pathBounds(path: Path<Space>): Box | null {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (const c of path.contours) cubicBounds(c.points, box);
  return box.minX <= box.maxX ? box : null;
}

export const uniteBoxes = (a: Box | null, b: Box | null): Box | null =>
  a && b
    ? {
        minX: Math.min(a.minX, b.minX),
        minY: Math.min(a.minY, b.minY),
        maxX: Math.max(a.maxX, b.maxX),
        maxY: Math.max(a.maxY, b.maxY),
      }
    : (a ?? b);

/** The contour drawn the other way. */
export function reversed<S extends Space>({ closed, points: p, straight }: Contour<S>): Contour<S> {
  const n = p.length;
  const points = new Float64Array(n);
  for (let i = 0; i < n; i += 2) {
    points[i] = p[n - 2 - i]!;
    points[i + 1] = p[n - 1 - i]!;
  }
  return { closed, points, straight: straight.slice().reverse() };
}

/** Area of a path whose outlines do not meet and whose holes turn against them, mm². */
export const areaOf = (path: Path<Space>): number =>
  Math.abs(path.contours.reduce((sum, c) => sum + signedArea(c), 0));

/** Signed area enclosed by a contour, closed with a line if it is open; positive clockwise on the page (y down). */
export function signedArea(contour: Contour<Space>): number {
  const p = contour.points;
  const n = p.length;
  let sum = 0;
  for (let i = 0; i + 7 < n; i += 6) sum += areaTerm(p, i);
  sum += ((p[n - 2] as number) * (p[1] as number) - (p[0] as number) * (p[n - 1] as number)) / 2;
  return sum;
}
