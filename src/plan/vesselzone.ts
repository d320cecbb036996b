/**
 * What one focal plane lets be marked of a whole vessel: at each m along the outline the stretches of θ in which every
 * limit holds (model §7), and their area
 *
 *   A = ∫ r(m) Σ(θ₁ − θ₀) dm
 *
 * Between the crown line and the horizon each margin is taken to change its sign once at most; the stretches between
 * such places are judged by their middles. How the flat lands on the vessel does not matter here.
 */
import { bracketRoot } from "../geometry/roots.ts";
import type { ScanHead } from "../head/scanhead.ts";
import { girthChart } from "../vessel/chart.ts";
import { revolved } from "../vessel/revolved.ts";
import type { Surface } from "../vessel/surface.ts";
import { Warp } from "../warp/warp.ts";
import { isShaded } from "./shaded.ts";
import { type Limits, type Zone, zoneAt } from "./zones.ts";

/** A vessel under a lens, by θ and m. */
export interface Body {
  readonly warp: Warp;
  readonly limits: Limits;
  /** Along the outline (m, mm): the vessel's ends, or where the lens's field ends where those are not known. */
  readonly from: number;
  readonly to: number;
}

export interface ZoneRow {
  readonly m: number;
  /** Radius there (mm). */
  readonly radius: number;
  /** From and to in θ (radians), rising. */
  readonly spans: readonly (readonly [number, number])[];
  /** Of artwork centred on the crown line, in θ; 0 where the crown line itself cannot be marked. */
  readonly half: number;
  /** What ends it: the limit at its edge, or at the crown line where `half` is 0. */
  readonly limitedBy: Exclude<Zone, "usable">;
}

/** `ends`: where the vessel ends along its outline (m, mm), infinite where that is not known. */
export function bodyOf(
  { meridian, tilt }: Surface,
  head: ScanHead,
  limits: Limits,
  ends: { readonly from: number; readonly to: number } = meridian,
): Body {
  // Where the field cuts off a level crown line: v = b/(1 − δ/p).
  const field = (head.field / 2) * (1 - head.belowCrown / head.pivotAlong);
  return {
    warp: new Warp(revolved(meridian, girthChart(meridian, 0), tilt), head),
    limits,
    from: Number.isFinite(ends.from) ? ends.from : -field,
    to: Number.isFinite(ends.to) ? ends.to : field,
  };
}

export const zoneOf = (body: Body, theta: number, m: number): Zone => {
  const { surface } = body.warp;
  const a = theta * surface.meridian.radius;
  const zone = zoneAt(body.warp, body.limits, a, m);
  return zone !== "hidden" && !surface.meridian.convex && isShaded(body.warp, a, m) ? "hidden" : zone;
};

/** The very ends are judged by what is a hair within (mm): an area that goes up to an end has its edge there. */
const INSIDE = 1e-8;

export function zoneRowAt(body: Body, at: number): ZoneRow {
  const m = Math.max(body.from + INSIDE, Math.min(body.to - INSIDE, at));
  const spans = spansAt(body, m);
  const o = new Float64Array(4);
  body.warp.surface.meridian.at(m, o);
  const middle = spans.find(([from, to]) => from <= 0 && to >= 0);
  const half = middle ? Math.min(-middle[0], middle[1]) : 0;
  return { m: at, radius: o[0]!, spans, half, limitedBy: limitAt(body, m, half) };
}

/** A hair past an edge (radians). */
const PAST = 1e-6;

function limitAt(body: Body, m: number, half: number): ZoneRow["limitedBy"] {
  for (const theta of half > 0 ? [half + PAST, -half - PAST] : [0, PAST, -PAST]) {
    const zone = zoneOf(body, theta, m);
    if (zone !== "usable") return zone;
  }
  return "hidden";
}

function spansAt(body: Body, m: number): [number, number][] {
  const places = placesAt(body, m);
  const spans: [number, number][] = [];
  for (let i = 1; i < places.length; i++) {
    const [from, to] = [places[i - 1]!, places[i]!];
    if (to - from < PAST || zoneOf(body, (from + to) / 2, m) !== "usable") continue;
    const last = spans.at(-1);
    if (last && from - last[1] < PAST) last[1] = to;
    else spans.push([from, to]);
  }
  return spans;
}

/** Where something may change, by rising θ; none where the vessel turns its crown away. */
function placesAt(body: Body, m: number): number[] {
  const { warp, limits } = body;
  const { radius, convex } = warp.surface.meridian;
  const meet = (theta: number) => warp.meetingUnchecked(theta * radius, m);
  if (!(meet(0).cosIncidence > 0)) return [];
  const root = (margin: (theta: number) => number, last: number): number[] => {
    const found = bracketRoot(margin, 0, last);
    return found === null ? [] : [found];
  };
  const horizon = root((theta) => meet(theta).cosIncidence, BACK)[0] ?? BACK;
  const field = warp.head.field / 2;
  const cosMax = Math.cos((limits.maxIncidenceDeg * Math.PI) / 180);
  const right = [
    ...root((theta) => limits.usableDepthMm - meet(theta).defocus, horizon),
    ...root((theta) => limits.usableDepthMm + meet(theta).defocus, horizon),
    ...root((theta) => meet(theta).cosIncidence - cosMax, horizon),
    ...root((theta) => field - meet(theta).u, horizon),
    ...root((theta) => field - Math.abs(meet(theta).v), horizon),
    ...(convex ? [] : shadeEdges(warp, m, horizon)),
  ];
  const edges = (limits.blocked ?? [])
    .filter(({ top, bottom }) => m > top && m < bottom)
    .flatMap(({ fromRad, toRad }) => [turned(fromRad), turned(toRad)])
    .filter((theta) => Math.abs(theta) < horizon);
  return [-horizon, ...right.map((theta) => -theta), 0, ...right, ...edges, horizon].sort((p, q) => p - q);
}
const BACK = Math.PI * (1 - 1e-9);
const turned = (theta: number): number => theta - 2 * Math.PI * Math.round(theta / (2 * Math.PI));

/** Where a shade begins or ends, looked for in so many steps. */
const SHADE_STEPS = 16;

function shadeEdges(warp: Warp, m: number, horizon: number): number[] {
  const { radius } = warp.surface.meridian;
  const shaded = (theta: number): boolean => isShaded(warp, theta * radius, m);
  const edges: number[] = [];
  let before = shaded(0);
  for (let i = 1; i <= SHADE_STEPS; i++) {
    const [from, to] = [((i - 1) * horizon) / SHADE_STEPS, (i * horizon * (1 - PAST)) / SHADE_STEPS];
    const now = shaded(to);
    if (now !== before) edges.push(halved((theta) => shaded(theta) === now, from, to, PAST));
    before = now;
  }
  return edges;
}

/** Where a condition that holds at `to` but not at `from` begins to hold, by halving. */
function halved(holds: (t: number) => boolean, from: number, to: number, tolerance: number): number {
  let [no, yes] = [from, to];
  while (Math.abs(yes - no) > tolerance) {
    const middle = (no + yes) / 2;
    if (holds(middle)) yes = middle;
    else no = middle;
  }
  return yes;
}

/** Rows looked at along the vessel, and how closely the ends of a stretch are found (mm). */
const ALONG = 240;
const CLOSE = 1e-4;

/** Rows from the rim to the base, close together; where a stretch begins or ends there are two within CLOSE. */
export function zoneRows(body: Body): ZoneRow[] {
  const rows: ZoneRow[] = [];
  for (let i = 0; i <= ALONG; i++) {
    const row = zoneRowAt(body, body.from + ((body.to - body.from) * i) / ALONG);
    const last = rows.at(-1);
    if (last && kindOf(last) !== kindOf(row)) rows.push(...change(body, last, row));
    rows.push(row);
  }
  return rows;
}

/** The two rows between which one kind of row becomes another. */
function change(body: Body, before: ZoneRow, after: ZoneRow): ZoneRow[] {
  let [one, other] = [before, after];
  while (other.m - one.m > CLOSE) {
    const row = zoneRowAt(body, (one.m + other.m) / 2);
    if (kindOf(row) === kindOf(before)) one = row;
    else other = row;
  }
  return [one, other];
}

/** How many stretches a row has, and what stands in the way on the crown line where none holds it. */
export const kindOf = ({ spans, half, limitedBy }: ZoneRow): string =>
  `${spans.length} ${half > 0 ? "" : limitedBy}`;
/** mm². */
export function zoneArea(rows: readonly ZoneRow[]): number {
  const width = ({ radius, spans }: ZoneRow): number =>
    radius * spans.reduce((sum, [from, to]) => sum + (to - from), 0);
  return rows.slice(1).reduce((sum, row, i) => {
    const before = rows[i]!;
    return sum + ((width(before) + width(row)) / 2) * (row.m - before.m);
  }, 0);
}
