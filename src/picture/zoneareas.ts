/** Each zone as polygons over a rectangle of the flat, and hatch lines clipped to them. */
import { differenceD, FillRule, intersectD, type PathsD, simplifyPathsD } from "clipper2-ts";
import type { Box } from "../geometry/path.ts";
import type { Plan } from "../plan/types.ts";
import { rangeOf, strips, type Zone, zoneNames } from "../plan/zones.ts";

/** Rings of (x, y) in mm, to be filled even-odd; holes are rings of their own. */
export type Rings = PathsD;

const DECIMALS = 5;
/** Points closer than this to the line between their neighbours are left out (mm). */
const FLAT = 0.002;

/** The zones that show in a rectangle, `usable` left out, in order of precedence from the worst. */
export function zoneAreas(plan: Pick<Plan, "warp" | "limits">, box: Box): Map<Zone, Rings> {
  const areas = new Map<Zone, Rings>();
  const { warp, limits } = plan;
  const range = rangeOf(warp.surface, box);
  let rest: Rings = [rectangle(box)];
  for (const strip of strips(warp, limits)) {
    const window = ((range && strip.outline(range)) ?? []).map(ringOf);
    const inside = intersectD(rest, window, FillRule.EvenOdd, DECIMALS);
    const outside = differenceD(rest, window, FillRule.EvenOdd, DECIMALS);
    const forbidden = strip.allows === "inside" ? outside : inside;
    if (forbidden.length > 0) areas.set(strip.zone, [...(areas.get(strip.zone) ?? []), ...forbidden]);
    rest = strip.allows === "inside" ? inside : outside;
  }
  const shown = new Map<Zone, Rings>();
  for (const zone of [...zoneNames].reverse()) {
    const rings = areas.get(zone);
    if (rings) shown.set(zone, simplifyPathsD(rings, FLAT));
  }
  return shown;
}

const rectangle = ({ minX, minY, maxX, maxY }: Box): PathsD[number] => [
  { x: minX, y: minY },
  { x: maxX, y: minY },
  { x: maxX, y: maxY },
  { x: minX, y: maxY },
];

const ringOf = (ring: Float64Array): PathsD[number] =>
  Array.from({ length: ring.length / 2 }, (_, i) => ({ x: ring[2 * i]!, y: ring[2 * i + 1]! }));

/** Parallel lines at an angle (degrees clockwise), `gap` apart, on a raster through (0, 0), clipped to the rings. */
export function hatchLines(rings: Rings, angleDeg: number, gap: number): number[][] {
  const cos = Math.cos((angleDeg * Math.PI) / 180);
  const sin = Math.sin((angleDeg * Math.PI) / 180);
  // s along the hatch, t across it.
  const turned = rings.map((ring) => ring.map(({ x, y }) => [x * cos + y * sin, y * cos - x * sin] as const));
  const cuts = new Map<number, number[]>();
  for (const ring of turned) {
    ring.forEach(([s0, t0], i) => {
      const [s1, t1] = ring[(i + 1) % ring.length]!;
      const [low, high] = t0 < t1 ? [t0, t1] : [t1, t0];
      for (let k = Math.ceil(low / gap); k * gap < high; k++) {
        const s = s0 + ((k * gap - t0) / (t1 - t0)) * (s1 - s0);
        const list = cuts.get(k);
        if (list) list.push(s);
        else cuts.set(k, [s]);
      }
    });
  }
  const lines: number[][] = [];
  for (const [k, list] of [...cuts].sort((p, q) => p[0] - q[0])) {
    list.sort((p, q) => p - q);
    const t = k * gap;
    for (let i = 0; i + 1 < list.length; i += 2) {
      const [s0, s1] = [list[i]!, list[i + 1]!];
      lines.push([s0 * cos - t * sin, s0 * sin + t * cos, s1 * cos - t * sin, s1 * sin + t * cos]);
    }
  }
  return lines;
}
