/** The tiles of a pattern that meet a part: SVG 2, 14.3. */
import type { Affine } from "../geometry/affine.ts";
import { invert, multiply, translate } from "../geometry/affine.ts";
import type { Path } from "../geometry/path.ts";
import { pathBounds, transformPath } from "../geometry/path.ts";
import { boxMap } from "./clips.ts";
import type { Document } from "./document.ts";
import { targetOf } from "./document.ts";
import type { Frame } from "./frame.ts";
import type { SvgNode } from "./node.ts";
import { hrefOf } from "./node.ts";
import { parseTransform } from "./transform.ts";
import type { Stroke } from "./types.ts";
import { parseLength, userUnits } from "./units.ts";
import { parseFit, parseViewBox, viewportTransform } from "./viewport.ts";

/** More tiles than this are not drawn one by one. */
const tileCap = 10_000;
/** Patterns are not followed further. */
const chainCap = 100;

export interface Tiling {
  /** The element whose children are the content. */
  readonly content: SvgNode;
  /** Content → page, of every tile. */
  readonly matrices: readonly Affine[];
  /** Size of the tile where the content is cut at its edge, in the space of `edges`; null for no cut. */
  readonly tile: { readonly width: number; readonly height: number } | null;
  /** Tile's corner → page, of every tile. */
  readonly edges: readonly Affine[];
}

/** Null: the pattern draws nothing; a text: it cannot be drawn, and why. */
export function tilingOf(
  document: Document,
  pattern: SvgNode,
  frame: Frame,
  part: { path: Path<"page">; stroke: Stroke | null },
): Tiling | null | string {
  const chain = chainOf(document, pattern);
  const get = (name: string): string | undefined =>
    chain.find((p) => p.attributes[name] !== undefined)?.attributes[name];
  const content = chain.find((p) => p.children.some((child) => child.svg));
  if (!content) return null;
  const box = pathBounds(transformPath<"page", "page">(part.path, invert(frame.matrix)));
  if (!box) return null;
  const unitBox = boxMap(box);
  const context = { width: frame.width, height: frame.height, fontSize: frame.style.fontSize };
  const inBox = (get("patternUnits") ?? "objectBoundingBox") === "objectBoundingBox";
  const side = (name: "x" | "y" | "width" | "height"): number => {
    const length = parseLength(get(name) ?? "0");
    if (!length) return 0;
    const across = name === "x" || name === "width";
    if (!inBox) return userUnits(length, across ? "x" : "y", context);
    const share = length.unit === "%" ? length.value / 100 : length.value;
    const whole = across ? unitBox.a : unitBox.d;
    const from = name === "x" ? unitBox.e : name === "y" ? unitBox.f : 0;
    return from + share * whole;
  };
  const [x, y, width, height] = [side("x"), side("y"), side("width"), side("height")];
  if (!(width > 0 && height > 0)) return null;
  const turned = parseTransform(get("patternTransform") ?? "", context);
  if (!turned) return "its transform is not understood";
  const space = multiply(frame.matrix, turned);
  const reach = pathBounds(transformPath<"page", "page">(part.path, invert(space)));
  if (!reach || !Number.isFinite(reach.minX)) return null;
  const grow = part.stroke ? part.stroke.width * Math.max(1, part.stroke.miterLimit) : 0;
  const first = [Math.floor((reach.minX - grow - x) / width), Math.floor((reach.minY - grow - y) / height)];
  const last = [Math.floor((reach.maxX + grow - x) / width), Math.floor((reach.maxY + grow - y) / height)];
  const count = (last[0]! - first[0]! + 1) * (last[1]! - first[1]! + 1);
  if (!(count <= tileCap)) return `it has ${count} tiles`;
  const viewBox = parseViewBox(get("viewBox") ?? "");
  const inner = viewBox
    ? viewportTransform(viewBox, parseFit(get("preserveAspectRatio")), width, height)
    : get("patternContentUnits") === "objectBoundingBox"
      ? { ...unitBox, e: 0, f: 0 }
      : null;
  const matrices: Affine[] = [];
  const edges: Affine[] = [];
  for (let j = first[1]!; j <= last[1]!; j++) {
    for (let i = first[0]!; i <= last[0]!; i++) {
      const edge = multiply(space, translate(x + i * width, y + j * height));
      edges.push(edge);
      matrices.push(inner ? multiply(edge, inner) : edge);
    }
  }
  const open = /^(visible|auto)$/.test(document.cascade.of(pattern).get("overflow") ?? "");
  return { content, matrices, edges, tile: open ? null : { width, height } };
}

/** The pattern and those it refers to, nearest first; a hundred of them at most. */
function chainOf(document: Document, pattern: SvgNode): SvgNode[] {
  const chain: SvgNode[] = [];
  for (let p: SvgNode | null = pattern; p?.name === "pattern" && !chain.includes(p); ) {
    if (chain.push(p) > chainCap) break;
    const href = hrefOf(p);
    p = href === undefined ? null : targetOf(document, href);
  }
  return chain;
}
