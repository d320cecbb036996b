/**
 * Arc length of plane curves by Gauss–Legendre quadrature, and curves r(y) turned into r(m), y(m) over their own arc
 * length m: quintic Hermite pieces from the exact derivatives at the pieces' ends, w = √(1 + r′²),
 *
 *   dm/dy = w,   dr/dm = r′/w,   dy/dm = 1/w,   d²r/dm² = r″/w⁴,   d²y/dm² = −r′r″/w⁴
 *
 * halved until they agree with the arc length in between.
 */
import { gauss8 } from "./quadrature.ts";
import { quinticPiece } from "./quintic.ts";

/** Halves that agree to this share of the whole are taken. */
const SAME = 1e-14;
const DEEPEST = 40;

/** ∫ `speed` from `from` to `to` to about 1e-14 of itself, for speeds that are smooth between them but for a few places. */
export function arcLength(speed: (t: number) => number, from: number, to: number): number {
  return halved(speed, from, to, gauss(speed, from, to), DEEPEST);
}

function halved(
  speed: (t: number) => number,
  from: number,
  to: number,
  whole: number,
  depth: number,
): number {
  const middle = (from + to) / 2;
  const [left, right] = [gauss(speed, from, middle), gauss(speed, middle, to)];
  const sum = left + right;
  if (depth === 0 || Math.abs(sum - whole) <= SAME * Math.abs(sum)) return sum;
  return halved(speed, from, middle, left, depth - 1) + halved(speed, middle, to, right, depth - 1);
}

function gauss(f: (t: number) => number, from: number, to: number): number {
  const { nodes, weights } = gauss8;
  let sum = 0;
  for (let i = 0; i < nodes.length; i++) sum += weights[i]! * f(from + (to - from) * nodes[i]!);
  return sum * (to - from);
}

/** A curve r(y) that is smooth on each of its pieces; `at` writes r, r′, r″ into out[0..2]. */
export interface Graph {
  /** Ends of the pieces, strictly rising. */
  readonly knots: Float64Array;
  at(piece: number, y: number, out: Float64Array): void;
}

/** r and y as quintics in m − m[i] over each piece m[i]…m[i + 1]; six coefficients a piece. */
export interface ByArcLength {
  readonly m: Float64Array;
  readonly y: Float64Array;
  readonly rOf: Float64Array;
  readonly yOf: Float64Array;
}

/** How well the quintics follow the curve (mm). */
const CLOSE = 5e-12;
/** And its speed, which is 1. */
const EVEN = 1e-10;
/** Numbers of this size are exact to so much of it, as few of them are added. */
const ROUNDING = 4e-15;
/** A piece between two knots is halved no more often than this. */
const MOST_HALVINGS = 12;

/** `graph` over its arc length, which is 0 at the first knot. Pieces much shorter than 1e-6 lose digits. */
export function byArcLength(graph: Graph): ByArcLength {
  const { knots } = graph;
  const rounding = ROUNDING * sizeOf(graph);
  const parts: Part[] = [];
  const halve = (part: Part, depth: number): void => {
    if (depth === 0 || follows(graph, part, rounding)) {
      parts.push(part);
      return;
    }
    const { piece, from, to } = part;
    const middle = (from + to) / 2;
    halve(partOf(graph, piece, from, middle), depth - 1);
    halve(partOf(graph, piece, middle, to), depth - 1);
  };
  for (let i = 0; i + 1 < knots.length; i++) halve(partOf(graph, i, knots[i]!, knots[i + 1]!), MOST_HALVINGS);
  return table(graph, parts);
}

/** A part of one of the graph's pieces, and its length. */
interface Part {
  readonly piece: number;
  readonly from: number;
  readonly to: number;
  readonly length: number;
}

const partOf = (graph: Graph, piece: number, from: number, to: number): Part => ({
  piece,
  from,
  to,
  length: gauss(speedOf(graph, piece), from, to),
});

function speedOf(graph: Graph, piece: number): (y: number) => number {
  const o = new Float64Array(3);
  return (y) => {
    graph.at(piece, y, o);
    return Math.sqrt(1 + o[1]! * o[1]!);
  };
}

function sizeOf({ knots, at }: Graph): number {
  const o = new Float64Array(3);
  let size = Math.max(Math.abs(knots[0]!), Math.abs(knots.at(-1)!));
  for (let i = 0; i + 1 < knots.length; i++) {
    at(i, knots[i]!, o);
    size = Math.max(size, Math.abs(o[0]!));
  }
  return size;
}

/** True where the quadrature holds and one pair of quintics follows the curve, looked at in three places. */
function follows(graph: Graph, { piece, from, to, length }: Part, rounding: number): boolean {
  const close = CLOSE + rounding;
  // A derivative shows the rounding of the values over the part's length.
  const even = EVEN + (8 * rounding) / length;
  const speed = speedOf(graph, piece);
  const quintics = new Float64Array(12);
  writeQuintics(graph, { piece, from, to, length }, quintics.subarray(0, 6), quintics.subarray(6), 0);
  const o = new Float64Array(3);
  for (const share of [0.5, 0.21, 0.79]) {
    const y = from + (to - from) * share;
    const u = gauss(speed, from, y);
    if (share === 0.5 && Math.abs(u + gauss(speed, y, to) - length) > close / 8) return false;
    graph.at(piece, y, o);
    const [r, dr] = jet(quintics, 0, u);
    const [along, dy] = jet(quintics, 6, u);
    if (Math.abs(r - o[0]!) > close || Math.abs(along - y) > close) return false;
    if (Math.abs(dr * dr + dy * dy - 1) > even) return false;
  }
  return true;
}

function jet(c: Float64Array, p: number, u: number): readonly [number, number] {
  let value = c[p + 5]!;
  let slope = 0;
  for (let k = 4; k >= 0; k--) {
    slope = slope * u + value;
    value = value * u + c[p + k]!;
  }
  return [value, slope];
}

function writeQuintics(
  graph: Graph,
  { piece, from, to, length }: Part,
  rOf: Float64Array,
  yOf: Float64Array,
  at: number,
): void {
  const [p, q] = [new Float64Array(3), new Float64Array(3)];
  graph.at(piece, from, p);
  graph.at(piece, to, q);
  const [wp, wq] = [Math.sqrt(1 + p[1]! * p[1]!), Math.sqrt(1 + q[1]! * q[1]!)];
  const [bp, bq] = [p[2]! / wp ** 4, q[2]! / wq ** 4];
  quinticPiece(rOf, at, length, p[0]!, p[1]! / wp, bp, q[0]!, q[1]! / wq, bq);
  quinticPiece(yOf, at, length, from, 1 / wp, -p[1]! * bp, to, 1 / wq, -q[1]! * bq);
}

function table(graph: Graph, parts: readonly Part[]): ByArcLength {
  const count = parts.length;
  const [m, y] = [new Float64Array(count + 1), new Float64Array(count + 1)];
  const [rOf, yOf] = [new Float64Array(6 * count), new Float64Array(6 * count)];
  y[0] = graph.knots[0]!;
  for (const [i, part] of parts.entries()) {
    y[i + 1] = part.to;
    m[i + 1] = m[i]! + part.length;
    writeQuintics(graph, part, rOf, yOf, 6 * i);
  }
  return { m, y, rOf, yOf };
}
