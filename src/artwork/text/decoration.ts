/** Underlines, overlines and line-throughs: boxes with the measures of the font of the element that asks for them. */
import type { Affine } from "../../geometry/affine.ts";
import { multiply } from "../../geometry/affine.ts";
import type { Contour } from "../../geometry/path.ts";
import type { Baselines } from "./baseline.ts";
import type { Span } from "./characters.ts";
import type { Placed } from "./layout.ts";
import { boxContours } from "./outlines.ts";
import type { Decoration } from "./textstyle.ts";
import type { Metrics } from "./typeface.ts";

/** A cluster and where it stands in user units. */
export interface Stood {
  readonly item: Placed;
  readonly matrix: Affine;
}

const isWithin = (span: Span, outer: Span): boolean => {
  for (let at: Span | null = span; at; at = at.outer) if (at === outer) return true;
  return false;
};

/** Top edge above the baseline and thickness, in ems. */
function lineOf(decoration: Decoration, m: Metrics): { readonly top: number; readonly thickness: number } {
  if (decoration === "underline") return m.underline;
  if (decoration === "line-through") return m.strikeout;
  return { top: m.ascent, thickness: m.underline.thickness };
}

/** One line's boxes in mm: one for each stretch of text that stands straight and without a gap. */
export function decorationContours(
  decoration: Decoration,
  span: Span,
  metrics: Metrics,
  stood: readonly Stood[],
  baselines: Baselines,
): Contour<"page">[] {
  const { matrix: page, style } = span.entered.frame;
  const size = style.fontSize;
  const { top, thickness } = lineOf(decoration, metrics);
  const contours: Contour<"page">[] = [];
  let open: { matrix: Affine; y: number; width: number } | null = null;
  const close = (): void => {
    if (open) boxContours(0, open.y, open.width, thickness * size, multiply(page, open.matrix), contours);
    open = null;
  };
  const own = stood.filter(({ item }) => isWithin(item.span, span));
  for (const { item, matrix } of own.toSorted((a, b) => a.item.x - b.item.x)) {
    const y = baselines.offset(span) - baselines.offset(item.span) - top * size;
    const straight = matrix.b === 0 && matrix.a === 1;
    const current: { matrix: Affine; y: number; width: number } | null = open;
    if (current && straight) {
      const { matrix: m, width } = current as { matrix: Affine; y: number; width: number };
      const level = Math.abs(m.f + (current as { y: number }).y - matrix.f - y) < 1e-6 * size;
      if (level && m.b === 0 && Math.abs(m.e + width - matrix.e) < 1e-6 * size) {
        open = { ...(current as { matrix: Affine; y: number }), width: width + item.width };
        continue;
      }
    }
    close();
    open = { matrix, y, width: item.width };
  }
  close();
  return contours;
}
