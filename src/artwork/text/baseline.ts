/** Where an element's alphabetic baseline lies: CSS Inline 3, 3 (dominant and alignment baselines, shifts). */
import { parseLength, userUnits } from "../units.ts";
import type { Span } from "./characters.ts";
import type { FontChoice } from "./fontchoice.ts";
import type { Metrics } from "./typeface.ts";

/** Height of a baseline above the alphabetic one, in ems. Those no font table gives: CSS Inline 3, appendix A. */
function heightOf(baseline: string, m: Metrics): number {
  switch (baseline) {
    case "middle":
      return m.xHeight / 2;
    case "central":
      return (m.ascent + m.descent) / 2;
    case "hanging":
      return 0.8 * m.ascent;
    case "mathematical":
      return 0.5 * m.ascent;
    case "text-before-edge":
    case "before-edge":
    case "text-top":
    case "top":
      return m.ascent;
    case "text-after-edge":
    case "after-edge":
    case "text-bottom":
    case "bottom":
    case "ideographic":
      return m.descent;
    case "center":
      return (m.ascent + m.descent) / 2;
    default:
      return 0;
  }
}

const isAuto = (value: string): boolean => /^(auto|baseline|)$/.test(value);

/** The baseline an element hangs its text by. On `text` itself an alignment baseline does the same. */
function dominantOf({ style, outer }: Span): string {
  if (!outer && isAuto(style.dominantBaseline) && !isAuto(style.alignmentBaseline))
    return style.alignmentBaseline;
  return style.dominantBaseline;
}

export class Baselines {
  readonly #choice: FontChoice;
  readonly #known = new Map<Span, number>();

  constructor(choice: FontChoice) {
    this.#choice = choice;
  }

  /** How far below the text's y the alphabetic baseline lies, in user units. */
  offset(span: Span): number {
    let offset = this.#known.get(span);
    if (offset === undefined) {
      offset = this.#compute(span);
      this.#known.set(span, offset);
    }
    return offset;
  }

  #height(span: Span, baseline: string): number {
    const metrics = this.#choice.first(span)?.metrics;
    return metrics ? heightOf(baseline, metrics) * span.entered.frame.style.fontSize : 0;
  }

  #compute(span: Span): number {
    const { outer, style } = span;
    const dominant = dominantOf(span);
    const shift = this.#shift(span);
    if (!outer) return this.#height(span, dominant) - shift;
    const aligned = isAuto(style.alignmentBaseline) ? null : style.alignmentBaseline;
    const line = this.offset(outer) - this.#height(outer, aligned ?? dominantOf(outer));
    return line + this.#height(span, aligned ?? dominant) - shift;
  }

  /** Upwards. Percentages are of the font size (SVG 1.1, 10.9.2). */
  #shift({ style, outer, entered }: Span): number {
    const { fontSize } = entered.frame.style;
    const around = outer ?? null;
    const text = style.baselineShift;
    if (text === "sub" || text === "super") {
      const metrics = around && this.#choice.first(around)?.metrics;
      if (!metrics || !around) return 0;
      const size = around.entered.frame.style.fontSize;
      return text === "sub" ? -metrics.subscript * size : metrics.superscript * size;
    }
    const length = parseLength(text);
    return length ? userUnits(length, "y", { width: fontSize, height: fontSize, fontSize }) : 0;
  }
}
