/**
 * A scanner for path data by the grammar of SVG 2, 9.3.9, segment by segment in linear time. It stops at the first
 * error, as the standard asks. Relative numbers stay relative: the reader of the segments keeps the current point.
 */

/** `offset` from 0, in characters of the path data. */
export interface PathFault {
  readonly offset: number;
  readonly message: string;
}

/** Arguments by letter: n number, r radius (its sign is dropped, SVG 2 B.2.5), f flag. */
const argumentsOf: Readonly<Record<string, string>> = {
  m: "nn",
  l: "nn",
  h: "n",
  v: "n",
  c: "nnnnnn",
  s: "nnnn",
  q: "nnnn",
  t: "nn",
  a: "rrnffnn",
};

const comma = 44;
const isSpace = (c: number): boolean => c === 32 || c === 10 || c === 9 || c === 13 || c === 12;
const isDigit = (c: number): boolean => c >= 48 && c <= 57;
const isSign = (c: number): boolean => c === 43 || c === 45;

/** Powers of ten that are exact in a double. */
const tens = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

class Scanner {
  readonly #d: string;
  fault: PathFault | null = null;
  /** The arguments of the last whole set; flags are 0 or 1. */
  readonly values = new Float64Array(7);
  #value = 0;

  constructor(d: string) {
    this.#d = d;
  }

  spaces(i: number): number {
    while (isSpace(this.#d.charCodeAt(i))) i++;
    return i;
  }

  /** Spaces with at most one comma among them. */
  separator(i: number): number {
    const j = this.spaces(i);
    return this.#d.charCodeAt(j) === comma ? this.spaces(j + 1) : j;
  }

  startsNumber(i: number): boolean {
    const c = this.#d.charCodeAt(i);
    return isDigit(c) || isSign(c) || c === 46;
  }

  fail(offset: number, message: string): -1 {
    this.fault = { offset, message };
    return -1;
  }

  /** End of the number at i, or −1; its value is kept. */
  number(i: number): number {
    const d = this.#d;
    let j = isSign(d.charCodeAt(i)) ? i + 1 : i;
    const first = j;
    let mantissa = 0;
    for (let c = d.charCodeAt(j); isDigit(c); c = d.charCodeAt(++j)) mantissa = mantissa * 10 + (c - 48);
    let digits = j - first;
    let fraction = 0;
    if (d.charCodeAt(j) === 46) {
      const point = ++j;
      for (let c = d.charCodeAt(j); isDigit(c); c = d.charCodeAt(++j)) mantissa = mantissa * 10 + (c - 48);
      fraction = j - point;
      digits += fraction;
    }
    if (digits === 0) return this.fail(i, "a number is missing");
    let exponent = false;
    if ((d.charCodeAt(j) | 32) === 101) {
      let k = isSign(d.charCodeAt(j + 1)) ? j + 2 : j + 1;
      if (isDigit(d.charCodeAt(k))) {
        while (isDigit(d.charCodeAt(k))) k++;
        j = k;
        exponent = true;
      }
    }
    // Up to 15 digits and a division by an exact power of ten round once, as Number does.
    if (exponent || digits > 15) this.#value = Number(d.slice(i, j));
    else this.#value = (d.charCodeAt(i) === 45 ? -mantissa : mantissa) / tens[fraction]!;
    return Number.isFinite(this.#value) ? j : this.fail(i, "a number is too large");
  }

  /** End of one whole set of arguments that begins at i, or −1. */
  argumentSet(kinds: string, i: number): number {
    let j = i;
    for (let k = 0; k < kinds.length; k++) {
      if (k > 0) j = this.separator(j);
      const kind = kinds.charCodeAt(k);
      if (kind === 102) {
        const c = this.#d.charCodeAt(j);
        if (c !== 48 && c !== 49) return this.fail(j, "an arc flag is neither 0 nor 1");
        this.values[k] = c - 48;
        j++;
        continue;
      }
      j = this.number(j);
      if (j < 0) return -1;
      this.values[k] = kind === 114 ? Math.abs(this.#value) : this.#value;
    }
    return j;
  }
}

/** One segment: its letter (M's repeated arguments come as L) and its arguments, valid until the next. */
export type Emit = (letter: string, values: Float64Array) => void;

/**
 * Hands path data to `emit` segment by segment; returns the first error, or null. Everything before an error has
 * been handed over.
 */
export function scanPathData(d: string, emit: Emit): PathFault | null {
  const scan = new Scanner(d);
  const end = d.length;
  for (let i = scan.spaces(0), first = true; i < end; i = scan.spaces(i), first = false) {
    const letter = d[i]!;
    const kinds = letter === "z" || letter === "Z" ? "" : argumentsOf[letter.toLowerCase()];
    if (kinds === undefined || (first && letter !== "M" && letter !== "m")) {
      scan.fail(i, first ? "the path does not begin with M" : `“${letter}” is not a command`);
      break;
    }
    i++;
    if (kinds === "") {
      emit(letter, scan.values);
      continue;
    }
    i = scan.argumentSet(kinds, scan.spaces(i));
    if (i < 0) break;
    emit(letter, scan.values);
    const run = letter === "M" ? "L" : letter === "m" ? "l" : letter;
    for (;;) {
      const next = scan.separator(i);
      // A comma promises a number; without one the run of arguments simply ends.
      if (!scan.startsNumber(next) && !d.slice(i, next).includes(",")) break;
      i = scan.argumentSet(kinds, next);
      if (i < 0) break;
      emit(run, scan.values);
    }
    if (i < 0) break;
  }
  return scan.fault;
}
