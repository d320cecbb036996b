/**
 * Zones of the flat, in order of precedence (model §7): what keeps a point from being marked well.
 *
 *   hidden        cos i ≤ 0, or the flat goes past the back of the vessel
 *   off-field     |u| or |v| > field/2
 *   out-of-depth  |d| > z_u, d straight down from the focal plane
 *   oblique       i > i_max
 *   usable        none of these
 */
import { bracketRoot } from "../geometry/roots.ts";
import type { Warp } from "../warp/warp.ts";

export const zoneNames = ["usable", "oblique", "out-of-depth", "off-field", "hidden"] as const;
export type Zone = (typeof zoneNames)[number];

export interface Limits {
  readonly usableDepthMm: number;
  readonly maxIncidenceDeg: number;
}

/** The zone of one flat point. A hair of slack (1e-9) keeps a point on a limit inside it. */
export function zoneAt(warp: Warp, limits: Limits, a: number, b: number): Zone {
  const m = warp.meeting(a, b);
  if (typeof m === "string") return "hidden";
  const half = warp.head.field / 2 + HAIR;
  if (Math.abs(m.u) > half || Math.abs(m.v) > half) return "off-field";
  if (Math.abs(m.defocus) > limits.usableDepthMm + HAIR) return "out-of-depth";
  if (m.cosIncidence < Math.cos((limits.maxIncidenceDeg * Math.PI) / 180) - HAIR) return "oblique";
  return "usable";
}
const HAIR = 1e-9;
/** At the very rim of a profile seen straight on the surface stands upright and has no derivative. */
const RIM = 1 - 1e-6;

/**
 * A stretch of the flat that one limit allows: |a| ≤ edge(b) (`across`) or |b| ≤ edge(a) (`along`), or, with
 * `inside` false, everything but that. What a limit forbids goes to `zone`. Edges are even functions and grow
 * or fall steadily on each side, which the lying cylinder's symmetry gives.
 */
export interface Strip {
  readonly zone: Zone;
  readonly direction: "across" | "along";
  readonly allows: "inside" | "outside";
  edge(cross: number): number;
}

/** The limits as strips, in order of precedence; only those that bind somewhere for |a| < the visible half. */
export function strips(warp: Warp, limits: Limits): Strip[] {
  const at = (a: number, b: number) => warp.meetingUnchecked(a, b);
  const facing = (a: number, b: number): number => at(a, b).cosIncidence;
  const horizon = (b: number): number => firstZero((a) => facing(a, b), warp.surface.halfWidth * RIM);
  const across = (
    zone: Zone,
    margin: (a: number, b: number) => number,
    allows: Strip["allows"] = "inside",
  ): Strip => ({
    zone,
    direction: "across",
    allows,
    // Past the horizon u comes back, and a margin with it: the search ends there.
    edge: (b) => firstZero((a) => margin(a, b), horizon(b)),
  });
  const half = warp.head.field / 2;
  const cosMax = Math.cos((limits.maxIncidenceDeg * Math.PI) / 180);
  const list = [
    { zone: "hidden" as const, direction: "across" as const, allows: "inside" as const, edge: horizon },
    across("off-field", (a, b) => half - Math.abs(at(a, b).u)),
    {
      zone: "off-field" as const,
      direction: "along" as const,
      allows: "inside" as const,
      edge: (a: number) => {
        // v = b/(1 + d/p) on a surface whose Y is b: straight in b.
        const unit = Math.abs(at(a, 1).v);
        return unit > 0 ? half / unit : Infinity;
      },
    },
    across("out-of-depth", (a, b) => limits.usableDepthMm - at(a, b).defocus),
  ];
  if (at(0, 0).defocus < -limits.usableDepthMm - HAIR) {
    list.push(across("out-of-depth", (a, b) => -limits.usableDepthMm - at(a, b).defocus, "outside"));
  }
  list.push(across("oblique", (a, b) => at(a, b).cosIncidence - cosMax));
  return list;
}

/** The smallest |a| where a margin that starts positive at the crown reaches 0; `limit` where it never does. */
function firstZero(margin: (a: number) => number, limit: number): number {
  if (!(margin(0) > 0)) return 0;
  const last = limit * (1 - 1e-12);
  return bracketRoot(margin, 0, last) ?? limit;
}
