/** How much a walk may do: repeated and nested elements can ask for more than any machine has. */
import type { Path } from "../geometry/path.ts";
import { segmentCount } from "../geometry/path.ts";
import { JobError, type Where } from "../problem.ts";
import type { SvgNode } from "./node.ts";
import { whereOf } from "./node.ts";

/** Levels of elements, uses, clips, masks, patterns and markers within each other; the file alone has at most 1000. */
const depthCap = 1200;
/** Elements visited, those drawn again by `use`, clips, masks, patterns and markers included. */
const visitCap = 1_000_000;
/** Characters of the attributes of the elements visited: the text of one element may be read again and again. */
const readCap = 64 * 1024 * 1024;
/** Outlines and their segments. */
interface Most {
  readonly outlines: number;
  readonly segments: number;
}
/** What is drawn, before strokes have outlines. */
const drawn: Most = { outlines: 150_000, segments: 1_000_000 };
/** With the outlines of strokes, before they are united. */
export const mostOutlined: Most = { outlines: 400_000, segments: 2_000_000 };
/** What is to be marked: as much as there is time and memory for in all that follows. */
export const mostInk: Most = { outlines: 60_000, segments: 400_000 };

/** As V8 says it in functions and in regular expressions, and JavaScriptCore; then as SpiderMonkey does. */
export const isStackOverflow = (error: unknown): boolean =>
  error instanceof Error && /call stack|stack overflow$|too much recursion/i.test(error.message);

/** Counts outlines as they are drawn. */
export class Tally {
  readonly #most: Most;
  #outlines = 0;
  #segments = 0;

  constructor(most: Most) {
    this.#most = most;
  }

  /** Throws JobError `too-many-shapes` or `too-many-segments`, there or at an element. */
  add(path: Path<"page">, at?: Where | SvgNode): void {
    this.count(path.contours.length, segmentCount(path), at);
  }

  /** The same, by numbers. */
  count(outlines: number, segments: number, at?: Where | SvgNode): void {
    this.#outlines += outlines;
    this.#segments += segments;
    const most = this.#most;
    if (this.#outlines <= most.outlines && this.#segments <= most.segments) return;
    const where = at && ("attributes" in at ? whereOf(at) : at);
    if (this.#outlines > most.outlines) {
      throw new JobError(
        "too-many-shapes",
        `the artwork draws more than ${most.outlines} outlines, copies and clips included`,
        "simplify or split the artwork",
        where,
      );
    }
    if (this.#segments > most.segments) {
      throw new JobError(
        "too-many-segments",
        `the artwork's outlines have more than ${most.segments} segments`,
        "simplify or split the artwork",
        where,
      );
    }
  }
}

export class Budget {
  readonly #drawn = new Tally(drawn);
  #visits = 0;
  #read = 0;

  /** An element is about to be drawn at a depth. Throws JobError `too-many-elements`. */
  visit(node: SvgNode, depth: number): void {
    this.#visits++;
    this.#read += node.size;
    if (this.#visits <= visitCap && this.#read <= readCap && depth < depthCap) return;
    throw new JobError(
      "too-many-elements",
      "the file repeats or nests its elements more often than can be read",
      "expand the repeated elements in the drawing program",
      whereOf(node),
    );
  }

  /** An element was drawn, as a shape, a clip or a tile. Throws as `Tally.add`. */
  draw(node: SvgNode, path: Path<"page">): void {
    this.#drawn.add(path, node);
  }
}
