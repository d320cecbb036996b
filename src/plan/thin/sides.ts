/**
 * On which side of each contour the ink lies, by a ray from one of its points: the winding of every shape there,
 * just before and just behind the contour. Contours must not cross.
 */
import type { Chords } from "./chords.ts";
import type { Patience } from "./patience.ts";

/**
 * 1 where ink lies to the side (−t_y, t_x) of the contour's direction t, −1 where it lies to the other, 0 where
 * both sides are ink or neither is. Null where patience ends.
 */
export function inkSides(chords: Chords, patience: Patience): Int8Array | null {
  const { outline } = chords;
  const { box, contour, first, shapeOf, shapes } = outline;
  const sides = new Int8Array(shapeOf.length);
  const columns = new Columns(box, outline.count);
  const winding = new Int32Array(shapes.length);
  for (let c = 0; c < sides.length; c++) {
    const start = steepest(chords, first[c]!, first[c + 1]!);
    const n = chords.of(start);
    let own = 0;
    let wide = -1;
    const from = chords.at(start);
    for (let k = 0; k < n; k++) {
      const dx = Math.abs(chords.xy[from + 2 * k + 2]! - chords.xy[from + 2 * k]!);
      if (dx > wide) {
        wide = dx;
        own = k;
      }
    }
    if (!(wide > 0)) continue;
    const i = from + 2 * own;
    // Not the very middle: drawings are full of round numbers, and a ray through a corner is best avoided.
    const x = chords.xy[i]! + 0.4871 * (chords.xy[i + 2]! - chords.xy[i]!);
    const y = chords.xy[i + 1]! + 0.4871 * (chords.xy[i + 3]! - chords.xy[i + 1]!);
    const ownWay = chords.xy[i + 2]! > chords.xy[i]! ? 1 : -1;
    const touched: number[] = [];
    // Crossings above the point, y smaller.
    const looks = columns.each(x, (e) => {
      if (box[4 * e + 1]! > y) return;
      const s = shapeOf[contour[e]!]!;
      const m = chords.of(e);
      const at = chords.at(e);
      const { xy } = chords;
      for (let k = 0; k < m; k++) {
        if (e === start && k === own) continue;
        const j = at + 2 * k;
        const x0 = xy[j]!;
        const x1 = xy[j + 2]!;
        if (x0 <= x === x1 <= x) continue;
        if (xy[j + 1]! + ((x - x0) / (x1 - x0)) * (xy[j + 3]! - xy[j + 1]!) >= y) continue;
        winding[s]! += x1 > x0 ? 1 : -1;
        touched.push(s);
      }
    });
    if (!patience.take(looks + first[c + 1]! - first[c]!)) return null;
    const mine = shapeOf[c]!;
    const covered = touched.some((s) => s !== mine && winding[s] !== 0);
    const above = winding[mine] !== 0;
    const below = winding[mine]! + ownWay !== 0;
    for (const s of touched) winding[s] = 0;
    // To the right (dx > 0) the side (−t_y, t_x) is below.
    if (!covered && above !== below) sides[c] = below ? ownWay : -ownWay;
  }
  return sides;
}

/** The element of a contour whose ends lie furthest apart in x. */
function steepest({ outline: { points: p } }: Chords, from: number, to: number): number {
  let best = from;
  let most = -1;
  for (let e = from; e < to; e++) {
    const dx = Math.abs(p[8 * e + 6]! - p[8 * e]!);
    if (dx > most) {
      most = dx;
      best = e;
    }
  }
  return best;
}

/** Elements by the columns that their boxes cross. */
class Columns {
  readonly #box: Float64Array;
  readonly #x: number;
  readonly #size: number;
  readonly #start: Int32Array;
  readonly #member: Int32Array;

  constructor(box: Float64Array, n: number) {
    let [minX, maxX, wide] = [Infinity, -Infinity, 0];
    for (let e = 0; e < n; e++) {
      minX = Math.min(minX, box[4 * e]!);
      maxX = Math.max(maxX, box[4 * e + 2]!);
      wide += box[4 * e + 2]! - box[4 * e]!;
    }
    this.#box = box;
    this.#x = minX;
    this.#size = Math.max(wide / n, (maxX - minX) / (n + 1), 1e-9);
    const column = (x: number): number => Math.floor((x - minX) / this.#size);
    this.#start = new Int32Array(column(maxX) + 2);
    const each = (put: (column: number, e: number) => void): void => {
      for (let e = 0; e < n; e++) {
        const last = column(box[4 * e + 2]!);
        for (let k = column(box[4 * e]!); k <= last; k++) put(k, e);
      }
    };
    each((k) => this.#start[k + 1]!++);
    for (let k = 0; k + 1 < this.#start.length; k++) this.#start[k + 1]! += this.#start[k]!;
    const fill = this.#start.slice();
    this.#member = new Int32Array(this.#start.at(-1)!);
    each((k, e) => {
      this.#member[fill[k]!++] = e;
    });
  }

  /** Elements whose boxes hold this x; returns how many were looked at. */
  each(x: number, take: (e: number) => void): number {
    const k = Math.floor((x - this.#x) / this.#size);
    const end = this.#start[k + 1]!;
    for (let i = this.#start[k]!; i < end; i++) {
      const e = this.#member[i]!;
      if (this.#box[4 * e]! <= x && this.#box[4 * e + 2]! >= x) take(e);
    }
    return end - this.#start[k]!;
  }
}
