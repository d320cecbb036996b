/**
 * The line at a distance beside a stroked one: O = L(P + s N), O′ = L(|P′| − s ω) T with the frame of `piece.ts` and
 * L the map onto the page (Farouki and Neff, "Analytic properties of plane offset curves", CAGD 7, 1990). It folds
 * back where s ω > |P′|.
 */
import { Fitter } from "../../fit/fit.ts";
import type { MappedCurve } from "../../geometry/curve.ts";
import { type Contour, reversed } from "../../geometry/path.ts";
import type { Nib } from "./corners.ts";
import { jetOf, type Piece } from "./piece.ts";
import { Pencil, type Sheet } from "./sheet.ts";

/** A part of a piece. */
export interface Span {
  readonly piece: Piece;
  readonly t0: number;
  readonly t1: number;
}

export function sideCurve(
  sheet: Sheet,
  spans: readonly Span[],
  s: number,
  closed: boolean,
): MappedCurve<"page"> {
  const jet = new Float64Array(6);
  return {
    pieces: spans.length,
    closed,
    straight: Uint8Array.from(spans, ({ piece }) => (piece.straight ? 1 : 0)),
    at(k, t, out) {
      const { piece, t0, t1 } = spans[k]!;
      jetOf(piece, t === 0 ? t0 : t === 1 ? t1 : t0 + (t1 - t0) * t, jet);
      const u = jet[0]! - jet[3]! * s;
      const v = jet[1]! + jet[2]! * s;
      const stretch = (jet[4]! - s * jet[5]!) * (t1 - t0);
      out[0] = sheet.x(u, v);
      out[1] = sheet.y(u, v);
      out[2] = sheet.x(jet[2]! * stretch, jet[3]! * stretch);
      out[3] = sheet.y(jet[2]! * stretch, jet[3]! * stretch);
      out[4] = 1;
    },
  };
}

/** Share of the tolerance for fitting; the rest is for directions that differ a little where pieces join. */
const fitted = 0.85;
/** Sides may stray by this share of the half width, lest those of a hairline cross each other. */
const ofWidth = 0.1;

export class Sides {
  readonly #nib: Nib;
  readonly #fitter = new Fitter();
  readonly #tolerance: number;

  constructor(nib: Nib) {
    this.#nib = nib;
    this.#tolerance = Math.min(fitted * nib.tolerance * nib.sheet.most, ofWidth * nib.h * nib.sheet.least);
  }

  /** The side at distance s as cubics within the tolerance. */
  fit(spans: readonly Span[], s: number, closed: boolean): Contour<"page"> {
    const curve = sideCurve(this.#nib.sheet, spans, s, closed);
    return this.#fitter.fit(curve, { tolerance: this.#tolerance }).contour;
  }

  /** Both sides of pieces that follow each other smoothly: along the −h side, `turn`, back along the +h side. */
  strip(run: readonly Piece[], turn: (pencil: Pencil) => void): Pencil {
    const { sheet, h } = this.#nib;
    const first = run[0]!;
    const last = run[run.length - 1]!;
    const pencil = new Pencil(sheet, first.c[0]! + first.dirs[1]! * h, first.c[1]! - first.dirs[0]! * h);
    if (run.length === 1 && first.straight) {
      pencil.line(last.c[6]! + last.dirs[3]! * h, last.c[7]! - last.dirs[2]! * h);
      turn(pencil);
      return pencil
        .line(last.c[6]! - last.dirs[3]! * h, last.c[7]! + last.dirs[2]! * h)
        .line(first.c[0]! - first.dirs[1]! * h, first.c[1]! + first.dirs[0]! * h);
    }
    const spans = run.map((piece): Span => ({ piece, t0: 0, t1: 1 }));
    pencil.along(this.fit(spans, -h, false));
    turn(pencil);
    return pencil.along(reversed(this.fit(spans, h, false)));
  }

  /** A closed line without corners: an outline on each side, turning opposite ways. */
  ring(pieces: readonly Piece[]): void {
    const { sheet, h } = this.#nib;
    const spans = pieces.map((piece): Span => ({ piece, t0: 0, t1: 1 }));
    for (const contour of [this.fit(spans, -h, true), reversed(this.fit(spans, h, true))]) {
      sheet.add(contour.points, contour.straight);
    }
  }
}
