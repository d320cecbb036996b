/** Style sheets and style attributes → declarations, by css-tree, which reads on after broken CSS. */
import type { BlockPlain, CssNodePlain, RulePlain, StyleSheetPlain } from "css-tree";
import { parse, toPlainObject } from "css-tree/dist/csstree.esm";
import { JobError } from "../problem.ts";
import { nestingOf, withoutComments } from "./csstext.ts";
import type { SvgNode } from "./node.ts";
import { textOf } from "./node.ts";
import type { Report } from "./report.ts";
import type { Selector } from "./selectors.ts";
import { compileSelector } from "./selectors.ts";
import { longhandsOf } from "./text/fontshorthand.ts";

export interface Declaration {
  readonly property: string;
  readonly value: string;
  readonly important: boolean;
}

export interface Rule {
  readonly selector: Selector;
  readonly declarations: readonly Declaration[];
  /** Place among all rules of the document. */
  readonly order: number;
}

/** Blocks within blocks: the parser calls itself for each. */
const nestingCap = 100;

/** css-tree 3.2 with `list: false` fails on every selector with a space, so its lists are turned into arrays after. */
function parsePlain(text: string, context: string): CssNodePlain {
  if (nestingOf(text) > nestingCap) {
    throw new JobError(
      "too-deep",
      `a style sheet nests its rules deeper than ${nestingCap} levels`,
      "save the artwork with its styles as attributes",
    );
  }
  return toPlainObject(parse(text, { context, parseValue: false, parseAtrulePrelude: false }));
}

function declarationsOf(block: { children: CssNodePlain[] }): Declaration[] {
  const list: Declaration[] = [];
  for (const node of block.children) {
    if (node.type !== "Declaration" || node.value.type !== "Raw") continue;
    const value = withoutComments(node.value.value).trim();
    const important = node.important !== false;
    // Shorthands are taken apart here, where the order of declarations still says which of them wins.
    for (const [property, said] of Object.entries(longhandsOf(node.property.toLowerCase(), value))) {
      list.push({ property, value: said, important });
    }
  }
  return list;
}

/** The declarations of a `style` attribute. */
export function parseStyleAttribute(text: string): Declaration[] {
  const tree = parsePlain(text, "declarationList");
  return tree.type === "DeclarationList" ? declarationsOf(tree) : [];
}

const appliesToScreen = (media: string): boolean =>
  media.trim() === "" || media.split(",").some((part) => /^(all|screen|only screen)$/i.test(part.trim()));

class SheetReader {
  readonly rules: Rule[] = [];
  readonly #report: Report;
  readonly #node: SvgNode;
  readonly #first: number;

  constructor(node: SvgNode, first: number, report: Report) {
    this.#node = node;
    this.#first = first;
    this.#report = report;
  }

  read(sheet: StyleSheetPlain | BlockPlain): void {
    for (const node of sheet.children) {
      if (node.type === "Rule") this.#rule(node);
      else if (node.type === "Atrule") {
        const name = node.name.toLowerCase();
        const prelude = node.prelude?.type === "Raw" ? node.prelude.value : "";
        if (name === "import") styleNotLoaded(this.#node, this.#report);
        else if (name === "media" && node.block && appliesToScreen(prelude)) this.read(node.block);
        else if (name.endsWith("keyframes")) animationIgnored(this.#node, this.#report);
        else if (!/^(charset|namespace|font-face)$/.test(name)) this.ignored(`@${name}`);
      }
    }
  }

  #rule(rule: RulePlain): void {
    if (rule.prelude.type !== "SelectorList") {
      this.ignored(rule.prelude.value.slice(0, 40));
      return;
    }
    const declarations = declarationsOf(rule.block);
    for (const child of rule.prelude.children) {
      if (child.type !== "Selector") continue;
      const selector = compileSelector(child);
      if (selector === "unknown") this.ignored("with a selector that is not read");
      else if (selector !== "never") {
        this.rules.push({ selector, declarations, order: this.#first + this.rules.length });
      }
    }
    if (rule.block.children.some((child) => child.type === "Rule")) this.ignored("inside another rule");
  }

  ignored(what: string): void {
    this.#report.add(
      "caution",
      "style-ignored",
      this.#node,
      `a style rule was left out: ${what}`,
      "check the picture, or save the artwork with styles as attributes",
    );
  }
}

export function styleNotLoaded(node: SvgNode | null, report: Report): void {
  report.add(
    "caution",
    "style-not-loaded",
    node,
    "a style sheet outside the file was not loaded",
    "save the artwork with its styles inside the file",
  );
}

export function animationIgnored(node: SvgNode, report: Report): void {
  report.add(
    "caution",
    "animation-ignored",
    node,
    "an animation was left out: the picture is read as it stands at rest",
    "check that the picture at rest is the one to mark",
  );
}

/** The rules of one `<style>` element; `first` is the number of rules before it in the document. */
export function readStyleElement(node: SvgNode, first: number, report: Report): readonly Rule[] {
  const reader = new SheetReader(node, first, report);
  const type = node.attributes.type?.trim().toLowerCase() ?? "";
  if ((type !== "" && type !== "text/css") || !appliesToScreen(node.attributes.media ?? "")) {
    reader.ignored("the style element is for another language or medium");
    return [];
  }
  const tree = parsePlain(textOf(node), "stylesheet");
  if (tree.type === "StyleSheet") reader.read(tree);
  return reader.rules;
}
