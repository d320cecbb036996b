/**
 * A bitmap's pixels as numbers that blend: over a white or a black page, as colour and opacity, or as opacity alone.
 * An edge pixel of each kind is the blend, weighted by the area covered, of what lies on its two sides, taken on
 * the sRGB values as stored (CSS Compositing and Blending 1, simple alpha compositing; with opacity the colours are
 * premultiplied).
 */

/** `white`, `black`: red, green, blue over that page; `layers`: premultiplied colour, then opacity; `opacity`: it alone. */
export type View = "white" | "black" | "layers" | "opacity";

/** Channel values, 0…1, as many as the view has. */
export type Colour = readonly number[];

/**
 * A colour as seen over a page (1 white, 0 black), the whole picture of some opacity: of premultiplied colour and
 * opacity, or of what is seen over that page already.
 */
export function seenOver(colour: Colour, opacity: number, page: number): Colour {
  const a = colour[3];
  return colour
    .slice(0, 3)
    .map((v) => page + opacity * (v - page) + (a === undefined ? 0 : opacity * page * (1 - a)));
}

/** RGBA of 8 bits, not premultiplied, as one view of it. */
export class Seen {
  readonly channels: number;
  readonly count: number;
  readonly rgba: Uint8Array;
  readonly #view: View;
  readonly #pixels: Uint32Array;

  constructor(rgba: Uint8Array, count: number, view: View) {
    if (rgba.length < 4 * count) throw new RangeError("fewer colours than pixels");
    this.rgba = rgba;
    this.count = count;
    this.channels = view === "layers" ? 4 : view === "opacity" ? 1 : 3;
    this.#view = view;
    const { buffer, byteOffset } = rgba.byteOffset % 4 === 0 ? rgba : rgba.slice(0, 4 * count);
    this.#pixels = new Uint32Array(buffer, byteOffset, count);
  }

  /** Channel c of pixel i, 0…1. */
  at(i: number, c: number): number {
    const a = this.rgba[4 * i + 3]!;
    if (this.#view === "opacity" || c === 3) return a / 255;
    const v = this.rgba[4 * i + c]!;
    return this.#view === "white" ? 1 - ((255 - v) * a) / 65025 : (v * a) / 65025;
  }

  /** Largest difference of pixel i from a colour in any channel. */
  far(i: number, colour: Colour): number {
    let most = 0;
    for (let c = 0; c < this.channels; c++) most = Math.max(most, Math.abs(this.at(i, c) - colour[c]!));
    return most;
  }

  /** Whether pixels i and k differ by less than `level` (of 1) in each channel. */
  alike(i: number, k: number, level: number): boolean {
    if (this.#pixels[i] === this.#pixels[k]) return true;
    for (let c = 0; c < this.channels; c++)
      if (Math.abs(this.at(i, c) - this.at(k, c)) >= level) return false;
    return true;
  }

  /** Runs of equal pixels: a drawing has few, and what is true of one pixel is so of all. */
  runs(run: (from: number, to: number) => void): void {
    const pixels = this.#pixels;
    for (let from = 0; from < pixels.length; ) {
      const pixel = pixels[from]!;
      let to = from + 1;
      while (to < pixels.length && pixels[to] === pixel) to++;
      run(from, to);
      from = to;
    }
  }
}

/**
 * Where a pixel lies on the way from ground (0) to ink (1), and how far off it, the largest of any channel; it may be
 * past either end by `past` of the way without being off.
 */
export function between(
  seen: Seen,
  i: number,
  ink: Colour,
  ground: Colour,
  past = 0,
): { share: number; aside: number } {
  let dot = 0;
  let length2 = 0;
  for (let c = 0; c < seen.channels; c++) {
    const d = ink[c]! - ground[c]!;
    dot += (seen.at(i, c) - ground[c]!) * d;
    length2 += d * d;
  }
  const along = Math.min(1 + past, Math.max(-past, length2 > 0 ? dot / length2 : 0));
  let aside = 0;
  for (let c = 0; c < seen.channels; c++)
    aside = Math.max(aside, Math.abs(seen.at(i, c) - ground[c]! - along * (ink[c]! - ground[c]!)));
  return { share: Math.min(1, Math.max(0, along)), aside };
}

/** Whether a pixel has three of its eight neighbours alike: it is an area and no edge. */
export function isFlat(
  seen: Seen,
  width: number,
  height: number,
  i: number,
  j: number,
  level: number,
): boolean {
  const here = j * width + i;
  let alike = 0;
  for (let dj = -1; dj <= 1; dj++) {
    if (j + dj < 0 || j + dj >= height) continue;
    for (let di = -1; di <= 1; di++) {
      if ((di === 0 && dj === 0) || i + di < 0 || i + di >= width) continue;
      if (seen.alike(here, here + dj * width + di, level) && ++alike >= 3) return true;
    }
  }
  return false;
}

/**
 * Whether a pixel is one of three alike in a row both ways: an area, and neither the rim of one nor a line that two
 * rows or columns of pixels share.
 */
export function isWide(
  seen: Seen,
  width: number,
  height: number,
  i: number,
  j: number,
  level: number,
): boolean {
  const here = j * width + i;
  const ofThree = (at: number, size: number, step: number): boolean => {
    const alike = (n: number): boolean =>
      at + n >= 0 && at + n < size && seen.alike(here, here + n * step, level);
    return alike(-1) ? alike(1) || alike(-2) : alike(1) && alike(2);
  };
  return ofThree(i, width, 1) && ofThree(j, height, width);
}
