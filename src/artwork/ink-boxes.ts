/** Boxes of the ink painted so far, in blocks, to ask quickly whether a new box overlaps any of them. */
import type { Box } from "../geometry/path.ts";
import { uniteBoxes } from "../geometry/path.ts";

const blockSize = 128;

/** Boxes that only touch do not overlap. */
const overlap = (a: Box, b: Box): boolean =>
  a.minX < b.maxX && b.minX < a.maxX && a.minY < b.maxY && b.minY < a.maxY;

export class InkBoxes {
  readonly #blocks: { around: Box; boxes: Box[] }[] = [];

  add(box: Box): void {
    const block = this.#blocks[this.#blocks.length - 1];
    if (!block || block.boxes.length >= blockSize) {
      this.#blocks.push({ around: box, boxes: [box] });
      return;
    }
    block.boxes.push(box);
    block.around = uniteBoxes(block.around, box) as Box;
  }

  overlaps(box: Box): boolean {
    return this.#blocks.some((b) => overlap(b.around, box) && b.boxes.some((one) => overlap(one, box)));
  }

  /** The box around all ink, or null without any. */
  get around(): Box | null {
    return this.#blocks.reduce<Box | null>((all, b) => uniteBoxes(all, b.around), null);
  }
}
