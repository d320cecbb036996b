/** Font matching within a family: CSS Fonts 4, 5.2 "Matching font styles", steps 4 (stretch, style, weight). */
import type { Slant, Traits } from "./face.ts";

interface Asked {
  readonly weight: number;
  readonly slant: Slant;
  readonly stretch: number;
}

/** What is left of a list after keeping only those of the lowest rank. */
function lowest<T>(list: readonly T[], rank: (item: T) => number): T[] {
  const ranks = list.map(rank);
  const best = ranks.reduce((a, b) => Math.min(a, b), Infinity);
  return list.filter((_, i) => ranks[i] === best);
}

/** Far enough apart that every value on the side searched first comes before any on the other. */
const otherSide = 1e4;

function stretchRank(asked: number, [low, high]: readonly [number, number]): number {
  if (low <= asked && asked <= high) return 0;
  const narrower = high < asked;
  const gap = narrower ? asked - high : low - asked;
  return gap + (narrower === asked <= 100 ? 0 : otherSide);
}

const slantOrder: Readonly<Record<Slant, readonly Slant[]>> = {
  normal: ["normal", "oblique", "italic"],
  italic: ["italic", "oblique", "normal"],
  oblique: ["oblique", "italic", "normal"],
};

const slantRank = (asked: Slant, has: readonly Slant[]): number =>
  slantOrder[asked].findIndex((slant) => has.includes(slant));

function weightRank(asked: number, [low, high]: readonly [number, number]): number {
  if (low <= asked && asked <= high) return 0;
  const lighter = high < asked;
  const gap = lighter ? asked - high : low - asked;
  if (asked >= 400 && asked <= 500) {
    if (!lighter && low <= 500) return gap;
    return lighter ? otherSide + gap : 2 * otherSide + gap;
  }
  return gap + (lighter === asked < 400 ? 0 : otherSide);
}

/** The faces that match best, in their order; several where they differ in nothing but their characters. */
export function bestFaces<T extends { readonly traits: Traits }>(faces: readonly T[], asked: Asked): T[] {
  const byStretch = lowest(faces, (f) => stretchRank(asked.stretch, f.traits.stretch));
  const bySlant = lowest(byStretch, (f) => slantRank(asked.slant, f.traits.slants));
  return lowest(bySlant, (f) => weightRank(asked.weight, f.traits.weight));
}
