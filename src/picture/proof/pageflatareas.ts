/**
 * Areas of the vessel that stay free, on the flat drawing: hatched and named, as far as they lie on what is drawn. So
 * that they do, a strip of each that is near the ink counts among the lines that the page makes room for.
 */
import { FillRule, intersectD } from "clipper2-ts";
import type { Box } from "../../geometry/path.ts";
import type { Keepout } from "../../plan/blocked.ts";
import type { Plan } from "../../plan/types.ts";
import { zoneStyles } from "../colours.ts";
import type { Lettering } from "../lettering.ts";
import { NARROW } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { fixed } from "../svg.ts";
import { hatchLines, type Rings } from "../zoneareas.ts";
import type { Fit } from "./pagefit.ts";
import { alongOf, areaOutline, goesAround } from "./pageflatcurves.ts";
import type { KnownLine } from "./pageflatlines.ts";
import { boundsOf, labelItems, takenBoxes } from "./pageflatnames.ts";

type Surface = Plan["warp"]["surface"];

/** So much of an area is drawn beside the ink where there is room (mm), and from how near on. */
const STRIP = 15;
const NEAR = 60;
/** A strip is told as lines so near to each other that no dimension line finds room between them (mm). */
const CLOSE = 5;

const TURN = 2 * Math.PI;

/** Outlines on the flat, a b a b …, of every turn that may show; along at most from `top` to `bottom`. */
function outlines(surface: Surface, area: Keepout, top: number, bottom: number): (readonly number[])[] {
  const [from, to] = [Math.max(area.top, top), Math.min(area.bottom, bottom)];
  if (!(to > from)) return [];
  // An area that is told across the back stands on both sides of a flat that ends there.
  return [-TURN, 0, TURN]
    .map((turn) => areaOutline(surface, area.fromRad + turn, area.toRad + turn, from, to))
    .filter((outline) => outline.length >= 6);
}

/** The stretch along that a part of the flat and a little around it holds. */
function stretchOf(surface: Surface, { minX, maxX, minY, maxY }: Box, more: number): [number, number] {
  const [x, top, bottom] = [Math.max(Math.abs(minX), Math.abs(maxX)), minY - more, maxY + more];
  if (surface.meridian.slope === 0 || goesAround(surface))
    return [Math.max(surface.meridian.from, top), Math.min(surface.meridian.to, bottom)];
  const [from, to] = alongOf(
    surface,
    [0, x].flatMap((a) => [[a, minY] as const, [a, maxY] as const]),
  );
  return [Math.max(surface.meridian.from, from - more), Math.min(surface.meridian.to, to + more)];
}

/** What is near of blocked areas, as lines beside, above or below the ink. */
export function blockedLines({ limits, ink: { box } }: Plan, surface: Surface): KnownLine[] {
  const [top, bottom] = stretchOf(surface, box, NEAR);
  return (limits.blocked ?? []).flatMap((area) =>
    outlines(surface, area, top, bottom).flatMap((outline): KnownLine[] => {
      const b = boundsOf(outline);
      const [right, left] = [b.minX - box.maxX, box.minX - b.maxX];
      const [below, above] = [b.minY - box.maxY, box.minY - b.maxY];
      const gap = Math.max(right, left, below, above);
      if (!(gap >= 0 && gap <= NEAR)) return [];
      if (gap === right) return [strip(false, b.minX, Math.min(b.maxX, b.minX + STRIP))];
      if (gap === left) return [strip(false, b.maxX, Math.max(b.minX, b.maxX - STRIP))];
      if (gap === below) return [strip(true, b.minY, Math.min(b.maxY, b.minY + STRIP))];
      return [strip(true, b.maxY, Math.max(b.minY, b.maxY - STRIP))];
    }),
  );
}

const strip = (level: boolean, from: number, to: number): KnownLine => {
  const steps = Math.max(1, Math.ceil(Math.abs(to - from) / CLOSE));
  return {
    name: "blocked",
    level,
    at: from,
    also: Array.from({ length: steps }, (_, i) => from + ((to - from) * (i + 1)) / steps),
  };
};

/** Hatch distance on the page (mm). */
const HATCH = 1.6;
const DECIMALS = 4;

export interface AreasDrawn {
  /** To be painted before the ink. */
  readonly items: PageItem[];
  /** Over the hatch. */
  readonly labels: PageItem[];
  /** Names of areas that had no room for them, and of areas that lie elsewhere. */
  readonly unnamed: string[];
  readonly elsewhere: string[];
}

/** `box`: what is drawn, on the page; `lines`: what else is drawn there, so that no name stands on a line. */
export function blockedItems(
  plan: Plan,
  fit: Fit,
  box: Box,
  lines: readonly KnownLine[],
  lettering: Lettering,
): AreasDrawn {
  const { surface } = plan.warp;
  const window = rectangle(box);
  const { reduction, originX, originY } = fit;
  const flat = {
    minX: (box.minX - originX) * reduction,
    maxX: (box.maxX - originX) * reduction,
    minY: (box.minY - originY) * reduction,
    maxY: (box.maxY - originY) * reduction,
  };
  const [top, bottom] = stretchOf(surface, flat, NEAR);
  const taken = takenBoxes(fit.ink, lines, box);
  const drawn = (plan.limits.blocked ?? []).map(({ name, ...area }) => {
    const rings = outlines(surface, { name, ...area }, top, bottom).flatMap((outline) =>
      intersectD([ringOf(outline, fit)], window, FillRule.NonZero, DECIMALS),
    );
    return { name, rings, label: labelItems(name, rings, taken, lettering) };
  });
  return {
    items: drawn.flatMap(({ rings }) => (rings.length > 0 ? areaItems(rings, box) : [])),
    labels: drawn.flatMap(({ label }) => label),
    unnamed: drawn.flatMap(({ name, rings, label }) =>
      rings.length > 0 && label.length === 0 ? [name] : [],
    ),
    elsewhere: drawn.flatMap(({ name, rings }) => (rings.length > 0 ? [] : [name])),
  };
}

const rectangle = ({ minX, minY, maxX, maxY }: Box): Rings => [
  [
    { x: minX, y: minY },
    { x: maxX, y: minY },
    { x: maxX, y: maxY },
    { x: minX, y: maxY },
  ],
];

const ringOf = (outline: readonly number[], { reduction, originX, originY }: Fit): Rings[number] =>
  Array.from({ length: outline.length / 2 }, (_, i) => ({
    x: originX + outline[2 * i]! / reduction,
    y: originY + outline[2 * i + 1]! / reduction,
  }));

/** With an outline where all of it is drawn: what is cut off has none. */
function areaItems(rings: Rings, box: Box): PageItem[] {
  const { shade, shadeOpacity, hatch, gap } = zoneStyles.blocked;
  const n = (v: number): string => fixed(v, 4);
  const dataOf = (of: Rings): string =>
    of.map((ring) => `M${ring.map(({ x, y }) => `${n(x)} ${n(y)}`).join("L")}Z`).join("");
  const whole = rings.filter((ring) => {
    const b = boundsOf(ring.flatMap(({ x, y }) => [x, y]));
    return (
      b.minX > box.minX + 1e-3 &&
      b.maxX < box.maxX - 1e-3 &&
      b.minY > box.minY + 1e-3 &&
      b.maxY < box.maxY - 1e-3
    );
  });
  const lines = hatch.flatMap((angle) => hatchLines(rings, angle, HATCH * gap));
  const hatched = lines.map(([x0, y0, x1, y1]) => `M${n(x0!)} ${n(y0!)}L${n(x1!)} ${n(y1!)}`).join("");
  return [
    { kind: "path", d: dataOf(rings), fill: overWhite(shade, shadeOpacity) },
    ...(hatched === ""
      ? []
      : [{ kind: "path" as const, d: hatched, fill: "none", stroke: shade, width: 0.15 }]),
    ...(whole.length === 0
      ? []
      : [{ kind: "path" as const, d: dataOf(whole), fill: "none", stroke: shade, width: NARROW }]),
  ];
}

/** A page has no transparent colours. */
function overWhite(hex: string, opacity: number): string {
  const part = (at: number): string =>
    Math.round(255 - opacity * (255 - Number.parseInt(hex.slice(at, at + 2), 16)))
      .toString(16)
      .padStart(2, "0");
  return `#${part(1)}${part(3)}${part(5)}`;
}
