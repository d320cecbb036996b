/** One artwork while it is being read: its elements by id, its cascade, and its problems. */
import { identity } from "../geometry/affine.ts";
import { Cascade } from "./cascade.ts";
import type { SvgNode } from "./node.ts";
import { eachElement } from "./node.ts";
import { Pen } from "./pen.ts";
import type { Report } from "./report.ts";
import type { Rule } from "./stylesheet.ts";
import { readStyleElement, styleNotLoaded } from "./stylesheet.ts";
import type { XmlDocument } from "./xml.ts";

export interface Document {
  readonly root: SvgNode;
  /** The first element of each id. */
  readonly byId: ReadonlyMap<string, SvgNode>;
  readonly cascade: Cascade;
  readonly report: Report;
  /** For the outlines of one element after another. */
  readonly pen: Pen;
}

/** Indexes the ids and reads the style sheets; what lies outside the file is reported, never loaded. */
export function openDocument(xml: XmlDocument, report: Report): Document {
  const byId = new Map<string, SvgNode>();
  const rules: Rule[] = [];
  if (xml.namespaceMissing) {
    report.add(
      "caution",
      "namespace-missing",
      xml.root,
      "the root element does not declare the SVG namespace: read as SVG all the same",
      'Add xmlns="http://www.w3.org/2000/svg" to the svg element.',
    );
  }
  if (xml.instructions.includes("xml-stylesheet")) styleNotLoaded(null, report);
  eachElement(xml.root, (node) => {
    const id = node.attributes.id;
    if (node.svg && id !== undefined && !byId.has(id)) byId.set(id, node);
    if (node.svg && node.name === "style") {
      for (const rule of readStyleElement(node, rules.length, report)) rules.push(rule);
    } else if (node.name.slice(node.name.indexOf(":") + 1) === "link") {
      if (/\bstylesheet\b/i.test(node.attributes.rel ?? "")) styleNotLoaded(node, report);
    }
  });
  return { root: xml.root, byId, cascade: new Cascade(rules), report, pen: new Pen(identity) };
}

/** The element a `#id` reference means; null for a missing one and for references out of the file. */
export const targetOf = (document: Document, href: string): SvgNode | null =>
  href.startsWith("#") ? (document.byId.get(decodeFragment(href.slice(1))) ?? null) : null;

function decodeFragment(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
