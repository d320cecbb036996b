/**
 * A vessel as a table: at round heights and at the places that matter its diameter, girth and taper, how it lies under
 * the lens, and how far around it can be marked with one focal plane. With r(m) and y(m) of the outline,
 *
 *   girth = 2πr    taper = −asin(dr/dm), positive where the wall widens toward the rim
 *
 * The focal plane is as deep as leaves the crown usable where it is highest, h above the placement point: δ = z_u − h. On
 * a vessel whose crown falls away to both sides, h = 0, no other reaches further around (model §8). Where h takes more
 * than a third of z_u the crown at the placement point decides alone.
 */
import { maximise } from "../geometry/roots.ts";
import type { Job } from "../job/job.ts";
import type { Meridian } from "../vessel/meridian.ts";
import { bedOf, surfaceOf } from "./body.ts";
import { stationOf } from "./station.ts";
import { type Body, bodyOf, type ZoneRow, zoneArea, zoneRowAt, zoneRows } from "./vesselzone.ts";
import type { Limits } from "./zones.ts";

export type VesselAsk = Pick<
  Job,
  "vessel" | "placement" | "pose" | "lens" | "source" | "limits" | "column" | "axis" | "focus"
>;

/** Places that have a name; `measured`: a row of the profile. */
export type PlaceName = "rim" | "placement" | "widest" | "narrowest" | "measured" | "base";

export interface VesselRow {
  readonly places: readonly PlaceName[];
  /** Along the axis; null where the base, or the rim, is not known. */
  readonly aboveBaseMm: number | null;
  readonly belowRimMm: number | null;
  /** Along the axis from the placement point, positive toward the base. */
  readonly alongAxisMm: number;
  /** m: along the outline from the placement point, positive toward the base. */
  readonly alongOutlineMm: number;
  readonly diameterMm: number;
  readonly girthMm: number;
  /** Of the wall against the axis, positive where it widens toward the rim. */
  readonly taperDeg: number;
  /** Of the crown line, below the crown at the placement point; negative above it. */
  readonly crownDropMm: number;
  /** Of the beam on the crown line, to the normal; null where the beam does not come from above. */
  readonly crownIncidenceDeg: number | null;
  /** Either side of the crown line; 0 where the crown line itself cannot be marked. */
  readonly halfAngleDeg: number;
  /** Around on the vessel's own surface at that height, to both sides: 2 · half angle · radius. */
  readonly reachMm: number;
  /** `sides`: not on the crown line, but beside it. */
  readonly printable: "yes" | "sides" | "no";
  readonly limitedBy: ZoneRow["limitedBy"];
}

export interface VesselTable {
  readonly shape: Meridian["kind"];
  /** Of the axis out of the bed's plane, positive where the rim is lifted. */
  readonly tiltDeg: number;
  readonly heightMm: number | null;
  readonly focus: {
    readonly belowCrownMm: number;
    /** Asked for; as deep as the crown at the placement point allows, or the highest one; the column at its stop. */
    readonly by: "asked" | "depth" | "highest" | "column";
  };
  /** Of the crown where it is highest, above the crown at the placement point; 0 where it is nowhere higher. */
  readonly crownRiseMm: number;
  readonly limits: Pick<Limits, "usableDepthMm" | "maxIncidenceDeg">;
  readonly printable: {
    /** Of the vessel's own surface. */
    readonly areaMm2: number;
    /** Its upper and lower end along the outline; null where nothing can be marked. */
    readonly fromMm: number | null;
    readonly toMm: number | null;
  };
  readonly rows: readonly VesselRow[];
}

/** The table, with what pictures are drawn from. */
export interface VesselStudy {
  readonly table: VesselTable;
  readonly body: Body;
  readonly zone: readonly ZoneRow[];
  readonly ends: Ends;
}

/** Places along the axis (y, mm); null where not known. */
export interface Ends {
  readonly rimY: number | null;
  readonly baseY: number | null;
}

export function studyVessel(ask: VesselAsk): VesselStudy {
  const surface = surfaceOf(ask);
  const { meridian, tilt } = surface;
  const { base, limits, shallowestMm } = stationOf(ask, ask.lens, bedOf(ask, surface));
  const ends = endsOf(ask.vessel);
  const at = (belowCrown: number): Body =>
    bodyOf(surface, { ...base, belowCrown }, limits, arcEnds(meridian, ends));
  const crownRiseMm = crownRise(at(limits.usableDepthMm));
  const focus = focusOf(ask.focus, limits.usableDepthMm, shallowestMm, crownRiseMm);
  const body = at(focus.belowCrownMm);
  const zone = zoneRows(body);
  const marked = zone.filter(({ spans }) => spans.length > 0);
  const { usableDepthMm, maxIncidenceDeg } = limits;
  const table: VesselTable = {
    shape: meridian.kind,
    tiltDeg: degrees(tilt),
    heightMm: ask.vessel.heightMm ?? null,
    focus,
    crownRiseMm,
    limits: { usableDepthMm, maxIncidenceDeg },
    printable: {
      areaMm2: zoneArea(zone),
      fromMm: marked[0]?.m ?? null,
      toMm: marked.at(-1)?.m ?? null,
    },
    rows: placesOf(body, ends, ask.vessel).map((place) => rowOf(body, ends, place)),
  };
  return { table, body, zone, ends };
}

/** A crown that rises by more than this part of the usable depth would cost too much of what lies around it. */
const RISE_SHARE = 1 / 3;
/** Less of a rise is none to speak of (mm). */
export const NO_RISE = 0.05;
/** The plane is told to a hundredth, rounded up from the edge of the depth, a hair within it (mm). */
const HUNDREDTHS = 100;
const WITHIN = 1e-6;

function focusOf(
  focus: Job["focus"],
  usableDepthMm: number,
  shallowestMm: number,
  riseMm: number,
): VesselTable["focus"] {
  if (focus !== "best") return { belowCrownMm: focus === "crown" ? 0 : focus, by: "asked" };
  const lifted = riseMm > 0 && riseMm <= RISE_SHARE * usableDepthMm;
  const deep = lifted
    ? Math.floor(HUNDREDTHS * (usableDepthMm - riseMm - WITHIN)) / HUNDREDTHS
    : usableDepthMm;
  if (shallowestMm > deep) return { belowCrownMm: shallowestMm, by: "column" };
  return { belowCrownMm: deep, by: lifted && riseMm >= NO_RISE ? "highest" : "depth" };
}

/** How far the crown line rises above the placement point, where the field holds it and incidence allows it (mm). */
function crownRise({ warp, limits, from, to }: Body): number {
  const cosMax = Math.cos((limits.maxIncidenceDeg * Math.PI) / 180);
  const rise = (m: number): number => {
    const { v, cosIncidence, drop } = warp.meetingUnchecked(0, m);
    return Math.abs(v) <= warp.head.field / 2 && cosIncidence >= cosMax ? -drop : -Infinity;
  };
  const highest = rise(highestAt(rise, from, to));
  return highest > ROUNDING ? highest : 0;
}
/** mm. */
const ROUNDING = 1e-9;

function endsOf({ heightMm, belowRimMm, sphereMm }: Job["vessel"]): Ends {
  if (sphereMm !== undefined || belowRimMm === undefined) return { rimY: null, baseY: null };
  return { rimY: -belowRimMm, baseY: heightMm === undefined ? null : heightMm - belowRimMm };
}

/** A cylinder's outline goes on for ever: the job knows where it ends. */
const arcEnds = ({ from, to }: Meridian, { rimY, baseY }: Ends): { from: number; to: number } => ({
  from: Number.isFinite(from) ? from : (rimY ?? from),
  to: Number.isFinite(to) ? to : (baseY ?? to),
});

const degrees = (radians: number): number => (radians * 180) / Math.PI + 0;

interface Place {
  readonly m: number;
  readonly places: readonly PlaceName[];
}

/** About so many rows; the step is the least of 1, 2, 2.5, 5 × 10ⁿ mm that makes no more. */
const ROWS = 20;
/** Rows keep so far apart, in steps: those of the profile, and those at round heights. */
const APART = { measured: 0.6, round: 0.4 };
/** Places closer than this (mm) are one. */
const SAME = 0.05;

function placesOf({ warp, from, to }: Body, { rimY, baseY }: Ends, vessel: Job["vessel"]): Place[] {
  const { meridian } = warp.surface;
  const y = heightsOf(meridian);
  const list: { m: number; places: PlaceName[] }[] = [];
  const name = (m: number, place: PlaceName): void => {
    const near = list.find((one) => Math.abs(one.m - m) < SAME);
    if (near) near.places.push(place);
    else list.push({ m, places: [place] });
  };
  const isRim = rimY !== null && Math.abs(y(from) - rimY) < SAME;
  const isBase = baseY !== null && Math.abs(y(to) - baseY) < SAME;
  if (isRim) name(from, "rim");
  name(0, "placement");
  for (const [place, m] of extremes(meridian, from, to)) name(m, place);
  if (isBase) name(to, "base");
  // Where a vessel is not known, or not measured, to its ends, the table still goes as far as it can.
  for (const m of [from, to])
    if (list.every((one) => Math.abs(one.m - m) >= SAME)) list.push({ m, places: [] });
  const step = stepOf((y(to) - y(from)) / ROWS);
  const add = (at: number, apart: number, places: PlaceName[]): void => {
    if (!(at > y(from) && at < y(to))) return;
    if (list.every((one) => Math.abs(y(one.m) - at) > apart * step))
      list.push({ m: meridian.arcAt(at), places });
  };
  if (baseY !== null)
    for (const { heightMm } of vessel.profile ?? []) add(baseY - heightMm, APART.measured, ["measured"]);
  const zero = baseY ?? rimY ?? 0;
  for (let k = Math.ceil((y(from) - zero) / step); k * step < y(to) - zero; k++)
    add(zero + k * step, APART.round, []);
  return list.sort((p, q) => p.m - q.m);
}

function heightsOf(meridian: Meridian): (m: number) => number {
  const o = new Float64Array(4);
  return (m) => {
    meridian.at(m, o);
    return o[1]!;
  };
}

function stepOf(least: number): number {
  const unit = 10 ** Math.floor(Math.log10(least));
  return unit * ([1, 2, 2.5, 5].find((factor) => factor * unit >= least) ?? 10);
}

/** The outline's widest and narrowest place, where it bends; a sphere is narrow at its poles. */
function extremes(meridian: Meridian, from: number, to: number): [PlaceName, number][] {
  if (meridian.slope !== null) return [];
  const o = new Float64Array(4);
  const radius = (m: number): number => {
    meridian.at(m, o);
    return o[0]!;
  };
  const most = (f: (m: number) => number): number => {
    const found = highestAt(f, from, to);
    // Along a straight wall one place is as good as the other.
    return [0, from, to].find((m) => f(m) > f(found) - SAME_RADIUS) ?? found;
  };
  const widest: [PlaceName, number] = ["widest", most(radius)];
  return meridian.kind === "sphere" ? [widest] : [widest, ["narrowest", most((m) => -radius(m))]];
}

/** Where a function of m is largest, between two places. */
function highestAt(f: (m: number) => number, from: number, to: number): number {
  const step = (to - from) / EXTREME_STEPS;
  const at = Array.from({ length: EXTREME_STEPS + 1 }, (_, i) => from + i * step);
  const best = at.reduce((p, q) => (f(q) > f(p) ? q : p));
  const found = maximise(f, Math.max(from, best - step), Math.min(to, best + step), 1e-6);
  return f(found) >= f(best) ? found : best;
}
const EXTREME_STEPS = 200;

/** mm. */
const SAME_RADIUS = 0.005;

function rowOf(body: Body, { rimY, baseY }: Ends, { m, places }: Place): VesselRow {
  const o = new Float64Array(4);
  body.warp.surface.meridian.at(m, o);
  const [r, y, slope] = [o[0]!, o[1]!, o[2]!];
  const crown = body.warp.meetingUnchecked(0, m);
  const { spans, half, limitedBy } = zoneRowAt(body, m);
  return {
    places,
    aboveBaseMm: baseY === null ? null : baseY - y + 0,
    belowRimMm: rimY === null ? null : y - rimY + 0,
    alongAxisMm: y + 0,
    alongOutlineMm: m + 0,
    diameterMm: 2 * r,
    girthMm: 2 * Math.PI * r,
    taperDeg: degrees(-Math.asin(slope)),
    crownDropMm: crown.drop + 0,
    crownIncidenceDeg:
      crown.slant > 0 ? degrees(Math.acos(Math.max(-1, Math.min(1, crown.cosIncidence)))) : null,
    halfAngleDeg: degrees(half),
    reachMm: 2 * half * r,
    printable: half > 0 ? "yes" : spans.length > 0 ? "sides" : "no",
    limitedBy,
  };
}
