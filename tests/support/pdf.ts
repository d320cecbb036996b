/**
 * PDFs read back by pdfjs-dist: sizes, text, lines and images, in points (1/72 inch, ISO 32000-1, 8.3.2.3) from the top
 * left corner of the page, y down.
 */
import { getDocument, OPS, type PDFPageProxy } from "pdfjs-dist/legacy/build/pdf.mjs";

export interface ReadPage {
  /** The MediaBox. */
  readonly width: number;
  readonly height: number;
  readonly texts: readonly ReadText[];
  readonly lines: readonly ReadLine[];
  readonly curves: readonly ReadCurve[];
  readonly images: readonly ReadBox[];
  /** What was done with each path, in turn: "fill", "eoFill", "stroke", "fillStroke", "eoFillStroke". */
  readonly painted: readonly string[];
  /** The dashes in force for each stroke, in the unit of the line's width. */
  readonly dashes: readonly (readonly number[])[];
}

/** A cubic: start, two arms, end as x y. */
export type ReadCurve = readonly [number, number, number, number, number, number, number, number];

/** What stands between BT and ET: one line of text. */
export interface ReadText {
  /** In the order in which it is read. */
  readonly words: string;
  /** The left end of its baseline, and how far it runs (for a turned line: along it). */
  readonly x: number;
  readonly y: number;
  readonly width: number;
  /** Height of the em. */
  readonly size: number;
  /** Degrees clockwise. */
  readonly angle: number;
}

/** A straight side of a path. */
export interface ReadLine {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly length: number;
}

export interface ReadBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export const POINTS_PER_MM = 72 / 25.4;

export async function readPdf(
  bytes: Uint8Array,
): Promise<{ pages: ReadPage[]; info: Record<string, unknown> }> {
  const document = await getDocument({ data: Uint8Array.from(bytes), verbosity: 0, disableFontFace: true })
    .promise;
  const pages: ReadPage[] = [];
  for (let n = 1; n <= document.numPages; n++) pages.push(await readPage(await document.getPage(n)));
  const { info } = await document.getMetadata();
  return { pages, info: { ...info } };
}

type Matrix = readonly [number, number, number, number, number, number];
const multiplied = (m: Matrix, n: Matrix): Matrix => [
  m[0] * n[0] + m[2] * n[1],
  m[1] * n[0] + m[3] * n[1],
  m[0] * n[2] + m[2] * n[3],
  m[1] * n[2] + m[3] * n[3],
  m[0] * n[4] + m[2] * n[5] + m[4],
  m[1] * n[4] + m[3] * n[5] + m[5],
];
const at = (m: Matrix, x: number, y: number): [number, number] => [
  m[0] * x + m[2] * y + m[4],
  m[1] * x + m[3] * y + m[5],
];

async function readPage(page: PDFPageProxy): Promise<ReadPage> {
  const [left, bottom, right, top] = page.view as [number, number, number, number];
  const { fnArray, argsArray } = await page.getOperatorList();
  const reader = new Reader([1, 0, 0, -1, -left, top]);
  fnArray.forEach((operator, i) => void reader.take(operator, argsArray[i] ?? []));
  const { texts, lines, curves, images, painted, dashes } = reader;
  return { width: right - left, height: top - bottom, texts, lines, curves, images, painted, dashes };
}

const painters: ReadonlyMap<number, string> = new Map(
  (["fill", "eoFill", "stroke", "fillStroke", "eoFillStroke"] as const).map((name) => [OPS[name], name]),
);

interface Glyph {
  readonly unicode: string;
  /** Thousandths of the em. */
  readonly width: number;
}

interface Run {
  readonly words: string[];
  readonly x: number;
  readonly y: number;
  along: number;
  readonly scale: number;
  readonly matrix: Matrix;
}

class Reader {
  readonly texts: ReadText[] = [];
  readonly lines: ReadLine[] = [];
  readonly curves: ReadCurve[] = [];
  readonly images: ReadBox[] = [];
  readonly painted: string[] = [];
  readonly dashes: (readonly number[])[] = [];
  #m: Matrix;
  readonly #stack: Matrix[] = [];
  #size = 0;
  #runs: Run[] = [];

  constructor(m: Matrix) {
    this.#m = m;
  }

  take(operator: number, args: readonly unknown[]): void {
    const name = painters.get(operator);
    if (name !== undefined) this.painted.push(name);
    switch (operator) {
      case OPS.save:
        this.#stack.push(this.#m);
        break;
      case OPS.restore:
        this.#m = this.#stack.pop()!;
        break;
      case OPS.transform:
        this.#m = multiplied(this.#m, args as unknown as Matrix);
        break;
      case OPS.setFont:
        this.#size = args[1] as number;
        break;
      case OPS.beginText:
        this.#runs = [];
        break;
      case OPS.setTextMatrix:
        this.#begin(args as unknown as Matrix);
        break;
      case OPS.showText:
        this.#show(args[0] as (Glyph | number)[]);
        break;
      case OPS.endText:
        this.#endText();
        break;
      case OPS.constructPath:
        this.#path(args[0] as number[], args[1] as number[]);
        break;
      case OPS.setDash:
        this.dashes.push(args[0] as number[]);
        break;
      case OPS.paintImageXObject:
        this.#image();
        break;
    }
  }

  #begin(matrix: Matrix): void {
    const m = multiplied(this.#m, matrix);
    const [x, y] = at(m, 0, 0);
    this.#runs.push({ words: [], x, y, along: 0, scale: Math.hypot(m[0], m[1]), matrix: m });
  }

  #show(glyphs: readonly (Glyph | number)[]): void {
    const run = this.#runs.at(-1)!;
    for (const glyph of glyphs) {
      if (typeof glyph === "number") run.along -= (glyph / 1000) * this.#size * run.scale;
      else {
        run.words.push(glyph.unicode);
        run.along += (glyph.width / 1000) * this.#size * run.scale;
      }
    }
  }

  #endText(): void {
    const [first] = this.#runs;
    if (!first) return;
    const { matrix, scale } = first;
    const [cos, sin] = [matrix[0] / scale, matrix[1] / scale];
    const along = ({ x, y }: Run): number => x * cos + y * sin;
    const leftmost = this.#runs.reduce((a, b) => (along(b) < along(a) ? b : a));
    const end = Math.max(...this.#runs.map((run) => along(run) + run.along));
    this.texts.push({
      words: this.#runs.map((run, i) => wordsOf(run, this.#runs[i - 1], along)).join(""),
      x: leftmost.x,
      y: leftmost.y,
      width: end - along(leftmost),
      size: this.#size * scale,
      angle: (Math.atan2(sin, cos) * 180) / Math.PI,
    });
  }

  #path(operators: readonly number[], coordinates: readonly number[]): void {
    let next = 0;
    let pen: [number, number] = [0, 0];
    let start = pen;
    const point = (): [number, number] => {
      next += 2;
      return at(this.#m, coordinates[next - 2]!, coordinates[next - 1]!);
    };
    const line = (to: [number, number]): void => {
      const [[x1, y1], [x2, y2]] = [pen, to];
      this.lines.push({ x1, y1, x2, y2, length: Math.hypot(x2 - x1, y2 - y1) });
      pen = to;
    };
    for (const operator of operators) {
      if (operator === OPS.moveTo) start = pen = point();
      else if (operator === OPS.lineTo) line(point());
      else if (operator === OPS.closePath) line(start);
      else if (operator === OPS.curveTo) {
        const from = pen;
        const [arm1, arm2] = [point(), point()];
        pen = point();
        this.curves.push([...from, ...arm1, ...arm2, ...pen]);
      } else throw new Error(`a path operator that is not read: ${operator}`);
    }
  }

  /** An image fills the unit square. */
  #image(): void {
    const [x0, y0] = at(this.#m, 0, 0);
    const [x1, y1] = at(this.#m, 1, 1);
    this.images.push({
      x: Math.min(x0, x1),
      y: Math.min(y0, y1),
      width: Math.abs(x1 - x0),
      height: Math.abs(y1 - y0),
    });
  }
}

/**
 * The glyphs of a stretch stand from left to right, whatever its direction; one that runs to the left is therefore read
 * from its last glyph to its first. Characters of one glyph stay in their order. Signs alone run to the left where they
 * stand to the left of what is read before them. (pdfjs's own `getTextContent` turns the single characters about, which
 * is the same for glyphs of one character each, but drops blanks where the text jumps.)
 */
function wordsOf(run: Run, before: Run | undefined, along: (run: Run) => number): string {
  const words = run.words.join("");
  const rtl = /[\p{L}\p{N}]/u.test(words)
    ? /(?=\p{L})[\p{Script=Hebrew}\p{Script=Arabic}]/u.test(words)
    : before !== undefined && along(run) < along(before);
  return (rtl ? run.words.toReversed() : run.words).join("");
}
