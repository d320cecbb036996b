/**
 * Zones of the flat, in order of precedence (model §7): what keeps a point from being marked well.
 *
 *   hidden        cos i ≤ 0, or the flat goes past the back or the ends of the vessel
 *   off-field     |u| or |v| > field/2
 *   blocked       a handle, seam or other area that is to stay free
 *   out-of-depth  |d| > z_u, d straight down from the focal plane
 *   oblique       i > i_max
 *   usable        none of these
 */
import type { Box } from "../geometry/path.ts";
import { bracketRoot } from "../geometry/roots.ts";
import type { Surface } from "../vessel/surface.ts";
import type { Warp } from "../warp/warp.ts";
import { type Keepout, keepsOut } from "./blocked.ts";
import { EDGE, type Outline, outlineOver, type Side } from "./outline.ts";

export const zoneNames = ["usable", "oblique", "out-of-depth", "blocked", "off-field", "hidden"] as const;
export type Zone = (typeof zoneNames)[number];

export interface Limits {
  readonly usableDepthMm: number;
  readonly maxIncidenceDeg: number;
  readonly blocked?: readonly Keepout[];
}

/** The zone of one flat point. A hair of slack (1e-9) keeps a point on a limit inside it. */
export function zoneAt(warp: Warp, limits: Limits, a: number, b: number): Zone {
  const m = warp.meeting(a, b);
  if (typeof m === "string") return "hidden";
  const half = warp.head.field / 2 + HAIR;
  if (Math.abs(m.u) > half || Math.abs(m.v) > half) return "off-field";
  if (limits.blocked?.some((area) => keepsOut(area, warp.surface, a, b))) return "blocked";
  if (Math.abs(m.defocus) > limits.usableDepthMm + HAIR) return "out-of-depth";
  if (m.cosIncidence < Math.cos((limits.maxIncidenceDeg * Math.PI) / 180) - HAIR) return "oblique";
  return "usable";
}
const HAIR = 1e-9;
/** At the back a hair stays free; at the very edge of a view, where a flat has no slope, more (radians). */
const BACK = 1e-6;
const EDGE_OF_VIEW = 0.008;

/** θ up to which the flat is used in a row. */
const endOf = ({ chart }: Surface, m: number): number =>
  Math.max(0, chart.halfAngle(m) - (chart.fidelity === "sight" ? EDGE_OF_VIEW : BACK));

/** A stretch of the vessel: from and to along the outline (m, mm). */
export interface Range {
  readonly top: number;
  readonly bottom: number;
}

/**
 * One limit: what it forbids goes to `zone`. Strips are applied in the order of their list, each to what those before
 * let pass.
 */
export interface Strip {
  readonly zone: Zone;
  /** Whether `outline` is around what is allowed or around what is not. */
  readonly allows: "inside" | "outside";
  /** On the flat, over a range; null where there is none. */
  outline(range: Range): Outline | null;
  /** Not negative where the limit allows a flat point. */
  margin(a: number, b: number): number;
}

/** The limits as strips, in order of precedence. */
export function strips(warp: Warp, limits: Limits): Strip[] {
  const { surface, head } = warp;
  const { chart } = surface;
  const flat = new Float64Array(2);
  const at = (a: number, b: number) => warp.meetingUnchecked(a, b);
  /** A margin of the flat at a place of the vessel; negative where the flat does not show it. */
  const on =
    (margin: Strip["margin"]) =>
    (theta: number, m: number): number =>
      chart.from(theta, m, flat) ? margin(flat[0]!, flat[1]!) : -1;
  const facing: Strip["margin"] = (a, b) => (surface.covers(a, b) ? at(a, b).cosIncidence : -1);
  // Each strip asks for it at mostly the same m, and on some views it is dear.
  const horizons = new Map<number, number>();
  const horizon = (m: number): number => {
    const known = horizons.get(m);
    if (known !== undefined) return known;
    const found = firstZero((theta) => on(facing)(theta, m), endOf(surface, m));
    horizons.set(m, found);
    return found;
  };
  const across = (zone: Zone, margin: Strip["margin"], allows: Strip["allows"] = "inside"): Strip => ({
    zone,
    allows,
    // Past the horizon u comes back, and a margin with it: the search ends there.
    outline: (range) =>
      bothSides(surface, range, (m) =>
        firstZero((theta) => (allows === "inside" ? 1 : -1) * on(margin)(theta, m), horizon(m)),
      ),
    margin,
  });
  const half = head.field / 2;
  const cosMax = Math.cos((limits.maxIncidenceDeg * Math.PI) / 180);
  return [
    {
      zone: "hidden",
      allows: "inside",
      outline: (range) => bothSides(surface, range, horizon),
      margin: facing,
    },
    across("off-field", (a, b) => half - Math.abs(at(a, b).u)),
    alongField(surface, half, (a, b) => at(a, b).v, horizon),
    ...(limits.blocked ?? []).map(
      (area): Strip => ({
        zone: "blocked",
        allows: "outside",
        outline: (range) => blockedOutline(surface, area, range),
        margin: (a, b) => (keepsOut(area, surface, a, b) ? -1 : 1),
      }),
    ),
    across("out-of-depth", (a, b) => limits.usableDepthMm - at(a, b).defocus),
    // Above the focal plane the crown is the first to leave the depth.
    across("out-of-depth", (a, b) => limits.usableDepthMm + at(a, b).defocus, "outside"),
    across("oblique", (a, b) => at(a, b).cosIncidence - cosMax),
  ];
}

/** The stretch |θ| ≤ edge(m); null where it has no width anywhere. */
function bothSides(surface: Surface, { top, bottom }: Range, edge: (m: number) => number): Outline | null {
  const along = (t: number): number => top + (bottom - top) * t;
  const [first, last] = [edge(top), edge(bottom)];
  const sides: Side[] = [
    (t) => [edge(along(t)), along(t)],
    (t) => [last * (1 - 2 * t), bottom],
    (t) => [-edge(along(1 - t)), along(1 - t)],
    (t) => [first * (2 * t - 1), top],
  ];
  return outlineOver(surface, sides);
}

/** The field's reach along the vessel: |v| ≤ half. */
function alongField(
  surface: Surface,
  half: number,
  v: (a: number, b: number) => number,
  horizon: (m: number) => number,
): Strip {
  const flat = new Float64Array(2);
  const margin = (a: number, b: number): number => half - Math.abs(v(a, b));
  return {
    zone: "off-field",
    allows: "inside",
    margin,
    outline: ({ top, bottom }) => {
      const [from, to] = [Math.min(top, 0), Math.max(bottom, 0)];
      // Wide enough for every row of the range; what lies past a row's own horizon is gone already.
      let widest = 0;
      for (let i = 0; i <= 32; i++) widest = Math.max(widest, horizon(from + ((to - from) * i) / 32));
      if (!(widest > 0)) return null;
      const place = (theta: number, m: number): readonly [number, number] => [shownAt(surface, theta, m), m];
      const reach = (theta: number, end: number): number => {
        const at = (m: number): number =>
          surface.chart.from(shownAt(surface, theta, m), m, flat) ? margin(flat[0]!, flat[1]!) : -1;
        if (!(at(0) > 0)) return 0;
        // Past the horizon v comes back: the first place where it leaves the field counts.
        for (let i = 1; i <= LOOKS; i++) {
          if (at((end * i) / LOOKS) > 0) continue;
          const share = bracketRoot((x) => at(x * end), (i - 1) / LOOKS, i / LOOKS);
          return end * (share ?? i / LOOKS);
        }
        return end;
      };
      const around = (t: number): number => widest * (2 * t - 1);
      // Left and right are alike.
      const [upper, lower] = [reach(widest, from), reach(widest, to)];
      return outlineOver(surface, [
        (t) => place(around(t), reach(around(t), from)),
        (t) => place(widest, upper + (lower - upper) * t),
        (t) => place(around(1 - t), reach(around(1 - t), to)),
        (t) => place(-widest, lower + (upper - lower) * t),
      ]);
    },
  };
}

/** Places looked at from the placement point to an end of the range. */
const LOOKS = 24;

/** θ as far as the flat shows the row. */
const shownAt = (surface: Surface, theta: number, m: number): number =>
  Math.sign(theta) * Math.min(Math.abs(theta), endOf(surface, m));

/** A blocked area as far as it lies within a range; null where it does not. */
function blockedOutline(surface: Surface, area: Keepout, range: Range): Outline | null {
  const top = Math.max(area.top, range.top);
  const bottom = Math.min(area.bottom, range.bottom);
  if (!(bottom > top)) return null;
  const { fromRad, toRad } = area;
  // What goes past the back comes up on the flat's other side.
  const parts = [-1, 0, 1].flatMap((k) => {
    const [from, to] = [
      Math.max(-Math.PI, fromRad + 2 * Math.PI * k),
      Math.min(Math.PI, toRad + 2 * Math.PI * k),
    ];
    if (!(to > from)) return [];
    const around = (t: number): number => from + (to - from) * t;
    const along = (t: number): number => top + (bottom - top) * t;
    const place = (theta: number, m: number): readonly [number, number] => [shownAt(surface, theta, m), m];
    const outline = outlineOver(surface, [
      (t) => place(around(t), top),
      (t) => place(to, along(t)),
      (t) => place(around(1 - t), bottom),
      (t) => place(from, along(1 - t)),
    ]);
    return outline ? [outline] : [];
  });
  return parts.length > 0 ? parts.flat() : null;
}

/** The stretch of the vessel that a box of the flat may lie on, a little more at both ends; null where it lies off it. */
export function rangeOf(surface: Surface, box: Box, more = MORE): Range | null {
  const { chart, meridian } = surface;
  const place = new Float64Array(6);
  const flat = new Float64Array(2);
  const clip = (a: number): number =>
    Math.max(-surface.halfWidth * WITHIN, Math.min(surface.halfWidth * WITHIN, a));
  let [top, bottom] = [Infinity, -Infinity];
  for (let i = 0; i <= ACROSS; i++) {
    for (let j = 0; j <= ALONG; j++) {
      const a = clip(box.minX + ((box.maxX - box.minX) * i) / ACROSS);
      const b = box.minY + ((box.maxY - box.minY) * j) / ALONG;
      if (!chart.to(a, b, place)) continue;
      top = Math.min(top, place[1]!);
      bottom = Math.max(bottom, place[1]!);
    }
  }
  // The flat may end between two places looked at: there it is followed to its end, where it reaches furthest.
  const a = Math.max(box.minX, Math.min(box.maxX, 0));
  const shown = (b: number): boolean => chart.to(a, b, place);
  for (const [end, inner] of [
    [box.minY, box.maxY],
    [box.maxY, box.minY],
  ] as const) {
    if (shown(end)) continue;
    const steps = Array.from({ length: ALONG + 1 }, (_, j) => end + ((inner - end) * j) / ALONG);
    const first = steps.findIndex(shown);
    if (first < 1) continue;
    let [off, on] = [steps[first - 1]!, steps[first]!];
    for (let i = 0; i < HALVINGS; i++) {
      const middle = (off + on) / 2;
      if (shown(middle)) on = middle;
      else off = middle;
    }
    shown(on);
    top = Math.min(top, place[1]!);
    bottom = Math.max(bottom, place[1]!);
  }
  const further = (m: number, step: number): number => (chart.from(0, m + step, flat) ? m + step : m);
  // Ends that bend on the flat are followed by chords, which may pass them by.
  const inset = chart.fidelity === "girth" || chart.fidelity === "true-width" ? 0 : 1.2 * EDGE;
  top = Math.max(meridian.from + inset, further(top, -more));
  bottom = Math.min(meridian.to - inset, further(bottom, more));
  return bottom >= top ? { top, bottom } : null;
}
const WITHIN = 1 - 1e-6;
const ACROSS = 16;
const ALONG = 48;
const HALVINGS = 50;
/** mm. */
const MORE = 1;

/** The smallest θ where a margin that starts positive at the crown reaches 0; `limit` where it never does. */
function firstZero(margin: (theta: number) => number, limit: number): number {
  if (!(margin(0) > 0)) return 0;
  const last = limit * (1 - 1e-12);
  return bracketRoot(margin, 0, last) ?? limit;
}
