/** Tools for the text tests: a small walk that calls `drawText`, and font tables read straight from WOFF files. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { inflateSync } from "node:zlib";
import type { Document } from "../../src/artwork/document.ts";
import { openDocument } from "../../src/artwork/document.ts";
import type { Frame } from "../../src/artwork/frame.ts";
import { enter } from "../../src/artwork/frame.ts";
import type { SvgNode } from "../../src/artwork/node.ts";
import { readPage } from "../../src/artwork/page.ts";
import { Report } from "../../src/artwork/report.ts";
import { initialStyle } from "../../src/artwork/style.ts";
import type { FontBook, FontFile } from "../../src/artwork/text.ts";
import { drawText } from "../../src/artwork/text.ts";
import { readXml } from "../../src/artwork/xml.ts";
import type { Box, Path } from "../../src/geometry/path.ts";
import { pathBounds } from "../../src/geometry/path.ts";
import type { Problem } from "../../src/problem.ts";
import { page } from "./helpers.ts";

const require = createRequire(import.meta.url);

/** A font file of an installed package, e.g. `@fontsource/noto-sans/files/….woff2`. */
export const packageFont = (path: string): FontFile => ({
  name: path,
  bytes: new Uint8Array(readFileSync(require.resolve(path))),
});

export const noto = (subset: string, style: string, kind = "woff2"): FontFile =>
  packageFont(`@fontsource/noto-sans/files/noto-sans-${subset}-${style}.${kind}`);

export interface Run {
  readonly node: SvgNode;
  readonly path: Path<"page">;
  readonly box: Box;
}

export interface Drawn {
  readonly runs: readonly Run[];
  readonly problems: readonly Problem[];
}

/** Draws every `text` of a 100 × 100 mm page. `change` may rework the tree before. */
export function drawTexts(
  content: string,
  fonts: FontBook | null,
  options: { substitute?: boolean; attributes?: string; change?: (root: SvgNode) => void } = {},
): Drawn {
  const { substitute = false, attributes = 'font-family="Noto Sans"', change } = options;
  const xml = readXml(page(content, attributes));
  change?.(xml.root);
  const report = new Report();
  const document = openDocument(xml, report);
  const { matrix, width, height } = readPage(xml.root, report);
  const runs: Run[] = [];
  const walk = (node: SvgNode, frame: Frame): void => {
    for (const child of node.children) {
      const entered = child.svg && child.name !== "defs" ? enter(document, child, frame) : null;
      if (!entered) continue;
      if (child.name !== "text") walk(child, entered.frame);
      else {
        drawText(child, entered, { document, fonts, substitute }, (part, _, path) => {
          runs.push({ node: part, path, box: pathBounds(path) as Box });
        });
      }
    }
  };
  const start = {
    matrix,
    style: initialStyle,
    opacity: 1,
    width,
    height,
    depth: 0,
    uses: null,
    clip: null,
    context: null,
  };
  walk(xml.root, (enter(document as Document, xml.root, start) as { frame: Frame }).frame);
  return { runs, problems: report.problems };
}

/** A text node, as it stands between elements. */
export const blank = (parent: SvgNode): SvgNode => ({
  name: "",
  type: "text",
  value: "\n  ",
  attributes: {},
  children: [],
  parent,
  svg: false,
  line: 1,
  column: 1,
  size: 3,
});

/** The tables of a WOFF 1 file: https://www.w3.org/TR/WOFF/, 4 and 5. */
function woffTables(woff: Buffer): Map<string, { data: Buffer; sum: number }> {
  const tables = new Map<string, { data: Buffer; sum: number }>();
  for (let i = 0; i < woff.readUInt16BE(12); i++) {
    const at = 44 + 20 * i;
    const offset = woff.readUInt32BE(at + 4);
    const packed = woff.subarray(offset, offset + woff.readUInt32BE(at + 8));
    const data = packed.length < woff.readUInt32BE(at + 12) ? inflateSync(packed) : packed;
    tables.set(woff.toString("latin1", at, at + 4), { data, sum: woff.readUInt32BE(at + 16) });
  }
  return tables;
}

/** A WOFF file as the plain sfnt file it was made from. */
export function plainFont({ bytes }: FontFile): Buffer {
  const woff = Buffer.from(bytes);
  const tables = [...woffTables(woff)];
  const head = Buffer.alloc(12 + 16 * tables.length);
  woff.copy(head, 0, 4, 8);
  head.writeUInt16BE(tables.length, 4);
  const parts = [head];
  let offset = head.length;
  tables.forEach(([tag, { data, sum }], i) => {
    const at = 12 + 16 * i;
    head.write(tag, at, "latin1");
    for (const [k, value] of [sum, offset, data.length].entries()) head.writeUInt32BE(value, at + 4 + 4 * k);
    const padded = Buffer.alloc((data.length + 3) & ~3);
    data.copy(padded);
    parts.push(padded);
    offset += padded.length;
  });
  return Buffer.concat(parts);
}

/** A font collection (OpenType, "Font Collections") of plain files. */
export function collectionOf(fonts: readonly Buffer[]): Uint8Array {
  const head = Buffer.alloc(12 + 4 * fonts.length);
  head.write("ttcf", "latin1");
  head.writeUInt32BE(0x00010000, 4);
  head.writeUInt32BE(fonts.length, 8);
  const parts = [head];
  let offset = head.length;
  fonts.forEach((font, i) => {
    head.writeUInt32BE(offset, 12 + 4 * i);
    const moved = Buffer.from(font);
    for (let t = 0; t < font.readUInt16BE(4); t++) {
      const at = 12 + 16 * t + 8;
      moved.writeUInt32BE(font.readUInt32BE(at) + offset, at);
    }
    parts.push(moved);
    offset += moved.length;
  });
  return new Uint8Array(Buffer.concat(parts));
}

/** Numbers straight from the tables: OpenType 1.9, "hmtx", "cmap" format 4, "OS/2", "post", "hhea". In ems. */
export class Tables {
  readonly #tables: Map<string, { data: Buffer; sum: number }>;
  readonly #perEm: number;

  constructor({ bytes }: FontFile) {
    this.#tables = woffTables(Buffer.from(bytes));
    this.#perEm = this.#table("head").readUInt16BE(18);
  }

  #table(tag: string): Buffer {
    return (this.#tables.get(tag) as { data: Buffer }).data;
  }

  number(tag: string, offset: number): number {
    return this.#table(tag).readInt16BE(offset) / this.#perEm;
  }

  /** Advance and left side bearing. */
  metrics(character: string): { advance: number; bearing: number } {
    const hmtx = this.#table("hmtx");
    const glyph = this.#glyph(character.codePointAt(0) as number);
    const last = this.#table("hhea").readUInt16BE(34) - 1;
    const bearing = glyph <= last ? 4 * glyph + 2 : 4 * (last + 1) + 2 * (glyph - last - 1);
    return {
      advance: hmtx.readUInt16BE(4 * Math.min(glyph, last)) / this.#perEm,
      bearing: hmtx.readInt16BE(bearing) / this.#perEm,
    };
  }

  /** Right edge of a character's outline: "glyf" header, by "loca". */
  right(character: string): number {
    const glyph = this.#glyph(character.codePointAt(0) as number);
    const loca = this.#table("loca");
    const long = this.#table("head").readInt16BE(50) === 1;
    const at = long ? loca.readUInt32BE(4 * glyph) : 2 * loca.readUInt16BE(2 * glyph);
    return this.#table("glyf").readInt16BE(at + 6) / this.#perEm;
  }

  advance(text: string): number {
    return [...text].reduce((sum, c) => sum + this.metrics(c).advance, 0);
  }

  #glyph(codePoint: number): number {
    const cmap = this.#table("cmap");
    for (let i = 0; i < cmap.readUInt16BE(2); i++) {
      const at = cmap.readUInt32BE(4 + 8 * i + 4);
      if (cmap.readUInt16BE(at) !== 4) continue;
      const double = cmap.readUInt16BE(at + 6);
      for (let s = 0; s < double; s += 2) {
        if (codePoint > cmap.readUInt16BE(at + 14 + s)) continue;
        const start = cmap.readUInt16BE(at + 16 + double + s);
        if (codePoint < start) break;
        const delta = cmap.readUInt16BE(at + 16 + 2 * double + s);
        const place = at + 16 + 3 * double + s;
        const range = cmap.readUInt16BE(place);
        if (range === 0) return (codePoint + delta) & 0xffff;
        return (cmap.readUInt16BE(place + range + 2 * (codePoint - start)) + delta) & 0xffff;
      }
    }
    throw new Error(`no glyph for ${codePoint}`);
  }
}
