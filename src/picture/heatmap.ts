/**
 * The heat map of a job: the artwork laid flat in mm with relative fluence φ across it, and the curves of φ and
 * defocus beneath on the same axis. A raster carries the field, an SVG overlay all the rest; the overlay has
 * shapes only, its text is outlines.
 */

import { downTenth } from "../plan/figures.ts";
import type { Plan, Verdict } from "../plan/types.ts";
import { type DrawnZone, zoneStyles } from "./colours.ts";
import { paintField } from "./field.ts";
import { colourBar } from "./heatbar.ts";
import { CHART_FOOT, CHART_HEIGHT, CHART_KEY, chartSvg } from "./heatchart.ts";
import { panelSvg, rulers, uprights } from "./heatpanel.ts";
import { jobWords, reachWords, reasonWords, settingsWords } from "./jobwords.ts";
import { type Layer, type LayerId, layerOf } from "./layers.ts";
import type { Lettering } from "./lettering.ts";
import { hatch, INK, line, MEDIUM, measure, QUIET, SMALL, text } from "./parts.ts";
import { tag } from "./svg.ts";
import { type View, viewOf } from "./view.ts";
import { boxRing, zoneKeyItems } from "./zonekey.ts";

export interface HeatmapParts {
  readonly width: number;
  readonly height: number;
  /** RGBA, row by row: white, and the layer in viridis. */
  readonly field: Uint8Array;
  /** An SVG of the same size in px, to be laid over the raster. */
  readonly overlay: string;
  /** Where the main panel lies, and which piece of the flat it shows. */
  readonly view: View;
}

const WIDTH = 1200;
const EDGE = 40;
/** Room at the panel's sides for numbers and titles. */
const LEFT = 130;
const RIGHT = 176;
const MAX_PANEL = 700;
const USUAL_HEAD = 246;

/** Draws the heat map of one of `layerNames(plan)`; `title` is the artwork's name. */
export function heatmap(
  plan: Plan,
  lettering: Lettering,
  title: string,
  layerId: LayerId = "falloff",
): HeatmapParts {
  const layer = layerOf(plan, layerId);
  const head = headSvg(plan, lettering, title, keyWords(plan, layer));
  const reachY = head.bottom + 26;
  const crownY = reachY + 46;
  const view = viewOf(plan, {
    left: LEFT,
    top: crownY + 10,
    maxWidth: WIDTH - LEFT - RIGHT,
    minHeight: 340,
    // A longer head leaves the panel less.
    maxHeight: MAX_PANEL - Math.max(0, head.bottom - USUAL_HEAD),
    border: 78,
  });
  const panelBottom = view.top + view.height;
  const chartTop = panelBottom + 88 + CHART_KEY;
  const chartBottom = chartTop + CHART_HEIGHT;
  const panel = panelSvg(plan, layer, view, lettering);
  const key = zoneKey(plan, panel.zones, view.left, chartBottom + CHART_FOOT, lettering);
  const height = Math.ceil(key.bottom + EDGE);
  const right = view.left + view.width;
  const titles = { left: view.left - 92, right: right + 108 };
  const overlay = [
    head.svg,
    panel.svg,
    rulers(plan, view, lettering, titles.left),
    colourBar(layer, right + 26, view.top, view.height, lettering),
    chartSvg(plan, layer, view, chartTop, lettering, titles),
    uprights(plan, view, crownY + 2, panelBottom, reachY - 10),
    uprights(plan, view, chartTop, chartBottom, chartTop),
    text(
      lettering,
      "crown line",
      { x: view.x(0), y: crownY - 2, size: SMALL, anchor: "middle" },
      { halo: 5 },
    ),
    reachMeasure(plan, view, reachY, lettering),
    panel.words,
    key.svg,
  ].join("\n");
  const field = new Uint8Array(4 * WIDTH * height).fill(255);
  paintField(layer, view, field, WIDTH);
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    width: WIDTH,
    height,
    viewBox: `0 0 ${WIDTH} ${height}`,
  };
  return { width: WIDTH, height, field, overlay: tag("svg", attributes, overlay), view };
}

const badge: Record<Verdict, string> = { ready: "#1d6b3a", caution: "#8f4a00", stop: "#9b1c1c" };

/** Name and verdict, the job in a line or two, and what the picture says in numbers. */
export function headSvg(
  plan: Plan,
  lettering: Lettering,
  title: string,
  key: string,
  width = WIDTH,
): { svg: string; bottom: number } {
  const wide = lettering.width(plan.verdict, 32, "bold") + 48;
  const x = width - EDGE - wide;
  const parts = [
    text(lettering, lettering.fitted(title, x - EDGE - 30, 42, "bold"), {
      x: EDGE,
      y: 76,
      size: 42,
      weight: "bold",
    }),
    tag("rect", { x, y: 34, width: wide, height: 56, rx: 8, fill: badge[plan.verdict] }),
    text(
      lettering,
      plan.verdict,
      { x: x + wide / 2, y: 73, size: 32, anchor: "middle", weight: "bold" },
      { fill: "#ffffff" },
    ),
  ];
  let y = 124;
  for (const words of wrapped([...jobWords(plan), ...settingsWords(plan)], lettering, width - 2 * EDGE)) {
    parts.push(text(lettering, words, { x: EDGE, y, size: MEDIUM }, { fill: QUIET }));
    y += 36;
  }
  parts.push(text(lettering, lettering.fitted(key, width - 2 * EDGE, MEDIUM), { x: EDGE, y, size: MEDIUM }));
  for (const reason of reasonWords(plan, 2)) {
    for (const words of lettering.lines(reason, width - 2 * EDGE, MEDIUM, "bold", 2)) {
      y += 36;
      const place = { x: EDGE, y, size: MEDIUM, weight: "bold" } as const;
      parts.push(
        text(lettering, words, place, {
          fill: /^(whole job: )?stop/.test(reason) ? badge.stop : badge.caution,
        }),
      );
    }
  }
  return { svg: parts.join(""), bottom: y + 14 };
}

function keyWords(plan: Plan, layer: Layer): string {
  const { reach } = plan;
  return `${layer.said}, reach ${downTenth(reach.aroundMm)} mm (${reach.limitedBy})`;
}

/** Words joined by a middle dot, on as many lines as they need. */
function wrapped(words: readonly string[], lettering: Lettering, room: number): string[] {
  const lines: string[] = [];
  for (const word of words) {
    const last = lines.at(-1);
    const joined = last === undefined ? word : `${last}  ·  ${word}`;
    if (last !== undefined && lettering.width(joined, MEDIUM) <= room) lines[lines.length - 1] = joined;
    else lines.push(lettering.fitted(word, room, MEDIUM));
  }
  return lines;
}

/** The reach as a measure above the panel; an end that lies outside the picture has no line. */
function reachMeasure(plan: Plan, view: View, y: number, lettering: Lettering): string {
  const half = plan.reach.aroundMm / 2;
  const right = view.left + view.width;
  const x1 = Math.max(view.left, view.x(-half));
  const x2 = Math.min(right, view.x(half));
  const words = reachWords(plan);
  const wide = lettering.width(words, SMALL);
  const inside = x2 - x1 > wide + 70;
  const beside = x2 + 14 + wide <= WIDTH - EDGE ? x2 + 14 : x1 - 14 - wide;
  return inside
    ? measure(x1, x2, y) +
        text(lettering, words, { x: (x1 + x2) / 2, y: y + 8, size: SMALL, anchor: "middle" }, { halo: 8 })
    : measure(x1, x2, y) + text(lettering, words, { x: beside, y: y + 8, size: SMALL });
}

/** One item for each zone that shows or holds ink: its hatch, its word, its share of the ink. */
function zoneKey(
  plan: Plan,
  shown: readonly DrawnZone[],
  left: number,
  top: number,
  lettering: Lettering,
): { svg: string; bottom: number } {
  const rows = zoneKeyItems(plan, shown);
  if (rows.length === 0) return { svg: "", bottom: top };
  const parts = [line(EDGE, top + 10, WIDTH - EDGE, top + 10, "#dddddd", 1)];
  let x = left;
  let y = top + 48;
  for (const { zone, words } of rows) {
    const wide = 62 + lettering.width(words, SMALL);
    if (x > left && x + wide > WIDTH - EDGE) {
      x = left;
      y += 42;
    }
    const box = { x, y: y - 22, width: 48, height: 28 };
    const style = zoneStyles[zone];
    parts.push(
      tag("rect", { ...box, fill: style.shade, "fill-opacity": style.shadeOpacity }),
      hatch(zone, [boxRing(box.x, box.y, box.width, box.height)], 9 / style.gap),
      tag("rect", { ...box, fill: "none", stroke: INK, "stroke-width": 1.5 }),
      text(lettering, words, { x: x + 62, y, size: SMALL }),
    );
    x += wide + 40;
  }
  return { svg: parts.join(""), bottom: y + 8 };
}
