/**
 * The vessel as it lies under the lens, seen from its side: rim to the left, the crown line uppermost, the focal plane
 * and the usable depth on either side of it. A point of the outline with z = ±r − r₀ lies at
 *
 *   Y = y cos τ + z sin τ,   s = y sin τ − z cos τ
 */
import { type Area, line, NARROW, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { INK } from "../parts.ts";
import { ringData } from "../svg.ts";
import { plain } from "../ticks.ts";
import { scaleFor, scaleWords } from "./fit.ts";
import { AXIS_DASH } from "./sideview.ts";
import type { Drawn, Subject } from "./subject.ts";

const BAND = "#dcebf5";
const NAME = 3;
/** Left for what stands around the vessel (mm on the page): the beam above, names to the right. */
const AROUND = { above: 13, right: 27, left: 8, below: 5 };

/** The view within an area; what it says below it is the caller's. */
export function lyingView(
  { study }: Subject,
  drawn: Drawn,
  area: Area,
): { items: PageItem[]; scale: string } {
  const { surface } = study.body.warp;
  const r0 = surface.meridian.radius;
  const [sin, cos] = [Math.sin(surface.tilt), Math.cos(surface.tilt)];
  const posed = (y: number, z: number) => ({ x: y * cos + z * sin, y: y * sin - z * cos });
  const upper = drawn.rows.map(({ y, radius }) => posed(y, radius - r0));
  const lower = drawn.rows.map(({ y, radius }) => posed(y, -radius - r0));
  const { belowCrownMm } = study.table.focus;
  const { usableDepthMm } = study.table.limits;
  const all = [...upper, ...lower];
  const box = {
    left: Math.min(...all.map(({ x }) => x)),
    right: Math.max(...all.map(({ x }) => x)),
    top: Math.min(belowCrownMm - usableDepthMm, ...all.map(({ y }) => y)),
    bottom: Math.max(belowCrownMm + usableDepthMm, ...all.map(({ y }) => y)),
  };
  const room = {
    width: area.width - AROUND.left - AROUND.right,
    height: area.height - AROUND.above - AROUND.below,
  };
  const scale = scaleFor(box.right - box.left, box.bottom - box.top, room);
  const x0 = area.x + AROUND.left + (room.width - scale * (box.right - box.left)) / 2 - scale * box.left;
  const y0 = area.y + AROUND.above - scale * box.top;
  const toPage = (p: { x: number; y: number }) => ({ x: x0 + scale * p.x, y: y0 + scale * p.y });
  const ring = [...upper, ...lower.reverse()].map(toPage);
  const [left, right] = [x0 + scale * box.left - 2, x0 + scale * box.right + 4];
  const plane = y0 + scale * belowCrownMm;
  const depth = scale * usableDepthMm;
  const axis = [drawn.rows[0]!.y, drawn.rows.at(-1)!.y].map((y) => toPage(posed(y, -r0)));
  return {
    scale: scaleWords(scale),
    items: [
      filled(boxRing(left, plane - depth, right, plane + depth), BAND),
      line(left, plane - depth, right, plane - depth, 0.13),
      line(left, plane + depth, right, plane + depth, 0.13),
      line(left, plane, right, plane, NARROW, [2, 1]),
      ...outline(ring, upper.length, drawn),
      line(axis[0]!.x, axis[0]!.y, axis[1]!.x, axis[1]!.y, NARROW, [...AXIS_DASH]),
      ...beam(x0, area.y, y0),
      text("focal plane", right + 1, plane - 0.4, NAME),
      text(`usable ±${plain(usableDepthMm, 1)}`, right + 1, plane + 3.4, NAME),
      ...endNames(study.ends, [ring.at(-1)!, ring[upper.length]!]),
    ],
  };
}

/** The upper line, then the lower one back; ends that go on are narrow. */
function outline(
  ring: readonly { x: number; y: number }[],
  half: number,
  { endsAbove, endsBelow }: Drawn,
): PageItem[] {
  const [upper, lower] = [ring.slice(0, half), ring.slice(half)];
  const one = (from: { x: number; y: number }, to: { x: number; y: number }, known: boolean): PageItem =>
    line(from.x, from.y, to.x, to.y, known ? WIDE : NARROW);
  return [
    ...[upper, lower].map(
      (points): PageItem => ({
        kind: "path",
        d: ringData(points, false, 3),
        fill: "none",
        stroke: INK,
        width: WIDE,
      }),
    ),
    one(upper[0]!, lower.at(-1)!, endsAbove),
    one(upper.at(-1)!, lower[0]!, endsBelow),
  ];
}

/** Beside the lower line's ends; a vessel that is not known to end has its rim that way. */
const endNames = (
  { rimY, baseY }: { readonly rimY: number | null; readonly baseY: number | null },
  [rim, base]: readonly [{ x: number; y: number }, { x: number; y: number }],
): PageItem[] => [
  text(rimY === null ? "top" : "rim", rim.x - 1, rim.y + 3, NAME, { anchor: "end" }),
  ...(baseY === null ? [] : [text("base", base.x + 1, base.y + 3, NAME)]),
];
const filled = (ring: readonly { x: number; y: number }[], fill: string): PageItem => ({
  kind: "path",
  d: ringData(ring, true, 3),
  fill,
});

const boxRing = (x0: number, y0: number, x1: number, y1: number) => [
  { x: x0, y: y0 },
  { x: x1, y: y0 },
  { x: x1, y: y1 },
  { x: x0, y: y1 },
];

/** The optical axis, coming down onto the placement point. */
function beam(x: number, top: number, tip: number): PageItem[] {
  return [
    line(x, top + 1, x, tip - 2.5, 0.35),
    filled(
      [
        { x, y: tip },
        { x: x - 0.9, y: tip - 3 },
        { x: x + 0.9, y: tip - 3 },
      ],
      INK,
    ),
    text("beam at the placement point", x + 2, top + 4, NAME),
  ];
}
