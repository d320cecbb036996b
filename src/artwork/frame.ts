/** What an element hands down to its children: place, style, opacity, viewport, and the uses on the way. */
import type { Affine } from "../geometry/affine.ts";
import { multiply, translate } from "../geometry/affine.ts";
import type { Own } from "./cascade.ts";
import type { Document } from "./document.ts";
import { reportEffects } from "./effects.ts";
import type { SvgNode } from "./node.ts";
import type { Report } from "./report.ts";
import type { Geometry } from "./shapes.ts";
import type { Style } from "./style.ts";
import { inheritStyle, parseOpacity } from "./style.ts";
import { parseOrigin, parseTransform } from "./transform.ts";
import type { Clip } from "./types.ts";
import type { Axis, LengthContext } from "./units.ts";
import { parseLength, userUnits } from "./units.ts";

export interface Uses {
  readonly target: SvgNode;
  readonly outer: Uses | null;
}

export interface Frame {
  /** User units → mm on the page. */
  readonly matrix: Affine;
  readonly style: Style;
  /** Product of the group opacities. */
  readonly opacity: number;
  /** What percentages refer to, in user units. */
  readonly width: number;
  readonly height: number;
  readonly depth: number;
  readonly uses: Uses | null;
  readonly clip: Clip | null;
  /** What context-fill and context-stroke mean here: the paints of the marked line or of the copy. */
  readonly context: Pick<Style, "fill" | "stroke" | "color"> | null;
}

export interface Entered {
  readonly frame: Frame;
  readonly own: Own;
}

const contextOf = (frame: Frame): LengthContext => ({
  width: frame.width,
  height: frame.height,
  fontSize: frame.style.fontSize,
});

/** The conditions of SVG 2, 5.8: no extension is offered, and the language read is English. */
export function passesConditions(node: SvgNode): boolean {
  const extensions = node.attributes.requiredExtensions;
  const languages = node.attributes.systemLanguage;
  if (extensions !== undefined) return false;
  return languages === undefined || languages.split(",").some((tag) => /^en(-|$)/i.test(tag.trim()));
}

function reportLanguage(node: SvgNode, report: Report): void {
  const language = node.attributes.systemLanguage;
  if (language === undefined) return;
  const message = `shown only in the language “${language.slice(0, 20)}”: left out`;
  report.add("caution", "language-not-shown", node, message, "remove systemLanguage to have it marked");
}

/** Properties of their own that move an element as well. */
const movers = ["translate", "rotate", "scale"];

/** The matrix with an element's own transform; one that is not understood is reported and left out. */
export function placed(
  matrix: Affine,
  own: Own,
  node: SvgNode,
  context: LengthContext,
  report: Report,
): Affine {
  const fail = (): Affine => {
    report.add(
      "error",
      "transform-not-understood",
      node,
      "a transform is not understood and was not applied",
      "flatten the transforms in the drawing program",
    );
    return matrix;
  };
  if (!own.plain && movers.some((property) => (own.get(property) ?? "none") !== "none")) return fail();
  const text = own.get("transform");
  if (text === undefined || text === "") return matrix;
  // On the root a transform turns the page as a box in a browser window; nobody means that for marking.
  const m = node.parent ? parseTransform(text, context) : null;
  if (!m) return fail();
  const originText = own.get("transform-origin");
  if (originText === undefined) return multiply(matrix, m);
  if (/^(fill|stroke|content|border)-box$/.test(own.get("transform-box") ?? "")) return fail();
  const origin = parseOrigin(originText, context);
  if (!origin) return fail();
  const about = multiply(translate(origin.x, origin.y), multiply(m, translate(-origin.x, -origin.y)));
  return multiply(matrix, about);
}

/** The element's frame and own values; null when it is not rendered: hidden, excluded, flattened to nothing. */
export function enter(document: Document, node: SvgNode, outer: Frame): Entered | null {
  const own = document.cascade.of(node);
  if (own.plain) return enterPlain(document, node, own, outer);
  if (own.get("display") === "none") return null;
  if (!passesConditions(node)) {
    reportLanguage(node, document.report);
    return null;
  }
  const style = inheritStyle(outer.style, own);
  const opacity = outer.opacity * (parseOpacity(own.get("opacity")) ?? 1);
  const context = { width: outer.width, height: outer.height, fontSize: style.fontSize };
  const matrix = placed(outer.matrix, own, node, context, document.report);
  if (matrix.a * matrix.d - matrix.b * matrix.c === 0) return null;
  if (opacity === 0) return null;
  reportEffects(node, own, document.report);
  return { frame: { ...outer, matrix, style, opacity, depth: outer.depth + 1 }, own };
}

/** An element that says nothing but where it is. */
function enterPlain(document: Document, node: SvgNode, own: Own, outer: Frame): Entered | null {
  const { style } = outer;
  const context = { width: outer.width, height: outer.height, fontSize: style.fontSize };
  const matrix = placed(outer.matrix, own, node, context, document.report);
  if (matrix.a * matrix.d - matrix.b * matrix.c === 0) return null;
  return { frame: { ...outer, matrix, depth: outer.depth + 1 }, own };
}

/** Lengths and texts of an element's geometry properties in its frame. Unreadable lengths are reported. */
export function geometryOf(document: Document, node: SvgNode, { frame, own }: Entered): Geometry {
  const context = contextOf(frame);
  return {
    length(name: string, axis: Axis): number | null {
      const text = own.get(name);
      if (text === undefined || text === "" || text === "auto") return null;
      const length = parseLength(text);
      if (length) return userUnits(length, axis, context);
      document.report.add(
        "error",
        "length-not-understood",
        node,
        `the ${name} is not a length: “${text.slice(0, 40)}”; read as if it were not there`,
        "correct the element or draw it again",
      );
      return null;
    },
    text: (name) => node.attributes[name] ?? "",
  };
}
