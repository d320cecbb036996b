/** How long thin places are looked for: crowded ink can ask for any time. */

/** Looks of some 10 ns: a few seconds. */
const MOST_LOOKS = 200_000_000;

export class Patience {
  #left = MOST_LOOKS;

  /** Takes looks; false where there are none left. */
  take(looks: number): boolean {
    this.#left -= looks;
    return this.#left >= 0;
  }
}
