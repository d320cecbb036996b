/** SVG text → Drawing: the door of this room. */
import { JobError } from "../problem.ts";
import { Budget, isStackOverflow } from "./budget.ts";
import { Collector } from "./collector.ts";
import { openDocument } from "./document.ts";
import { enter } from "./frame.ts";
import { whereOf } from "./node.ts";
import type { Page } from "./page.ts";
import { readPage } from "./page.ts";
import { Paints } from "./paints.ts";
import { Report } from "./report.ts";
import { initialStyle } from "./style.ts";
import type { FontBook } from "./text.ts";
import type { Drawing } from "./types.ts";
import { Walker } from "./walk.ts";
import { readXml } from "./xml.ts";

export interface ReadOptions {
  /** The fonts that text may be drawn with; null for none. */
  readonly fonts: FontBook | null;
  /** Text in a font that is not given is drawn in the first one given. */
  readonly substitute: boolean;
}

/**
 * Reads SVG text: every unit, style, transform, use, arc and glyph resolved, paths in mm on the page (0, 0 top
 * left, y down), in paint order. What cannot be drawn or applied is in `problems`, by element; those of severity
 * `error` would change what is marked.
 *
 * Throws JobError: `empty-text`, `broken-xml`, `too-large`, `too-deep`, `entity-too-large`, `not-svg`,
 * `size-invalid`, `too-many-elements`, `too-many-shapes`, `too-many-segments`, `too-many-rules`.
 */
export function readDrawing(text: string, options: Partial<ReadOptions> = {}): Drawing {
  try {
    return drawingOf(text, options);
  } catch (error) {
    // Elements are walked by functions that call themselves, on whatever stack the caller has left.
    if (!isStackOverflow(error)) throw error;
    throw new JobError(
      "too-deep",
      "elements are nested deeper than the stack of this program allows here",
      "ungroup the artwork in the drawing program, or read it from a thread with a larger stack",
    );
  }
}

function drawingOf(text: string, options: Partial<ReadOptions>): Drawing {
  const xml = readXml(text);
  const { root } = xml;
  if (!root.svg || root.name !== "svg") {
    const message = `the root element ${root.name} is not an svg element of the SVG namespace`;
    throw new JobError("not-svg", message, "choose an SVG file", whereOf(root));
  }
  const report = new Report();
  const document = openDocument(xml, report);
  if (root.attributes["data-fallaway"] !== undefined) {
    report.add(
      "error",
      "bent-already",
      root,
      "this file has been bent for a vessel already",
      "give the customer's own drawing",
    );
  }
  const page: Page = readPage(root, report);
  const collector = new Collector(document);
  const { fonts = null, substitute = false } = options;
  const walker = new Walker(
    { document, paints: new Paints(document), fonts, substitute, budget: new Budget() },
    collector,
  );
  const outer = {
    matrix: page.matrix,
    style: initialStyle,
    opacity: 1,
    width: page.width,
    height: page.height,
    depth: 0,
    uses: null,
    clip: null,
    context: null,
  };
  const entered = enter(document, root, outer);
  if (entered) walker.children(root, entered.frame);
  return { size: page.size, root: whereOf(root), items: collector.items, problems: report.problems };
}
