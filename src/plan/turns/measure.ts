/** What a straight piece of a cut costs: ink first, then closeness to ink, then its length. */
import { type Box, uniteBoxes } from "../../geometry/path.ts";
import { inkLength, type Patch } from "./chords.ts";
import { along, type Field } from "./raster.ts";

/** A millimetre of ink is worth a way round of so many millimetres: more than any window is long. */
export const INK = 1000;
/** A millimetre right beside ink is as long as so many more away from it. */
export const NEAR = 2;

/** Lengths mm. */
export class Measure {
  readonly #shelves: Shelves;
  readonly #field: Field;

  constructor(patches: readonly Patch[], field: Field) {
    this.#shelves = new Shelves(patches);
    this.#field = field;
  }

  /** Length inside ink, on the outlines themselves. */
  ink(x0: number, y0: number, x1: number, y1: number): number {
    return inkLength(this.#shelves.at(Math.min(y0, y1), Math.max(y0, y1)), x0, y0, x1, y1);
  }

  /** Length inside ink by the raster: quick. */
  rough(x0: number, y0: number, x1: number, y1: number): number {
    return along(this.#field, this.#field.ink, x0, y0, x1, y1);
  }

  /** Length beside ink, by the raster. */
  near(x0: number, y0: number, x1: number, y1: number): number {
    return along(this.#field, this.#field.near, x0, y0, x1, y1);
  }

  cost(x0: number, y0: number, x1: number, y1: number): number {
    const length = Math.hypot(x1 - x0, y1 - y0);
    return length + NEAR * this.near(x0, y0, x1, y1) + INK * this.ink(x0, y0, x1, y1);
  }
}

/** Levels that the patches are laid out by. */
const LEVELS = 64;

/** Patches by the levels of y that they reach through, so that a short piece looks at those beside it only. */
class Shelves {
  readonly #all: readonly Patch[];
  readonly #levels: readonly Patch[][];
  readonly #top: number;
  readonly #height: number;

  constructor(patches: readonly Patch[]) {
    const box = patches.reduce<Box | null>((all, patch) => uniteBoxes(all, patch.box), null);
    this.#all = patches;
    this.#top = box?.minY ?? 0;
    this.#height = box && box.maxY > box.minY ? (box.maxY - box.minY) / LEVELS : 1;
    this.#levels = Array.from({ length: LEVELS }, () => []);
    for (const patch of patches) {
      for (let i = this.#level(patch.box.minY); i <= this.#level(patch.box.maxY); i++) {
        this.#levels[i]!.push(patch);
      }
    }
  }

  /** All patches that reach into from … to, and others. */
  at(from: number, to: number): readonly Patch[] {
    const [i, j] = [this.#level(from), this.#level(to)];
    if (i === j) return this.#levels[i]!;
    return i + 1 === j ? [...new Set([...this.#levels[i]!, ...this.#levels[j]!])] : this.#all;
  }

  #level(y: number): number {
    return Math.min(LEVELS - 1, Math.max(0, Math.floor((y - this.#top) / this.#height)));
  }
}

/** A polyline x0 y0 x1 y1 …: the sum of what its pieces measure. */
export function sumOver(
  points: ArrayLike<number>,
  piece: (x0: number, y0: number, x1: number, y1: number) => number,
): number {
  let sum = 0;
  for (let i = 0; i + 3 < points.length; i += 2) {
    sum += piece(points[i]!, points[i + 1]!, points[i + 2]!, points[i + 3]!);
  }
  return sum;
}
