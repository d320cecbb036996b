/** clip-path and mask on an element → the areas that show of it: CSS Masking 1; viewports, SVG 2, 8. */
import type { Affine } from "../geometry/affine.ts";
import { multiply } from "../geometry/affine.ts";
import type { Box, Path } from "../geometry/path.ts";
import { PathBuilder } from "../geometry/path.ts";
import { LayerSink } from "./collector.ts";
import type { Document } from "./document.ts";
import { targetOf } from "./document.ts";
import type { Entered, Frame } from "./frame.ts";
import { placed } from "./frame.ts";
import type { SvgNode } from "./node.ts";
import { shapeNames } from "./shapes.ts";
import type { Style } from "./style.ts";
import { inheritStyle, initialStyle } from "./style.ts";
import type { Clip, Layer, Rgba } from "./types.ts";
import { parseLength, userUnits } from "./units.ts";
import { parseUrl } from "./url.ts";

/** What a clip needs of the walk. */
export interface Host {
  readonly document: Document;
  /** Walks one element into a sink. */
  walk(node: SvgNode, frame: Frame, sink: LayerSink): void;
  /** The box around the element's outlines in its own user space. */
  measure(node: SvgNode, entered: Entered): Box | null;
}

const corners = (m: Affine, x: number, y: number): [number, number] => [
  m.a * x + m.c * y + m.e,
  m.b * x + m.d * y + m.f,
];

/** A rectangle of user space, as a layer that shows. */
export function rectLayer(m: Affine, x: number, y: number, width: number, height: number): Layer {
  const path: Path<"page"> = new PathBuilder<"page">()
    .move(...corners(m, x, y))
    .line(...corners(m, x + width, y))
    .line(...corners(m, x + width, y + height))
    .line(...corners(m, x, y + height))
    .close()
    .build();
  return { path, rule: "nonzero", stroke: null, shows: true, clip: null };
}

/** The element's clip: its own clip-path and mask on top of what clips its surroundings. */
export function clipOf(host: Host, node: SvgNode, entered: Entered): Clip | null {
  if (entered.own.plain) return entered.frame.clip;
  const clipPath = find(host, node, entered, "clip-path", "clipPath");
  const mask = find(host, node, entered, "mask", "mask");
  let clip = entered.frame.clip;
  if (clipPath) clip = { layers: clipLayers(host, node, entered, clipPath), outer: clip };
  if (mask) clip = maskClip(host, node, entered, mask, clip);
  return clip;
}

/** The element that a property refers to; what is not there, not of the kind or a circle is reported. */
function find(
  host: Host,
  node: SvgNode,
  { own, frame }: Entered,
  property: string,
  kind: string,
): SvgNode | null {
  const text = own.get(property) ?? "none";
  if (/^(none|initial|unset|inherit|)$/.test(text)) return null;
  const word = property === "mask" ? "mask" : "clip";
  const apply = `apply the ${word} in the drawing program, so that only the visible part remains`;
  const refuse = (code: string, message: string, hint = apply): null => {
    host.document.report.add("error", `${word}-${code}`, node, message, hint);
    return null;
  };
  const reference = parseUrl(text);
  if (!reference)
    return refuse(
      "not-applied",
      `a ${word} of another kind than a reference is not applied: the shape is kept whole`,
    );
  const target = targetOf(host.document, reference.url);
  if (target?.name !== kind)
    return refuse(
      "missing",
      `the ${word} ${text.slice(0, 40)} is not in the file: the shape is kept whole`,
      `save the file again with the ${word} in it, or take the reference out`,
    );
  for (let u = frame.uses; u; u = u.outer) {
    if (u.target === target)
      return refuse("cycle", `the ${word} refers to itself and is not applied: the shape is kept whole`);
  }
  return target;
}

/** Style as an element inherits it from where it stands in the document. */
function styleAt(document: Document, node: SvgNode): Style {
  const chain: SvgNode[] = [];
  for (let n: SvgNode | null = node; n; n = n.parent) chain.push(n);
  return chain.reduceRight((style, n) => inheritStyle(style, document.cascade.of(n)), initialStyle);
}

/** The frame of what stands inside a clipPath, mask, pattern or marker that `frame`'s element refers to. */
export function contentFrame(document: Document, target: SvgNode, frame: Frame, matrix: Affine): Frame {
  return {
    ...frame,
    matrix,
    style: styleAt(document, target),
    opacity: 1,
    depth: frame.depth + 1,
    uses: { target, outer: frame.uses },
    clip: null,
    context: null,
  };
}

/** Fractions of a box as a map from the unit square. */
export const boxMap = (box: Box): Affine => ({
  a: box.maxX - box.minX,
  b: 0,
  c: 0,
  d: box.maxY - box.minY,
  e: box.minX,
  f: box.minY,
});

const clippable = (node: SvgNode): boolean =>
  node.svg && (shapeNames.has(node.name) || node.name === "use" || node.name === "text");

function clipLayers(host: Host, node: SvgNode, entered: Entered, target: SvgNode): readonly Layer[] {
  const { document } = host;
  const { frame } = entered;
  const own = document.cascade.of(target);
  const context = { width: frame.width, height: frame.height, fontSize: frame.style.fontSize };
  const user = placed(frame.matrix, own, target, context, document.report);
  let matrix = user;
  if (target.attributes.clipPathUnits === "objectBoundingBox") {
    const box = host.measure(node, entered);
    if (!box) return [];
    matrix = multiply(matrix, boxMap(box));
  }
  const inner = contentFrame(document, target, frame, matrix);
  const sink = new LayerSink(null);
  for (const child of target.children) if (clippable(child)) host.walk(child, inner, sink);
  // Its own clip is in user space, whatever its content's units are.
  const outer = clipOf(host, target, { frame: { ...inner, matrix: user }, own });
  return outer ? sink.layers.map((layer) => ({ ...layer, clip: join(layer.clip, outer) })) : sink.layers;
}

/** Both chains: what the one and the other show. */
const join = (a: Clip | null, b: Clip | null): Clip | null =>
  a ? { layers: a.layers, outer: join(a.outer, b) } : b;

/** Luminance of the mask's paint as CSS Masking 1, 6.4 takes it: sRGB values weighted as they are. */
const luminance = (c: Rgba): number => 0.2125 * c.r + 0.7154 * c.g + 0.0721 * c.b;

function maskClip(host: Host, node: SvgNode, entered: Entered, target: SvgNode, outer: Clip | null): Clip {
  const { document } = host;
  const { frame } = entered;
  const own = document.cascade.of(target);
  const fractions = (name: string): boolean =>
    (target.attributes[name] ?? (name === "maskUnits" ? "objectBoundingBox" : "")) === "objectBoundingBox";
  const needed = fractions("maskUnits") || fractions("maskContentUnits");
  const box = needed ? host.measure(node, entered) : null;
  const nothing: Clip = { layers: [], outer };
  if (needed && !box) return nothing;
  const context = { width: frame.width, height: frame.height, fontSize: frame.style.fontSize };
  const side = (name: "x" | "y" | "width" | "height", usual: string): number => {
    const length = parseLength(target.attributes[name] ?? usual) ?? parseLength(usual);
    if (!length) return 0;
    if (!fractions("maskUnits")) {
      return userUnits(length, name === "x" || name === "width" ? "x" : "y", context);
    }
    return length.unit === "%" ? length.value / 100 : length.value;
  };
  const window = fractions("maskUnits") && box ? multiply(frame.matrix, boxMap(box)) : frame.matrix;
  const rect = rectLayer(
    window,
    side("x", "-10%"),
    side("y", "-10%"),
    side("width", "120%"),
    side("height", "120%"),
  );
  const matrix = fractions("maskContentUnits") && box ? multiply(frame.matrix, boxMap(box)) : frame.matrix;
  const inner = contentFrame(document, target, frame, matrix);
  const alpha = (own.get("mask-type") ?? "luminance") === "alpha";
  const sink = new LayerSink(alpha ? () => 1 : luminance);
  for (const child of target.children) if (child.svg) host.walk(child, inner, sink);
  if (sink.grey) {
    document.report.add(
      "error",
      "mask-not-flat",
      node,
      "its mask has other tones than black, white and nothing: what it shows by half or more is kept whole",
      "apply the mask in the drawing program, so that only the visible part remains",
    );
  }
  const clip: Clip = { layers: sink.layers, outer: { layers: [rect], outer } };
  const nested = clipOf(host, target, { frame: { ...inner, matrix: frame.matrix, clip: null }, own });
  return nested ? { layers: clip.layers, outer: join(nested, clip.outer) } : clip;
}
