/**
 * Draws in an element's user units and collects the path in mm on the page. Segments of no length are dropped, but
 * for a contour that has no others: it is kept as one, for a stroke may show it as a dot (SVG 2, 13.5).
 */
import type { Affine } from "../geometry/affine.ts";
import type { Path } from "../geometry/path.ts";
import { PathBuilder } from "../geometry/path.ts";

export class Pen {
  readonly #builder = new PathBuilder<"page">();
  #m: Affine;
  #x = 0;
  #y = 0;
  #startX = 0;
  #startY = 0;
  #down = false;
  /** A contour is begun that has no length yet. */
  #dot = false;
  /** Where the pen stands a contour was moved to, not closed. */
  #moved = false;

  constructor(m: Affine) {
    this.#m = m;
  }

  /** Starts anew, at 0, in other user units; `path` has been asked for. */
  restart(m: Affine): this {
    this.#m = m;
    this.#x = this.#startX = 0;
    this.#y = this.#startY = 0;
    this.#down = this.#dot = this.#moved = false;
    return this;
  }

  get x(): number {
    return this.#x;
  }

  get y(): number {
    return this.#y;
  }

  move(x: number, y: number): void {
    this.#putDot();
    this.#moved = true;
    this.#x = this.#startX = x;
    this.#y = this.#startY = y;
    this.#down = false;
  }

  line(x: number, y: number): void {
    if (x === this.#x && y === this.#y) {
      this.#dot = !this.#down;
      return;
    }
    this.#begin();
    const m = this.#m;
    this.#builder.line(m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f);
    this.#x = x;
    this.#y = y;
  }

  cubic(x1: number, y1: number, x2: number, y2: number, x: number, y: number): void {
    const px = this.#x;
    const py = this.#y;
    if (x === px && y === py && x1 === px && y1 === py && x2 === px && y2 === py) {
      this.#dot = !this.#down;
      return;
    }
    this.#begin();
    const m = this.#m;
    this.#builder.cubic(
      m.a * x1 + m.c * y1 + m.e,
      m.b * x1 + m.d * y1 + m.f,
      m.a * x2 + m.c * y2 + m.e,
      m.b * x2 + m.d * y2 + m.f,
      m.a * x + m.c * y + m.e,
      m.b * x + m.d * y + m.f,
    );
    this.#x = x;
    this.#y = y;
  }

  /** A quadratic, raised to the cubic that is the same curve. */
  quadratic(x1: number, y1: number, x: number, y: number): void {
    const px = this.#x;
    const py = this.#y;
    this.cubic(
      px + (2 * (x1 - px)) / 3,
      py + (2 * (y1 - py)) / 3,
      x + (2 * (x1 - x)) / 3,
      y + (2 * (y1 - y)) / 3,
      x,
      y,
    );
  }

  /** Back to the contour's start; drawing on without a move starts a new contour there. */
  close(): void {
    if (this.#down) this.#builder.close();
    else {
      this.#dot ||= this.#moved;
      this.#putDot();
    }
    this.#moved = false;
    this.#x = this.#startX;
    this.#y = this.#startY;
    this.#down = false;
  }

  path(): Path<"page"> {
    this.#putDot();
    return this.#builder.build();
  }

  #putDot(): void {
    if (!this.#dot) return;
    this.#begin();
    const m = this.#m;
    this.#builder.line(m.a * this.#x + m.c * this.#y + m.e, m.b * this.#x + m.d * this.#y + m.f);
    this.#down = false;
  }

  #begin(): void {
    this.#dot = false;
    if (this.#down) return;
    const m = this.#m;
    this.#builder.move(m.a * this.#x + m.c * this.#y + m.e, m.b * this.#x + m.d * this.#y + m.f);
    this.#down = true;
  }
}
