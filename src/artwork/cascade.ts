/** The cascade: presentation attributes, rules by specificity and order, the style attribute, `!important`. */
import type { SvgNode } from "./node.ts";
import type { Selector } from "./selectors.ts";
import { classesOf, matches } from "./selectors.ts";
import type { Declaration, Rule } from "./stylesheet.ts";
import { parseStyleAttribute } from "./stylesheet.ts";

/** One element's own values: `get` gives what the cascade leaves of a property, undefined where nothing is said. */
export interface Own {
  get(property: string): string | undefined;
}

/** Attributes that style the element unless CSS says otherwise; other properties come from CSS only. */
const cssOnly: ReadonlySet<string> = new Set([
  "marker",
  "mix-blend-mode",
  "translate",
  "rotate",
  "scale",
  "transform-box",
]);

const keyOf = (selector: Selector): string => {
  const { id, classes, type } = selector.compounds[0];
  return id !== null ? `#${id}` : classes.length > 0 ? `.${classes[0]}` : (type ?? "*");
};

export class Cascade {
  /** Rules by what their rightmost compound asks for first. */
  readonly #rules = new Map<string, Rule[]>();
  readonly #inline = new Map<string, readonly Declaration[]>();

  constructor(rules: readonly Rule[]) {
    for (const rule of rules) {
      const key = keyOf(rule.selector);
      const list = this.#rules.get(key);
      if (list) list.push(rule);
      else this.#rules.set(key, [rule]);
    }
  }

  of(node: SvgNode): Own {
    const { attributes } = node;
    const declared = this.#declared(node);
    return {
      get: (property) =>
        declared?.get(property) ?? (cssOnly.has(property) ? undefined : attributes[property]?.trim()),
    };
  }

  #declared(node: SvgNode): Map<string, string> | null {
    const inlineText = node.attributes.style;
    const rules = this.#rules.size > 0 ? this.#matching(node) : [];
    if (rules.length === 0 && inlineText === undefined) return null;
    const inline = inlineText === undefined ? [] : this.#inlineOf(inlineText);
    const declared = new Map<string, string>();
    for (const important of [false, true]) {
      for (const rule of rules) put(declared, rule.declarations, important);
      put(declared, inline, important);
    }
    return declared;
  }

  #matching(node: SvgNode): Rule[] {
    const keys = new Set(["*", node.name, ...classesOf(node).map((name) => `.${name}`)]);
    if (node.attributes.id !== undefined) keys.add(`#${node.attributes.id}`);
    const found: Rule[] = [];
    for (const key of keys) {
      for (const rule of this.#rules.get(key) ?? []) if (matches(node, rule.selector)) found.push(rule);
    }
    return found.sort((a, b) => a.selector.specificity - b.selector.specificity || a.order - b.order);
  }

  #inlineOf(text: string): readonly Declaration[] {
    const list = this.#inline.get(text) ?? parseStyleAttribute(text);
    this.#inline.set(text, list);
    return list;
  }
}

function put(into: Map<string, string>, list: readonly Declaration[], important: boolean): void {
  for (const d of list) if (d.important === important) into.set(d.property, d.value);
}
