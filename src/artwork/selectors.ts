/** CSS selectors: type, class, id, attribute, `:root` and `*`, joined by any combinator. */
import type { CssNodePlain, SelectorPlain } from "css-tree";
import { ident } from "css-tree/dist/csstree.esm";
import type { SvgNode } from "./node.ts";

interface AttributeTest {
  readonly name: string;
  readonly matcher: string | null;
  readonly value: string;
}

interface Compound {
  readonly type: string | null;
  readonly id: string | null;
  readonly classes: readonly string[];
  readonly attributes: readonly AttributeTest[];
  readonly root: boolean;
}

export interface Selector {
  /** Right to left: the element itself first. */
  readonly compounds: readonly Compound[];
  /** `combinators[i]` joins compound i to compound i + 1 on its left. */
  readonly combinators: readonly string[];
  /** Ids, classes and types counted in base 4096. */
  readonly specificity: number;
}

/** Pseudo-classes and elements that a still picture never shows; their rules are left out without a word. */
const neverShown =
  /^(hover|focus|focus-within|focus-visible|active|visited|link|target|before|after|selection)$/;

type Mutable = { -readonly [K in keyof Compound]: Compound[K] } & {
  classes: string[];
  attributes: AttributeTest[];
};

const empty = (): Mutable => ({ type: null, id: null, classes: [], attributes: [], root: false });
const localName = (name: string): string => ident.decode(name.slice(name.lastIndexOf("|") + 1));

/** Adds one simple selector; false when it is not understood. */
function addSimple(compound: Mutable, node: CssNodePlain): boolean {
  if (node.type === "TypeSelector") {
    const name = localName(node.name);
    if (name !== "*") compound.type = name;
  } else if (node.type === "IdSelector") {
    const id = ident.decode(node.name);
    if (compound.id !== null && compound.id !== id) return false;
    compound.id = id;
  } else if (node.type === "ClassSelector") {
    compound.classes.push(ident.decode(node.name));
  } else if (node.type === "AttributeSelector") {
    const value =
      node.value === null ? "" : node.value.type === "String" ? node.value.value : node.value.name;
    if (node.flags) return false;
    compound.attributes.push({ name: localName(node.name.name), matcher: node.matcher, value });
  } else if (node.type === "PseudoClassSelector" && node.name === "root") {
    compound.root = true;
  } else return false;
  return true;
}

/** A selector to match with, `never` for one that no still picture meets, `unknown` for one not understood. */
export function compileSelector(selector: SelectorPlain): Selector | "never" | "unknown" {
  let compound = empty();
  const compounds: Compound[] = [compound];
  const combinators: string[] = [];
  let specificity = 0;
  for (const node of selector.children) {
    if (node.type === "Combinator") {
      if (!/^[ >+~]$/.test(node.name)) return "unknown";
      compound = empty();
      compounds.unshift(compound);
      combinators.unshift(node.name);
      continue;
    }
    if (node.type === "PseudoClassSelector" || node.type === "PseudoElementSelector") {
      if (neverShown.test(node.name)) return "never";
    }
    if (!addSimple(compound, node)) return "unknown";
    if (node.type === "IdSelector") specificity += 4096 * 4096;
    else if (node.type !== "TypeSelector") specificity += 4096;
    else if (localName(node.name) !== "*") specificity += 1;
  }
  return { compounds, combinators, specificity };
}

/** Long lists of classes, which are not split again each time. */
const longLists = new WeakMap<SvgNode, readonly string[]>();

export function classesOf(node: SvgNode): readonly string[] {
  const text = node.attributes.class ?? "";
  const known = text.length > 100 ? longLists.get(node) : undefined;
  if (known) return known;
  const classes = text.split(/\s+/).filter((name) => name !== "");
  if (text.length > 100) longLists.set(node, classes);
  return classes;
}

/** Counts the steps that matching takes, and may throw. */
export type Spend = (steps: number) => void;

function matchesAttribute(node: SvgNode, test: AttributeTest, spend: Spend): boolean {
  const actual = node.attributes[test.name];
  const { matcher, value } = test;
  if (actual === undefined) return false;
  spend(actual.length / 64);
  if (matcher === null) return true;
  if (matcher === "=") return actual === value;
  if (matcher === "~=") return actual.split(/\s+/).includes(value);
  if (matcher === "|=") return actual === value || actual.startsWith(`${value}-`);
  if (value === "") return false;
  if (matcher === "^=") return actual.startsWith(value);
  if (matcher === "$=") return actual.endsWith(value);
  return actual.includes(value);
}

function matchesCompound(node: SvgNode, compound: Compound, spend: Spend): boolean {
  spend(1);
  if (compound.type !== null && compound.type !== node.name) return false;
  if (compound.id !== null && compound.id !== node.attributes.id) return false;
  if (compound.root && node.parent) return false;
  if (compound.classes.length > 0) {
    const classes = classesOf(node);
    spend((classes.length * compound.classes.length) / 16);
    if (!compound.classes.every((name) => classes.includes(name))) return false;
  }
  return compound.attributes.every((test) => matchesAttribute(node, test, spend));
}

/** By parent: the element before each of its elements. */
const before = new WeakMap<SvgNode, ReadonlyMap<SvgNode, SvgNode>>();

function previousElement(node: SvgNode): SvgNode | null {
  const { parent } = node;
  if (!parent) return null;
  let known = before.get(parent);
  if (!known) {
    const elements = parent.children.filter((child) => child.type === "element");
    known = new Map(elements.slice(1).map((child, i) => [child, elements[i]]));
    before.set(parent, known);
  }
  return known.get(node) ?? null;
}

/** True when the element meets the selector from compound `i` on. */
export function matches(node: SvgNode, selector: Selector, spend: Spend, i = 0): boolean {
  if (!matchesCompound(node, selector.compounds[i], spend)) return false;
  if (i === selector.combinators.length) return true;
  const combinator = selector.combinators[i];
  const step = combinator === " " || combinator === ">" ? (n: SvgNode) => n.parent : previousElement;
  const far = combinator === " " || combinator === "~";
  for (let other = step(node); other; other = far ? step(other) : null) {
    if (matches(other, selector, spend, i + 1)) return true;
  }
  return false;
}
