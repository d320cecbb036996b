/** The side view's dimensions: diameters at its ends, heights, taper, and what lies between, named beside it. */
import type { Lettering } from "../lettering.ts";
import { line, NARROW, text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { INK } from "../parts.ts";
import { type Dimension, dimension, extension, FIGURE, STEP } from "../proof/pagedimension.ts";
import { apart } from "../reachchart.ts";
import { fixed } from "../svg.ts";
import { plain, signed } from "../ticks.ts";
import { pageY, type Spot } from "./sideview.ts";
import { type Drawn, type DrawnRow, type Subject, widestOf } from "./subject.ts";

/** What the dimensions take around the outline (mm on the page), and what the names beside it take. */
export const AROUND = { above: 15, below: 15, left: 22, right: 58 } as const;
const NAME = 3.2;

export const mm = (value: number): string => plain(value, 1);
const across = (radius: number): string => `Ø ${plain(2 * radius, 2)}`;

export function sideMeasures(
  subject: Subject,
  drawn: Drawn,
  spot: Spot,
  lettering: Lettering,
  bounds: { readonly top: number; readonly bottom: number; readonly right: number },
): PageItem[] {
  return [
    ...widths(subject, drawn, spot, lettering),
    ...heights(subject, drawn, spot, lettering),
    ...taper(subject, drawn, spot),
    ...names(subject, drawn, spot, lettering, bounds),
  ];
}

/** Across the upper and the lower end; of a vessel that is not known to end, across it once. */
function widths(
  { study: { ends } }: Subject,
  { rows, endsAbove, endsBelow }: Drawn,
  spot: Spot,
  lettering: Lettering,
): PageItem[] {
  const one = ({ radius, y }: DrawnRow, way: 1 | -1): PageItem[] => {
    if (radius < 1) return [];
    // Clear of what was not measured.
    const end = way < 0 ? Math.min(y, ends.rimY ?? y) : Math.max(y, ends.baseY ?? y);
    const [edge, half] = [pageY(spot, end), radius * spot.scale];
    const at = edge + way * (STEP + 1);
    const [from, to] = [spot.x - half, spot.x + half];
    // The figure keeps clear of the axis, which ends below it.
    const d: Dimension = { level: true, from, to, at, words: across(radius), outside: "after" };
    return [...dimension(d, lettering), extension(true, from, edge, at), extension(true, to, edge, at)];
  };
  return [
    ...(endsAbove || endsBelow ? [] : one(rows.at(-1)!, 1)),
    ...(endsAbove ? one(rows[0]!, -1) : []),
    ...(endsBelow ? one(rows.at(-1)!, 1) : []),
  ];
}

/** Left of the outline: rim to placement point to base, and beyond it the whole. */
function heights({ study }: Subject, { rows }: Drawn, spot: Spot, lettering: Lettering): PageItem[] {
  const { rimY, baseY } = study.ends;
  const left = spot.x - spot.scale * widestOf(rows);
  const near = left - STEP;
  const far = near - STEP;
  const one = (fromY: number, toY: number, at: number, outside: Dimension["outside"]): PageItem[] =>
    toY - fromY < 0.05
      ? []
      : dimension(
          {
            level: false,
            from: pageY(spot, fromY),
            to: pageY(spot, toY),
            at,
            words: mm(toY - fromY),
            outside,
          },
          lettering,
        );
  const ends = [
    ...(rimY === null ? [] : [{ y: rimY, radius: rows[0]!.radius }]),
    ...(baseY === null ? [] : [{ y: baseY, radius: rows.at(-1)!.radius }]),
  ];
  const whole = rimY !== null && baseY !== null && rimY < -0.05 && baseY > 0.05;
  return [
    ...(rimY === null ? [] : one(rimY, 0, near, "before")),
    ...(baseY === null ? [] : one(0, baseY, near, "after")),
    ...(whole ? one(rimY, baseY, far, "before") : []),
    ...ends.map(({ y, radius }) =>
      extension(false, pageY(spot, y), spot.x - spot.scale * radius, whole ? far : near),
    ),
    ...(ends.length > 0 ? [extension(false, spot.y, spot.x - CLEAR, near)] : []),
  ];
}
/** The placement point's extension line begins at its cross. */
const CLEAR = 2.5;

/** How far up the wall its angle is drawn (mm). */
const ARC = 20;

/** A cone's taper, between its wall and a line along the axis at the base. */
function taper({ study }: Subject, { rows }: Drawn, spot: Spot): PageItem[] {
  if (study.table.shape !== "cone") return [];
  const angle = (study.table.rows[0]!.taperDeg * Math.PI) / 180;
  const last = rows.at(-1)!;
  const [x, y] = [spot.x + spot.scale * last.radius, pageY(spot, last.y)];
  const n = (v: number): string => fixed(v, 3);
  const [tipX, tipY] = [x + ARC * Math.sin(angle), y - ARC * Math.cos(angle)];
  const words = `${plain(Math.abs((angle * 180) / Math.PI), 1)}°`;
  return [
    line(x, y - 1, x, y - ARC - 4, NARROW),
    {
      kind: "path",
      d: `M${n(x)} ${n(y - ARC)}A${ARC} ${ARC} 0 0 ${angle > 0 ? 1 : 0} ${n(tipX)} ${n(tipY)}`,
      fill: "none",
      stroke: INK,
      width: NARROW,
    },
    text(words, Math.max(x, tipX) + 1.5, y - ARC + 1.2, FIGURE),
  ];
}

interface Named {
  readonly y: number;
  readonly radius: number;
  readonly words: string;
  readonly bold?: boolean;
}

/** Right of the outline, led to their heights: places with their diameters, and where the printable zone ends. */
function names(
  subject: Subject,
  drawn: Drawn,
  spot: Spot,
  lettering: Lettering,
  { top, bottom, right }: { readonly top: number; readonly bottom: number; readonly right: number },
): PageItem[] {
  const list = [...placeNames(subject, drawn), ...zoneEnds(subject, drawn)].sort((p, q) => p.y - q.y);
  const gap = 1.35 * NAME;
  const wide = spot.scale * widestOf(drawn.rows);
  const x = spot.x + wide + (subject.study.table.shape === "cone" ? 16 : 10);
  const places = apart(
    list.map(({ y }) => pageY(spot, y)),
    gap,
    top,
    bottom,
  );
  return list.flatMap(({ y, radius, words, bold }, i) => {
    const [at, to] = [pageY(spot, y), places[i]!];
    const start = spot.x + spot.scale * radius + 1;
    const bend = spot.x + wide + 2;
    return [
      line(start, at, Math.max(start, bend), at),
      line(Math.max(start, bend), at, x - 1, to),
      text(lettering.fitted(words, right - x, NAME), x, to + 0.36 * NAME, NAME, {
        ...(bold ? { weight: "bold" as const } : {}),
      }),
    ];
  });
}

function placeNames({ study }: Subject, { rows }: Drawn): Named[] {
  const words = { placement: "placement point", widest: "widest", narrowest: "narrowest" } as const;
  const [from, to] = [rows[0]!.m, rows.at(-1)!.m];
  return study.table.rows.flatMap(({ places, alongAxisMm: y, diameterMm, alongOutlineMm: m }) => {
    if (m < from || m > to || places.includes("rim") || places.includes("base")) return [];
    const told = places.flatMap((place) => (place in words ? [words[place as keyof typeof words]] : []));
    const radius = diameterMm / 2;
    return told.length > 0 ? [{ y, radius, words: `${told.join(", ")} ${across(radius)}` }] : [];
  });
}

/** Upper and lower ends of the printable zone that are not the vessel's own; without a rim, along the wall from the placement point. */
function zoneEnds({ study }: Subject, { rows }: Drawn): Named[] {
  const { rimY } = study.ends;
  const one = ({ m, y, radius }: DrawnRow, words: string): Named => ({
    y,
    radius,
    bold: true,
    words: `zone ${words} ${rimY === null ? `${signed(m, 1)} along the wall` : `${mm(y - rimY)} below rim`}`,
  });
  return rows.slice(1).flatMap((row, i) => {
    const [before, now] = [rows[i]!.spans.length > 0, row.spans.length > 0];
    return before === now ? [] : now ? [one(row, "begins")] : [one(rows[i]!, "ends")];
  });
}
