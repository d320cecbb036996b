/** Resolves fill and stroke values of one document: colours, references with fallbacks, gradients, patterns. */
import type { Document } from "./document.ts";
import { targetOf } from "./document.ts";
import { rampOf } from "./gradient.ts";
import type { SvgNode } from "./node.ts";
import { hrefOf } from "./node.ts";
import type { PaintValue } from "./paint.ts";
import { parsePaint } from "./paint.ts";
import { parseOpacity } from "./style.ts";
import type { Rgba } from "./types.ts";

const black: Rgba = { r: 0, g: 0, b: 0, a: 1 };

export class Paints {
  readonly #document: Document;
  readonly #values = new Map<string, PaintValue>();
  readonly #stops = new Map<SvgNode, readonly Rgba[]>();
  readonly #owned = new Map<SvgNode, readonly SvgNode[]>();

  constructor(document: Document) {
    this.#document = document;
  }

  /**
   * What a paint is on an element: one colour, a gradient's colours, or a pattern; null where nothing is painted.
   * `color` is what currentColor means, `opacity` the product of all opacities and taken into the alphas. What
   * cannot be resolved is reported on the element.
   */
  resolve(text: string, color: string, opacity: number, node: SvgNode): readonly Rgba[] | SvgNode | null {
    if (opacity <= 0) return null;
    const value = this.#parse(text);
    if (value.url === null) return this.#plain(value, text, color, opacity, node);
    const target = targetOf(this.#document, value.url);
    if (target?.name === "linearGradient" || target?.name === "radialGradient") {
      return faded(this.#coloursOf(target), opacity);
    }
    if (target?.name === "pattern") return target;
    if (target) {
      this.#document.report.add(
        "error",
        "paint-not-drawn",
        node,
        `the paint is a ${target.name}, which is not drawn`,
        "give the shape a plain colour in the drawing program",
      );
      return null;
    }
    if (value.kind === "none") {
      this.#document.report.add(
        "error",
        "paint-missing",
        node,
        `the paint ${value.url.slice(0, 40)} is not in the file: nothing was painted`,
        "give the shape a plain colour in the drawing program",
      );
    }
    return this.#plain(value, text, color, opacity, node);
  }

  #plain(
    value: PaintValue,
    text: string,
    color: string,
    opacity: number,
    node: SvgNode,
  ): readonly Rgba[] | null {
    if (value.kind === "none") return null;
    const colour = value.kind === "current" ? this.#colourOf(color, color) : value.colour;
    if (colour) return faded([colour], opacity);
    this.#document.report.add(
      "error",
      "colour-not-understood",
      node,
      `the colour “${text.slice(0, 40)}” is not understood: taken as black`,
      "give the shape a plain colour in the drawing program",
    );
    return faded([black], opacity);
  }

  #parse(text: string): PaintValue {
    const value = this.#values.get(text) ?? parsePaint(text);
    this.#values.set(text, value);
    return value;
  }

  #colourOf(text: string, color: string): Rgba | null {
    const value = this.#parse(text);
    return value.kind === "current" ? this.#parse(color).colour : value.colour;
  }

  /** The colours of a gradient, or of the nearest one its references lead to; a circle of them has none. */
  #coloursOf(gradient: SvgNode): readonly Rgba[] {
    const known = this.#stops.get(gradient);
    if (known) return known;
    const colours = rampOf(
      this.#stopsOf(gradient).map((stop) => ({ offset: offsetOf(stop), colour: this.#stopColour(stop) })),
      gradient.name === "radialGradient",
    );
    this.#stops.set(gradient, colours);
    return colours;
  }

  /** The stops of a gradient or of the nearest one its references lead to; found once for all on the way. */
  #stopsOf(gradient: SvgNode): readonly SvgNode[] {
    const seen = new Set<SvgNode>();
    let stops: readonly SvgNode[] = [];
    for (let source: SvgNode | null = gradient; source && !seen.has(source); ) {
      seen.add(source);
      const known = this.#owned.get(source);
      stops = known ?? source.children.filter((child) => child.svg && child.name === "stop");
      if (known || stops.length > 0) break;
      const href = hrefOf(source);
      source = href === undefined ? null : targetOf(this.#document, href);
    }
    for (const node of seen) this.#owned.set(node, stops);
    return stops;
  }

  #stopColour(stop: SvgNode): Rgba {
    const own = this.#document.cascade.of(stop);
    const colour = this.#colourOf(own.get("stop-color") ?? "black", this.#currentColour(stop)) ?? black;
    return { ...colour, a: colour.a * (parseOpacity(own.get("stop-opacity")) ?? 1) };
  }

  #currentColour(stop: SvgNode): string {
    for (let node: SvgNode | null = stop; node; node = node.parent) {
      const color = this.#document.cascade.of(node).get("color");
      if (color !== undefined && !/^(inherit|unset|currentcolor)$/i.test(color)) return color;
    }
    return "black";
  }
}

/** 0…1; 0 where it is missing or not understood. */
function offsetOf(stop: SvgNode): number {
  const [, number = "0", percent] =
    /^\s*([-+]?[\d.]+(?:e[-+]?\d+)?)(%?)\s*$/i.exec(stop.attributes.offset ?? "0") ?? [];
  const value = Number(number) / (percent ? 100 : 1);
  return value >= 0 ? Math.min(1, value) : 0;
}

/** The colours with an opacity taken into their alphas; null where nothing of them is seen. */
function faded(colours: readonly Rgba[], opacity: number): readonly Rgba[] | null {
  if (colours.every((c) => c.a * opacity <= 0)) return null;
  return opacity === 1 ? colours : colours.map((c) => ({ ...c, a: c.a * opacity }));
}
