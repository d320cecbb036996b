/** The names of areas that stay free: on a white plate where there is room clear of the ink, of lines and of each other. */
import type { Box } from "../../geometry/path.ts";
import type { Lettering } from "../lettering.ts";
import { text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { fixed } from "../svg.ts";
import type { Rings } from "../zoneareas.ts";
import type { KnownLine } from "./pageflatlines.ts";

const LABEL = 3;

/** Where no name may stand, on the page: the ink, what is drawn in `box`, and the ink's extension lines. */
export const takenBoxes = (ink: Box, lines: readonly KnownLine[], box: Box): Box[] => [
  ink,
  ...lines.flatMap((one) => lineBoxes(one, box)),
  ...extensions(ink, box),
];

/** Half of what a line takes where a name would stand on it. */
const HALF_LINE = 0.6;
const upright = (x: number, minY: number, maxY: number): Box => ({
  minX: x - HALF_LINE,
  maxX: x + HALF_LINE,
  minY,
  maxY,
});
const level = (y: number, minX: number, maxX: number): Box => ({
  minX,
  maxX,
  minY: y - HALF_LINE,
  maxY: y + HALF_LINE,
});

function lineBoxes({ name, level: flat, at, curve }: KnownLine, box: Box): Box[] {
  if (name === "blocked") return [];
  if (!curve) return [flat ? level(at, box.minX, box.maxX) : upright(at, box.minY, box.maxY)];
  const boxes: Box[] = [];
  for (let i = 2; i < curve.length; i += 2) {
    const [x0, y0, x1, y1] = [curve[i - 2]!, curve[i - 1]!, curve[i]!, curve[i + 1]!];
    boxes.push({
      minX: Math.min(x0, x1) - HALF_LINE,
      maxX: Math.max(x0, x1) + HALF_LINE,
      minY: Math.min(y0, y1) - HALF_LINE,
      maxY: Math.max(y0, y1) + HALF_LINE,
    });
  }
  return boxes;
}

/** Extension lines of the ink's dimensions: down from its sides, and out from its top and bottom. */
const extensions = (ink: Box, box: Box): Box[] => [
  ...[ink.minX, ink.maxX].map((x) => upright(x, ink.maxY, box.maxY)),
  ...[ink.minY, ink.maxY].map((y) => level(y, box.minX, box.maxX)),
];

/** Where in an area a name may stand, in the order that is tried. */
const SHARES = [0.5, 0.25, 0.75, 0, 1, 0.125, 0.875] as const;

/** The name, level or upright, which takes its place; nothing where it has none. */
export function labelItems(name: string, rings: Rings, taken: Box[], lettering: Lettering): PageItem[] {
  for (const words of [`keep free: ${name}`, name]) {
    const [long, tall] = [lettering.width(words, LABEL) + 2, 1.5 * LABEL];
    for (const ring of rings) {
      for (const turned of [false, true]) {
        const plate = plateIn(ring, turned ? tall : long, turned ? long : tall, taken);
        if (!plate) continue;
        taken.push(plate);
        return plateItems(words, plate, turned);
      }
    }
  }
  return [];
}

/** All four corners within the ring. */
function plateIn(ring: Rings[number], w: number, h: number, taken: readonly Box[]): Box | null {
  const b = boundsOf(ring.flatMap(({ x, y }) => [x, y]));
  const [free, high] = [b.maxX - b.minX - w - 1, b.maxY - b.minY - h - 1];
  if (free < 0 || high < 0) return null;
  for (const down of SHARES) {
    for (const across of SHARES) {
      const [minX, minY] = [b.minX + 0.5 + across * free, b.minY + 0.5 + down * high];
      const plate = { minX, minY, maxX: minX + w, maxY: minY + h };
      const corners = [minX, plate.maxX].flatMap((x) => [minY, plate.maxY].map((y) => ({ x, y })));
      if (corners.every((corner) => inside(ring, corner)) && !taken.some((other) => meet(other, plate)))
        return plate;
    }
  }
  return null;
}

/** By how often a ray to the right meets the ring. */
function inside(ring: Rings[number], { x, y }: { readonly x: number; readonly y: number }): boolean {
  let odd = false;
  ring.forEach((p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    if (p.y > y !== q.y > y && x < p.x + ((y - p.y) * (q.x - p.x)) / (q.y - p.y)) odd = !odd;
  });
  return odd;
}

const meet = (p: Box, q: Box): boolean =>
  p.minX < q.maxX && q.minX < p.maxX && p.minY < q.maxY && q.minY < p.maxY;

function plateItems(words: string, { minX, minY, maxX, maxY }: Box, turned: boolean): PageItem[] {
  const [x, y] = [(minX + maxX) / 2, (minY + maxY) / 2];
  const d = `M${fixed(minX, 4)} ${fixed(minY, 4)}H${fixed(maxX, 4)}V${fixed(maxY, 4)}H${fixed(minX, 4)}Z`;
  return [
    { kind: "path", d, fill: "#ffffff" },
    turned
      ? text(words, x + 0.36 * LABEL, y, LABEL, { anchor: "middle", rotate: -90 })
      : text(words, x, y + 0.36 * LABEL, LABEL, { anchor: "middle" }),
  ];
}

/** Of points x y x y …. */
export function boundsOf(outline: readonly number[]): Box {
  let [minX, maxX, minY, maxY] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < outline.length; i += 2) {
    [minX, maxX] = [Math.min(minX, outline[i]!), Math.max(maxX, outline[i]!)];
    [minY, maxY] = [Math.min(minY, outline[i + 1]!), Math.max(maxY, outline[i + 1]!)];
  }
  return { minX, maxX, minY, maxY };
}
