/** A `text` element → outlines, one path for each run of glyphs of one element. */

import { multiply } from "../../geometry/affine.ts";
import type { Contour, Path } from "../../geometry/path.ts";
import { JobError } from "../../problem.ts";
import { isJoined, isUnseen } from "../../script/scripts.ts";
import { isStackOverflow } from "../budget.ts";
import { isDrawable, mendPath } from "../contours.ts";
import type { Document } from "../document.ts";
import type { Entered } from "../frame.ts";
import type { SvgNode } from "../node.ts";
import type { Report } from "../report.ts";
import { Baselines } from "./baseline.ts";
import { BrokenFont } from "./brokenfont.ts";
import type { Character, Span } from "./characters.ts";
import { collectCharacters } from "./characters.ts";
import type { Stood } from "./decoration.ts";
import { decorationContours } from "./decoration.ts";
import type { FontBook } from "./fontbook.ts";
import { FontChoice, opening } from "./fontchoice.ts";
import type { Placed } from "./layout.ts";
import { layOut } from "./layout.ts";
import { glyphContours } from "./outlines.ts";
import { matrixOf } from "./place.ts";

export interface TextContext {
  readonly document: Document;
  /** Null: no fonts were given. */
  readonly fonts: FontBook | null;
  /** A font that is not given may be stood in for by the first one given. */
  readonly substitute: boolean;
}

/** Takes a path in mm on the page, to be filled nonzero, with the element that paints it. */
export type PutText = (node: SvgNode, entered: Entered, path: Path<"page">) => void;

const convert = "convert the text to outlines in the drawing program";

/**
 * Draws a `text` element (SVG 2, 11) in paint order. Problems: `font-missing`, `glyph-missing`,
 * `font-style-missing`, `vertical-text`, `text-path-missing`, `tref-not-drawn`, `small-caps-not-drawn`,
 * `text-style-not-applied`, `font-broken`, `number-not-finite` (errors); `font-unreadable`, `font-substitute`,
 * `font-next-in-list`, `font-weight-nearest`, `text-off-path`, `text-path-stretch`,
 * `letter-spacing-not-applied` (cautions).
 */
export function drawText(node: SvgNode, entered: Entered, context: TextContext, put: PutText): void {
  const { document, fonts, substitute } = context;
  const { report } = document;
  const characters = collectCharacters(document, node, entered);
  const { list } = characters;
  const spans = [...new Set(list.filter((c) => c.span.shown && !isUnseen(c.text)).map((c) => c.span))];
  if (spans.length === 0) return;
  if (spans.some((span) => span.style.vertical)) {
    const words = opening(list.map((c) => c.text).join(""));
    report.add("error", "vertical-text", node, `vertical text is not drawn: “${words}”`, convert);
    return;
  }
  if (fonts) reportUnread(fonts, report);
  try {
    const choice = new FontChoice(document, fonts, substitute, list);
    for (const span of spans) reportStyle(span, choice, report);
    if (!fonts) return;
    const { rtl } = rootOf(spans[0]).style;
    const placed = layOut(characters, choice, rtl, fonts.bidi);
    choice.settle();
    const baselines = new Baselines(choice);
    const stood = stand(placed, list, baselines, report);
    reportSpacing(placed, report);
    paint(stood, choice, baselines, report, put);
  } catch (error) {
    if (error instanceof JobError || isStackOverflow(error)) throw error;
    const words = opening(list.map((c) => c.text).join(""));
    const font = error instanceof BrokenFont ? `the font file “${error.file.slice(-40)}”` : "a font given";
    const message = `${font} cannot draw “${words}”: its tables are broken`;
    report.add("error", "font-broken", node, message, `give a whole copy of it with --fonts, or ${convert}`);
  }
}

/** Said once, and only where there is text to be drawn. */
function reportUnread({ problems }: FontBook, report: Report): void {
  const [first] = problems;
  if (!first) return;
  const more = problems.length > 1 ? `; and ${problems.length - 1} more` : "";
  report.add(first.severity, first.code, null, `${first.message}${more}`, first.hint);
}

const rootOf = (span: Span): Span => (span.outer ? rootOf(span.outer) : span);

/** What the element's style asks for and does not get; asks for its font, which says what is missing. */
function reportStyle(span: Span, choice: FontChoice, report: Report): void {
  const { style, node } = span;
  const typeface = choice.first(span);
  if (style.smallCaps && typeface && !typeface.offers("smcp")) {
    const message = `“${typeface.label}” has no small capitals: drawn as they are typed`;
    report.add("error", "small-caps-not-drawn", node, message, convert);
  }
  if (style.unapplied.length > 0) {
    const names = style.unapplied.map((name) => (name === "font" ? "font shorthand" : name));
    const message = `the text's ${names.join(", ")} is not applied`;
    report.add("error", "text-style-not-applied", node, message, convert);
  }
}

function reportSpacing(placed: readonly Placed[], report: Report): void {
  for (const { span, script } of placed) {
    if (!span.shown || span.style.letterSpacing === 0 || !isJoined(script)) continue;
    const message = "letters that join were not spaced";
    report.add("caution", "letter-spacing-not-applied", span.node, message, "remove the letter-spacing");
  }
}

/** Every cluster in its place; those that fall off their curve are left out and reported. */
function stand(
  placed: readonly Placed[],
  list: readonly Character[],
  baselines: Baselines,
  report: Report,
): readonly Stood[] {
  const stood: Stood[] = [];
  const dropped = new Map<SvgNode, string>();
  for (const item of placed) {
    const matrix = matrixOf(item, baselines);
    if (matrix) {
      stood.push({ item, matrix });
      continue;
    }
    const text = list
      .slice(item.head, item.end)
      .map((c) => c.text)
      .join("");
    const { curve, shown } = item.span;
    if (curve && shown) dropped.set(curve.node, (dropped.get(curve.node) ?? "") + text);
  }
  for (const [node, text] of dropped) {
    if ([...text].every(isUnseen)) continue;
    const message = `text runs past the end of its line and is not drawn there: “${opening(text)}”`;
    report.add("caution", "text-off-path", node, message, "lengthen the line or make the text smaller");
  }
  return stood;
}

/** Lines under and over the text, the text, and lines through it. */
function paint(
  stood: readonly Stood[],
  choice: FontChoice,
  baselines: Baselines,
  report: Report,
  put: PutText,
): void {
  const give = (span: Span, contours: readonly Contour<"page">[]): void => {
    if (contours.length === 0 || !span.shown) return;
    const path = mendPath({ contours });
    if (isDrawable(path)) put(span.node, span.entered, path);
    else {
      const message = "a coordinate is too large to be drawn: the text was left out";
      report.add("error", "number-not-finite", span.node, message, convert);
    }
  };
  const decorate = (through: boolean): void => {
    for (const span of decorated(stood)) {
      const metrics = choice.first(span)?.metrics;
      if (!metrics) continue;
      for (const line of span.style.decoration) {
        if ((line === "line-through") !== through) continue;
        give(span, decorationContours(line, span, metrics, stood, baselines));
      }
    }
  };
  decorate(false);
  for (let from = 0; from < stood.length; ) {
    const { span, typeface } = stood[from].item;
    const contours: Contour<"page">[] = [];
    let to = from;
    // Fonts may wind their outlines either way: two in one path could cancel where they overlap.
    for (; to < stood.length && stood[to].item.span === span && stood[to].item.typeface === typeface; to++) {
      const { item, matrix } = stood[to];
      glyphContours(item, item.stretch, multiply(span.entered.frame.matrix, matrix), contours);
    }
    give(span, contours);
    from = to;
  }
  decorate(true);
}

/** The elements that ask for lines, outer ones first. */
function decorated(stood: readonly Stood[]): readonly Span[] {
  const found = new Set<Span>();
  for (const { item } of stood) {
    const chain: Span[] = [];
    for (let span: Span | null = item.span; span; span = span.outer) chain.push(span);
    for (const span of chain.toReversed()) if (span.style.decoration.length > 0) found.add(span);
  }
  return [...found];
}
