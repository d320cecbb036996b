/**
 * Outlines of filled ink as elements: parts of cubics that turn by at most a right angle and are at most a given
 * length, packed in typed arrays with their boxes and with the cone of directions that their tangents stay in.
 * Elements of a contour follow each other and close.
 */
import { subCubic } from "../../geometry/cubic.ts";
import type { Contour, Path } from "../../geometry/path.ts";

/** Outlines of one shape, filled nonzero. */
export interface Outlined {
  readonly path: Path<"flat">;
}

/** Curves have many chords, so that their elements are kept shorter. */
const CURVED = 0.25;
/** Most that an element's control polygon turns (radians). */
const TURN = Math.PI / 2;

export class Outline {
  readonly shapes: readonly Outlined[];
  /** Eight numbers of the cubic for each element. */
  readonly points: Float64Array;
  /** minX, minY, maxX, maxY of the control points for each element. */
  readonly box: Float64Array;
  readonly straight: Uint8Array;
  /** Middle and half width (radians) of the cone of tangent directions. */
  readonly heading: Float64Array;
  readonly spread: Float64Array;
  readonly contour: Int32Array;
  /** First element of each contour; one more entry closes the last. */
  readonly first: Int32Array;
  readonly shapeOf: Int32Array;
  readonly count: number;

  /** `longest`: mm, above 0; longer segments are divided. Segments of no length are left out. */
  constructor(shapes: readonly Outlined[], longest: number) {
    this.shapes = shapes;
    const room = new Room();
    const first: number[] = [0];
    const shapeOf: number[] = [];
    shapes.forEach((shape, s) => {
      for (const contour of shape.path.contours) {
        addContour(contour, longest, room, shapeOf.length);
        if (room.count === first.at(-1)) continue;
        first.push(room.count);
        shapeOf.push(s);
      }
    });
    const n = room.count;
    this.count = n;
    this.points = room.points.subarray(0, 8 * n);
    this.straight = room.straight.subarray(0, n);
    this.contour = room.contour.subarray(0, n);
    this.first = Int32Array.from(first);
    this.shapeOf = Int32Array.from(shapeOf);
    this.box = new Float64Array(4 * n);
    this.heading = new Float64Array(n);
    this.spread = new Float64Array(n);
    const cone = new Float64Array(2);
    for (let e = 0; e < n; e++) {
      const p = this.points;
      const i = 8 * e;
      this.box[4 * e] = Math.min(p[i]!, p[i + 2]!, p[i + 4]!, p[i + 6]!);
      this.box[4 * e + 1] = Math.min(p[i + 1]!, p[i + 3]!, p[i + 5]!, p[i + 7]!);
      this.box[4 * e + 2] = Math.max(p[i]!, p[i + 2]!, p[i + 4]!, p[i + 6]!);
      this.box[4 * e + 3] = Math.max(p[i + 1]!, p[i + 3]!, p[i + 5]!, p[i + 7]!);
      coneOf(p, i, this.straight[e] === 1, cone);
      this.heading[e] = cone[0]!;
      this.spread[e] = cone[1]!;
    }
  }

  next(e: number): number {
    const c = this.contour[e]!;
    return e + 1 < this.first[c + 1]! ? e + 1 : this.first[c]!;
  }

  previous(e: number): number {
    const c = this.contour[e]!;
    return e > this.first[c]! ? e - 1 : this.first[c + 1]! - 1;
  }
}

/** Growing arrays for elements. */
class Room {
  count = 0;
  points = new Float64Array(8 * 256);
  straight = new Uint8Array(256);
  contour = new Int32Array(256);

  push(p: Float64Array, i: number, straight: number, contour: number): void {
    const n = this.count++;
    if (n === this.straight.length) {
      this.points = grown(this.points, new Float64Array(16 * n));
      this.straight = grown(this.straight, new Uint8Array(2 * n));
      this.contour = grown(this.contour, new Int32Array(2 * n));
    }
    for (let k = 0; k < 8; k++) this.points[8 * n + k] = p[i + k]!;
    this.straight[n] = straight;
    this.contour[n] = contour;
  }
}

function grown<T extends Float64Array | Uint8Array | Int32Array>(from: T, into: T): T {
  into.set(from);
  return into;
}

function addContour(c: Contour<"flat">, longest: number, room: Room, contour: number): void {
  const p = c.points;
  const cone = new Float64Array(2);
  const add = (q: Float64Array, i: number, straight: boolean): void => {
    const chord = Math.hypot(q[i + 6]! - q[i]!, q[i + 7]! - q[i + 1]!);
    const length = straight ? chord : polygonLength(q, i);
    if (!(length > 0)) return;
    if (!straight) coneOf(q, i, false, cone);
    const parts = straight
      ? Math.ceil(length / longest)
      : Math.ceil(Math.max(length / (CURVED * longest), (2 * cone[1]!) / TURN));
    if (parts <= 1) room.push(q, i, straight ? 1 : 0, contour);
    else {
      for (let k = 0; k < parts; k++)
        room.push(subCubic(q, i, k / parts, (k + 1) / parts), 0, straight ? 1 : 0, contour);
    }
  };
  for (let k = 0; k < c.straight.length; k++) add(p, 6 * k, c.straight[k] === 1);
  const [x0, y0, x1, y1] = [p[p.length - 2]!, p[p.length - 1]!, p[0]!, p[1]!];
  if (x0 === x1 && y0 === y1) return;
  const [dx, dy] = [(x1 - x0) / 3, (y1 - y0) / 3];
  add(Float64Array.of(x0, y0, x0 + dx, y0 + dy, x1 - dx, y1 - dy, x1, y1), 0, true);
}

const polygonLength = (p: Float64Array, i: number): number =>
  Math.hypot(p[i + 2]! - p[i]!, p[i + 3]! - p[i + 1]!) +
  Math.hypot(p[i + 4]! - p[i + 2]!, p[i + 5]! - p[i + 3]!) +
  Math.hypot(p[i + 6]! - p[i + 4]!, p[i + 7]! - p[i + 5]!);

/** Middle and half width of the directions of the arms; a curve's tangents lie between those of its arms. */
function coneOf(p: Float64Array, i: number, straight: boolean, out: Float64Array): void {
  if (straight) {
    out[0] = Math.atan2(p[i + 7]! - p[i + 1]!, p[i + 6]! - p[i]!);
    out[1] = 0;
    return;
  }
  let start = Number.NaN;
  let last = 0;
  let least = 0;
  let most = 0;
  for (let k = 0; k < 6; k += 2) {
    const dx = p[i + k + 2]! - p[i + k]!;
    const dy = p[i + k + 3]! - p[i + k + 1]!;
    if (dx === 0 && dy === 0) continue;
    const angle = Math.atan2(dy, dx);
    if (Number.isNaN(start)) {
      start = angle;
      continue;
    }
    last += signedTurn(angle - start - last);
    if (last < least) least = last;
    if (last > most) most = last;
  }
  out[0] = signedTurn(start + (least + most) / 2);
  out[1] = Math.min(Math.PI, (most - least) / 2);
}

/** An angle brought into (−π, π]. */
export function signedTurn(angle: number): number {
  const t = angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
  return t <= -Math.PI ? t + 2 * Math.PI : t;
}
