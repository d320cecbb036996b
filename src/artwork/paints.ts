/** Resolves fill and stroke values of one document to tones: colours, references with fallbacks, gradients. */
import type { Document } from "./document.ts";
import { targetOf } from "./document.ts";
import type { SvgNode } from "./node.ts";
import { hrefOf } from "./node.ts";
import type { PaintValue, Rgba, Tone } from "./paint.ts";
import { parsePaint, toneOf } from "./paint.ts";
import { parseOpacity } from "./style.ts";

const black: Rgba = { r: 0, g: 0, b: 0, a: 1 };

export class Paints {
  readonly #document: Document;
  readonly #values = new Map<string, PaintValue>();
  readonly #stops = new Map<SvgNode, readonly Rgba[]>();

  constructor(document: Document) {
    this.#document = document;
  }

  /**
   * The tone of a paint on an element, null where nothing is painted. `color` is what currentColor means,
   * `opacity` the product of all opacities. What cannot be resolved is reported on the element.
   */
  tone(text: string, color: string, opacity: number, node: SvgNode): Tone | null {
    const value = this.#parse(text);
    if (value.url === null) return this.#plain(value, text, color, opacity, node);
    const target = targetOf(this.#document, value.url);
    if (target?.name === "linearGradient" || target?.name === "radialGradient") {
      const tone = toneOf(this.#stopsOf(target), opacity);
      if (tone) this.#gradient(tone, node);
      return tone;
    }
    if (target) {
      this.#document.report.add(
        "stop",
        "pattern-not-drawn",
        node,
        `the paint is a ${target.name}, which is not drawn in this version`,
        "expand the pattern to plain shapes in the drawing program",
      );
      return null;
    }
    if (value.kind === "none") {
      this.#document.report.add(
        "stop",
        "paint-missing",
        node,
        `the paint ${value.url.slice(0, 40)} is not in the file: nothing was painted`,
        "give the shape a plain colour in the drawing program",
      );
    }
    return this.#plain(value, text, color, opacity, node);
  }

  #plain(value: PaintValue, text: string, color: string, opacity: number, node: SvgNode): Tone | null {
    if (value.kind === "none") return null;
    const colour = value.kind === "current" ? this.#colourOf(color, color) : value.colour;
    if (colour) return toneOf([colour], opacity);
    this.#document.report.add(
      "stop",
      "colour-not-understood",
      node,
      `the colour “${text.slice(0, 40)}” is not understood: taken as black`,
      "give the shape a plain colour in the drawing program",
    );
    return toneOf([black], opacity);
  }

  #gradient(tone: Tone, node: SvgNode): void {
    const as = tone.ink ? "solid ink" : "no ink";
    this.#document.report.add(
      "caution",
      "gradient-flattened",
      node,
      `the gradient was taken as ${as} (mean luminance ${tone.luminance.toFixed(2)})`,
      "give the shape a plain dark or light colour in the drawing program",
    );
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

  /** The stops of a gradient or of the nearest one its references lead to; a circle of them has none. */
  #stopsOf(gradient: SvgNode): readonly Rgba[] {
    const known = this.#stops.get(gradient);
    if (known) return known;
    const seen = new Set<SvgNode>();
    let source: SvgNode | null = gradient;
    let stops: SvgNode[] = [];
    while (source && !seen.has(source)) {
      seen.add(source);
      stops = source.children.filter((child) => child.svg && child.name === "stop");
      if (stops.length > 0) break;
      const href = hrefOf(source);
      source = href === undefined ? null : targetOf(this.#document, href);
    }
    const colours = stops.map((stop) => this.#stopColour(stop));
    this.#stops.set(gradient, colours);
    return colours;
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
