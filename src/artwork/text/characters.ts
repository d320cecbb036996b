/** A text element's characters as they are addressed: white space collapsed, positions resolved (SVG 2, 11.5). */

import { extendsPrevious } from "../../script/scripts.ts";
import type { Document } from "../document.ts";
import { drawsNothing, reportUndrawn } from "../effects.ts";
import type { Entered } from "../frame.ts";
import { enter, passesConditions } from "../frame.ts";
import type { SvgNode } from "../node.ts";
import { inheritStyle } from "../style.ts";
import type { Curve } from "./curve.ts";
import { curveOf } from "./curve.ts";
import { Lists, lengthOf } from "./positions.ts";
import type { TextStyle } from "./textstyle.ts";
import { textStyleOf } from "./textstyle.ts";
import { Blanks } from "./whitespace.ts";

/** An element of the text: `text`, `tspan`, `textPath` or `a`. */
export interface Span {
  readonly node: SvgNode;
  readonly entered: Entered;
  readonly style: TextStyle;
  readonly outer: Span | null;
  /** False where it takes its place but nothing of it is painted. */
  readonly shown: boolean;
  readonly curve: Curve | null;
}

/** One addressable character (a code point). Positions are what the element's lists say of it, null for nothing. */
export interface Character {
  readonly text: string;
  readonly span: Span;
  x: number | null;
  y: number | null;
  readonly dx: number;
  readonly dy: number;
  /** Degrees. */
  readonly rotate: number;
  /** Something is said of this very character, so that it is no part of a ligature. */
  readonly apart: boolean;
  /** Starts an anchored chunk. */
  chunk: boolean;
}

/** `textLength` on the characters from (inclusive) … to (exclusive). */
export interface Fitting {
  readonly from: number;
  readonly to: number;
  readonly length: number;
  readonly glyphs: boolean;
}

export interface Characters {
  readonly list: readonly Character[];
  /** Inner elements before outer ones. */
  readonly fittings: readonly Fitting[];
  /** Bidirectional controls by the place of the character they stand before. */
  readonly controls: readonly { readonly at: number; readonly text: string }[];
}

const controlsOf: Readonly<Record<string, readonly [ltr: string, rtl: string, end: string]>> = {
  embed: ["\u202a", "\u202b", "\u202c"],
  "bidi-override": ["\u202d", "\u202e", "\u202c"],
  isolate: ["\u2066", "\u2067", "\u2069"],
  "isolate-override": ["\u2066\u202d", "\u2067\u202e", "\u202c\u2069"],
  plaintext: ["\u2068", "\u2068", "\u2069"],
};

const painted = (paint: string, opacity: number): boolean => paint !== "none" && opacity > 0;

class Collecting {
  readonly list: Character[] = [];
  readonly fittings: Fitting[] = [];
  readonly controls: { at: number; text: string }[] = [];
  readonly #document: Document;
  readonly #blanks = new Blanks();
  readonly #lists: Lists[] = [];
  /** The first character of a text path starts a chunk at the curve's start. */
  #curveStarts = false;
  /** What follows a text path goes on where the curve ends. */
  #ended: Curve | null = null;

  constructor(document: Document) {
    this.#document = document;
  }

  element(node: SvgNode, entered: Entered, outer: Span | null, rendered = true): void {
    const { report } = this.#document;
    const { style } = entered.frame;
    let curve = outer?.curve ?? null;
    if (node.name === "textPath") {
      curve = curve ? null : curveOf(this.#document, node, entered);
      if (!curve) return;
      this.#curveStarts = true;
    }
    const shown =
      rendered &&
      style.visible &&
      (painted(style.fill, style.fillOpacity) || painted(style.stroke, style.strokeOpacity));
    const span = { node, entered, style: textStyleOf(style.lineage), outer, shown, curve };
    const positioned = node.name === "text" || node.name === "tspan";
    if (positioned) this.#lists.push(new Lists(node, entered, report));
    const bidi = outer ? controlsOf[span.style.unicodeBidi] : undefined;
    if (bidi) this.controls.push({ at: this.list.length, text: bidi[span.style.rtl ? 1 : 0] });
    const from = this.list.length;
    for (const child of node.children) this.#child(child, span, rendered);
    if (bidi) this.controls.push({ at: this.list.length, text: bidi[2] });
    if (positioned) this.#lists.pop();
    const length = lengthOf(node, "textLength", "x", entered, report);
    const glyphs = node.attributes.lengthAdjust?.trim() === "spacingAndGlyphs";
    if (length !== null && length > 0) this.fittings.push({ from, to: this.list.length, length, glyphs });
    if (node.name === "textPath") {
      this.#curveStarts = false;
      this.#ended = curve;
    }
  }

  #child(child: SvgNode, span: Span, rendered: boolean): void {
    if (child.type === "text") {
      this.#text(child.value, span);
      return;
    }
    const { report } = this.#document;
    if (!child.svg || drawsNothing(child, report)) return;
    const { frame } = span.entered;
    const entered = enter(this.#document, child, frame);
    // Only text is moved by a transform, not its parts.
    const placed = entered && { ...entered, frame: { ...entered.frame, matrix: frame.matrix } };
    if (/^(tspan|a|textPath)$/.test(child.name)) {
      if (placed) this.element(child, placed, span, rendered);
      else this.#transparent(child, span);
    } else if (placed?.frame.style.visible) {
      if (child.name === "tref") {
        const hint = "replace the reference by its words, or convert the text to outlines";
        report.add("error", "tref-not-drawn", child, "text taken from another element is not drawn", hint);
      } else reportUndrawn(child, report);
    }
  }

  /** Takes its place without being painted, unless it is not rendered at all. */
  #transparent(node: SvgNode, span: Span): void {
    const own = this.#document.cascade.of(node);
    if (own.get("display") === "none" || !passesConditions(node)) return;
    const { frame } = span.entered;
    const style = inheritStyle(frame.style, own);
    this.element(node, { frame: { ...frame, style }, own }, span, false);
  }

  #text(value: string, span: Span): void {
    for (const text of this.#blanks.read(value, span.style.preserve, span.style.transform))
      this.#add(text, span);
  }

  #add(text: string, span: Span): void {
    let x: number | null = null;
    let y: number | null = null;
    let dx: number | null = null;
    let dy: number | null = null;
    let rotate: number | null = null;
    let turned = false;
    for (const lists of this.#lists) {
      x = lists.at("x") ?? x;
      y = lists.at("y") ?? y;
      dx = lists.at("dx") ?? dx;
      dy = lists.at("dy") ?? dy;
      rotate = lists.angle() ?? rotate;
      turned ||= lists.at("rotate") !== null;
      lists.next();
    }
    if (span.curve) y = null;
    let chunk = x !== null || y !== null;
    if (span.curve && this.#curveStarts) {
      x ??= 0;
      y = 0;
      chunk = true;
      this.#curveStarts = false;
    } else if (this.#ended && !span.curve) {
      const end = this.#ended.end();
      if (!chunk) {
        x = end.x;
        y = end.y;
        chunk = true;
      }
      this.#ended = null;
    }
    const apart = dx !== null || dy !== null || turned;
    this.list.push({ text, span, x, y, dx: dx ?? 0, dy: dy ?? 0, rotate: rotate ?? 0, apart, chunk });
  }

  done(): Characters {
    const { list, fittings, controls } = this;
    if (this.#blanks.endsInBlank) list.pop();
    const count = list.length;
    if (list[0]) {
      list[0].chunk = true;
      list[0].x ??= 0;
      list[0].y ??= 0;
    }
    // What is said of a mark is said of the middle of a character: the chunk starts after it.
    list.forEach((c, i) => {
      if (i === 0 || !c.chunk || !extendsPrevious(c.text)) return;
      c.chunk = false;
      c.x = c.y = null;
      const next = list[i + 1];
      if (next) next.chunk = true;
    });
    const cut = fittings.map((f) => ({ ...f, to: Math.min(f.to, count) })).filter((f) => f.to > f.from);
    return { list, fittings: cut, controls };
  }
}

export function collectCharacters(document: Document, node: SvgNode, entered: Entered): Characters {
  const collecting = new Collecting(document);
  collecting.element(node, entered, null);
  return collecting.done();
}
