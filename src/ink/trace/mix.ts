/**
 * A bitmap of a few even colours, some of them chosen → coverage of the chosen ones, 0…1 per pixel, 0.5 the edge.
 *
 * Areas are chosen or not by their colour. A pixel at an edge is a blend of the colours on its two sides; which
 * they are is seen from the areas around it, and its share of the chosen one is how far it lies on the way between
 * them. So the edge of a chosen area is as smooth as the picture draws it whatever is beside it, and the edge
 * between two other colours is no rim of ink where their blend happens to pass a chosen one.
 *
 * What remains: where three colours meet, or two and a third's rim, a pixel or two is taken for a blend of the wrong
 * ones. A line of a chosen colour less than two pixels wide, between two others whose blend it is, is taken for
 * their edge, and a pixel of their edge beside an area of that very colour for the area's. A line too thin to show
 * its own colour anywhere is taken for a blend of the commonest colours that could make it, and strokes in a blend
 * of two of the picture's colours are found only where they are wide enough to be an area.
 */
import { AREA, Near } from "./near.ts";
import { ALIKE, distance, type Even } from "./palette.ts";
import { between, type Colour, isFlat, isWide, type Seen } from "./seen.ts";

/** Colours and what is chosen of them. */
export interface Choice extends Even {
  readonly chosen: boolean;
}

/** Further off the way between two colours than this, a pixel is no blend of them. */
const ASIDE = 0.25;
/** Nor one past an end by more than this part: sharpening and compression overshoot edges. */
const PAST = 0.2;
/** Along an edge neighbours differ by more than this part of its step. */
const PASSED = 0.08;
/** Nearer than this, the nearest two colours around are taken without looking further. */
const CLOSE = 0.04;
/** Of two pairs that fit a pixel the nearer one is taken: a step between its colours counts so much of an aside. */
const TIGHT = 0.02;
/** So many pixels around are looked at: half an edge of a blurred or enlarged picture. */
const REACH = 6;
/** With more than this share of other colours a picture is shaded throughout, and no edges are to be told. */
const MOST_UNKNOWN = 0.4;
/** Neighbours on level ground differ by less than this part of the smallest step between two of the colours. */
const LEVEL = 0.04;
/** Or by this where the step is small: 8 bits tell no more. */
const LEAST_LEVEL = 1.5 / 255;

/**
 * Coverage, and whether each pixel (1) is alike one of the colours. `colours` as `seen`, the commonest first;
 * `otherwise` is the coverage of a pixel that is no blend of them.
 */
export function mixField(
  seen: Seen,
  width: number,
  height: number,
  colours: readonly Choice[],
  otherwise: (i: number) => number,
): { value: Float32Array; known: Uint8Array } {
  const labels = labelled(seen, width, height, colours);
  unlabelRims(seen, width, height, colours, labels);
  const unknown = labels.reduce((n, label) => n + (label === 0 ? 1 : 0), 0);
  const mixer = new Mixer(seen, colours, otherwise);
  const reach = unknown > MOST_UNKNOWN * seen.count ? 1 : REACH;
  const value = new Float32Array(seen.count);
  const near = new Near(width, height, labels);
  const level = levelOf(colours);
  for (let j = 0, i = 0; j < height; j++)
    for (let k = 0; k < width; k++, i++) {
      const label = labels[i]! & ~AREA;
      const own = colours[label - 1];
      const isInside =
        own &&
        (labels[i] === label
          ? near.allBeside(k, j, label) && seen.far(i, own.colour) <= CLOSE
          : isWide(seen, width, height, k, j, level));
      value[i] = isInside ? (own.chosen ? 1 : 0) : mixer.share(i, near.growing(k, j, reach));
    }
  for (let i = 0; i < labels.length; i++) labels[i] = labels[i] === 0 ? 0 : 1;
  return { value, known: labels };
}

/** What neighbours on level ground differ by at most. */
function levelOf(colours: readonly Choice[]): number {
  let step = 1;
  colours.forEach((a, k) => {
    for (const b of colours.slice(0, k)) step = Math.min(step, distance(a.colour, b.colour));
  });
  return Math.max(LEAST_LEVEL, LEVEL * step);
}

/** Number of the nearest colour, from 1, of each pixel alike one, 0 of others; AREA added on level ground. */
function labelled(seen: Seen, width: number, height: number, colours: readonly Choice[]): Uint8Array {
  const labels = new Uint8Array(seen.count);
  const level = levelOf(colours);
  seen.runs((from, to) => {
    let best = ALIKE;
    let label = 0;
    colours.forEach(({ colour }, k) => {
      const far = seen.far(from, colour);
      if (far > best || (far === best && label !== 0)) return;
      best = far;
      label = k + 1;
    });
    if (label === 0) return;
    // Between equal neighbours and beside a third alike: most of a drawing.
    for (let i = from, x = from % width; i < to; i++, x++) {
      if (x === width) x = 0;
      const inside = i > from && i + 1 < to && x > 0 && x + 1 < width;
      const same = (other: number): boolean =>
        other >= 0 && other < seen.count && seen.alike(i, other, level);
      const flat =
        (inside && (same(i - width) || same(i + width))) ||
        isFlat(seen, width, height, x, (i - x) / width, level);
      labels[i] = flat ? label | AREA : label;
    }
  });
  return labels;
}

/** Pixels that are alike a colour only on the way from one other colour to a second are so no longer. */
function unlabelRims(
  seen: Seen,
  width: number,
  height: number,
  colours: readonly Choice[],
  labels: Uint8Array,
): void {
  const near = new Near(width, height, labels);
  for (let j = 0, i = 0; j < height; j++)
    for (let k = 0; k < width; k++, i++) {
      const label = labels[i]!;
      if (label === 0 || label & AREA || near.anyBeside(k, j, label | AREA)) continue;
      const others = colours.filter((_, n) => n + 1 !== label);
      const isPassed = others.some((a, m) =>
        others.slice(0, m).some((b) => passes(seen, near, k, j, i, a.colour, b.colour)),
      );
      if (isPassed) labels[i] = 0;
    }
}

/** Whether a pixel is a blend of two colours, and one beside it is more of the one, and another of the other. */
function passes(seen: Seen, near: Near, k: number, j: number, i: number, a: Colour, b: Colour): boolean {
  const { share, aside } = between(seen, i, a, b);
  if (aside > CLOSE) return false;
  // Close to an end there is not so much left.
  const above = share + Math.min(PASSED, (1 - share) / 2);
  const below = share - Math.min(PASSED, share / 2);
  let more = false;
  let less = false;
  return near.some(k, j, 1, (_, there) => {
    const other = between(seen, there, a, b);
    if (other.aside <= ASIDE) {
      more ||= other.share > above;
      less ||= other.share < below;
    }
    return more && less;
  });
}

interface Pair {
  readonly a: Choice;
  readonly b: Choice;
  /** Of a. */
  readonly share: number;
  readonly aside: number;
}

/** Pixels as blends of colours, told by their labels, from 1. */
class Mixer {
  readonly #seen: Seen;
  readonly #colours: readonly Choice[];
  readonly #otherwise: (i: number) => number;
  readonly #all: readonly number[];

  constructor(seen: Seen, colours: readonly Choice[], otherwise: (i: number) => number) {
    this.#seen = seen;
    this.#colours = colours;
    this.#otherwise = otherwise;
    this.#all = colours.map((_, k) => k + 1);
  }

  /** Share of chosen colours of a pixel; `around` gives the labels about it, ever wider. */
  share(i: number, around: Iterable<readonly number[]>): number {
    let best: Pair | null = null;
    let about: readonly number[] = [];
    for (const labels of around) {
      about = labels;
      const pair = this.pair(i, labels);
      if (pair && (!best || pair.aside < best.aside)) best = pair;
      if (best && best.aside <= CLOSE) return chosenShare(best);
    }
    if (best && best.aside <= ASIDE) return chosenShare(best);
    const any = this.#farPair(i, about);
    return any && any.aside <= ASIDE ? chosenShare(any) : this.#otherwise(i);
  }

  /**
   * The two of the labels' colours that a pixel is nearest to a blend of, the first that it is within `enough` of;
   * null of fewer than two.
   */
  pair(i: number, labels: readonly number[], enough = -1): Pair | null {
    let best: Pair | null = null;
    let least = Number.POSITIVE_INFINITY;
    for (let m = 1; m < labels.length; m++)
      for (let n = 0; n < m; n++) {
        const a = this.#colours[labels[m]! - 1]!;
        const b = this.#colours[labels[n]! - 1]!;
        const { share, aside } = between(this.#seen, i, a.colour, b.colour, PAST);
        if (aside <= enough) return { a, b, share, aside };
        const cost = aside + TIGHT * distance(a.colour, b.colour);
        if (cost >= least) continue;
        least = cost;
        best = { a, b, share, aside };
      }
    return best;
  }

  /** The commonest two that will do, one of them the colour about the pixel where there is just one. */
  #farPair(i: number, about: readonly number[]): Pair | null {
    const [one] = about;
    if (one === undefined || about.length > 1) return this.pair(i, this.#all, CLOSE);
    let best: Pair | null = null;
    for (const other of this.#all) {
      const pair = other === one ? null : this.pair(i, [one, other]);
      if (pair && (!best || pair.aside < best.aside)) best = pair;
      if (best && best.aside <= CLOSE) break;
    }
    return best;
  }
}

const chosenShare = ({ a, b, share }: Pair): number =>
  a.chosen === b.chosen ? (a.chosen ? 1 : 0) : a.chosen ? share : 1 - share;
