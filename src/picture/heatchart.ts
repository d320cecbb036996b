/**
 * The chart under the heat map: the layer's value (solid, left scale, with its range as a band where it has one) and
 * defocus d (dashed, right scale, down like the surface itself) across the vessel at the placement point, on the panel's own horizontal axis.
 */
import type { Plan } from "../plan/types.ts";
import { type Layer, tickPlaces } from "./layers.ts";
import type { Lettering } from "./lettering.ts";
import { INK, line, measure, QUIET, RULE, SMALL, text } from "./parts.ts";
import { ringData, tag } from "./svg.ts";
import { plain, roundStep, ticks, tickText } from "./ticks.ts";
import type { View } from "./view.ts";

export const CHART_HEIGHT = 240;
/** Room for the key above and for the ink's measure below. */
export const CHART_KEY = 46;
export const CHART_FOOT = 58;

const PHI = "#0b4f6c";
const DEFOCUS = "#8a3b12";
const BAND = "#e9e6df";
const DASH = "14 8";

/** The chart's frame starts at `top`; its key stands above it. `titles` are the x of the two upright titles. */
export function chartSvg(
  plan: Plan,
  layer: Layer,
  view: View,
  top: number,
  lettering: Lettering,
  titles: { readonly left: number; readonly right: number },
): string {
  const { left, width } = view;
  const right = left + width;
  const bottom = top + CHART_HEIGHT;
  const depth = plan.limits.usableDepthMm;
  const range = depthRange(plan);
  const yPlace = (place: number): number => bottom - place * CHART_HEIGHT;
  const yValue = (value: number): number => yPlace(layer.place(value));
  const yDepth = (d: number): number => top + ((d - range.min) / (range.max - range.min)) * CHART_HEIGHT;
  const bandTop = Math.max(top, yDepth(-depth));
  const bandBottom = Math.min(bottom, yDepth(depth));
  const parts = [
    tag("rect", { x: left, y: bandTop, width, height: bandBottom - bandTop, fill: BAND }),
    ...ticks(view.flat.minX, view.flat.maxX, roundStep(85 / view.scale)).map((a) =>
      line(view.x(a), top, view.x(a), bottom, RULE, 1),
    ),
    // Beside the line of a threshold it would be one too many.
    ...(layer.threshold !== null ? [] : [line(left, yDepth(0), right, yDepth(0), DEFOCUS, 1.5)]),
    ...scales(lettering, { left, right, top, bottom }, layer, range, yPlace, yDepth, titles),
  ];
  const columns = Array.from({ length: width + 1 }, (_, i) => left + i);
  const values = columns.map((x) => ({ x, y: yValue(layer.at(view.a(x), 0)) }));
  const defocus = columns.flatMap((x) => {
    const a = view.a(x);
    if (!plan.warp.surface.covers(a, 0)) return [];
    return [{ x, y: yDepth(plan.warp.meetingUnchecked(a, 0).defocus) }];
  });
  parts.push(
    tag("clipPath", { id: "chart" }, tag("rect", { x: left, y: top, width, height: CHART_HEIGHT })),
    tag(
      "g",
      { "clip-path": "url(#chart)", fill: "none", "stroke-width": 4, "stroke-linejoin": "round" },
      rangeBand(layer, view, yValue) +
        tag("path", { d: ringData(defocus, false), stroke: DEFOCUS, "stroke-dasharray": DASH }) +
        tag("path", { d: ringData(values, false), stroke: PHI }),
    ),
    tag("rect", {
      x: left,
      y: top,
      width,
      height: CHART_HEIGHT,
      fill: "none",
      stroke: INK,
      "stroke-width": 1.5,
    }),
    chartKey(plan, layer, left, top - 16, lettering),
    inkMeasure(plan, view, bottom, lettering),
  );
  return parts.join("");
}

/** Depths worth showing: the usable band with air around it, and the ink as far as four times the band. */
function depthRange(plan: Plan): { min: number; max: number } {
  const depth = plan.limits.usableDepthMm;
  const { belowCrownMm, dropMm } = plan.focus;
  const deepest = Math.min(Math.max(dropMm - belowCrownMm, 0), 4 * depth);
  return {
    min: -Math.max(1.3 * depth, Math.min(1.15 * belowCrownMm, 6 * depth)),
    max: Math.max(1.3 * depth, 1.1 * deepest, Math.min(-1.3 * belowCrownMm, 6 * depth)),
  };
}

function scales(
  lettering: Lettering,
  frame: { left: number; right: number; top: number; bottom: number },
  layer: Layer,
  range: { min: number; max: number },
  yPlace: (place: number) => number,
  yDepth: (d: number) => number,
  titles: { readonly left: number; readonly right: number },
): string[] {
  const { left, right } = frame;
  const parts: string[] = [];
  for (const { at, words } of tickPlaces(layer, yPlace, 26)) {
    parts.push(line(left - 10, at, left, at));
    const place = { x: left - 18, y: at + 9, size: SMALL, anchor: "end" } as const;
    if (words !== null) parts.push(text(lettering, words, place, { fill: PHI }));
  }
  if (layer.threshold !== null) {
    const at = yPlace(layer.place(layer.threshold));
    parts.push(line(left, at, right, at, PHI, 1.5));
  }
  const step = roundStep(((range.max - range.min) * 42) / CHART_HEIGHT);
  for (const d of ticks(range.min, range.max, step)) {
    parts.push(line(right, yDepth(d), right + 10, yDepth(d)));
    const place = { x: right + 18, y: yDepth(d) + 9, size: SMALL };
    parts.push(text(lettering, tickText(d, step), place, { fill: DEFOCUS }));
  }
  const y = (frame.top + frame.bottom) / 2;
  const upright = { y, size: SMALL, anchor: "middle", rotate: -90 } as const;
  parts.push(
    text(lettering, axisWords[layer.id], { ...upright, x: titles.left }, { fill: PHI }),
    text(lettering, "d (mm)", { ...upright, x: titles.right }, { fill: DEFOCUS }),
  );
  return parts;
}

/** Samples of the two lines and the band, with their words, in one row that starts at `left` or before it. */
function chartKey(plan: Plan, layer: Layer, left: number, y: number, lettering: Lettering): string {
  const ranged = layer.threshold !== null;
  const band = (x: number): string =>
    tag("rect", { x, y: y - 20, width: 48, height: 24, fill: BAND, stroke: QUIET, "stroke-width": 1 }) +
    (ranged ? "" : line(x, y - 8, x + 48, y - 8, DEFOCUS, 1.5));
  const shade = (x: number): string =>
    ranged ? tag("rect", { x, y: y - 20, width: 48, height: 24, fill: PHI, "fill-opacity": 0.18 }) : "";
  const items = [
    {
      words: ranged ? `${layer.title}, 90 %` : layer.title,
      sample: (x: number) => shade(x) + line(x, y - 8, x + 48, y - 8, PHI, 4),
    },
    {
      words: "depth d below focus",
      sample: (x: number) => line(x, y - 8, x + 50, y - 8, DEFOCUS, 4, DASH),
    },
    {
      words: `usable depth ±${plain(plan.limits.usableDepthMm, 1)} mm${ranged ? "" : ", focal plane"}`,
      sample: band,
    },
  ].map((item) => ({ ...item, wide: 60 + lettering.width(item.words, SMALL) }));
  const total = items.reduce((sum, item) => sum + item.wide, 0) + GAP * (items.length - 1);
  let x = Math.min(left, KEY_END - total);
  return items
    .map(({ words, sample, wide }) => {
      const svg = sample(x) + text(lettering, words, { x: x + 60, y, size: SMALL });
      x += wide + GAP;
      return svg;
    })
    .join("");
}
/** What 90 % of the cases lie between, as far as the layer has it. */
function rangeBand(layer: Layer, view: View, yValue: (value: number) => number): string {
  const upper: { x: number; y: number }[] = [];
  const lower: { x: number; y: number }[] = [];
  const steps = 60;
  for (let i = 0; i <= steps; i++) {
    const x = view.left + (view.width * i) / steps;
    const range = layer.range(view.a(x));
    if (!range) continue;
    upper.push({ x, y: yValue(range.high) });
    lower.push({ x, y: yValue(range.low) });
  }
  const d = ringData([...upper, ...lower.reverse()], true);
  return d === "" ? "" : tag("path", { d, fill: PHI, "fill-opacity": 0.18 });
}

/** Upright beside the left scale. */
const axisWords = { falloff: "φ", dose: "J/cm²", removal: "÷ thickness", metal: "÷ threshold" } as const;
const GAP = 34;
const KEY_END = 1160;

/** The ink's extent around, as a measure under the chart; an end that lies outside the picture is left open. */
function inkMeasure(plan: Plan, view: View, bottom: number, lettering: Lettering): string {
  const { minX, maxX } = plan.ink.box;
  const right = view.left + view.width;
  const clip = (a: number): number => Math.max(view.left, Math.min(right, view.x(a)));
  const [x1, x2] = [clip(minX), clip(maxX)];
  const inside = x1 === view.x(minX) && x2 === view.x(maxX);
  const words = `ink ${plain(maxX - minX, 1)} mm${inside ? "" : ", more than is shown"}`;
  const half = lettering.width(words, SMALL) / 2;
  const middle = Math.max(view.left + half, Math.min(right - half, (x1 + x2) / 2));
  const y = bottom + 18;
  const end = (a: number): string => (clip(a) === view.x(a) ? line(view.x(a), bottom, view.x(a), y + 6) : "");
  return [
    inside && x2 - x1 > 12 ? measure(x1, x2, y) : line(x1, y, x2, y, INK, inside ? 4 : 1.5),
    end(minX),
    end(maxX),
    text(lettering, words, { x: middle, y: bottom + 50, size: SMALL, anchor: "middle" }),
  ].join("");
}
