/** Labels of the pixels about a pixel. */

/** Bit of a label: the pixel is an area's. */
export const AREA = 0x80;

/** `labels`: a number from 1 for each pixel of a colour, 0 for others, with the AREA bit where it is an area's. */
export class Near {
  readonly #width: number;
  readonly #height: number;
  readonly #labels: Uint8Array;

  constructor(width: number, height: number, labels: Uint8Array) {
    this.#width = width;
    this.#height = height;
    this.#labels = labels;
  }

  /** Whether all eight neighbours have this label; beyond the picture's border they do. */
  allBeside(i: number, j: number, label: number): boolean {
    return !this.some(i, j, 1, (there) => (there & ~AREA) !== label);
  }

  /** Whether one of the eight neighbours has this very label, AREA bit and all. */
  anyBeside(i: number, j: number, label: number): boolean {
    return this.some(i, j, 1, (there) => there === label);
  }

  /** Labels within one pixel, two, and so on. The list is the same one, growing. */
  *growing(i: number, j: number, most: number): Generator<readonly number[]> {
    const found: number[] = [];
    const add = (there: number): boolean => {
      const label = there & ~AREA;
      if (label !== 0 && !found.includes(label)) found.push(label);
      return false;
    };
    add(this.#labels[j * this.#width + i]!);
    for (let reach = 1; reach <= most; reach++) {
      this.some(i, j, reach, add, reach);
      yield found;
    }
  }

  /** Whether any pixel within `reach`, and no nearer than `from`, is such; the pixel itself is left out. */
  some(i: number, j: number, reach: number, is: (label: number, at: number) => boolean, from = 1): boolean {
    const labels = this.#labels;
    const width = this.#width;
    const height = this.#height;
    for (let y = Math.max(0, j - reach); y <= Math.min(height - 1, j + reach); y++) {
      const whole = Math.abs(y - j) >= from;
      for (let x = Math.max(0, i - reach); x <= Math.min(width - 1, i + reach); x++) {
        if (!whole && Math.abs(x - i) < from) x = Math.max(x, i + from);
        if (x >= width || x > i + reach) break;
        if (is(labels[y * width + x]!, y * width + x)) return true;
      }
    }
    return false;
  }
}
