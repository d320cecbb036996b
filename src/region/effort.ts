/** How much work uniting may take: outlines that cross or crowd each other can ask for any amount. */
import { JobError } from "../problem.ts";

/** Steps of some 25 ns. */
const stepCap = 250_000_000;

export class Effort {
  #left: number;

  constructor(steps = stepCap) {
    this.#left = steps;
  }

  /** Throws JobError `outlines-too-dense` where that is too much. */
  spend(steps: number): void {
    this.#left -= steps;
    if (this.#left >= 0) return;
    throw new JobError(
      "outlines-too-dense",
      "the outlines cross or crowd each other more often than can be united",
      "simplify or split the artwork",
    );
  }
}
