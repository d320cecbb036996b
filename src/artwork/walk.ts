/** Walks the document in paint order: groups, links, switches, inner viewports, uses, shapes, text, pictures. */
import { identity, multiply, translate } from "../geometry/affine.ts";
import type { Box, Path } from "../geometry/path.ts";
import { uniteBoxes } from "../geometry/path.ts";
import type { Budget } from "./budget.ts";
import type { Host } from "./clips.ts";
import { clipOf, contentFrame, rectLayer } from "./clips.ts";
import type { Sink } from "./collector.ts";
import { MeasureSink } from "./collector.ts";
import type { Document } from "./document.ts";
import { targetOf } from "./document.ts";
import { drawsNothing, reportUndrawn } from "./effects.ts";
import type { Entered, Frame, Uses } from "./frame.ts";
import { enter, geometryOf, passesConditions } from "./frame.ts";
import { markerMatrix, markerPlaces } from "./markers.ts";
import type { SvgNode } from "./node.ts";
import { hrefOf } from "./node.ts";
import { viewBoxOf } from "./page.ts";
import type { Reader } from "./paint-shape.ts";
import { paintPath, paintShape, placedIn } from "./paint-shape.ts";
import type { Paints } from "./paints.ts";
import { tilingOf } from "./patterns.ts";
import { readPicture } from "./picture.ts";
import { shapeNames } from "./shapes.ts";
import type { FontBook } from "./text.ts";
import { drawText } from "./text.ts";
import type { Stroke } from "./types.ts";
import { parseUrl } from "./url.ts";
import { parseFit, viewportTransform } from "./viewport.ts";

type Size = { readonly width: number | null; readonly height: number | null };
const noSize: Size = { width: null, height: null };

/** What all walks of one document share. */
export interface Walk {
  readonly document: Document;
  readonly paints: Paints;
  readonly fonts: FontBook | null;
  /** A font that is not given may be stood in for. */
  readonly substitute: boolean;
  readonly budget: Budget;
}

export class Walker implements Reader, Host {
  readonly document: Document;
  readonly paints: Paints;
  readonly sink: Sink;
  readonly budget: Budget;
  readonly #walk: Walk;

  constructor(walk: Walk, sink: Sink) {
    this.#walk = walk;
    this.document = walk.document;
    this.paints = walk.paints;
    this.sink = sink;
    this.budget = walk.budget;
  }

  children(node: SvgNode, frame: Frame): void {
    for (const child of node.children) if (child.svg) this.element(child, frame);
  }

  element(node: SvgNode, outer: Frame, size = noSize): void {
    const { document } = this;
    if (drawsNothing(node, document.report)) return;
    this.budget.visit(node, outer.depth);
    const bare = enter(document, node, outer);
    if (!bare) return;
    const clip = clipOf(this, node, bare);
    this.#draw(node, clip === bare.frame.clip ? bare : { ...bare, frame: { ...bare.frame, clip } }, size);
  }

  #draw(node: SvgNode, entered: Entered, size: Size): void {
    const { document } = this;
    const { frame } = entered;
    if (shapeNames.has(node.name)) {
      paintShape(this, node, entered, (path, stroke) => this.#markers(node, frame, path, stroke));
    } else if (node.name === "g" || node.name === "a") this.children(node, frame);
    else if (node.name === "svg") this.#viewport(node, entered, size);
    else if (node.name === "use") this.#use(node, entered);
    else if (node.name === "switch") this.#switch(node, frame);
    else if (node.name === "text") this.#text(node, entered);
    else if (node.name === "image") {
      if (frame.style.visible) readPicture(this, node, entered);
    } else if (frame.style.visible) reportUndrawn(node, document.report);
  }

  /** The other sinks' walks go through the same counters. */
  walk(node: SvgNode, frame: Frame, sink: Sink): void {
    new Walker(this.#walk, sink).element(node, frame);
  }

  measure(node: SvgNode, { frame, own }: Entered): Box | null {
    const sink = new MeasureSink();
    new Walker(this.#walk, sink).#draw(
      node,
      { frame: { ...frame, matrix: identity, clip: null, depth: frame.depth + 1 }, own },
      noSize,
    );
    return sink.boxes.reduce<Box | null>(uniteBoxes, null);
  }

  #text(node: SvgNode, entered: Entered): void {
    const { document } = this;
    const { fonts, substitute } = this.#walk;
    drawText(node, entered, { document, fonts, substitute }, (part, inside, path) => {
      paintPath(
        this,
        part,
        inside,
        () => path,
        () => {},
      );
    });
  }

  #markers(node: SvgNode, frame: Frame, path: Path<"page">, stroke: Stroke | null): void {
    if (node.name !== "path" && node.name !== "line" && node.name !== "polyline" && node.name !== "polygon")
      return;
    const { document } = this;
    const targets = frame.style.markers.map((text) => {
      const reference = parseUrl(text);
      const target = reference && targetOf(document, reference.url.trim());
      if (reference && target?.name !== "marker") {
        document.report.add(
          "error",
          "marker-missing",
          node,
          `the marker ${reference.url.slice(0, 40)} is not in the file: nothing is drawn for it`,
          "save the file again with the marker in it, or take the reference out",
        );
      }
      return target?.name === "marker" && !within(target, frame.uses) ? target : null;
    });
    if (targets.every((target) => target === null)) return;
    for (const place of markerPlaces(path, frame.matrix)) {
      const target = targets[place.which];
      if (!target) continue;
      this.budget.visit(target, frame.depth);
      const own = document.cascade.of(target);
      const inner = contentFrame(document, target, frame, frame.matrix);
      const attribute = geometryOf(document, target, { frame: inner, own });
      const width = attribute.length("markerWidth", "x") ?? 3;
      const height = attribute.length("markerHeight", "y") ?? 3;
      if (!(width > 0 && height > 0)) continue;
      const inStrokes = (target.attributes.markerUnits ?? "strokeWidth") === "strokeWidth";
      const unit = inStrokes ? (stroke?.width ?? 0) : 1;
      if (!(unit > 0)) continue;
      const box = viewBoxOf(target, document.report);
      if (box && !(box.width > 0 && box.height > 0)) continue;
      const view = box
        ? viewportTransform(box, parseFit(target.attributes.preserveAspectRatio), width, height)
        : identity;
      const refX = attribute.length("refX", "x") ?? 0;
      const refY = attribute.length("refY", "y") ?? 0;
      const orient = target.attributes.orient ?? "0";
      const corner = multiply(frame.matrix, markerMatrix(place, orient, unit, view, refX, refY));
      const shown = /^(visible|auto)$/.test(own.get("overflow") ?? "");
      const clip = shown
        ? frame.clip
        : { layers: [rectLayer(corner, 0, 0, width, height)], outer: frame.clip };
      const { fill, stroke: line, color } = frame.style;
      this.children(target, {
        ...inner,
        matrix: multiply(corner, view),
        opacity: frame.opacity,
        width: box?.width ?? width,
        height: box?.height ?? height,
        clip,
        context: { fill, stroke: line, color },
      });
    }
  }

  pattern(
    node: SvgNode,
    entered: Entered,
    part: { path: Path<"page">; stroke: Stroke | null },
    pattern: SvgNode,
    opacity: number,
  ): void {
    const { document } = this;
    const { frame } = entered;
    const fail = (why: string): void => {
      const hint = "expand the pattern to plain shapes in the drawing program";
      document.report.add("error", "pattern-not-drawn", node, `the pattern is not drawn: ${why}`, hint);
    };
    if (within(pattern, frame.uses)) {
      fail("it contains itself");
      return;
    }
    const tiling = tilingOf(document, pattern, frame, part);
    if (typeof tiling === "string") fail(tiling);
    if (!tiling || typeof tiling === "string") return;
    const covered = { ...part, rule: frame.style.fillRule, shows: true, clip: null };
    const outer = { layers: [covered], outer: frame.clip };
    tiling.matrices.forEach((matrix, i) => {
      const edge = tiling.edges[i];
      const clip =
        tiling.tile && edge
          ? { layers: [rectLayer(edge, 0, 0, tiling.tile.width, tiling.tile.height)], outer }
          : outer;
      const inner = contentFrame(
        document,
        tiling.content,
        { ...frame, uses: { target: pattern, outer: frame.uses } },
        matrix,
      );
      this.children(tiling.content, { ...inner, opacity: frame.opacity * opacity, clip });
    });
  }

  #switch(node: SvgNode, frame: Frame): void {
    const first = node.children.find((child) => child.svg && passesConditions(child));
    if (first) this.element(first, frame);
  }

  /** An inner `svg`, or a `symbol` drawn by a `use`: `size` is what the use asks for. */
  #viewport(node: SvgNode, entered: Entered, size: Size): void {
    const { report } = this.document;
    const { frame, own } = entered;
    const geometry = geometryOf(this.document, node, entered);
    const width = size.width ?? geometry.length("width", "x") ?? frame.width;
    const height = size.height ?? geometry.length("height", "y") ?? frame.height;
    const box = viewBoxOf(node, report);
    if (width < 0 || height < 0 || (box && (box.width < 0 || box.height < 0))) {
      const hint = "correct the element in the drawing program";
      report.add("error", "size-negative", node, "the size of the inner viewport is negative", hint);
      return;
    }
    if (width === 0 || height === 0 || box?.width === 0 || box?.height === 0) return;
    const corner = translate(geometry.length("x", "x") ?? 0, geometry.length("y", "y") ?? 0);
    const outside = placedIn(frame, corner);
    const shown = /^(visible|auto)$/.test(own.get("overflow") ?? "");
    const clip = shown
      ? frame.clip
      : { layers: [rectLayer(outside.matrix, 0, 0, width, height)], outer: frame.clip };
    const inside = box
      ? placedIn(
          outside,
          viewportTransform(box, parseFit(node.attributes.preserveAspectRatio), width, height),
        )
      : outside;
    const inner = { width: box?.width ?? width, height: box?.height ?? height };
    this.children(node, { ...inside, ...inner, clip });
  }

  #use(node: SvgNode, entered: Entered): void {
    const { document } = this;
    const target = this.#target(node, entered.frame.uses);
    if (!target) return;
    const geometry = geometryOf(document, node, entered);
    const corner = translate(geometry.length("x", "x") ?? 0, geometry.length("y", "y") ?? 0);
    const uses = { target, outer: entered.frame.uses };
    const { fill, stroke, color } = entered.frame.style;
    const frame = { ...placedIn(entered.frame, corner), uses, context: { fill, stroke, color } };
    if (target.name !== "symbol" && target.name !== "svg") {
      this.element(target, frame);
      return;
    }
    const size = { width: geometry.length("width", "x"), height: geometry.length("height", "y") };
    if (target.name === "svg") {
      this.element(target, frame, size);
      return;
    }
    this.budget.visit(target, frame.depth);
    const inside = enter(document, target, frame);
    if (!inside) return;
    const clip = clipOf(this, target, inside);
    this.#viewport(target, { ...inside, frame: { ...inside.frame, clip } }, size);
  }

  /** What a `use` draws; null, and reported, when it is missing, outside the file, or contains the use. */
  #target(node: SvgNode, uses: Uses | null): SvgNode | null {
    const { document } = this;
    const href = hrefOf(node) ?? "";
    const refuse = (code: string, message: string): null => {
      const hint = "expand the copy to plain shapes in the drawing program";
      document.report.add("error", code, node, message, hint);
      return null;
    };
    if (href !== "" && !href.startsWith("#")) {
      return refuse("use-not-loaded", "the copied element lies outside the file and was not loaded");
    }
    const target = targetOf(document, href);
    if (!target) return refuse("use-target-missing", `the copied element “${href.slice(0, 40)}” is missing`);
    let inside = within(target, uses);
    for (let n: SvgNode | null = node; n; n = n.parent) inside ||= n === target;
    return inside ? refuse("use-cycle", "the element copies itself: the copy was left out") : target;
  }
}

function within(target: SvgNode, uses: Uses | null): boolean {
  for (let u = uses; u; u = u.outer) if (u.target === target) return true;
  return false;
}
