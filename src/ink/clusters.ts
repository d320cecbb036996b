/**
 * Which pieces can matter to each other: those whose boxes meet, directly or through others, are one cluster.
 *
 * Within a cluster every piece gets a level, at least that of each earlier piece that it meets, and one more where
 * the two do not do the same; even levels are ink and odd ones knock out.
 */
import Flatbush from "flatbush";
import { JobError } from "../problem.ts";
import { separate } from "../region/separate.ts";
import type { Piece } from "./pieces.ts";

/** Pieces looked at in search of those that meet, in all: about a second. */
const mostLooks = 30_000_000;
/** Pairs of ink and a knockout above it. */
const mostCovered = 5_000_000;

const tooDense = ({ item }: Piece): JobError =>
  new JobError(
    "outlines-too-dense",
    "shapes lie over each other more often than can be taken apart",
    "simplify or split the artwork",
    item.where,
  );

/** Four numbers each: minX, minY, maxX, maxY. */
function boxesOf(pieces: readonly Piece[]): Float64Array {
  const boxes = new Float64Array(4 * pieces.length);
  pieces.forEach(({ box }, i) => {
    boxes[4 * i] = box.minX;
    boxes[4 * i + 1] = box.minY;
    boxes[4 * i + 2] = box.maxX;
    boxes[4 * i + 3] = box.maxY;
  });
  return boxes;
}

/** Every piece's overlapping pieces that were painted before it; null where too many lie over each other. */
function earlierOf(pieces: readonly Piece[]): (index: number) => number[] | null {
  if (pieces.length === 0) return () => [];
  const index = new Flatbush(pieces.length);
  const boxes = boxesOf(pieces);
  for (let k = 0; k < boxes.length; k += 4) index.add(boxes[k]!, boxes[k + 1]!, boxes[k + 2]!, boxes[k + 3]!);
  index.finish();
  let looks = 0;
  return (i) => {
    const [minX, minY, maxX, maxY] = [boxes[4 * i]!, boxes[4 * i + 1]!, boxes[4 * i + 2]!, boxes[4 * i + 3]!];
    // Boxes that only touch do not meet.
    const meets = (j: number): boolean => {
      looks++;
      if (j >= i) return false;
      const k = 4 * j;
      return minX < boxes[k + 2]! && boxes[k]! < maxX && minY < boxes[k + 3]! && boxes[k + 1]! < maxY;
    };
    const found = index.search(minX, minY, maxX, maxY, meets);
    return looks > mostLooks ? null : found;
  };
}

/** By piece of ink: the knockouts that were painted over it. Throws JobError `outlines-too-dense`. */
export function knockoutsOver(pieces: readonly Piece[]): ReadonlyMap<number, readonly Piece[]> {
  const earlier = earlierOf(pieces);
  const over = new Map<number, Piece[]>();
  let pairs = 0;
  pieces.forEach((piece, i) => {
    if (piece.does === "ink") return;
    const below = earlier(i);
    if (!below) throw tooDense(piece);
    for (const j of below) {
      if (pieces[j]!.does !== "ink") continue;
      if (++pairs > mostCovered) throw tooDense(piece);
      const list = over.get(j);
      if (list) list.push(piece);
      else over.set(j, [piece]);
    }
  });
  return over;
}

export interface Cluster {
  /** Ink by level. */
  readonly ink: Map<number, number[]>;
  /** By level of ink: the knockouts above that meet it. */
  readonly hides: Map<number, Set<number>>;
  /** The first piece of ink, and how many there are. */
  first: number;
  count: number;
}

/**
 * Clusters of pieces; knockouts with no ink below are left out. Throws JobError `outlines-too-dense` where too many
 * shapes, knockouts among them, lie over each other.
 */
export function clusters(pieces: readonly Piece[]): Cluster[] {
  const earlier = earlierOf(pieces);
  let covered = 0;
  const levels = new Int32Array(pieces.length).fill(-1);
  const covers: number[][] = [];
  const root = Int32Array.from(pieces, (_, i) => i);
  const find = (i: number): number => {
    let r = i;
    while (root[r] !== r) r = root[r]!;
    for (let k = i; root[k] !== r; ) {
      const next = root[k]!;
      root[k] = r;
      k = next;
    }
    return r;
  };
  for (let i = 0; i < pieces.length; i++) {
    const piece = pieces[i]!;
    const met = earlier(i);
    if (!met) return crowds(pieces);
    const below = met.filter((j) => levels[j]! >= 0);
    const odd = piece.does === "ink" ? 0 : 1;
    if (odd === 1 && below.length === 0) continue;
    let level: number = odd;
    for (const j of below) {
      level = Math.max(level, levels[j]! + (levels[j]! % 2 === odd ? 0 : 1));
      root[find(j)] = find(i);
    }
    levels[i] = level;
    if (odd === 0) continue;
    covers[i] = below.filter((j) => pieces[j]!.does === "ink");
    covered += covers[i]!.length;
    if (covered > mostCovered) throw tooDense(piece);
  }
  const found = new Map<number, Cluster>();
  for (let i = 0; i < pieces.length; i++) {
    const level = levels[i]!;
    if (level < 0) continue;
    const r = find(i);
    const cluster = found.get(r) ?? { ink: new Map(), hides: new Map(), first: -1, count: 0 };
    found.set(r, cluster);
    if (level % 2 === 0) {
      const list = cluster.ink.get(level);
      if (list) list.push(i);
      else cluster.ink.set(level, [i]);
      if (cluster.first < 0) cluster.first = i;
      cluster.count++;
    } else {
      for (const j of covers[i]!) {
        const set = cluster.hides.get(levels[j]!) ?? new Set();
        cluster.hides.set(levels[j]!, set.add(i));
      }
    }
  }
  return [...found.values()];
}

/** Pieces of ink only, told apart without a look at every pair: a cluster may be larger than it need be. */
function crowds(pieces: readonly Piece[]): Cluster[] {
  const knockout = pieces.find((piece) => piece.does === "hides");
  if (knockout) throw tooDense(knockout);
  return separate(boxesOf(pieces)).map((group) => ({
    ink: new Map([[0, group]]),
    hides: new Map(),
    first: group[0]!,
    count: group.length,
  }));
}
