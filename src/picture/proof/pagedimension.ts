/**
 * Dimensions in the manner of ISO 129-1: narrow lines, closed arrowheads of 15°, extension lines that begin a little
 * off the outline and go a little past the dimension line, the figure above its line and read from below or from the
 * right. Where the arrowheads have no room they point inward from outside, and a short neighbour is parted by a dot.
 */
import type { Lettering } from "../lettering.ts";
import { line, NARROW, text } from "../page/items.ts";
import type { PageItem, PagePath } from "../page/page.ts";
import { INK } from "../parts.ts";
import { fixed } from "../svg.ts";

/** Em of the figures: letters 2.5 mm high (ISO 3098). */
export const FIGURE = 3.5;
const ARROW = 3;
const HALF_ARROW = ARROW * Math.tan((7.5 * Math.PI) / 180);
const STUB = 6;
const OFF = 1;
const PAST = 2;
/** Distance from one dimension line to the next, and of the first from the outline. */
export const STEP = 8;

export interface Dimension {
  /** Level, its ends x; else upright, its ends y. */
  readonly level: boolean;
  /** from < to. */
  readonly from: number;
  readonly to: number;
  /** The dimension line's y (level) or x. */
  readonly at: number;
  readonly words: string;
  /** Where the figure goes if it has no room within: before `from` or after `to`. */
  readonly outside: "before" | "after";
  /** The other end is also the neighbour's. */
  readonly shared?: boolean;
  /** Where other lines cross the dimension line: no figure goes there if it can stand beside. */
  readonly crossed?: readonly number[];
}

export function dimension(d: Dimension, lettering: Lettering): PageItem[] {
  const long = d.to - d.from;
  const wide = lettering.width(d.words, FIGURE);
  const roomy = long >= 2 * ARROW + 1;
  const inside = long >= wide + 1;
  const before = d.outside === "before";
  const items: PageItem[] = [along(d, d.from, d.to)];
  if (roomy) items.push(arrow(d, d.from, 1), arrow(d, d.to, -1));
  else {
    const near = before ? d.from : d.to;
    const far = before ? d.to : d.from;
    const out = before ? -1 : 1;
    items.push(arrow(d, near, out), along(d, near, near + out * STUB));
    if (d.shared) items.push(dot(d, far));
    else items.push(arrow(d, far, -out), along(d, far, far - out * STUB));
  }
  // Outside, the figure stands over a line of its own.
  const start = roomy ? 1 : STUB + 0.5;
  if (inside) items.push(figure(d, within(d, wide), "middle"));
  else if (before) {
    items.push(figure(d, d.from - start, d.level ? "end" : "start"));
    items.push(along(d, d.from, d.from - start - wide));
  } else {
    items.push(figure(d, d.to + start, d.level ? "start" : "end"));
    items.push(along(d, d.to, d.to + start + wide));
  }
  return items;
}

/** The middle, or that of the widest stretch between lines that cross, where the middle is taken. */
function within({ from, to, crossed = [] }: Dimension, wide: number): number {
  const middle = (from + to) / 2;
  const cuts = crossed.filter((t) => t > from && t < to).sort((a, b) => a - b);
  if (!cuts.some((t) => Math.abs(t - middle) < wide / 2 + 0.5)) return middle;
  const ends = [from, ...cuts, to];
  const stretches = ends.slice(1).map((end, i) => [ends[i]!, end] as const);
  const [start, end] = stretches.reduce((best, next) =>
    next[1] - next[0] > best[1] - best[0] ? next : best,
  );
  return end - start > wide + 1 ? (start + end) / 2 : middle;
}

/** From the outline at `edge` to just past the dimension line at `at`; both are y for a level dimension. */
export function extension(level: boolean, end: number, edge: number, at: number): PageItem {
  const way = Math.sign(at - edge);
  const [c1, c2] = [edge + way * OFF, at + way * PAST];
  return level ? line(end, c1, end, c2) : line(c1, end, c2, end);
}

const along = ({ level, at }: Dimension, t1: number, t2: number): PageItem =>
  level ? line(t1, at, t2, at) : line(at, t1, at, t2);

/** Its tip at t, its body toward `way`. */
function arrow({ level, at }: Dimension, t: number, way: number): PagePath {
  const base = t + way * ARROW;
  const points = [
    [t, at],
    [base, at - HALF_ARROW],
    [base, at + HALF_ARROW],
  ].map(([a, c]) => (level ? [a!, c!] : [c!, a!]));
  return {
    kind: "path",
    d: `M${points.map(([x, y]) => `${fixed(x!, 4)} ${fixed(y!, 4)}`).join("L")}Z`,
    fill: INK,
  };
}

function dot({ level, at }: Dimension, t: number): PagePath {
  const [x, y] = level ? [t, at] : [at, t];
  const r = 2.4 * NARROW;
  const turn = `a${r} ${r} 0 0 1`;
  return {
    kind: "path",
    d: `M${fixed(x - r, 4)} ${fixed(y, 4)}${turn} ${2 * r} 0${turn} ${-2 * r} 0Z`,
    fill: INK,
  };
}

const figure = (d: Dimension, t: number, anchor: "start" | "middle" | "end"): PageItem =>
  d.level
    ? text(d.words, t, d.at - 0.8, FIGURE, { anchor })
    : text(d.words, d.at - 0.8, t, FIGURE, { anchor, rotate: -90 });
