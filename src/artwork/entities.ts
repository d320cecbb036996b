/**
 * Entities that a DOCTYPE declares (XML 1.0, 4.2 to 4.6): those written in the file are expanded to text, nested
 * ones too, within caps; nothing is ever loaded from outside.
 */
import type { Where } from "../problem.ts";
import { JobError } from "../problem.ts";

/** All expansions of one file together, and all texts built for them, in characters. */
const expansionCap = 8 * 1024 * 1024;
/** Entities inside entities. */
const nestingCap = 64;

const predefined: Readonly<Record<string, string>> = { lt: "<", gt: ">", amp: "&", quot: '"', apos: "'" };

/** The table of names that XML itself defines, without what an object inherits. */
export const predefinedEntities = (): Record<string, string> =>
  Object.assign(Object.create(null) as Record<string, string>, predefined);

const space = /[ \t\r\n]*/y;
const nameAt = /[^\s"'<>&;%]+/y;
const beforeQuote = /[^"'[>]*/y;

/** The text a sticky pattern matches at i, "" without a match. */
function at(pattern: RegExp, text: string, i: number): string {
  pattern.lastIndex = i;
  return pattern.exec(text)?.[0] ?? "";
}

/** The place of the first `end` from i on that stands in no quotes, or the text's length. */
function unquoted(text: string, i: number, end: string): number {
  for (;;) {
    i += at(beforeQuote, text, i).length;
    const c = text[i];
    if (c === undefined || c === end) return Math.min(i, text.length);
    const close = c === '"' || c === "'" ? text.indexOf(c, i + 1) : i;
    if (close < 0) return text.length;
    i = close + 1;
  }
}

/** The general entities of an internal subset with their literal values, each name's first; in linear time. */
function declarations(doctype: string): Map<string, string> {
  const found = new Map<string, string>();
  let i = doctype.indexOf("<", unquoted(doctype, 0, "["));
  while (i >= 0) {
    let end: number;
    if (doctype.startsWith("<!--", i)) end = doctype.indexOf("-->", i + 4);
    else if (doctype.startsWith("<?", i)) end = doctype.indexOf("?>", i + 2);
    else {
      end = unquoted(doctype, i + 1, ">");
      if (doctype.startsWith("<!ENTITY", i)) declare(doctype, i + 8, found);
    }
    i = end < 0 ? -1 : doctype.indexOf("<", end + 1);
  }
  return found;
}

/** Parameter entities and outside ones are left out. */
function declare(doctype: string, i: number, found: Map<string, string>): void {
  i += at(space, doctype, i).length;
  const name = at(nameAt, doctype, i);
  i += name.length;
  i += at(space, doctype, i).length;
  const quote = doctype[i];
  if (name === "" || (quote !== '"' && quote !== "'") || found.has(name)) return;
  const end = doctype.indexOf(quote, i + 1);
  if (end > 0) found.set(name, doctype.slice(i + 1, end));
}

const characterReference = /&#(?:x([0-9a-fA-F]{1,8})|([0-9]{1,9}));/g;

/** Character references to characters that XML allows (2.2); others stay as written. */
const expandCharacters = (text: string): string =>
  text.replace(characterReference, (whole, hex?: string, decimal?: string) => {
    const code = hex === undefined ? Number.parseInt(decimal as string, 10) : Number.parseInt(hex, 16);
    const allowed =
      code >= 0x20 ? code < 0xd800 || (code > 0xdfff && code <= 0x10ffff && (code | 1) !== 0xffff) : false;
    return allowed || code === 9 || code === 10 || code === 13 ? String.fromCodePoint(code) : whole;
  });

const reference = /&([^\s"'<>&;%#]+);/g;

class Expansions {
  readonly #literals: ReadonlyMap<string, string>;
  readonly #where: () => Where;
  readonly #texts = new Map<string, string>();
  readonly #open = new Set<string>();
  #built = 0;
  #used = 0;

  constructor(literals: ReadonlyMap<string, string>, where: () => Where) {
    this.#literals = literals;
    this.#where = where;
  }

  /** What one reference in the document stands for. */
  use(name: string): string {
    const text = this.#textOf(name);
    this.#used += text.length;
    if (this.#used > expansionCap) throw this.#tooLarge();
    return text;
  }

  #textOf(name: string): string {
    const known = this.#texts.get(name);
    if (known !== undefined) return known;
    if (this.#open.has(name)) throw this.#fault("entity-cycle", name, "contains itself");
    if (this.#open.size >= nestingCap) throw this.#tooLarge();
    this.#open.add(name);
    const text = this.#build(name);
    this.#open.delete(name);
    this.#texts.set(name, text);
    return text;
  }

  /** Character references are expanded where the entity is declared and, if any are left, where it is used (4.4). */
  #build(name: string): string {
    const replacement = expandCharacters(this.#literals.get(name) as string);
    if (replacement.includes("<")) {
      throw this.#fault("entity-markup", name, "holds elements, which are read as text only");
    }
    let text = "";
    let from = 0;
    const add = (part: string): void => {
      this.#built += part.length;
      if (this.#built > expansionCap) throw this.#tooLarge();
      text += part;
    };
    for (const match of replacement.matchAll(reference)) {
      const inner = match[1];
      add(expandCharacters(replacement.slice(from, match.index)));
      from = match.index + match[0].length;
      if (this.#literals.has(inner)) add(this.#textOf(inner));
      else if (Object.hasOwn(predefined, inner)) add(predefined[inner]);
      else throw this.#fault("broken-xml", name, `uses “${inner.slice(0, 20)}”, which is not declared`);
    }
    add(expandCharacters(replacement.slice(from)));
    return text;
  }

  #fault(code: string, name: string, what: string): JobError {
    const hint = "save the file again as plain SVG from the drawing program";
    return new JobError(code, `the entity “${name.slice(0, 40)}” ${what}`, hint, this.#where());
  }

  #tooLarge(): JobError {
    return new JobError(
      "entity-too-large",
      "the entities of this file expand to too much text",
      "save the file again as plain SVG from the drawing program",
      this.#where(),
    );
  }
}

/**
 * Declares a DOCTYPE's internal entities on the table a parser looks them up in. Outside ones are not declared,
 * so a reference to one is an error. `where` is the place the parser has reached.
 *
 * Reading the table throws JobError: `entity-too-large` (all expansions together exceed 8 M characters, or 64 are
 * nested), `entity-cycle`, `entity-markup` (it stands for elements), `broken-xml` (it uses an undeclared one).
 */
export function declareEntities(doctype: string, table: Record<string, string>, where: () => Where): void {
  const literals = declarations(doctype);
  const expansions = new Expansions(literals, where);
  for (const name of literals.keys()) {
    if (!Object.hasOwn(table, name)) Object.defineProperty(table, name, { get: () => expansions.use(name) });
  }
}
