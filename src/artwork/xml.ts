/** XML text → tree, with saxes in strict mode and our own caps; every error carries line and column. */
import { type SaxesAttributeNS, SaxesParser } from "saxes";
import { JobError } from "../problem.ts";
import { declareEntities, predefinedEntities } from "./entities.ts";
import type { SvgNode } from "./node.ts";

export interface XmlDocument {
  readonly root: SvgNode;
  /** Targets of the processing instructions, e.g. `xml-stylesheet`. */
  readonly instructions: readonly string[];
  /** True when the root declares no namespace, so that unprefixed elements were taken as SVG. */
  readonly namespaceMissing: boolean;
}

const svgNamespace = "http://www.w3.org/2000/svg";
const xlinkNamespace = "http://www.w3.org/1999/xlink";
const sizeCap = 64 * 1024 * 1024;
const depthCap = 1000;
/** Elements and texts, and their attributes: some 300 MB of tree. */
const nodeCap = 1_000_000;
const attributeCap = 2_000_000;
/** More of them tell nothing new. */
const instructionCap = 1000;

/** Undeclared prefixes: `svg` and `xlink` mean what they usually mean, all others are foreign. */
function undeclared(prefix: string): string | undefined {
  if (prefix === "") return undefined;
  if (prefix === "svg") return svgNamespace;
  return prefix === "xlink" ? xlinkNamespace : `urn:undeclared:${prefix}`;
}

/**
 * A parser of saxes 6.0.0 with a field for each handler. `on` sets them by computed keys, and when that adds a seventh
 * field, V8 keeps the parser as a dictionary from then on: five times as slow.
 */
function newParser() {
  const parser = new SaxesParser({ xmlns: true, position: true, resolvePrefix: undeclared });
  const fields = parser as unknown as Record<string, undefined>;
  fields.errorHandler = undefined;
  fields.doctypeHandler = undefined;
  fields.piHandler = undefined;
  fields.attributeHandler = undefined;
  fields.openTagHandler = undefined;
  fields.openTagStartHandler = undefined;
  fields.closeTagHandler = undefined;
  fields.textHandler = undefined;
  fields.cdataHandler = undefined;
  return parser;
}

/**
 * An object that inherits nothing, so that any name can be asked for. `Object.create(null)` makes one too, but as a
 * dictionary, which takes several times the memory and the time.
 */
class Attributes {
  [name: string]: string;
}
Object.setPrototypeOf(Attributes.prototype, null);
Reflect.deleteProperty(Attributes.prototype, "constructor");

/** Line and column of growing offsets, without a table of lines; each character is looked at once. */
function lineCounter(text: string): (offset: number) => { line: number; column: number } {
  let line = 1;
  let start = 0;
  let next = text.indexOf("\n");
  return (offset) => {
    while (next >= 0 && next < offset) {
      line++;
      start = next + 1;
      next = text.indexOf("\n", start);
    }
    return { line, column: offset - start + 1 };
  };
}

/**
 * Reads a document. Throws JobError: `empty-text`, `too-large` (64 M characters), `too-deep` (1000 levels),
 * `too-many-elements` (a million elements and texts, two million attributes), `broken-xml` (the message says line
 * and column), and `entity-too-large`, `entity-cycle`, `entity-markup` where an entity is used.
 */
export function readXml(text: string): XmlDocument {
  if (text.trim() === "") throw new JobError("empty-text", "the file is empty", "choose an SVG file");
  if (text.length > sizeCap) {
    throw new JobError("too-large", "the file is larger than 64 MB", "simplify or split the artwork");
  }
  const parser = newParser();
  // Its own table inherits from Object, so that &constructor; would be known.
  parser.ENTITIES = predefinedEntities();
  const placeOf = lineCounter(text);
  const instructions: string[] = [];
  const open: SvgNode[] = [];
  let root: SvgNode | null = null;
  let namespaceMissing = false;

  const reached = (): { line: number; column: number } =>
    lineCounter(text)(Math.max(0, Math.min(parser.position, text.length) - 1));
  const tooMany = (): JobError =>
    new JobError(
      "too-many-elements",
      "the file holds more elements and attributes than can be read",
      "simplify or split the artwork",
      reached(),
    );
  const countNode = (): void => {
    if (++nodes > nodeCap) throw tooMany();
  };
  let nodes = 0;
  let attributeCount = 0;

  parser.on("error", (error) => {
    // The parser stands just behind the character it refuses, or behind the end.
    const { line, column } = reached();
    const reason = error.message
      .replace(/^\d+:\d+: /, "")
      .slice(0, 80)
      .replace(/\.$/, "");
    throw new JobError(
      "broken-xml",
      `not readable as XML at line ${line}, column ${column}: ${reason}`,
      "save the file again as SVG from the drawing program",
      { line, column },
    );
  });
  parser.on("doctype", (doctype) => declareEntities(doctype, parser.ENTITIES, reached));
  parser.on("processinginstruction", ({ target }) => {
    if (instructions.length < instructionCap) instructions.push(target);
  });
  // Of the tag that is being read: the parser's own collection of them is a dictionary, slow to go through.
  let list: SaxesAttributeNS[] = [];
  parser.on("attribute", (attribute) => {
    if (++attributeCount > attributeCap) throw tooMany();
    // By the time of the tag's event it has its uri.
    list.push(attribute as SaxesAttributeNS);
  });
  parser.on("opentag", (tag) => {
    countNode();
    const parent = open.length > 0 ? open[open.length - 1] : null;
    if (!parent) namespaceMissing = tag.uri === "";
    const svg = tag.uri === svgNamespace || (namespaceMissing && tag.uri === "");
    const attributes = new Attributes();
    let size = 0;
    for (const a of list) {
      attributes[a.prefix !== "" && a.uri === xlinkNamespace ? `xlink:${a.local}` : a.name] = a.value;
      size += a.value.length;
    }
    list = [];
    const name = svg ? tag.local : tag.name;
    const node: SvgNode = {
      name,
      type: "element",
      value: "",
      attributes,
      children: [],
      parent,
      svg,
      line: startLine,
      column: startColumn,
      size,
    };
    if (parent) parent.children.push(node);
    else root = node;
    open.push(node);
    if (open.length > depthCap) {
      throw new JobError(
        "too-deep",
        `elements are nested deeper than ${depthCap} levels`,
        "ungroup the artwork in the drawing program",
        { element: name, line: startLine, column: startColumn },
      );
    }
  });
  let startLine = 1;
  let startColumn = 1;
  parser.on("opentagstart", () => {
    // The parser stands just behind the name; the nearest `<` before that opened the tag.
    const place = placeOf(text.lastIndexOf("<", parser.position - 1));
    startLine = place.line;
    startColumn = place.column;
  });
  parser.on("closetag", () => {
    open.pop();
  });
  const addText = (value: string): void => {
    const parent = open[open.length - 1];
    if (!parent || value.trim() === "") return;
    countNode();
    parent.children.push({
      name: "",
      type: "text",
      value,
      attributes: {},
      children: [],
      parent,
      svg: false,
      line: parent.line,
      column: parent.column,
      size: value.length,
    });
  };
  parser.on("text", addText);
  parser.on("cdata", addText);
  parser.write(text).close();
  if (!root) throw new JobError("broken-xml", "the file holds no element", "choose an SVG file");
  return { root, instructions, namespaceMissing };
}
