/**
 * Reach (model §8): the widest artwork, centred on the crown line at the placement point, for which some δ
 * meets every limit. On a cylinder of radius R:
 *
 *   depth      cos θ = 1 − 2 z_u/R   (δ = z_u: crown and edge both at the limit)
 *   incidence  θ + α(θ) = i_max,     α the beam's lean at the edge
 *   field      u(θ) = field/2
 *
 * The last two depend a little on δ; each is met at the smallest δ that the depth allows, s − z_u.
 */
import { bracketRoot } from "../geometry/roots.ts";
import type { ScanHead } from "../head/scanhead.ts";
import type { Surface } from "../vessel/surface.ts";
import { Warp } from "../warp/warp.ts";
import type { Limits } from "./zones.ts";

export interface Reach {
  /** Width on the flat: girth along the vessel for `girth`, width as seen for `sight`. */
  readonly aroundMm: number;
  readonly limitedBy: "depth" | "incidence" | "field" | "vessel";
}

export function reachOf(surface: Surface, head: Omit<ScanHead, "belowCrown">, limits: Limits): Reach {
  const at = new Float64Array(12);
  const drop = (a: number): number => {
    surface.at(a, 0, at);
    return at[2]!;
  };
  const meet = (a: number) =>
    new Warp(surface, { ...head, belowCrown: drop(a) - limits.usableDepthMm }).meetingUnchecked(a, 0);
  const cosMax = Math.cos((limits.maxIncidenceDeg * Math.PI) / 180);
  const first = (margin: (a: number) => number, last: number): number =>
    margin(0) > 0 ? (bracketRoot(margin, 0, last) ?? last) : 0;
  // Past the horizon u comes back: no search goes there.
  const horizon = first((a) => meet(a).cosIncidence, surface.halfWidth * (1 - 1e-12));
  const edge = (margin: (a: number) => number): number => first(margin, horizon);
  const found: [number, Reach["limitedBy"]][] = [
    [edge((a) => 2 * limits.usableDepthMm - drop(a)), "depth"],
    [edge((a) => meet(a).cosIncidence - cosMax), "incidence"],
    [edge((a) => head.field / 2 - meet(a).u), "field"],
    [horizon, "vessel"],
  ];
  const [half, limitedBy] = found.reduce((least, next) => (next[0] < least[0] ? next : least));
  return { aroundMm: 2 * half, limitedBy };
}
