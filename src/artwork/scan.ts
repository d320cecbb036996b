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
const argumentsOf: ReadonlyMap<string, string> = new Map(
  Object.entries({
    m: "nn",
    l: "nn",
    h: "n",
    v: "n",
    c: "nnnnnn",
    s: "nnnn",
    q: "nnnn",
    t: "nn",
    a: "rrnffnn",
    z: "",
  }).flatMap(([letter, kinds]) => [
    [letter, kinds],
    [letter.toUpperCase(), kinds],
  ]),
);

const comma = 44;
const isSpace = (c: number): boolean => c === 32 || c === 10 || c === 9 || c === 13 || c === 12;
const isDigit = (c: number): boolean => c >= 48 && c <= 57;
const isSign = (c: number): boolean => c === 43 || c === 45;

/** Powers of ten that are exact in a double. */
const tens = Float64Array.from({ length: 23 }, (_, k) => Number(`1e${k}`));

/** Where path data of usual length is read from: an array for each would take more time than its numbers. */
const usual = new Uint8Array(16384);
/** The Encoding Standard's, in browsers and Node alike; this room is compiled without the types of either. */
interface Encoder {
  encodeInto(text: string, into: Uint8Array): { readonly written: number };
}
const encoder = new (globalThis as unknown as { TextEncoder: new () => Encoder }).TextEncoder();

/**
 * The text as bytes with a 0 behind them, for V8 reads those twice as fast as a part of a string. They are as many as
 * the characters up to the first beyond ASCII, and there path data is broken. Valid until the next call.
 */
function bytesOf(d: string): Uint8Array {
  const bytes = d.length < usual.length ? usual : new Uint8Array(d.length + 1);
  bytes[encoder.encodeInto(d, bytes.subarray(0, d.length)).written] = 0;
  return bytes;
}

/** The arguments of the last whole set; flags are 0 or 1. */
const values = new Float64Array(7);

class Scanner {
  readonly #d: string;
  readonly #bytes: Uint8Array;
  fault: PathFault | null = null;
  #value = 0;

  constructor(d: string) {
    this.#d = d;
    this.#bytes = bytesOf(d);
  }

  spaces(i: number): number {
    const bytes = this.#bytes;
    while (isSpace(bytes[i]!)) i++;
    return i;
  }

  /** Spaces with at most one comma among them. */
  separator(i: number): number {
    const j = this.spaces(i);
    return this.#bytes[j] === comma ? this.spaces(j + 1) : j;
  }

  startsNumber(i: number): boolean {
    const c = this.#bytes[i]!;
    return isDigit(c) || isSign(c) || c === 46;
  }

  fail(offset: number, message: string): -1 {
    this.fault = { offset, message };
    return -1;
  }

  /** End of the number at i, or −1; its value is kept. */
  number(i: number): number {
    const d = this.#bytes;
    let j = i;
    let c = d[j]!;
    const negative = c === 45;
    if (isSign(c)) c = d[++j]!;
    const first = j;
    let mantissa = 0;
    for (; isDigit(c); c = d[++j]!) mantissa = mantissa * 10 + (c - 48);
    let digits = j - first;
    let fraction = 0;
    if (c === 46) {
      c = d[++j]!;
      const point = j;
      for (; isDigit(c); c = d[++j]!) mantissa = mantissa * 10 + (c - 48);
      fraction = j - point;
      digits += fraction;
    }
    if (digits === 0) return this.fail(i, "a number is missing");
    let exponent = false;
    if ((c | 32) === 101) {
      let k = isSign(d[j + 1]!) ? j + 2 : j + 1;
      if (isDigit(d[k]!)) {
        while (isDigit(d[k]!)) k++;
        j = k;
        exponent = true;
      }
    }
    // Up to 15 digits and a division by an exact power of ten round once, as Number does.
    if (exponent || digits > 15) this.#value = Number(this.#d.slice(i, j));
    else this.#value = (negative ? -mantissa : mantissa) / tens[fraction]!;
    return Number.isFinite(this.#value) ? j : this.fail(i, "a number is too large");
  }

  /** End of one whole set of arguments that begins at i, or −1. */
  argumentSet(kinds: string, i: number): number {
    let j = i;
    for (let k = 0; k < kinds.length; k++) {
      if (k > 0) j = this.separator(j);
      const kind = kinds.charCodeAt(k);
      if (kind === 102) {
        const c = this.#bytes[j]!;
        if (c !== 48 && c !== 49) return this.fail(j, "an arc flag is neither 0 nor 1");
        values[k] = c - 48;
        j++;
        continue;
      }
      j = this.number(j);
      if (j < 0) return -1;
      values[k] = kind === 114 ? Math.abs(this.#value) : this.#value;
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
    const kinds = argumentsOf.get(letter);
    if (kinds === undefined || (first && letter !== "M" && letter !== "m")) {
      scan.fail(i, first ? "the path does not begin with M" : `“${letter}” is not a command`);
      break;
    }
    i++;
    if (kinds === "") {
      emit(letter, values);
      continue;
    }
    i = scan.argumentSet(kinds, scan.spaces(i));
    if (i < 0) break;
    emit(letter, values);
    const run = letter === "M" ? "L" : letter === "m" ? "l" : letter;
    for (;;) {
      const next = scan.separator(i);
      // A comma promises a number; without one the run of arguments simply ends.
      if (!scan.startsNumber(next) && !d.slice(i, next).includes(",")) break;
      i = scan.argumentSet(kinds, next);
      if (i < 0) break;
      emit(run, values);
    }
    if (i < 0) break;
  }
  return scan.fault;
}
