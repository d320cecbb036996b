/** Where every cluster goes: the text layout algorithm of SVG 2, 11.5, for horizontal text. */
import type { Bidi } from "bidi-js";
import { visualOrder } from "../../script/bidi.ts";
import { isJoined } from "../../script/scripts.ts";
import { levelsOf, settleEnd } from "./bidi.ts";
import type { Character, Characters, Fitting } from "./characters.ts";
import type { FontChoice } from "./fontchoice.ts";
import type { Cluster } from "./shape.ts";
import { Shaper } from "./shape.ts";

/** A cluster in its place, in user units; on a curve x is a distance along it and y one across. */
export interface Placed extends Cluster {
  x: number;
  y: number;
  /** With its spacing, as it stands. */
  width: number;
  /** Stretches the glyphs along the line. */
  stretch: number;
  /** Degrees. */
  readonly rotate: number;
}

interface Line {
  readonly placed: readonly Placed[];
  /** First and last (exclusive) cluster of each anchored chunk. */
  readonly chunks: readonly (readonly [number, number])[];
}

/** Lays a text out. `rtl` is the direction of the `text` element itself. */
export function layOut(
  characters: Characters,
  choice: FontChoice,
  rtl: boolean,
  bidi: Bidi,
): readonly Placed[] {
  const { list, fittings } = characters;
  const base = rtl ? 1 : 0;
  const levels = levelsOf(characters, rtl, bidi);
  for (let from = 0; from < list.length; ) {
    let to = from + 1;
    while (to < list.length && !list[to].chunk) to++;
    settleEnd(list, levels, from, to, base);
    from = to;
  }
  const clusters = new Shaper(list, levels, choice, bidi).shape();
  const line = inLine(list, clusters);
  shiftRelative(list, line.placed);
  for (const fitting of fittings) fitLength(line.placed, fitting, fittings);
  shiftAbsolute(list, line.placed);
  for (const [from, to] of line.chunks) anchor(list, line.placed.slice(from, to), rtl);
  return line.placed;
}

/** All clusters on one line, chunk after chunk, each chunk in visual order. */
function inLine(list: readonly Character[], clusters: readonly Cluster[]): Line {
  const placed = clusters.map((cluster) => {
    const { rotate } = list[cluster.head];
    return { ...cluster, x: 0, y: 0, width: cluster.advance, stretch: 1, rotate };
  });
  const chunks: [number, number][] = [];
  let pen = 0;
  for (let from = 0; from < placed.length; ) {
    let to = from + 1;
    while (to < placed.length && !list[placed[to].head].chunk) to++;
    const order = visualOrder(placed.slice(from, to));
    order.forEach((item, k) => {
      // No letter-spacing at a line's end (CSS Text 3, 8.2).
      item.width += spacing(list, item, k === order.length - 1);
      item.x = pen;
      pen += item.width;
    });
    chunks.push([from, to]);
    from = to;
  }
  return { placed, chunks };
}

function spacing(list: readonly Character[], { head, span, script }: Cluster, last: boolean): number {
  const { letterSpacing, wordSpacing } = span.style;
  const word = /[ \u00a0]/.test(list[head].text) ? wordSpacing : 0;
  return word + (last || isJoined(script) ? 0 : letterSpacing);
}

/** Step 4: dx and dy move a character and all after it. */
function shiftRelative(list: readonly Character[], placed: readonly Placed[]): void {
  let x = 0;
  let y = 0;
  for (const item of placed) {
    x += list[item.head].dx;
    y += list[item.head].dy;
    item.x += x;
    item.y += y;
    for (let i = item.head + 1; i < item.end; i++) {
      x += list[i].dx;
      y += list[i].dy;
    }
  }
}

const within = (inner: Fitting, outer: Fitting): boolean =>
  inner !== outer && inner.from >= outer.from && inner.to <= outer.to;

/** Step 5: `textLength`, by spaces between the characters or by stretching them. */
function fitLength(placed: readonly Placed[], fitting: Fitting, all: readonly Fitting[]): void {
  const { from, to, length, glyphs } = fitting;
  const own = placed.filter((p) => p.head >= from && p.head < to);
  if (own.length === 0) return;
  const left = own.reduce((a, p) => Math.min(a, p.x), Infinity);
  const right = own.reduce((a, p) => Math.max(a, p.x + p.width), -Infinity);
  const delta = length - (right - left);
  if (glyphs && right > left) {
    const stretch = length / (right - left);
    for (const p of own) {
      p.x = left + (p.x - left) * stretch;
      p.width *= stretch;
      p.stretch *= stretch;
    }
  } else {
    // A part fitted before moves as one.
    const done = all.slice(0, all.indexOf(fitting)).filter((f) => within(f, fitting));
    const unit = (p: Placed): Fitting | Placed =>
      done.findLast((f) => p.head >= f.from && p.head < f.to) ?? p;
    const order = own.toSorted((a, b) => a.x - b.x);
    const units = new Set(order.map(unit)).size;
    const step = units > 1 ? delta / (units - 1) : 0;
    let count = -1;
    let last: Fitting | Placed | null = null;
    for (const p of order) {
      const current = unit(p);
      if (current !== last) count++;
      last = current;
      p.x += count * step;
    }
  }
  for (const p of placed) if (p.head >= to) p.x += delta;
}

/** Step 6: x and y move a character to its place, and with it those after it. */
function shiftAbsolute(list: readonly Character[], placed: readonly Placed[]): void {
  let x = 0;
  let y = 0;
  for (const item of placed) {
    const c = list[item.head];
    if (c.x !== null) x = c.x + c.dx - item.x;
    if (c.y !== null) y = c.y + c.dy - item.y;
    item.x += x;
    item.y += y;
  }
}

/** Step 7: the chunk's start, middle or end goes to where its first character was placed. */
function anchor(list: readonly Character[], chunk: readonly Placed[], rtl: boolean): void {
  const [first] = chunk;
  if (!first) return;
  const left = chunk.reduce((a, p) => Math.min(a, p.x, p.x + p.width), Infinity);
  const right = chunk.reduce((a, p) => Math.max(a, p.x, p.x + p.width), -Infinity);
  const { anchor: how } = list[first.head].span.style;
  const at = how === "middle" ? (left + right) / 2 : (how === "start") !== rtl ? left : right;
  const shift = first.x - at;
  for (const p of chunk) p.x += shift;
}
