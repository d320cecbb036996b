/**
 * The side view: the upright vessel seen straight onto its crown line, in true proportion, with what can be printed and
 * what stands in the way. Lines after ISO 128: the outline wide, the axis long-dashed dotted, zigzags where it goes on.
 */
import { line, NARROW, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { INK } from "../parts.ts";
import { fixed, ringData } from "../svg.ts";
import { sideAreas } from "./areas.ts";
import { patterned } from "./patterns.ts";
import type { Drawn, DrawnRow, Subject } from "./subject.ts";

/** Where the placement point lies on the page (mm), and mm on the page for one of the vessel. */
export interface Spot {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

export const AXIS_DASH = [6, 0.8, 0.6, 0.8] as const;
const PAST = 4;
/** Half of the cross on the placement point. */
const CROSS = 1.6;

export function sideView({ study }: Subject, drawn: Drawn, spot: Spot): PageItem[] {
  const { rows } = drawn;
  const [first, last] = [rows[0]!, rows.at(-1)!];
  const toPage = (p: { x: number; y: number }) => ({ x: spot.x + spot.scale * p.x, y: pageY(spot, p.y) });
  const areas = sideAreas(rows, study.body.limits.blocked ?? []);
  const [top, bottom] = [pageY(spot, first.y), pageY(spot, last.y)];
  return [
    ...areas.flatMap(({ shown, parts }) =>
      // Each by itself: what two of them cover is covered.
      parts.flatMap(({ ring, edges }) =>
        patterned(
          shown,
          [ring.map(toPage)],
          edges.map((edge) => edge.map(toPage)),
        ),
      ),
    ),
    ...[-1, 1].map((side) => outline(rows, side, spot)),
    end(spot, first, drawn.endsAbove),
    end(spot, last, drawn.endsBelow),
    ...unmeasured(study.ends, drawn, spot),
    line(spot.x, top - PAST, spot.x, bottom + PAST, NARROW, [...AXIS_DASH]),
    line(spot.x - CROSS, spot.y, spot.x + CROSS, spot.y, 0.35),
    line(spot.x, spot.y - CROSS, spot.x, spot.y + CROSS, 0.35),
  ];
}

export const pageY = (spot: Spot, y: number): number => spot.y + spot.scale * y;

function outline(rows: readonly DrawnRow[], side: number, spot: Spot): PageItem {
  const points = rows.map(({ radius, y }) => ({
    x: spot.x + side * spot.scale * radius,
    y: pageY(spot, y),
  }));
  return { kind: "path", d: ringData(points, false, 3), fill: "none", stroke: INK, width: WIDE };
}

/** The rim or the base, or a zigzag where the vessel goes on. */
function end(spot: Spot, { radius, y }: DrawnRow, known: boolean): PageItem {
  const [at, half] = [pageY(spot, y), spot.scale * radius];
  if (known) return line(spot.x - half, at, spot.x + half, at, WIDE);
  const n = (v: number): string => fixed(v, 3);
  const zigzag = "l0.8 -2l1.6 4l0.8 -2";
  const gap = half - 1.6;
  return {
    kind: "path",
    d: `M${n(spot.x - half - 3)} ${n(at)}h${n(3 + gap / 2)}${zigzag}h${n(gap)}${zigzag}h${n(3 + gap / 2)}`,
    fill: "none",
    stroke: INK,
    width: NARROW,
  };
}

/** Between the measured part and the rim or the base the outline is not known: dashed, straight on. */
function unmeasured(
  { rimY, baseY }: { readonly rimY: number | null; readonly baseY: number | null },
  { rows, endsAbove, endsBelow }: Drawn,
  spot: Spot,
): PageItem[] {
  const list: PageItem[] = [];
  const add = (row: DrawnRow, y: number, words: string): void => {
    const [from, to, half] = [pageY(spot, row.y), pageY(spot, y), spot.scale * row.radius];
    for (const x of [spot.x - half, spot.x + half]) list.push(line(x, from, x, to, NARROW, [2, 1]));
    list.push(line(spot.x - half, to, spot.x + half, to, NARROW, [2, 1]));
    if (Math.abs(to - from) > 5)
      list.push(text(words, spot.x + half + 1.5, (from + to) / 2 + 1, 3, { anchor: "start" }));
  };
  const [first, last] = [rows[0]!, rows.at(-1)!];
  if (endsAbove && rimY !== null && rimY < first.y - 0.05) add(first, rimY, "not measured");
  if (endsBelow && baseY !== null && baseY > last.y + 0.05) add(last, baseY, "not measured");
  return list;
}
