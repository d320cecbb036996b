/**
 * The heat map's main panel, laid over the raster of φ: a pale veil with the ink cut out of it, lines of equal
 * φ, the zones beyond the limits, the crown line, the reach, and rulers in mm.
 */
import { areaPathsD } from "clipper2-ts";
import { multiply, scale, translate } from "../geometry/affine.ts";
import { transformPath } from "../geometry/path.ts";
import type { Plan } from "../plan/types.ts";
import { type DrawnZone, zoneStyles } from "./colours.ts";
import { levelWords, zoneWords } from "./heatwords.ts";
import { type Grid, gridOf, isoline } from "./isolines.ts";
import { aroundWords } from "./jobwords.ts";
import type { Layer } from "./layers.ts";
import type { Lettering } from "./lettering.ts";
import { pathData, roundedPath } from "./marks.ts";
import { outcomeAreas } from "./outcomeareas.ts";
import { DASH_DOT, DASHED, hatch, INK, line, QUIET, SMALL, text } from "./parts.ts";
import { ringData, segmentsData, tag } from "./svg.ts";
import { roundStep, ticks, tickText } from "./ticks.ts";
import type { View } from "./view.ts";
import { type Rings, zoneAreas } from "./zoneareas.ts";

/** How much the veil whitens the field where there is no ink. */
const VEIL = 0.78;
/** Steps of the grid on which lines of equal φ are found, and the least mean width of a zone worth showing (px). */
const GRID = 4;
const SLIVER = 3;
/** Lines of equal value are chosen to stand no closer than this (px). */
const APART = 7;

export interface Panel {
  /** What lies under the uprights, and the words that lie over them. */
  readonly svg: string;
  readonly words: string;
  /** Zones that show, worst first. */
  readonly zones: readonly DrawnZone[];
}

/** Everything inside the view's frame, and the frame. */
export function panelSvg(plan: Plan, layer: Layer, view: View, lettering: Lettering): Panel {
  const areas = shownAreas(plan, layer, view);
  const zones = [...areas.keys()];
  const value = (x: number, y: number): number => layer.at(view.a(x), view.b(y));
  const grid = gridOf(view, GRID, value);
  const { levels, words: worded } = layer.levels(grid, APART);
  const name = (part: string): string => `${part}-${layer.id}`;
  const { left, top, width, height } = view;
  const frame = { x: left, y: top, width, height };
  const inside = veil(plan, view, areas, name) + hatching(areas) + levelLines(grid, levels);
  const svg = [
    tag("defs", {}, tag("clipPath", { id: name("panel") }, tag("rect", frame))),
    tag("g", { "clip-path": `url(#${name("panel")})` }, inside),
    tag("rect", { ...frame, fill: "none", stroke: INK, "stroke-width": 1.5 }),
  ].join("");
  const words = levelWords(view, lettering, levels, worded, value) + zoneWords(plan, view, lettering, areas);
  return { svg, words, zones };
}

/** Which outcome a layer hatches. */
const outcomeOn = { falloff: [], dose: [], removal: ["residue"], metal: ["metal"] } as const;

/** The zones' areas in px, without slivers that nobody would see. */
function shownAreas(plan: Plan, layer: Layer, view: View): Map<DrawnZone, Rings> {
  const areas = new Map<DrawnZone, Rings>();
  const drawn = [...zoneAreas(plan, view.flat), ...outcomeAreas(plan, view.flat, outcomeOn[layer.id])];
  for (const [zone, rings] of drawn) {
    const placed = rings.map((ring) => ring.map((p) => ({ x: view.x(p.x), y: view.y(p.y) })));
    if (Math.abs(areaPathsD(placed)) > SLIVER * view.height) areas.set(zone, placed);
  }
  return areas;
}

/** White over everything but ink, the zones' shades under the same mask, and a fine rim around the ink. */
function veil(
  plan: Plan,
  view: View,
  areas: ReadonlyMap<DrawnZone, Rings>,
  name: (part: string) => string,
): string {
  const place = multiply(translate(view.x(0), view.y(0)), scale(view.scale));
  const fills: string[] = [];
  const lines: string[] = [];
  for (const shape of plan.ink.shapes) {
    const d = pathData(roundedPath(transformPath(shape.path, place), 2));
    if (shape.paint === "centre-line") lines.push(tag("path", { d }));
    else fills.push(tag("path", { d }));
  }
  const strokeWidth = Math.max(2.5, plan.spot.waistDiameterMm * view.scale);
  const { left: x, top: y, width, height } = view;
  const mask = tag(
    "mask",
    { id: name("bare"), maskUnits: "userSpaceOnUse", x, y, width, height },
    tag("rect", { x, y, width, height, fill: "#ffffff" }) +
      tag("g", { fill: "#000000" }, tag("use", { href: `#${name("ink-fills")}` })) +
      tag(
        "g",
        { stroke: "#000000", "stroke-width": strokeWidth },
        tag("use", { href: `#${name("ink-lines")}` }),
      ),
  );
  const shades = [...areas]
    .map(([zone, rings]) =>
      tag("path", {
        d: rings.map((r) => ringData(r, true)).join(""),
        fill: zoneStyles[zone].shade,
        "fill-opacity": zoneStyles[zone].shadeOpacity,
        "fill-rule": "evenodd",
      }),
    )
    .join("");
  const white = tag("rect", { x, y, width, height, fill: "#ffffff", "fill-opacity": VEIL });
  return [
    tag(
      "defs",
      {},
      tag("g", { id: name("ink-fills") }, fills.join("")) +
        tag("g", { id: name("ink-lines"), fill: "none" }, lines.join("")) +
        mask,
    ),
    tag("g", { mask: `url(#${name("bare")})` }, white + shades),
    tag(
      "g",
      { fill: "none", stroke: INK, "stroke-width": 1, "stroke-opacity": 0.55 },
      tag("use", { href: `#${name("ink-fills")}` }),
    ),
  ].join("");
}

const hatching = (areas: ReadonlyMap<DrawnZone, Rings>): string =>
  [...areas]
    .map(
      ([zone, rings]) =>
        hatch(zone, rings) +
        tag("path", {
          d: rings.map((r) => ringData(r, true)).join(""),
          fill: "none",
          stroke: INK,
          "stroke-width": 2,
        }),
    )
    .join("");

/** Lines of equal value, each on a faint white rim so that they show on dark ink too. */
function levelLines(grid: Grid, levels: readonly number[]): string {
  const d = levels.map((level) => segmentsData(isoline(grid, level))).join("");
  if (d === "") return "";
  const lines = (stroke: string, width: number, opacity: number): string =>
    tag("path", {
      d,
      fill: "none",
      stroke,
      "stroke-width": width,
      "stroke-opacity": opacity,
      "stroke-linecap": "round",
    });
  return lines("#ffffff", 4, 0.45) + lines(INK, 1.5, 0.85);
}

/** Crown line and reach through everything from `top` to `bottom`. */
export function uprights(plan: Plan, view: View, top: number, bottom: number, reachTop: number): string {
  const half = plan.reach.aroundMm / 2;
  const within = (x: number): boolean => x > view.left && x < view.left + view.width;
  return [
    line(view.x(0), top, view.x(0), bottom, INK, 1.5, DASH_DOT),
    ...[-half, half].map((a) => {
      const x = view.x(a);
      return within(x) ? line(x, reachTop, x, bottom, INK, 2.5, DASHED) : "";
    }),
  ].join("");
}

/** Rulers: around below the panel (numbers and title), along at its left. */
export function rulers(plan: Plan, view: View, lettering: Lettering, titleX: number): string {
  const right = view.left + view.width;
  const bottom = view.top + view.height;
  const parts: string[] = [];
  const around = roundStep(85 / view.scale);
  for (const a of ticks(view.flat.minX, view.flat.maxX, around / 5)) {
    const major = Math.abs(a / around - Math.round(a / around)) < 1e-6;
    parts.push(line(view.x(a), bottom, view.x(a), bottom + (major ? 12 : 6)));
    if (major) {
      const place = { x: view.x(a), y: bottom + 38, size: SMALL, anchor: "middle" } as const;
      parts.push(text(lettering, tickText(Math.round(a / around) * around, around), place));
    }
  }
  const along = roundStep(60 / view.scale);
  for (const b of ticks(view.flat.minY, view.flat.maxY, along / 5)) {
    const major = Math.abs(b / along - Math.round(b / along)) < 1e-6;
    parts.push(line(view.left - (major ? 12 : 6), view.y(b), view.left, view.y(b)));
    if (major) {
      const place = { x: view.left - 20, y: view.y(b) + 9, size: SMALL, anchor: "end" } as const;
      parts.push(text(lettering, tickText(Math.round(b / along) * along, along), place));
    }
  }
  parts.push(
    text(
      lettering,
      aroundWords(plan),
      { x: (view.left + right) / 2, y: bottom + 72, size: SMALL, anchor: "middle" },
      { fill: QUIET },
    ),
    text(
      lettering,
      "along (mm)",
      { x: titleX, y: (view.top + bottom) / 2, size: SMALL, anchor: "middle", rotate: -90 },
      { fill: QUIET },
    ),
  );
  return parts.join("");
}
