/**
 * The areas of the side view, seen straight onto the crown line from far away: X = r sin θ against y. What lies behind
 * |θ| = 90° does not show.
 */
import type { Keepout } from "../../plan/blocked.ts";
import { kindOf } from "../../plan/vesselzone.ts";
import type { Ring, Shown } from "./patterns.ts";
import type { DrawnRow, Subject } from "./subject.ts";

export interface SideArea {
  readonly shown: Shown;
  /** Each with the lines to draw along it: X, y (mm of the vessel). */
  readonly parts: readonly Part[];
}

interface Part {
  readonly ring: Ring;
  readonly edges: readonly Ring[];
}

const QUARTER = Math.PI / 2;
const across = (radius: number, theta: number): number =>
  radius * Math.sin(Math.max(-QUARTER, Math.min(QUARTER, theta)));
/** A stretch that takes less of the vessel's height is too thin to see. */
const THIN = 0.004;

/** The printable zone first, then what stops a whole height, then the blocked areas. */
export function sideAreas(rows: readonly DrawnRow[], blocked: readonly Keepout[]): SideArea[] {
  const parts = new Map<Shown, Part[]>([["printable", []]]);
  const put = (shown: Shown, part: Part): void => {
    const list = parts.get(shown);
    if (list) list.push(part);
    else parts.set(shown, [part]);
  };
  const thin = THIN * (rows.at(-1)!.y - rows[0]!.y);
  for (const run of runsOf(rows).filter((one) => one.at(-1)!.y - one[0]!.y > thin)) {
    const first = run[0]!;
    if (first.spans.length > 0)
      first.spans.forEach((_, i) => {
        put(
          "printable",
          partOf(run, (row) => row.spans[i]!, false),
        );
      });
    if (first.half > 0 || first.limitedBy === "blocked") continue;
    // The crown line itself, between two stretches beside it.
    const next = first.spans.findIndex(([from]) => from > 0);
    if (next > 0)
      put(
        first.limitedBy,
        partOf(run, ({ spans }) => [spans[next - 1]![1], spans[next]![0]], true),
      );
    else if (first.spans.length === 0)
      put(
        first.limitedBy,
        partOf(run, () => [-QUARTER, QUARTER], true),
      );
  }
  for (const area of blocked) for (const part of blockedParts(rows, area)) put("blocked", part);
  return [...parts].map(([shown, list]) => ({ shown, parts: list })).filter((area) => area.parts.length > 0);
}

/** Stretches of rows that are of one kind. */
export function runsOf(rows: readonly DrawnRow[]): DrawnRow[][] {
  const runs: DrawnRow[][] = [];
  for (const row of rows) {
    const last = runs.at(-1)?.at(-1);
    if (last && kindOf(last) === kindOf(row)) runs.at(-1)!.push(row);
    else runs.push([row]);
  }
  return runs.filter((run) => run.length > 1);
}

/** `closed`: its upper and lower end are drawn too. */
function partOf(
  run: readonly DrawnRow[],
  span: (row: DrawnRow) => readonly [number, number],
  closed: boolean,
): Part {
  const left = run.map((row) => ({ x: across(row.radius, span(row)[0]), y: row.y }));
  const right = run.map((row) => ({ x: across(row.radius, span(row)[1]), y: row.y })).reverse();
  const ring = [...left, ...right];
  return { ring, edges: closed ? [[...ring, left[0]!]] : [left, right] };
}

/** The part of a blocked area that shows from the front, whichever way around it was given. */
function blockedParts(rows: readonly DrawnRow[], { fromRad, toRad, top, bottom }: Keepout): Part[] {
  const within = rows.filter(({ m }) => m >= top && m <= bottom);
  const run = [...edgeRow(rows, top), ...within, ...edgeRow(rows, bottom)].sort((p, q) => p.m - q.m);
  return [-1, 0, 1].flatMap((k) => {
    const [from, to] = [fromRad + 2 * Math.PI * k, toRad + 2 * Math.PI * k];
    if (!(Math.min(to, QUARTER) - Math.max(from, -QUARTER) > 1e-6) || run.length < 2) return [];
    return [partOf(run, () => [from, to], true)];
  });
}

/** A row at an end of a blocked area that lies between two others. */
function edgeRow(rows: readonly DrawnRow[], m: number): DrawnRow[] {
  const i = rows.findIndex((row) => row.m >= m);
  const [before, after] = [rows[i - 1], rows[i]];
  if (!before || !after || after.m === before.m) return [];
  const t = (m - before.m) / (after.m - before.m);
  const between = (p: number, q: number): number => p + (q - p) * t;
  return [{ ...after, m, y: between(before.y, after.y), radius: between(before.radius, after.radius) }];
}

/** Names of the blocked areas that do not show from the front. */
export function behindNames({ study }: Subject): string[] {
  const turn = 2 * Math.PI;
  return (study.body.limits.blocked ?? [])
    .filter(
      ({ fromRad, toRad }) =>
        ![-1, 0, 1].some((k) => Math.min(toRad + turn * k, QUARTER) > Math.max(fromRad + turn * k, -QUARTER)),
    )
    .map(({ name }) => name);
}
