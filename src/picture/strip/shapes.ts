/**
 * What stands on a strip, on the flat: the bars of each row, the row's own number over them at the crown line, and the bars'
 * numbers along them, odd ones over the uppermost row, even ones under the lowest. All outlines.
 *
 * Figures are as tall as those of letters whose x is 1.2 mm high, what Regulation (EU) 1169/2011 asks of the smallest print
 * on food (Article 13; from memory).
 */
import { type Contour, type Path, PathBuilder, type Space } from "../../geometry/path.ts";
import { leftOf, rightOf } from "../../plan/strip/edges.ts";
import { BETWEEN } from "../../plan/strip/layout.ts";
import type { Bar, Strip, StripMark } from "../../plan/strip/types.ts";
import type { Lettering, TextPlace } from "../lettering.ts";

export interface StripShape {
  readonly id: string;
  readonly path: Path<"flat">;
}

/** Of figures (mm), and their share of the em in Noto Sans. */
export const FIGURE_MM = 1.6;
const FIGURE_EM = 0.714;
/** Between a figure and the bar or row that it belongs to (mm). */
const GAP = 0.4;
/** From one number to the next in a row, so that none touch (mm). */
const APART = 2;
/** Decimals of figures' outlines (mm). */
const DECIMALS = 5;

/** The shapes of one mark; those of its own row, and all bars' numbers where they are marked with it. */
export function shapesOf(strip: Strip, mark: StripMark, lettering: Lettering): StripShape[] {
  const half = strip.barHeightMm / 2;
  const bars = strip.bars.map((bar) => ({
    id: `mark-${mark.number}-bar-${bar.number}`,
    path: box(leftOf(bar), mark.rowMm - half, rightOf(bar), mark.rowMm + half),
  }));
  const own = {
    id: `mark-${mark.number}-number`,
    path: words<"flat">(lettering, String(mark.number), {
      x: 0,
      y: mark.rowMm - half - GAP,
      anchor: "middle",
    }),
  };
  return [...bars, own, ...(mark.number === strip.numbersWith ? numbersOf(strip, lettering) : [])];
}

/** Where the bars' numbers stand: every bar's, or every so many-th where bars are close. */
export function numberedBars({ bars }: Pick<Strip, "bars">): readonly Bar[] {
  const [one, two] = bars;
  const pitch = one && two ? (two.atMm - one.atMm) / (two.number - one.number) : APART;
  // Odd ones are above and even ones below: two pitches from one to the next.
  const step = Math.max(1, Math.ceil(APART / (2 * pitch) - 1e-9));
  return bars.filter(({ number }) => (number - 1) % step === 0);
}

/** Edges of the rows, and where the numbers beyond them begin (mm below the placement point). */
export function rowsOf({ marks, barHeightMm }: Strip): { top: number; bottom: number } {
  const half = barHeightMm / 2;
  return { top: marks[0]!.rowMm - half - BETWEEN, bottom: marks.at(-1)!.rowMm + half + GAP };
}

function numbersOf(strip: Strip, lettering: Lettering): StripShape[] {
  const { top, bottom } = rowsOf(strip);
  return numberedBars(strip).map((bar, i): StripShape => {
    const above = i % 2 === 0;
    return {
      id: `number-${bar.number}`,
      // Turned to be read from the right: the baseline is to the right of the bar's middle.
      path: words<"flat">(lettering, String(bar.number), {
        x: bar.atMm + FIGURE_MM / 2,
        y: above ? top : bottom,
        anchor: above ? "start" : "end",
        rotate: -90,
      }),
    };
  });
}

function box(left: number, top: number, right: number, bottom: number): Path<"flat"> {
  return new PathBuilder<"flat">(4)
    .move(left, top)
    .line(right, top)
    .line(right, bottom)
    .line(left, bottom)
    .close()
    .build();
}

/** The outlines of a text of figures. */
export function words<S extends Space>(
  lettering: Lettering,
  text: string,
  place: Omit<TextPlace, "size" | "decimals">,
): Path<S> {
  const d = lettering.path(text, { ...place, size: FIGURE_MM / FIGURE_EM, decimals: DECIMALS });
  return outlines<S>(d);
}

/** Absolute M, L, Q, C and Z, as `Lettering.path` writes them. */
function outlines<S extends Space>(d: string): Path<S> {
  const builder = new PathBuilder<S>();
  let [x, y] = [0, 0];
  for (const [, letter, rest] of d.matchAll(/([MLQCZ])([^MLQCZ]*)/g)) {
    const n = (rest ?? "")
      .trim()
      .split(/[\s,]+/)
      .filter(Boolean)
      .map(Number);
    if (letter === "Z") builder.close();
    else if (letter === "M") builder.move(n[0]!, n[1]!);
    else if (letter === "L") builder.line(n[0]!, n[1]!);
    else if (letter === "C") builder.cubic(n[0]!, n[1]!, n[2]!, n[3]!, n[4]!, n[5]!);
    else {
      const [cx, cy, ex, ey] = n as [number, number, number, number];
      builder.cubic(
        x + (2 * (cx - x)) / 3,
        y + (2 * (cy - y)) / 3,
        ex + (2 * (cx - ex)) / 3,
        ey + (2 * (cy - ey)) / 3,
        ex,
        ey,
      );
    }
    if (n.length >= 2) [x, y] = [n.at(-2)!, n.at(-1)!];
  }
  return builder.build();
}

/** A square about (0, 0) as one closed line. */
export const squareOf = (sideMm: number): Contour<"command"> => {
  const half = sideMm / 2;
  return new PathBuilder<"command">(4)
    .move(-half, -half)
    .line(half, -half)
    .line(half, half)
    .line(-half, half)
    .close()
    .build().contours[0]!;
};
