/** Walks the document in paint order: groups, links, switches, inner viewports, uses, shapes. */
import { translate } from "../geometry/affine.ts";
import { JobError } from "../problem.ts";
import { targetOf } from "./document.ts";
import { drawsNothing, reportUndrawn } from "./effects.ts";
import type { Entered, Frame, Uses } from "./frame.ts";
import { enter, geometryOf, passesConditions } from "./frame.ts";
import type { SvgNode } from "./node.ts";
import { hrefOf, whereOf } from "./node.ts";
import { viewBoxOf } from "./page.ts";
import type { Reader } from "./paint-shape.ts";
import { paintShape, placedIn } from "./paint-shape.ts";
import { shapeNames } from "./shapes.ts";
import { parseFit, viewportTransform } from "./viewport.ts";

/** Levels of elements and uses together; the file alone has at most 2000. */
const depthCap = 2500;
/** Elements visited, those drawn again by `use` included. */
const visitCap = 1_000_000;

type Size = { readonly width: number | null; readonly height: number | null };
const noSize: Size = { width: null, height: null };

export class Walker {
  readonly #reader: Reader;
  #visits = 0;

  constructor(reader: Reader) {
    this.#reader = reader;
  }

  children(node: SvgNode, frame: Frame): void {
    for (const child of node.children) if (child.svg) this.element(child, frame);
  }

  element(node: SvgNode, outer: Frame, size = noSize): void {
    const { document } = this.#reader;
    if (drawsNothing(node, document.report)) return;
    this.#count(node, outer);
    const entered = enter(document, node, outer);
    if (!entered) return;
    const { frame } = entered;
    if (shapeNames.has(node.name)) paintShape(this.#reader, node, entered);
    else if (node.name === "g" || node.name === "a") this.children(node, frame);
    else if (node.name === "svg") this.#viewport(node, entered, size);
    else if (node.name === "use") this.#use(node, entered);
    else if (node.name === "switch") this.#switch(node, frame);
    else if (frame.style.visible) reportUndrawn(node, document.report);
  }

  #count(node: SvgNode, frame: Frame): void {
    if (++this.#visits <= visitCap && frame.depth < depthCap) return;
    throw new JobError(
      "too-many-elements",
      "the file repeats or nests its elements more often than can be read",
      "expand the repeated elements in the drawing program",
      whereOf(node),
    );
  }

  #switch(node: SvgNode, frame: Frame): void {
    const first = node.children.find((child) => child.svg && passesConditions(child));
    if (first) this.element(first, frame);
  }

  /** An inner `svg`, or a `symbol` drawn by a `use`: `size` is what the use asks for. */
  #viewport(node: SvgNode, entered: Entered, size: Size): void {
    const { report } = this.#reader.document;
    const { frame, own } = entered;
    const geometry = geometryOf(this.#reader.document, node, entered);
    const width = size.width ?? geometry.length("width", "x") ?? frame.width;
    const height = size.height ?? geometry.length("height", "y") ?? frame.height;
    const box = viewBoxOf(node, report);
    if (width < 0 || height < 0 || (box && (box.width < 0 || box.height < 0))) {
      const hint = "correct the element in the drawing program";
      report.add("stop", "size-negative", node, "the size of the inner viewport is negative", hint);
      return;
    }
    if (width === 0 || height === 0 || box?.width === 0 || box?.height === 0) return;
    const corner = translate(geometry.length("x", "x") ?? 0, geometry.length("y", "y") ?? 0);
    const outside = placedIn(frame, corner);
    const shown = /^(visible|auto)$/.test(own.get("overflow") ?? "");
    const clip = shown ? frame.clip : { node, matrix: outside.matrix, width, height, outer: frame.clip };
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
    const { document } = this.#reader;
    const target = this.#target(node, entered.frame.uses);
    if (!target) return;
    const geometry = geometryOf(document, node, entered);
    const corner = translate(geometry.length("x", "x") ?? 0, geometry.length("y", "y") ?? 0);
    const uses = { target, outer: entered.frame.uses };
    const frame = { ...placedIn(entered.frame, corner), uses };
    if (target.name !== "symbol" && target.name !== "svg") {
      this.element(target, frame);
      return;
    }
    const size = { width: geometry.length("width", "x"), height: geometry.length("height", "y") };
    if (target.name === "svg") {
      this.element(target, frame, size);
      return;
    }
    this.#count(target, frame);
    const inside = enter(document, target, frame);
    if (inside) this.#viewport(target, inside, size);
  }

  /** What a `use` draws; null, and reported, when it is missing, outside the file, or contains the use. */
  #target(node: SvgNode, uses: Uses | null): SvgNode | null {
    const { document } = this.#reader;
    const href = hrefOf(node) ?? "";
    const refuse = (code: string, message: string): null => {
      const hint = "expand the copy to plain shapes in the drawing program";
      document.report.add("stop", code, node, message, hint);
      return null;
    };
    if (href !== "" && !href.startsWith("#")) {
      return refuse("use-not-loaded", "the copied element lies outside the file and was not loaded");
    }
    const target = targetOf(document, href);
    if (!target) return refuse("use-target-missing", `the copied element “${href.slice(0, 40)}” is missing`);
    let inside = false;
    for (let n: SvgNode | null = node; n; n = n.parent) inside ||= n === target;
    for (let u = uses; u; u = u.outer) inside ||= u.target === target;
    return inside ? refuse("use-cycle", "the element copies itself: the copy was left out") : target;
  }
}
