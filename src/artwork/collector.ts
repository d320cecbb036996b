/** Takes painted paths in paint order: names the shapes, and watches for light paint over ink. */
import type { Box, Path } from "../geometry/path.ts";
import { pathBounds, segmentCount } from "../geometry/path.ts";
import { JobError } from "../problem.ts";
import type { Document } from "./document.ts";
import { InkBoxes } from "./ink-boxes.ts";
import type { SvgNode } from "./node.ts";
import { whereOf } from "./node.ts";
import type { FillRule, Paint, Shape } from "./types.ts";

export interface Collected {
  readonly node: SvgNode;
  readonly shape: Shape;
  readonly box: Box;
}

/** Repeated `use` can ask for more than any memory holds. */
const segmentCap = 10_000_000;

/** From this relative luminance on, paint is taken for the page's white. */
const paperWhite = 0.9;

export class Collector {
  readonly items: Collected[] = [];
  readonly #document: Document;
  readonly #ink = new InkBoxes();
  readonly #taken = new Set<string>();
  readonly #next = new Map<string, number>();
  #segments = 0;

  constructor(document: Document) {
    this.#document = document;
  }

  /** The box around all ink in mm, or null without any. */
  get around(): Box | null {
    return this.#ink.around;
  }

  /** Adds ink. Its id is the element's, or a made one; `beside` is the element's other shape, if any. */
  ink(node: SvgNode, path: Path<"page">, paint: Paint, rule: FillRule, beside: Shape | null): Shape | null {
    const box = pathBounds(path);
    if (!box) return null;
    this.#segments += segmentCount(path);
    if (this.#segments > segmentCap) {
      throw new JobError(
        "too-many-segments",
        `the artwork has more than ${segmentCap} segments`,
        "simplify or split the artwork",
        whereOf(node),
      );
    }
    const suffix = paint === "fill" ? "fill" : "line";
    const id = beside ? this.#free(`${beside.id}-${suffix}`) : this.#idOf(node);
    const shape: Shape = { id, where: whereOf(node), paint, rule, path };
    this.items.push({ node, shape, box });
    this.#ink.add(box);
    return shape;
  }

  /**
   * Light paint: a knockout where its box overlaps ink painted before. Elsewhere paper white is nothing, and any
   * other light colour is a shape that the mark will lack.
   */
  light(node: SvgNode, path: Path<"page">, grow: number, luminance: number): void {
    const box = pathBounds(path);
    if (!box) return;
    const grown = {
      minX: box.minX - grow,
      minY: box.minY - grow,
      maxX: box.maxX + grow,
      maxY: box.maxY + grow,
    };
    if (!this.#ink.overlaps(grown)) {
      if (luminance >= paperWhite) return;
      this.#document.report.add(
        "caution",
        "light-not-marked",
        node,
        `a light shape is not marked (luminance ${luminance.toFixed(2)}, ink is below 0.5)`,
        "give it a dark colour if it is to be marked",
      );
      return;
    }
    this.#document.report.add(
      "stop",
      "knockout-not-applied",
      node,
      "light paint lies over ink: the ink below it was not taken away",
      "cut the light shape out of the dark one in the drawing program",
    );
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

  /** `base-n` with the first free n from `first` on; the count goes on from there the next time. */
  #numbered(base: string, first: number): string {
    let n = this.#next.get(base) ?? first;
    while (this.#used(`${base}-${n}`)) n++;
    this.#next.set(base, n + 1);
    this.#taken.add(`${base}-${n}`);
    return `${base}-${n}`;
  }

  #used(id: string): boolean {
    return this.#taken.has(id) || this.#document.byId.has(id);
  }
}
