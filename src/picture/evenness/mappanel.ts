/** A kind's map, laid over its raster: the ink's outlines, what cannot be evened, the zones, the crown line, a frame. */
import { areaPathsD } from "clipper2-ts";
import { multiply, scale, translate } from "../../geometry/affine.ts";
import { transformPath } from "../../geometry/path.ts";
import type { Grid } from "../../plan/fill/coverage.ts";
import type { Fill, Uneven } from "../../plan/fill/types.ts";
import type { Plan, Turn } from "../../plan/types.ts";
import type { Zone } from "../../plan/zones.ts";
import type { Lettering } from "../lettering.ts";
import { pathData, roundedPath } from "../marks.ts";
import { DASH_DOT, hatch, INK, line, SMALL, text } from "../parts.ts";
import { ringData, segmentsData, tag } from "../svg.ts";
import { roundStep, ticks, tickText } from "../ticks.ts";
import type { View } from "../view.ts";
import { hatchLines, type Rings, zoneAreas } from "../zoneareas.ts";
import { boxRing } from "../zonekey.ts";
import { unevenWords } from "./words.ts";

/** A zone's least mean width worth showing (px). */
const SLIVER = 3;
const HATCH = 13;
const TICK = 10;
/** What begins no further from the crown line than this lies on both sides of it (mm). */
const NEAR = 1e-6;
const unevenAngle = { "below-threshold": -20, "smallest-pitch": 70 };

/** The grid's piece of the flat and a little more, one scale both ways, in the middle of a column. */
export function mapView(
  grid: Grid,
  column: { left: number; width: number },
  top: number,
  room: number,
): View {
  const [wide, tall] = [grid.columns * grid.cellMm, grid.rows * grid.cellMm];
  const [middleA, middleB] = [grid.left + wide / 2, grid.top + tall / 2];
  const scale = Math.min(column.width / padded(wide), room / padded(tall));
  const width = Math.min(column.width, Math.round(padded(wide) * scale));
  const height = Math.max(60, Math.round(padded(tall) * scale));
  const left = column.left + Math.floor((column.width - width) / 2);
  const [cx, cy] = [left + width / 2, top + height / 2];
  const a = (x: number): number => middleA + (x - cx) / scale;
  const b = (y: number): number => middleB + (y - cy) / scale;
  return {
    left,
    top,
    width,
    height,
    scale,
    flat: { minX: a(left), maxX: a(left + width), minY: b(top), maxY: b(top + height) },
    x: (value) => cx + (value - middleA) * scale,
    y: (value) => cy + (value - middleB) * scale,
    a,
    b,
  };
}

export const padded = (mm: number): number => 1.04 * mm;

/** Outlines of the turn's ink, once for all panels. */
export function inkDefs(turn: Turn, view: View): string {
  const place = multiply(translate(view.x(0) - view.left, view.y(0) - view.top), scale(view.scale));
  const outlines = turn.ink.shapes.map(({ path }) =>
    tag("path", { d: pathData(roundedPath(transformPath(path, place), 2)) }),
  );
  return tag("defs", {}, tag("g", { id: "ink-outlines" }, outlines.join("")));
}

/** Zones that show in the view, in px. */
export function shownZones(plan: Plan, turn: Turn, view: View): Map<Zone, Rings> {
  const shown = new Map<Zone, Rings>();
  for (const [zone, rings] of zoneAreas({ warp: plan.warp, limits: turn.limits }, view.flat)) {
    const placed = rings.map((ring) =>
      ring.map((p) => ({ x: view.x(p.x) - view.left, y: view.y(p.y) - view.top })),
    );
    if (Math.abs(areaPathsD(placed)) > SLIVER * view.height) shown.set(zone, placed);
  }
  return shown;
}

/** `uneven`: what is hatched besides the zones. */
export function mapPanel(
  id: string,
  view: View,
  zones: ReadonlyMap<Zone, Rings>,
  uneven: Fill["uneven"],
  lettering: Lettering,
): string {
  const { left, top, width, height } = view;
  const frame = { x: left, y: top, width, height };
  const inside = [
    tag("use", {
      href: "#ink-outlines",
      x: left,
      y: top,
      fill: "none",
      stroke: INK,
      "stroke-width": 1,
      "stroke-opacity": 0.55,
    }),
    tag("g", { transform: `translate(${left} ${top})` }, [...zones].map(zoneHatch).join("")),
    ...uneven.flatMap((one) => strips(one, view).map((strip) => unevenHatch(one.reason, strip))),
    line(view.x(0), top, view.x(0), top + height, INK, 1.5, DASH_DOT),
  ];
  return [
    tag("defs", {}, tag("clipPath", { id: `map-${id}` }, tag("rect", frame))),
    tag("g", { "clip-path": `url(#map-${id})` }, inside.join("")),
    ...uneven.flatMap((one) => strips(one, view).map((strip) => stripWords(one.reason, strip, lettering))),
    tag("rect", { ...frame, fill: "none", stroke: INK, "stroke-width": 1.5 }),
  ].join("");
}

const zoneHatch = ([zone, rings]: readonly [Zone, Rings]): string =>
  hatch(zone, rings) +
  tag("path", {
    d: rings.map((ring) => ringData(ring, true)).join(""),
    fill: "none",
    stroke: INK,
    "stroke-width": 2,
  });

interface Strip {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What lies this near to the view's edge (share of its height) goes on to it: places are told by cells. */
const NEAR_EDGE = 0.05;

/** Left and right of the crown line, as far as they show. */
function strips({ fromMm, toMm, alongMm }: Uneven, view: View): Strip[] {
  const sides =
    fromMm > NEAR ? [[-toMm, -fromMm] as const, [fromMm, toMm] as const] : [[-toMm, toMm] as const];
  const room = NEAR_EDGE * view.height;
  const foot = view.top + view.height;
  const [upper, lower] = [view.y(alongMm[0]), view.y(alongMm[1])];
  const y = upper - room < view.top ? view.top : upper - room / 4;
  const height = (lower + room > foot ? foot : lower + room / 4) - y;
  return sides.flatMap(([from, to]) => {
    const x = Math.max(view.left, view.x(from));
    const width = Math.min(view.left + view.width, view.x(to)) - x;
    return width > 0 ? [{ x, y, width, height }] : [];
  });
}

/** The hatch of a reason over a box, and the box's outline. */
export function unevenHatch(reason: Uneven["reason"], { x, y, width, height }: Strip): string {
  const ring = boxRing(x, y, width, height);
  const d = segmentsData(hatchLines([ring], unevenAngle[reason], HATCH));
  return (
    tag("path", { d, fill: "none", stroke: "#ffffff", "stroke-width": 4, "stroke-opacity": 0.4 }) +
    tag("path", { d, fill: "none", stroke: INK, "stroke-width": 1.6, "stroke-opacity": 0.75 }) +
    tag("path", { d: ringData(ring, true), fill: "none", stroke: INK, "stroke-width": 2 })
  );
}

/** The reason in its strip, where there is room; the key has it as well. */
function stripWords(reason: Uneven["reason"], { x, y, width, height }: Strip, lettering: Lettering): string {
  const words = unevenWords[reason];
  const wide = lettering.width(words, SMALL);
  const place = { x: x + width / 2, y: y + height / 2, size: SMALL, anchor: "middle" } as const;
  if (wide + 16 < width) return text(lettering, words, { ...place, y: place.y + 9 }, { halo: 5 });
  if (width < 1.5 * SMALL || wide + 16 > height) return "";
  return text(lettering, words, { ...place, x: place.x + 9, rotate: -90 }, { halo: 5 });
}

/** Ticks around under a map; numbers too where the charts below have another scale. */
export function mapRuler(view: View, columnPx: number): { below: number; svg(lettering: Lettering): string } {
  const own = view.width < columnPx;
  const step = roundStep((own ? 60 : 85) / view.scale);
  const foot = view.top + view.height;
  return {
    below: own ? 40 : TICK,
    svg: (lettering) =>
      ticks(view.flat.minX, view.flat.maxX, step)
        .map((a) => {
          const place = { x: view.x(a), y: foot + 36, size: SMALL, anchor: "middle" } as const;
          return (
            line(view.x(a), foot, view.x(a), foot + TICK) +
            (own ? text(lettering, tickText(a, step), place) : "")
          );
        })
        .join(""),
  };
}
