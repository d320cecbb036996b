/** Polygons that are drawn twice: by the even-odd rule two of them are none, in a union two are one. */
import type { Path64, Paths64 } from "clipper2-ts";

/** The polygons by the even-odd rule, without pairs that are the same point by point. */
export function withoutPairs(polygons: Paths64): Paths64 {
  const open = new Map<number, Path64[]>();
  for (const polygon of polygons) {
    const key = keyOf(polygon);
    const alike = open.get(key);
    if (!alike) {
      open.set(key, [polygon]);
      continue;
    }
    const same = alike.findIndex((other) => equal(other, polygon));
    if (same < 0) alike.push(polygon);
    else alike.splice(same, 1);
  }
  const left = new Set([...open.values()].flat());
  return polygons.filter((polygon) => left.has(polygon));
}

/** Regions of one polygon each that are to be united, each once. */
export function withoutRepeats(polygons: Paths64): Paths64 {
  const known = new Map<number, Path64[]>();
  return polygons.filter((polygon) => {
    const key = keyOf(polygon);
    const alike = known.get(key);
    if (alike?.some((other) => equal(other, polygon))) return false;
    if (alike) alike.push(polygon);
    else known.set(key, [polygon]);
    return true;
  });
}

/** The same for equal polygons, and for few others. */
function keyOf(polygon: Path64): number {
  let key = polygon.length;
  for (const { x, y } of polygon) key = (Math.imul(key ^ x, 0x01000193) ^ y) | 0;
  return key;
}

const equal = (a: Path64, b: Path64): boolean =>
  a.length === b.length && a.every(({ x, y }, i) => x === b[i]!.x && y === b[i]!.y);
