/**
 * A straight line of the flat as the station gets it: its image in the command plane by straight pieces or cubics, within
 * a tolerance on the vessel.
 *
 * Over the arc length the image's offset f from a chord is 0 at both ends and |f″| ≤ κ, so that by the error of linear
 * interpolation |f| ≤ κL²/8, L the length, κ the largest curvature
 *
 *   κ = |c′ × c″| / |c′|³,   L ≤ ℓ max|c′|,   c″ ≈ (c′(s + h) − c′(s − h)) / 2h
 *
 * where c(s) is the image over the flat's own length, ℓ long, and c′ the warp's exact derivative along the line. κ, |c′|
 * and the warp's scale σ are looked up in cells of the flat: a bound where the outline's measured rows are no nearer to
 * each other than the cells are wide.
 * What is not straight by that goes to the fitter of the outlines, which certifies its answer.
 */
import { CertifiedFitter } from "../../fit/certified.ts";
import { FitFailure } from "../../fit/fit.ts";
import { contourLength, cubicBounds } from "../../geometry/cubic.ts";
import type { Box, Contour } from "../../geometry/path.ts";
import { directions } from "../../geometry/rows.ts";
import { JobError } from "../../problem.ts";
import { mapContour, type Warp } from "../../warp/warp.ts";

/** Where the pieces of bent lines go, in mm: rounded to the file's digits, turned for the bed's axis. */
export interface Pen {
  move(x: number, y: number): void;
  line(x: number, y: number): void;
  cubic(x1: number, y1: number, x2: number, y2: number, x: number, y: number): void;
}

export type LineForm = "curves" | "polyline";

/** Never more digits than 0.0001 mm. */
const DECIMALS = 4;
const UNIT = 10 ** DECIMALS;
/** Rounding moves a point by at most half a diagonal of that grid. */
const SLACK_MM = Math.SQRT1_2 / UNIT;
/** A finer tolerance than this the digits cannot hold. */
const FINEST_MM = 0.0002;

/** Cells of the flat are this wide, or wider where there would be more than so many. */
const CELL_MM = 0.5;
const MOST_CELLS = 200;
/** h of the differences. */
const STEP_MM = 0.01;
/** κ counts as so much more than the largest at the 16 corners around, for what it may be in between. */
const SAFETY = 1.3;
/** A line is looked at in so many stretches to lay its chords. */
const STRETCHES = 16;
/** So many more chords than an even density asks for, since it is not even over each of them. */
const UNEVEN = 1.05;
/** Chords of one line at most. */
const MOST_CHORDS = 1e5;

export class LineBender {
  readonly #warp: Warp;
  readonly #toleranceMm: number;
  readonly #polyline: boolean;
  readonly #turned: boolean;
  readonly #cells: Cells;
  readonly #fitter: CertifiedFitter;
  readonly #jet = new Float64Array(7);
  readonly #upTo = new Float64Array(STRETCHES + 1);

  /**
   * `toleranceMm`: on the vessel, 0.0002 or more, else JobError `tolerance-too-fine`. `box`: of the flat that the lines lie
   * in (elsewhere they are slower). `angleDeg`: their direction. `axis`: of the bed along which the vessel lies.
   */
  constructor(warp: Warp, toleranceMm: number, box: Box, angleDeg: number, form: LineForm, axis: "x" | "y") {
    if (!(toleranceMm >= FINEST_MM)) {
      throw new JobError(
        "tolerance-too-fine",
        `lines are written to ${1 / UNIT} mm, which holds no tolerance of ${toleranceMm} mm`,
        `give a --tolerance of ${FINEST_MM} mm or more`,
      );
    }
    this.#warp = warp;
    this.#toleranceMm = toleranceMm;
    this.#polyline = form === "polyline";
    this.#turned = axis === "x";
    this.#cells = new Cells(warp, box, angleDeg);
    this.#fitter = new CertifiedFitter(toleranceMm, DECIMALS);
  }

  /**
   * The line from (a0, b0) to (a1, b1), mm on the flat, in that order. All of it must have an image. Throws JobError
   * `line-without-image` where an end has none, `line-not-fitted` where no answer is within the tolerance.
   */
  bend(a0: number, b0: number, a1: number, b1: number, pen: Pen): void {
    this.#check(a0, b0);
    this.#check(a1, b1);
    const straight = this.#chords(a0, b0, a1, b1) <= 1;
    if (!straight && !this.#polyline) {
      this.#curves(a0, b0, a1, b1, pen);
      return;
    }
    if (straight) this.#equal(a0, b0, a1, b1, 1, true, pen);
    else this.#lines(a0, b0, a1, b1, pen);
  }

  #check(a: number, b: number): void {
    const failure = this.#warp.failureAt(a, b);
    if (failure === null) return;
    throw new JobError(
      "line-without-image",
      `a fill line ends at ${at(a, b)}, where the beam does not reach the vessel (${failure})`,
      "keep the fill within the usable ink",
    );
  }

  /** So many equal chords (a broken number) keep to the tolerance by the bounds left in #cells; NaN, ∞ where there are none. */
  #chords(a0: number, b0: number, a1: number, b1: number): number {
    const cells = this.#cells;
    cells.survey(a0, b0, a1, b1);
    const whole = this.#toleranceMm * cells.scale;
    const room = Math.max(whole - SLACK_MM, 0.2 * whole);
    // A chord that turns by less than one radian is passed forward only.
    return cells.length * Math.max(Math.sqrt(cells.curvature / (8 * room)), cells.curvature);
  }

  /** By chords, near together where the line bends much. */
  #lines(a0: number, b0: number, a1: number, b1: number, pen: Pen): void {
    const [a, b] = [a1 - a0, b1 - b0];
    const upTo = this.#upTo;
    for (let i = 0; i < STRETCHES; i++) {
      const [s, t] = [i / STRETCHES, (i + 1) / STRETCHES];
      upTo[i + 1] = upTo[i]! + this.#chords(a0 + a * s, b0 + b * s, a0 + a * t, b0 + b * t);
    }
    const all = upTo[STRETCHES]!;
    if (!(all <= MOST_CHORDS)) throw this.#notFitted(a0, b0, a1, b1);
    const count = Math.max(1, Math.ceil(all * UNEVEN));
    let [x, y] = [a0, b0];
    for (let k = 1, i = 0; k <= count; k++) {
      const reached = (all * k) / count;
      while (i < STRETCHES - 1 && upTo[i + 1]! < reached) i++;
      const t = (i + (reached - upTo[i]!) / (upTo[i + 1]! - upTo[i]!)) / STRETCHES;
      const [nextX, nextY] = k < count ? [a0 + a * t, b0 + b * t] : [a1, b1];
      const chords = Math.max(1, Math.ceil(this.#chords(x, y, nextX, nextY)));
      this.#equal(x, y, nextX, nextY, chords, k === 1, pen);
      [x, y] = [nextX, nextY];
    }
  }

  /** By so many equal chords, #cells as `#chords` left them; from the pen's place on, or its first ones. */
  #equal(a0: number, b0: number, a1: number, b1: number, chords: number, first: boolean, pen: Pen): void {
    if (!(chords <= MOST_CHORDS)) throw this.#notFitted(a0, b0, a1, b1);
    const jet = this.#jet;
    const { scale, curvature, length } = this.#cells;
    const bow = (curvature * (length / chords) ** 2) / 8;
    for (let k = 0; k <= chords; k++) {
      const t = k / chords;
      if (k < chords) this.#warp.at(a0 + (a1 - a0) * t, b0 + (b1 - b0) * t, jet);
      else this.#warp.at(a1, b1, jet);
      const u = jet[0]!;
      const v = jet[1]!;
      const x = rounded(u);
      const y = rounded(v);
      const off = bow + Math.sqrt((x - u) ** 2 + (y - v) ** 2);
      if (!(off <= this.#toleranceMm * Math.min(scale, jet[6]!))) throw this.#notFitted(a0, b0, a1, b1);
      const outX = this.#turned ? 0 - y : x;
      const outY = this.#turned ? x : y;
      if (k > 0) pen.line(outX, outY);
      else if (first) pen.move(outX, outY);
    }
  }

  #curves(a0: number, b0: number, a1: number, b1: number, pen: Pen): void {
    // The surface is even in a, and in b where it is alike along: mirrored lines are fitted as one and the same.
    const sa = side(a0, a1);
    const sb = this.#warp.surface.alikeAlong ? side(b0, b1) : 1;
    const { points, straight } = this.#fitted(sa * a0, sb * b0, sa * a1, sb * b1);
    const p = new Float64Array(points.length);
    for (let i = 0; i < p.length; i += 2) {
      // + 0 turns −0 into 0.
      const [x, y] = [sa * points[i]! + 0, sb * points[i + 1]! + 0];
      p[i] = this.#turned ? 0 - y : x;
      p[i + 1] = this.#turned ? x : y;
    }
    pen.move(p[0]!, p[1]!);
    for (let k = 0; k < straight.length; k++) {
      const i = 6 * k;
      if (straight[k]) pen.line(p[i + 6]!, p[i + 7]!);
      else pen.cubic(p[i + 2]!, p[i + 3]!, p[i + 4]!, p[i + 5]!, p[i + 6]!, p[i + 7]!);
    }
  }

  #fitted(a0: number, b0: number, a1: number, b1: number): Contour<"command"> {
    const [a, b] = [(a1 - a0) / 3, (b1 - b0) / 3];
    const points = Float64Array.of(a0, b0, a0 + a, b0 + b, a1 - a, b1 - b, a1, b1);
    try {
      return this.#fitter.fit(mapContour({ closed: false, points, straight: ONE }, this.#warp)).contour;
    } catch (error) {
      if (!(error instanceof FitFailure)) throw error;
      throw this.#notFitted(a0, b0, a1, b1);
    }
  }

  #notFitted(a0: number, b0: number, a1: number, b1: number): JobError {
    return new JobError(
      "line-not-fitted",
      `no line within ${this.#toleranceMm} mm is found for the fill from ${at(a0, b0)} to ${at(a1, b1)}`,
      "give a larger --tolerance",
    );
  }
}

const ONE = Uint8Array.of(1);

const at = (a: number, b: number): string => `(${a.toFixed(3)}, ${b.toFixed(3)}) mm`;

/** −1 on the left, or above. */
const side = (from: number, to: number): 1 | -1 => ((from + to || from) < 0 ? -1 : 1);

/** To the file's digits, alike on both sides of 0; never −0. */
const rounded = (v: number): number =>
  (v < 0 ? -Math.round(-v * UNIT) / UNIT : Math.round(v * UNIT) / UNIT) + 0;

/** Cells of the flat with bounds of how lines of one direction are bent in each. */
class Cells {
  /** Left by `survey`: bounds of a line. 1/mm, σ, and mm in the command plane. */
  curvature = 0;
  scale = 0;
  length = 0;
  #speed = 0;

  readonly #warp: Warp;
  readonly #direction: readonly [number, number];
  readonly #size: number;
  /** The middle of the box, and how many cells lie on each side of it. */
  readonly #a: number;
  readonly #b: number;
  readonly #halfA: number;
  readonly #halfB: number;
  /** κ, |c′|, σ of each cell; NaN where a corner has no image. */
  readonly #bounds: Float64Array;
  readonly #here = new Float64Array(3);
  readonly #near = new Float64Array(7);
  readonly #far = new Float64Array(7);

  constructor(warp: Warp, { minX, minY, maxX, maxY }: Box, angleDeg: number) {
    const [along, down] = directions(angleDeg);
    this.#warp = warp;
    this.#direction = [along, down];
    this.#size = Math.max(CELL_MM, (maxX - minX) / MOST_CELLS, (maxY - minY) / MOST_CELLS);
    this.#a = (minX + maxX) / 2;
    this.#b = (minY + maxY) / 2;
    this.#halfA = Math.floor((maxX - minX) / 2 / this.#size) + 1;
    this.#halfB = Math.floor((maxY - minY) / 2 / this.#size) + 1;
    this.#bounds = this.#spread(this.#nodes());
  }

  /** κ, |c′|, σ at the cells' corners, NaN where there is no image. */
  #nodes(): Float64Array {
    const out = new Float64Array(3 * (2 * this.#halfA + 1) * (2 * this.#halfB + 1));
    let i = 0;
    for (let j = -this.#halfB; j <= this.#halfB; j++) {
      for (let k = -this.#halfA; k <= this.#halfA; k++, i += 3) {
        this.#look(this.#a + k * this.#size, this.#b + j * this.#size, STEP_MM, out, i);
      }
    }
    return out;
  }

  /** κ, |c′|, σ at a place into out[i…i + 2]. */
  #look(a: number, b: number, h: number, out: Float64Array, i: number): void {
    const [near, far] = [this.#near, this.#far];
    const [along, down] = this.#direction;
    const shown = this.#warp.failureAt(a, b) === null;
    this.#warp.at(a - h * along, b - h * down, near);
    this.#warp.at(a + h * along, b + h * down, far);
    const [x0, y0] = [near[2]! * along + near[3]! * down, near[4]! * along + near[5]! * down];
    const [x1, y1] = [far[2]! * along + far[3]! * down, far[4]! * along + far[5]! * down];
    const speed = Math.hypot(x0 + x1, y0 + y1) / 2;
    // c′ × c″ with c′ the mean of both is x₀y₁ − x₁y₀ over 2h.
    out[i] = shown ? Math.abs(x0 * y1 - x1 * y0) / (2 * h) / speed ** 3 : Number.NaN;
    out[i + 1] = speed;
    out[i + 2] = Math.min(near[6]!, far[6]!);
  }

  /** From the corners to the cells: the worst of a cell's own four corners and of the twelve around them. */
  #spread(nodes: Float64Array): Float64Array {
    const [nA, nB] = [2 * this.#halfA, 2 * this.#halfB];
    const out = new Float64Array(3 * nA * nB);
    for (let j = 0, i = 0; j < nB; j++) {
      for (let k = 0; k < nA; k++, i += 3) {
        let [curvature, speed, scale] = [0, 0, Infinity];
        for (let y = Math.max(0, j - 1); y <= Math.min(nB, j + 2); y++) {
          for (let x = Math.max(0, k - 1); x <= Math.min(nA, k + 2); x++) {
            const n = 3 * (y * (nA + 1) + x);
            if (nodes[n]! >= 0) {
              if (nodes[n]! > curvature) curvature = nodes[n]!;
              if (nodes[n + 1]! > speed) speed = nodes[n + 1]!;
              if (nodes[n + 2]! < scale) scale = nodes[n + 2]!;
            } else if (y >= j && y <= j + 1 && x >= k && x <= k + 1) curvature = Number.NaN;
          }
        }
        out[i] = curvature;
        out[i + 1] = speed;
        out[i + 2] = scale;
      }
    }
    return out;
  }

  /** Leaves the bounds of a line in curvature, scale and length. */
  survey(a0: number, b0: number, a1: number, b1: number): void {
    this.curvature = 0;
    this.#speed = 0;
    this.scale = Infinity;
    const flat = Math.hypot(a1 - a0, b1 - b0);
    const n = Math.max(1, Math.ceil((2 * flat) / this.#size));
    for (let k = 0; k <= n; k++) {
      const t = k / n;
      const [a, b] = [a0 + (a1 - a0) * t, b0 + (b1 - b0) * t];
      const cell = this.#cellAt(a - this.#a, b - this.#b);
      if (cell >= 0 && this.#bounds[cell]! >= 0) this.#take(this.#bounds, cell);
      else if (flat > 0) {
        // On the line itself, all of which has an image.
        const h = Math.min(STEP_MM, flat / 2);
        const s = Math.min(Math.max(t, h / flat), 1 - h / flat);
        this.#look(a0 + (a1 - a0) * s, b0 + (b1 - b0) * s, h, this.#here, 0);
        this.#take(this.#here, 0);
      }
    }
    this.curvature *= SAFETY;
    this.length = this.#speed * flat;
  }

  #take(bounds: Float64Array, i: number): void {
    // A curvature that is no number counts as endless.
    const curvature = bounds[i]! >= 0 ? bounds[i]! : Infinity;
    if (curvature > this.curvature) this.curvature = curvature;
    if (bounds[i + 1]! > this.#speed) this.#speed = bounds[i + 1]!;
    if (bounds[i + 2]! < this.scale) this.scale = bounds[i + 2]!;
  }

  /** Where the bounds are for a place seen from the box's middle, −1 outside; alike on both sides of the middle. */
  #cellAt(x: number, y: number): number {
    const i = Math.floor(Math.abs(x) / this.#size);
    const j = Math.floor(Math.abs(y) / this.#size);
    if (!(i < this.#halfA && j < this.#halfB)) return -1;
    const k = x < 0 ? this.#halfA - 1 - i : this.#halfA + i;
    const row = y < 0 ? this.#halfB - 1 - j : this.#halfB + j;
    return 3 * (row * 2 * this.#halfA + k);
  }
}

/**
 * What the station draws of lines in the order given, four numbers each (a0 b0 a1 b1), mm in the command plane; the box is
 * null where there are none.
 */
export function measured(
  laidEnds: Float64Array,
  bender: LineBender,
): { readonly commandLengthMm: number; readonly jumpLengthMm: number; readonly box: Box | null } {
  let [commandLengthMm, jumpLengthMm] = [0, 0];
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  let [x, y] = [Number.NaN, Number.NaN];
  const cubic = { points: new Float64Array(8), straight: Uint8Array.of(0) };
  const pen: Pen = {
    move(toX, toY) {
      if (!Number.isNaN(x)) jumpLengthMm += Math.hypot(toX - x, toY - y);
      [x, y] = [toX, toY];
      grow(box, x, y);
    },
    line(toX, toY) {
      commandLengthMm += Math.hypot(toX - x, toY - y);
      [x, y] = [toX, toY];
      grow(box, x, y);
    },
    cubic(x1, y1, x2, y2, x3, y3) {
      cubic.points.set([x, y, x1, y1, x2, y2, x3, y3]);
      commandLengthMm += contourLength(cubic);
      cubicBounds(cubic.points, box);
      [x, y] = [x3, y3];
    },
  };
  for (let i = 0; i < laidEnds.length; i += 4)
    bender.bend(laidEnds[i]!, laidEnds[i + 1]!, laidEnds[i + 2]!, laidEnds[i + 3]!, pen);
  return { commandLengthMm, jumpLengthMm, box: box.minX <= box.maxX ? box : null };
}

function grow(box: { minX: number; minY: number; maxX: number; maxY: number }, x: number, y: number): void {
  if (x < box.minX) box.minX = x;
  if (x > box.maxX) box.maxX = x;
  if (y < box.minY) box.minY = y;
  if (y > box.maxY) box.maxY = y;
}
