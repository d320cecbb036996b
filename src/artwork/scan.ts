/**
 * A scanner for path data: checks it against the grammar of SVG 2, 9.3.9 and cuts it, after whole segments only,
 * into short texts that a parser of clean path data takes. It stops at the first error, as the standard asks.
 *
 * Each text begins with a dummy `M0 0` (to be skipped) and, where it cuts a run of repeated arguments, with
 * the letter of that run. Relative numbers stay relative: the reader of the commands keeps the current point.
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

const lead = "M0 0";
const comma = 44;
const isSpace = (c: number): boolean => c === 32 || c === 10 || c === 9 || c === 13 || c === 12;
const isDigit = (c: number): boolean => c >= 48 && c <= 57;
const isSign = (c: number): boolean => c === 43 || c === 45;

class Scanner {
  readonly #d: string;
  fault: PathFault | null = null;
  /** Places of characters the parser must not see: signs of radii. */
  #blank: number[] = [];

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

  /** End of the number at i, or −1. */
  number(i: number): number {
    const d = this.#d;
    let j = isSign(d.charCodeAt(i)) ? i + 1 : i;
    const first = j;
    while (isDigit(d.charCodeAt(j))) j++;
    let digits = j - first;
    if (d.charCodeAt(j) === 46) {
      const fraction = ++j;
      while (isDigit(d.charCodeAt(j))) j++;
      digits += j - fraction;
    }
    if (digits === 0) return this.fail(i, "a number is missing");
    let long = j - i > 300;
    if ((d.charCodeAt(j) | 32) === 101) {
      let k = isSign(d.charCodeAt(j + 1)) ? j + 2 : j + 1;
      if (isDigit(d.charCodeAt(k))) {
        while (isDigit(d.charCodeAt(k))) k++;
        j = k;
        long = true;
      }
    }
    if (long && !Number.isFinite(Number(d.slice(i, j)))) return this.fail(i, "a number is too large");
    return j;
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
        j++;
        continue;
      }
      if (kind === 114 && isSign(this.#d.charCodeAt(j))) this.#blank.push(j);
      j = this.number(j);
      if (j < 0) return -1;
    }
    return j;
  }

  /** The text from `from` to `to` with the unwanted signs blanked. */
  take(from: number, to: number): string {
    let text = "";
    for (const place of this.#blank) {
      if (place >= to) break;
      text += this.#d.slice(from, place) + " ";
      from = place + 1;
    }
    this.#blank = [];
    text += this.#d.slice(from, to);
    return text.includes("\f") ? text.replaceAll("\f", " ") : text;
  }
}

/**
 * Hands path data to `emit` in texts of at most `size` segments; returns the first error, or null. Everything
 * before an error has been handed over.
 */
export function scanPathData(d: string, size: number, emit: (text: string) => void): PathFault | null {
  const scan = new Scanner(d);
  let start = -1;
  let prefix = lead;
  let count = 0;
  let whole = 0;
  const begin = (at: number, run: string): void => {
    if (start >= 0) return;
    start = at;
    prefix = lead + run;
  };
  const flush = (): void => {
    if (count > 0) emit(prefix + scan.take(start, whole));
    start = -1;
    count = 0;
  };
  const ended = (at: number): void => {
    whole = at;
    if (++count >= size) flush();
  };
  const end = d.length;
  for (let i = scan.spaces(0), first = true; i < end; i = scan.spaces(i), first = false) {
    const letter = d[i];
    const kinds = letter === "z" || letter === "Z" ? "" : argumentsOf[letter.toLowerCase()];
    if (kinds === undefined || (first && letter !== "M" && letter !== "m")) {
      scan.fail(i, first ? "the path does not begin with M" : `“${letter}” is not a command`);
      break;
    }
    begin(i, "");
    i++;
    if (kinds === "") {
      ended(i);
      continue;
    }
    i = scan.argumentSet(kinds, scan.spaces(i));
    if (i < 0) break;
    ended(i);
    const run = letter === "M" ? "L" : letter === "m" ? "l" : letter;
    for (;;) {
      const next = scan.separator(i);
      // A comma promises a number; without one the run of arguments simply ends.
      if (!scan.startsNumber(next) && !d.slice(i, next).includes(",")) break;
      begin(next, run);
      i = scan.argumentSet(kinds, next);
      if (i < 0) break;
      ended(i);
    }
    if (i < 0) break;
  }
  flush();
  return scan.fault;
}
