/** Takes what is painted, in paint order, and gives every item an id of its own. */
import type { Box, Path } from "../geometry/path.ts";
import { pathBounds } from "../geometry/path.ts";
import type { Document } from "./document.ts";
import type { SvgNode } from "./node.ts";
import { whereOf } from "./node.ts";
import type { Bitmap, Clip, FillRule, Item, Layer, Rgba, Stroke } from "./types.ts";

/** What a walk hands over, shape by shape: a fill (`stroke` null) or a stroke of one element. */
export interface Part {
  readonly path: Path<"page">;
  readonly rule: FillRule;
  readonly stroke: Stroke | null;
  readonly colours: readonly Rgba[];
  readonly clip: Clip | null;
}

export interface Sink {
  /** `clip`: only outlines count, paint does not. */
  readonly purpose: "paint" | "clip";
  /** `beside`: the id of the element's other part, if it has one already. Returns the part's id. */
  add(node: SvgNode, part: Part, beside: string | null): string | null;
  bitmap(node: SvgNode, bitmap: Pick<Bitmap, "type" | "bytes" | "place" | "opacity" | "clip">): void;
}

export class Collector implements Sink {
  readonly purpose = "paint";
  readonly items: Item[] = [];
  readonly #document: Document;
  readonly #taken = new Set<string>();
  readonly #next = new Map<string, number>();
  /** What stands before the last hyphen of the file's ids. */
  readonly #numberedInFile = new Set<string>();

  constructor(document: Document) {
    this.#document = document;
    for (const id of document.byId.keys()) {
      const hyphen = id.lastIndexOf("-");
      if (hyphen >= 0) this.#numberedInFile.add(id.slice(0, hyphen));
    }
  }

  add(node: SvgNode, part: Part, beside: string | null): string {
    const id =
      beside === null ? this.#idOf(node) : this.#free(`${beside}-${part.stroke ? "stroke" : "fill"}`);
    const { path, rule, stroke, colours, clip } = part;
    this.items.push({ kind: "painted", id, where: whereOf(node), path, rule, stroke, colours, clip });
    return id;
  }

  bitmap(node: SvgNode, bitmap: Pick<Bitmap, "type" | "bytes" | "place" | "opacity" | "clip">): void {
    this.items.push({ kind: "bitmap", id: this.#idOf(node), where: whereOf(node), ...bitmap });
  }

  #idOf(node: SvgNode): string {
    const own = node.attributes.id;
    if (own === undefined || own === "") {
      return this.#numbered(node.name, 1);
    }
    if (this.#taken.has(own)) return this.#numbered(own, 2);
    this.#taken.add(own);
    return own;
  }

  /** The wanted id, or with a number behind it where the file or another shape uses it. */
  #free(wanted: string): string {
    if (this.#used(wanted)) return this.#numbered(wanted, 2);
    this.#taken.add(wanted);
    return wanted;
  }

  /**
   * `base-n` with the first n from `first` on that the file does not use; the count goes on from there the next time.
   * Nothing else makes ids that end in a number.
   */
  #numbered(base: string, first: number): string {
    let n = this.#next.get(base) ?? first;
    let id = `${base}-${n}`;
    if (this.#numberedInFile.has(base)) {
      while (this.#document.byId.has(id)) id = `${base}-${++n}`;
    }
    this.#next.set(base, n + 1);
    return id;
  }

  #used(id: string): boolean {
    return this.#taken.has(id) || this.#document.byId.has(id);
  }
}

/** How far a mask's paint may be from black or white (share). */
const flat = 0.02;

/** Takes the layers of a clip (every outline shows) or of a mask (white shows, black hides). */
export class LayerSink implements Sink {
  readonly purpose: "paint" | "clip";
  readonly layers: Layer[] = [];
  /** Mask paint that is neither black nor white nor transparent, if any. */
  grey: SvgNode | null = null;
  readonly #value: (colour: Rgba) => number;

  /** `value` of a mask's opaque paint, 0 hides to 1 shows; null for a clip. */
  constructor(value: ((colour: Rgba) => number) | null) {
    this.purpose = value ? "paint" : "clip";
    this.#value = value ?? (() => 1);
  }

  add(node: SvgNode, { path, rule, stroke, colours, clip }: Part, beside: string | null): string | null {
    const values = colours.length > 0 ? colours.map(this.#value) : [1];
    const opaque = colours.every((c) => c.a > 1 - flat);
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length;
    const even = values.every((v) => Math.abs(v - mean) <= flat);
    // Thin black hides nothing that shows, and thin white shows nothing fully.
    if (!even || (mean > flat && mean < 1 - flat) || !opaque) this.grey = node;
    const shown = mean * (colours[0]?.a ?? 1);
    this.layers.push({ path, rule, stroke, shows: shown >= 0.5, clip });
    return beside;
  }

  bitmap(node: SvgNode): void {
    this.grey = node;
  }
}

/** Takes only how far outlines reach. */
export class MeasureSink implements Sink {
  readonly purpose = "clip";
  readonly boxes: Box[] = [];

  add(_: SvgNode, { path }: Part, beside: string | null): string | null {
    const box = pathBounds(path);
    if (box) this.boxes.push(box);
    return beside;
  }

  bitmap(): void {}
}
