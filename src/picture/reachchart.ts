/**
 * The chart of `reach`: the widest artwork against the vessel's diameter, one curve for each lens, the vessel asked
 * about as an upright line with a dot on each curve. Curves differ in dashes as well as in colour, and each has its
 * name at its right end.
 */
import type { ReachCurve } from "../plan/reachtable.ts";
import { type Fidelity, widthWords } from "../plan/vesselsaid.ts";
import { viridisHex } from "./colours.ts";
import type { Lettering } from "./lettering.ts";
import { INK, line, MEDIUM, QUIET, RULE, SMALL, text } from "./parts.ts";
import { ringData, tag } from "./svg.ts";
import { plain, roundStep, ticks, tickText } from "./ticks.ts";

export interface ReachChart {
  /** The vessel asked about (mm), inside the diameters shown. */
  readonly diameterMm: number;
  /** Diameters of the curves' points (mm), ascending. */
  readonly diametersMm: readonly number[];
  readonly curves: readonly ReachCurve[];
  /** Each curve's reach at `diameterMm`, in the curves' order (mm). */
  readonly hereMm: readonly number[];
  /** True where the column is too short for the lens above that vessel; its name is starred. */
  readonly tooTall?: readonly boolean[];
  readonly fidelity: Fidelity;
  /** What holds for all curves, in a line. */
  readonly note: string;
}

export const REACH_WIDTH = 1200;
export const REACH_HEIGHT = 800;
const EDGE = 40;
const FRAME = { left: 140, right: 1010, top: 204, bottom: 680 };
/** Distance between names at the curves' ends, and from the frame to them (px). */
const NAME_GAP = 32;
const NAME_LEFT = 40;
/** Viridis entries up to this one stand out from white. */
const LAST_COLOUR = 176;
const DASHES = ["", "20 8", "4 6", "20 6 4 6", "10 6", "20 6 4 6 4 6", "34 6"];

/** Diameters worth showing around one (mm): from small cups to half as wide again, ends on round numbers. */
export function diametersAround(diameterMm: number): number[] {
  const small = diameterMm < 25;
  const most = small ? 4 * diameterMm : Math.max(120, 1.5 * diameterMm);
  const step = roundStep(most / 12);
  const to = step * Math.ceil(most / step - 1e-9);
  const from = small ? to / COUNT : 20;
  return Array.from({ length: COUNT + 1 }, (_, i) => from + ((to - from) * i) / COUNT);
}
const COUNT = 240;

/** The chart as an SVG of 1200 × 800 px. */
export function reachChart(chart: ReachChart, lettering: Lettering): string {
  const { diametersMm, curves, diameterMm, hereMm } = chart;
  const { left, right, top, bottom } = FRAME;
  const [from, to] = [diametersMm[0]!, diametersMm.at(-1)!];
  const most = Math.max(...hereMm, ...curves.flatMap((c) => c.reachMm));
  const yStep = roundStep(most / 8);
  const yEnd = yStep * Math.ceil(most / yStep - 1e-9);
  const x = (mm: number): number => left + ((mm - from) / (to - from)) * (right - left);
  const y = (mm: number): number => bottom - (mm / yEnd) * (bottom - top);
  const here = x(diameterMm);
  const size = { width: REACH_WIDTH, height: REACH_HEIGHT };
  const content = [
    tag("rect", { x: 0, y: 0, ...size, fill: "#ffffff" }),
    heading(chart, lettering),
    axes(chart, lettering, { from, to, yStep, yEnd, x, y }),
    line(here, top - 6, here, bottom, INK, 2),
    vesselName(diameterMm, here, lettering),
    ...curves.map((curve, i) => {
      const points = curve.reachMm.map((mm, k) => ({ x: x(diametersMm[k]!), y: y(mm) }));
      return tag("path", {
        d: ringData(points, false),
        fill: "none",
        "stroke-width": 4,
        ...stroke(i, curves),
      });
    }),
    ...curves.map((_, i) =>
      tag("circle", {
        cx: here,
        cy: y(hereMm[i]!),
        r: 7,
        fill: colourOf(i, curves),
        stroke: "#ffffff",
        "stroke-width": 2,
      }),
    ),
    names(
      curves.map((c, i) => ({ lens: chart.tooTall?.[i] ? `${c.lens} *` : c.lens, reachMm: c.reachMm })),
      curves.map((c) => y(c.reachMm.at(-1)!)),
      lettering,
    ),
  ];
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    ...size,
    viewBox: `0 0 ${REACH_WIDTH} ${REACH_HEIGHT}`,
  };
  return tag("svg", attributes, content.join("\n"));
}

const colourOf = (i: number, all: readonly unknown[]): string =>
  viridisHex(Math.round((LAST_COLOUR * i) / Math.max(1, all.length - 1)));

function stroke(i: number, all: readonly unknown[]): Record<string, string> {
  const dash = DASHES[i % DASHES.length]!;
  return { stroke: colourOf(i, all), ...(dash ? { "stroke-dasharray": dash } : {}) };
}

function heading({ fidelity, note, tooTall }: ReachChart, lettering: Lettering): string {
  const room = REACH_WIDTH - 2 * EDGE;
  const way = fidelity === "sight" ? "across the vessel, as seen" : "around the vessel";
  return [
    text(lettering, `Widest artwork ${way}`, { x: EDGE, y: 76, size: 42, weight: "bold" }),
    text(lettering, lettering.fitted(note, room, MEDIUM), { x: EDGE, y: 122, size: MEDIUM }, { fill: QUIET }),
    ...(tooTall?.some(Boolean)
      ? [
          text(
            lettering,
            "* the column cannot lift this lens high enough for this vessel",
            { x: EDGE, y: 156, size: SMALL },
            { fill: QUIET },
          ),
        ]
      : []),
  ].join("");
}

/** The asked vessel's name above its line, kept within the picture. */
function vesselName(diameterMm: number, here: number, lettering: Lettering): string {
  const words = `this vessel: ${plain(diameterMm, 2)} mm`;
  const half = lettering.width(words, SMALL, "bold") / 2;
  const x = Math.max(EDGE + half, Math.min(REACH_WIDTH - EDGE - half, here));
  return text(lettering, words, { x, y: FRAME.top - 16, size: SMALL, anchor: "middle", weight: "bold" });
}

interface Scales {
  readonly from: number;
  readonly to: number;
  readonly yStep: number;
  readonly yEnd: number;
  readonly x: (mm: number) => number;
  readonly y: (mm: number) => number;
}

function axes({ fidelity }: ReachChart, lettering: Lettering, scales: Scales): string {
  const { from, to, yStep, yEnd, x, y } = scales;
  const { left, right, top, bottom } = FRAME;
  const parts: string[] = [];
  const xStep = roundStep((to - from) / 11);
  for (const mm of ticks(from, to, xStep)) {
    const place = { x: x(mm), y: bottom + 40, size: SMALL, anchor: "middle" } as const;
    parts.push(line(x(mm), top, x(mm), bottom, RULE, 1), line(x(mm), bottom, x(mm), bottom + 10));
    parts.push(text(lettering, tickText(mm, xStep), place));
  }
  for (const mm of ticks(0, yEnd, yStep)) {
    const place = { x: left - 18, y: y(mm) + 9, size: SMALL, anchor: "end" } as const;
    parts.push(line(left, y(mm), right, y(mm), RULE, 1), line(left - 10, y(mm), left, y(mm)));
    parts.push(text(lettering, tickText(mm, yStep), place));
  }
  const frame = { x: left, y: top, width: right - left, height: bottom - top, fill: "none", stroke: INK };
  parts.push(
    tag("rect", { ...frame, "stroke-width": 1.5 }),
    text(lettering, "vessel's outer diameter (mm)", {
      x: (left + right) / 2,
      y: bottom + 86,
      size: SMALL,
      anchor: "middle",
    }),
    text(lettering, `reach (mm ${widthWords[fidelity]})`, {
      x: 58,
      y: (top + bottom) / 2,
      size: SMALL,
      anchor: "middle",
      rotate: -90,
    }),
  );
  return parts.join("");
}

/** Each curve's name beside its end, led to it by a thin line where it had to give way. */
function names(curves: readonly ReachCurve[], ends: readonly number[], lettering: Lettering): string {
  const { right, top, bottom } = FRAME;
  const order = ends.map((_, i) => i).sort((i, j) => ends[i]! - ends[j]! || j - i);
  const places = apart(
    order.map((i) => ends[i]!),
    NAME_GAP,
    top,
    bottom,
  );
  const x = right + NAME_LEFT;
  const room = REACH_WIDTH - 12 - x;
  return order
    .map((i, k) => {
      const y = places[k]!;
      const words = lettering.fitted(curves[i]!.lens, room, SMALL);
      return tag(
        "g",
        { id: `name-${i + 1}` },
        tag("path", {
          d: ringData(
            [
              { x: right, y: ends[i]! },
              { x: right + 8, y: ends[i]! },
              { x: x - 14, y },
              { x: x - 6, y },
            ],
            false,
          ),
          fill: "none",
          stroke: colourOf(i, curves),
          "stroke-width": 2,
        }) + text(lettering, words, { x, y: y + 8, size: SMALL }),
      );
    })
    .join("");
}

/**
 * Ascending places, moved as little as the gap between them asks for (least squares, by pooling neighbours), all
 * from `lo` to `hi` where they have the room.
 */
export function apart(places: readonly number[], gap: number, lo: number, hi: number): number[] {
  const pools: { sum: number; count: number }[] = [];
  places.forEach((place, i) => {
    let pool = { sum: place - i * gap, count: 1 };
    for (
      let last = pools.at(-1);
      last && last.sum / last.count > pool.sum / pool.count;
      last = pools.at(-1)
    ) {
      pool = { sum: last.sum + pool.sum, count: last.count + pool.count };
      pools.pop();
    }
    pools.push(pool);
  });
  const end = Math.max(lo, hi - gap * (places.length - 1));
  return pools
    .flatMap(({ sum, count }) => Array<number>(count).fill(Math.max(lo, Math.min(end, sum / count))))
    .map((place, i) => place + i * gap);
}
