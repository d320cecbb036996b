/** Outlines are drawn in the stroke's own space and collected on the page, in mm, all turning the same way. */
import { mostOutlined, Tally } from "../../artwork/budget.ts";
import type { Affine } from "../../geometry/affine.ts";
import { type Contour, reversed } from "../../geometry/path.ts";

/**
 * The linear map from the stroke's space onto the page, x = a u + c v, y = b u + d v, and the outlines drawn so far.
 * Drawn positive in the stroke's space, they are positive on the page too: a mirroring map turns them round.
 */
export class Sheet {
  readonly contours: Contour<"page">[] = [];
  readonly #drawn = new Tally(mostOutlined);
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  /** Largest and smallest stretch of a length, the singular values of the map; `least` is 0 where it is singular. */
  readonly most: number;
  readonly least: number;
  readonly #det: number;

  constructor({ a, b, c, d }: Affine) {
    this.a = a;
    this.b = b;
    this.c = c;
    this.d = d;
    this.#det = a * d - b * c;
    const squares = a * a + b * b + c * c + d * d;
    const apart = Math.hypot(a * a + b * b - c * c - d * d, 2 * (a * c + b * d));
    this.most = Math.sqrt((squares + apart) / 2);
    this.least = this.most > 0 ? Math.abs(this.#det) / this.most : 0;
  }

  x(u: number, v: number): number {
    return this.a * u + this.c * v;
  }

  y(u: number, v: number): number {
    return this.b * u + this.d * v;
  }

  /** Packed points of the page in the stroke's space. */
  back(points: Float64Array): Float64Array {
    const out = new Float64Array(points.length);
    for (let i = 0; i < points.length; i += 2) {
      const x = points[i]!;
      const y = points[i + 1]!;
      out[i] = (this.d * x - this.c * y) / this.#det;
      out[i + 1] = (this.a * y - this.b * x) / this.#det;
    }
    return out;
  }

  /**
   * Takes a finished outline: page points that end where they begin. Throws JobError `too-many-shapes` or
   * `too-many-segments`.
   */
  add(points: number[] | Float64Array, straight: number[] | Uint8Array): void {
    this.#drawn.count(1, straight.length);
    const contour: Contour<"page"> = {
      closed: true,
      points: Float64Array.from(points),
      straight: Uint8Array.from(straight),
    };
    this.contours.push(this.#det < 0 ? reversed(contour) : contour);
  }
}

/** Draws one outline on a sheet, in the stroke's coordinates. */
export class Pencil {
  readonly #sheet: Sheet;
  readonly #points: number[];
  readonly #straight: number[] = [];

  constructor(sheet: Sheet, u: number, v: number) {
    this.#sheet = sheet;
    this.#points = [sheet.x(u, v), sheet.y(u, v)];
  }

  line(u: number, v: number): this {
    this.#lineTo(this.#sheet.x(u, v), this.#sheet.y(u, v));
    return this;
  }

  cubic(u1: number, v1: number, u2: number, v2: number, u3: number, v3: number): this {
    const s = this.#sheet;
    this.#points.push(s.x(u1, v1), s.y(u1, v1), s.x(u2, v2), s.y(u2, v2), s.x(u3, v3), s.y(u3, v3));
    this.#straight.push(0);
    return this;
  }

  /** Goes along a curve that lies on the page already; a line leads to its start where that is elsewhere. */
  along({ points, straight }: Contour<"page">): this {
    this.#lineTo(points[0]!, points[1]!);
    for (let i = 2; i < points.length; i++) this.#points.push(points[i]!);
    for (let k = 0; k < straight.length; k++) this.#straight.push(straight[k]!);
    return this;
  }

  /** Back to the start, and onto the sheet. */
  close(): void {
    const p = this.#points;
    this.#lineTo(p[0]!, p[1]!);
    this.#sheet.add(p, this.#straight);
  }

  #lineTo(x: number, y: number): void {
    const p = this.#points;
    const x0 = p[p.length - 2]!;
    const y0 = p[p.length - 1]!;
    if (x === x0 && y === y0) return;
    const dx = (x - x0) / 3;
    const dy = (y - y0) / 3;
    p.push(x0 + dx, y0 + dy, x - dx, y - dy, x, y);
    this.#straight.push(1);
  }
}
