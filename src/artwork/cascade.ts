/** The cascade: presentation attributes, rules by specificity and order, the style attribute, `!important`. */
import { JobError } from "../problem.ts";
import type { SvgNode } from "./node.ts";
import { whereOf } from "./node.ts";
import type { Selector } from "./selectors.ts";
import { classesOf, matches } from "./selectors.ts";
import type { Declaration, Rule } from "./stylesheet.ts";
import { parseStyleAttribute } from "./stylesheet.ts";

/** One element's own values: `get` gives what the cascade leaves of a property, undefined where nothing is said. */
export interface Own {
  get(property: string): string | undefined;
  /** Nothing is said but where and how large the element is. */
  readonly plain?: boolean;
}

/** Attributes that neither style an element nor decide whether it is drawn. */
const placing: ReadonlySet<string> = new Set(
  "id d points x y width height cx cy r rx ry x1 y1 x2 y2 transform".split(" "),
);

function isPlain(attributes: SvgNode["attributes"]): boolean {
  for (const name in attributes) if (!placing.has(name)) return false;
  return true;
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

class OwnValues implements Own {
  readonly plain: boolean;
  readonly #attributes: SvgNode["attributes"];
  readonly #declared: ReadonlyMap<string, string> | null;

  constructor(attributes: SvgNode["attributes"], declared: ReadonlyMap<string, string> | null) {
    this.#attributes = attributes;
    this.#declared = declared;
    this.plain = declared === null && isPlain(attributes);
  }

  get(property: string): string | undefined {
    const declared = this.#declared?.get(property);
    if (declared !== undefined || cssOnly.has(property)) return declared;
    return this.#attributes[property]?.trim();
  }
}

/** Tests of an element by a rule and declarations taken over, in all: a second or two. */
const stepCap = 50_000_000;

const keyOf = (selector: Selector): string => {
  const { id, classes, type } = selector.compounds[0];
  return id !== null ? `#${id}` : classes.length > 0 ? `.${classes[0]}` : (type ?? "*");
};

export class Cascade {
  /** Rules by what their rightmost compound asks for first. */
  readonly #rules = new Map<string, Rule[]>();
  readonly #inline = new Map<string, readonly Declaration[]>();
  #steps = 0;

  constructor(rules: readonly Rule[]) {
    for (const rule of rules) {
      const key = keyOf(rule.selector);
      const list = this.#rules.get(key);
      if (list) list.push(rule);
      else this.#rules.set(key, [rule]);
    }
  }

  /** Throws JobError `too-many-rules` where rules and elements meet more than some 50 million times in all. */
  of(node: SvgNode): Own {
    return new OwnValues(node.attributes, this.#declared(node));
  }

  #declared(node: SvgNode): Map<string, string> | null {
    const inlineText = node.attributes.style;
    const rules = this.#rules.size > 0 ? this.#matching(node) : [];
    if (rules.length === 0 && inlineText === undefined) return null;
    const inline = inlineText === undefined ? [] : this.#inlineOf(inlineText);
    const declared = new Map<string, string>();
    for (const important of [false, true]) {
      for (const rule of rules) {
        this.#spend(rule.declarations.length, node);
        put(declared, rule.declarations, important);
      }
      put(declared, inline, important);
    }
    return declared;
  }

  #matching(node: SvgNode): Rule[] {
    const keys = new Set(["*", node.name, ...classesOf(node).map((name) => `.${name}`)]);
    if (node.attributes.id !== undefined) keys.add(`#${node.attributes.id}`);
    const found: Rule[] = [];
    const spend = (steps: number): void => this.#spend(steps, node);
    for (const key of keys) {
      for (const rule of this.#rules.get(key) ?? []) {
        if (matches(node, rule.selector, spend)) found.push(rule);
      }
    }
    spend(4 * found.length + keys.size / 4);
    return found.sort((a, b) => a.selector.specificity - b.selector.specificity || a.order - b.order);
  }

  #spend(steps: number, node: SvgNode): void {
    this.#steps += steps;
    if (this.#steps <= stepCap) return;
    throw new JobError(
      "too-many-rules",
      "the rules of the style sheets meet the elements more often than can be read",
      "save the artwork with its styles as attributes",
      whereOf(node),
    );
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
