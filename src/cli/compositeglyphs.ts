/** Glyphs of several others in place, put into a subset of a font: OpenType 1.9, "glyf", composite glyphs. */
import type { Font, Subset } from "fontkit";
import type { Cluster } from "../picture/setting.ts";

interface Part {
  readonly id: number;
  /** Font units. */
  readonly dx: number;
  readonly dy: number;
}

interface Composite {
  readonly id: number;
  readonly parts: readonly Part[];
  readonly advance: number;
}

/** Arguments are words, and are offsets. */
const WORDS_AS_OFFSETS = 3;
const MORE = 0x20;

export class CompositeGlyphs {
  readonly #font: Font;
  readonly #subset: Subset;
  readonly #list: Composite[] = [];
  readonly #ids = new Map<string, number>();

  /** fontkit writes a subset glyph by glyph: those of ours, which have numbers below 0, are written here. */
  constructor(font: Font, subset: Subset) {
    this.#font = font;
    this.#subset = subset;
    const plain = subset._addGlyph.bind(subset);
    subset._addGlyph = (id) => (id < 0 ? this.#add(this.#list[-1 - id]!) : plain(id));
  }

  /** A number below 0 for the glyphs of the cluster as they stand to each other. */
  idOf({ glyphs, x, advance }: Cluster): number {
    const units = (ems: number): number => Math.round(ems * this.#font.unitsPerEm);
    const parts = glyphs
      .map((glyph) => ({ id: glyph.id, dx: units(glyph.x - x), dy: units(glyph.y) }))
      .filter(({ id }) => this.#outline(id).length > 0);
    const key = JSON.stringify([parts, units(advance)]);
    let id = this.#ids.get(key);
    if (id === undefined) {
      id = -1 - this.#list.length;
      this.#list.push({ id, parts, advance: units(advance) });
      this.#ids.set(key, id);
      this.#makeRoom(parts);
    }
    return id;
  }

  #outline(id: number): readonly { readonly command: string }[] {
    return this.#font.getGlyph(id)?.path.commands ?? [];
  }

  /** "maxp" tells readers how large a composite may be. */
  #makeRoom(parts: readonly Part[]): void {
    const { maxp } = this.#font;
    const commands = parts.flatMap(({ id }) => this.#outline(id));
    const contours = commands.filter(({ command }) => command === "closePath").length;
    if (this.#list.length === 1) maxp.maxComponentDepth++;
    maxp.maxComponentElements = Math.max(maxp.maxComponentElements, parts.length);
    // A curve has at most two points.
    maxp.maxCompositePoints = Math.max(maxp.maxCompositePoints, 2 * commands.length);
    maxp.maxCompositeContours = Math.max(maxp.maxCompositeContours, contours);
  }

  #add({ parts, advance }: Composite): number {
    const subset = this.#subset;
    const boxes = parts.map(({ id, dx, dy }) => {
      const { minX, minY, maxX, maxY } = this.#font.getGlyph(id)!.bbox;
      return [minX + dx, minY + dy, maxX + dx, maxY + dy];
    });
    const corner = (k: number, pick: (...v: number[]) => number): number => pick(...boxes.map((b) => b[k]!));
    const box =
      parts.length > 0
        ? [corner(0, Math.min), corner(1, Math.min), corner(2, Math.max), corner(3, Math.max)]
        : [];
    const glyph = parts.length > 0 ? this.#written(parts, box) : new Uint8Array();
    subset.glyf.push(glyph);
    subset.loca.offsets.push(subset.offset);
    subset.hmtx.metrics.push({ advance, bearing: box[0] ?? 0 });
    subset.offset += glyph.length;
    return subset.glyf.length - 1;
  }

  #written(parts: readonly Part[], box: readonly number[]): Uint8Array {
    const bytes = new Uint8Array(10 + 8 * parts.length);
    const view = new DataView(bytes.buffer);
    view.setInt16(0, -1);
    box.forEach((v, k) => void view.setInt16(2 + 2 * k, k < 2 ? Math.floor(v) : Math.ceil(v)));
    parts.forEach(({ id, dx, dy }, i) => {
      const at = 10 + 8 * i;
      view.setUint16(at, WORDS_AS_OFFSETS | (i < parts.length - 1 ? MORE : 0));
      view.setUint16(at + 2, this.#subset.includeGlyph(id));
      view.setInt16(at + 4, dx);
      view.setInt16(at + 6, dy);
    });
    return bytes;
  }
}
