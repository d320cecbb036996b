/** Words inside a heat map's panel: the values of the lines of equal value, and the names of the zones. */
import type { Plan } from "../plan/types.ts";
import { type DrawnZone, zoneStyles } from "./colours.ts";
import { crossings } from "./isolines.ts";
import type { Lettering } from "./lettering.ts";
import { SMALL, text } from "./parts.ts";
import type { View } from "./view.ts";
import type { Rings } from "./zoneareas.ts";
import { clearStretches, type Stretch } from "./zonewords.ts";

/** Middle of the row of words above and below the ink, from the panel's edge (px). */
const LABEL_ROW = 30;

/** Each line's value where it crosses one of two rows above the ink; the lines nearest the crown line choose first. */
export function levelWords(
  view: View,
  lettering: Lettering,
  levels: readonly number[],
  worded: (level: number) => string,
  value: (x: number, y: number) => number,
): string {
  const columns = Float64Array.from({ length: view.width }, (_, i) => view.left + i + 0.5);
  const middle = view.x(0);
  const rows = [LABEL_ROW - 4, LABEL_ROW + 30].map((down) => {
    const y = view.top + down;
    const values = columns.map((x) => value(x, y));
    return { y, values, taken: [] as { x: number; half: number }[] };
  });
  const wanted = levels
    .flatMap((level) => crossings(columns, rows[0]!.values, level).map((x, nth) => ({ x, nth, level })))
    .sort((p, q) => Math.abs(p.x - middle) - Math.abs(q.x - middle));
  let svg = "";
  for (const { nth, level } of wanted) {
    const words = worded(level);
    const half = lettering.width(words, SMALL) / 2 + 5;
    for (const { y, values, taken } of rows) {
      const x = crossings(columns, values, level)[nth];
      if (x === undefined || x - half < view.left || x + half > view.left + view.width) continue;
      if (Math.abs(x - middle) < half + 2 || taken.some((t) => Math.abs(t.x - x) < t.half + half)) continue;
      taken.push({ x, half });
      svg += text(lettering, words, { x, y: y + 9, size: SMALL, anchor: "middle" }, { halo: 3.5 });
      break;
    }
  }
  return svg;
}

/** Each zone's word: level in the row below the ink where it fits, else upright in the middle of the panel. */
export function zoneWords(
  plan: Plan,
  view: View,
  lettering: Lettering,
  areas: ReadonlyMap<DrawnZone, Rings>,
): string {
  const bottom = view.top + view.height - LABEL_ROW;
  const middle = view.top + view.height / 2;
  const level = zoneRuns(areas, bottom - HALF, bottom + HALF);
  let svg = "";
  for (const zone of areas.keys()) {
    const { word } = zoneStyles[zone];
    const long = lettering.width(word, SMALL, "bold");
    const put = (x: number, y: number, rotate: number): void => {
      const place = rotate === 0 ? { x, y: y + 9, rotate } : { x: x + 9, y, rotate };
      svg += text(lettering, word, { ...place, size: SMALL, anchor: "middle", weight: "bold" }, { halo: 5 });
    };
    const wide = level.filter((r) => r.zone === zone && r.to - r.from >= long + 20);
    for (const run of wide) put(clear(plan, view, run, long + 20), bottom, 0);
    for (const run of zoneRuns(areas, middle - long / 2, middle + long / 2)) {
      if (run.zone !== zone || run.to - run.from < UPRIGHT || view.height < long + 2 * (LABEL_ROW + 30))
        continue;
      if (!wide.some((r) => r.from < run.to && run.from < r.to))
        put(clear(plan, view, run, UPRIGHT), middle, -90);
    }
  }
  return svg;
}
const UPRIGHT = 38;
/** Half the height of a word (px). */
const HALF = 13;

/**
 * The middle of a run, or of its widest part between crown line, reach and the ink's sides if that has the room: one
 * beside the ink before one over it.
 */
function clear(plan: Plan, view: View, run: Run, room: number): number {
  const half = plan.reach.aroundMm / 2;
  const { minX, maxX } = plan.ink.box;
  const cuts = [-half, 0, half, minX, maxX].map((a) => view.x(a)).filter((x) => x > run.from && x < run.to);
  const ends = [run.from, ...cuts.sort((p, q) => p - q), run.to];
  const beside = (x0: number, x1: number): boolean => x1 <= view.x(minX) + 1e-6 || x0 >= view.x(maxX) - 1e-6;
  for (let i = 0; i + 1 < ends.length; i++)
    if (ends[i + 1]! - ends[i]! >= room && beside(ends[i]!, ends[i + 1]!))
      return (ends[i]! + ends[i + 1]!) / 2;
  let [from, to] = [run.from, run.from];
  for (let i = 0; i + 1 < ends.length; i++)
    if (ends[i + 1]! - ends[i]! > to - from) [from, to] = [ends[i]!, ends[i + 1]!];
  return to - from >= room ? (from + to) / 2 : (run.from + run.to) / 2;
}

interface Run extends Stretch {
  readonly zone: DrawnZone;
}

/** Stretches of each zone that lie inside it from `top` to `bottom`. */
const zoneRuns = (areas: ReadonlyMap<DrawnZone, Rings>, top: number, bottom: number): Run[] =>
  [...areas].flatMap(([zone, rings]) =>
    clearStretches(rings, top, bottom).map((stretch) => ({ zone, ...stretch })),
  );
