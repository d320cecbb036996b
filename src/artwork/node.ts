/** The document tree: svgson's INode with the place in the file, the parent and the namespace settled. */
import type { INode } from "svgson";
import type { Where } from "../problem.ts";

export interface SvgNode extends INode {
  /** Local name for SVG elements, the name as written for foreign ones, "" for text. */
  name: string;
  type: "element" | "text";
  /** Attributes without a namespace by local name, `xlink:…` under that prefix, others as written. */
  attributes: Record<string, string>;
  children: SvgNode[];
  readonly parent: SvgNode | null;
  /** False for elements of other namespaces and for text. */
  readonly svg: boolean;
  /** Place of the element's `<`, both from 1. */
  readonly line: number;
  readonly column: number;
  /** Characters of its attributes' values, or of the text. */
  readonly size: number;
}

export function whereOf(node: SvgNode): Where {
  const id = node.attributes.id;
  const { name: element, line, column } = node;
  return id === undefined ? { element, line, column } : { element, line, column, id };
}

/** All text under an element, in document order. */
export function textOf(node: SvgNode): string {
  let text = "";
  const stack: SvgNode[] = [node];
  for (let next = stack.pop(); next; next = stack.pop()) {
    text += next.value;
    for (let i = next.children.length - 1; i >= 0; i--) stack.push(next.children[i]);
  }
  return text;
}

/** Visits every element under (and with) a node, in document order, without recursion. */
export function eachElement(root: SvgNode, visit: (node: SvgNode) => void): void {
  const stack: SvgNode[] = [root];
  for (let next = stack.pop(); next; next = stack.pop()) {
    if (next.type !== "element") continue;
    visit(next);
    for (let i = next.children.length - 1; i >= 0; i--) stack.push(next.children[i]);
  }
}

/** The target of `href`, or of the older `xlink:href`; undefined without either. */
export const hrefOf = (node: SvgNode): string | undefined =>
  (node.attributes.href ?? node.attributes["xlink:href"])?.trim();
