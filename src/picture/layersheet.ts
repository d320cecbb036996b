/** One sheet with all layers that the job has, small: the same piece of the flat two by two, each with its own scale. */
import { middleWords } from "../plan/process/label.ts";
import type { Plan } from "../plan/types.ts";
import { paintField } from "./field.ts";
import { colourBar } from "./heatbar.ts";
import { type HeatmapParts, headSvg } from "./heatmap.ts";
import { panelSvg, uprights } from "./heatpanel.ts";
import { aroundWords } from "./jobwords.ts";
import { type Layer, layerNames, layerOf } from "./layers.ts";
import type { Lettering } from "./lettering.ts";
import { line, QUIET, SMALL, text } from "./parts.ts";
import { tag } from "./svg.ts";
import { roundStep, ticks, tickText } from "./ticks.ts";
import { type View, viewOf } from "./view.ts";

const WIDTH = 1600;
const EDGE = 40;
/** Left of a panel, and right of it for the colour bar. */
const LEFT = 24;
const RIGHT = 140;
/** Above a panel for its words, and below it for the ruler. */
const ABOVE = 78;
const BELOW = 88;

/** Draws the sheet; `title` is the artwork's name. */
export function layerSheet(plan: Plan, lettering: Lettering, title: string): Omit<HeatmapParts, "view"> {
  const layers = layerNames(plan).map((id) => layerOf(plan, id));
  const head = headSvg(
    plan,
    lettering,
    title,
    `by ${middleWords(plan.job)}; in brackets what 90 % of the cases lie between`,
    WIDTH,
  );
  const column = (WIDTH - 2 * EDGE) / 2;
  const room = { maxWidth: column - LEFT - RIGHT, minHeight: 310, maxHeight: 420, border: 50 };
  const views: View[] = [];
  let bottom = head.bottom;
  layers.forEach((_, i) => {
    const top = i % 2 === 0 ? bottom + ABOVE : views[i - 1]!.top;
    const view = viewOf(plan, { ...room, left: EDGE + (i % 2) * column + LEFT, top });
    views.push(view);
    bottom = view.top + view.height + BELOW;
  });
  const height = Math.ceil(bottom + EDGE / 2);
  const field = new Uint8Array(4 * WIDTH * height).fill(255);
  const panels = layers.map((layer, i) => {
    const view = views[i]!;
    paintField(layer, view, field, WIDTH);
    return panelOf(plan, layer, view, lettering, column);
  });
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    width: WIDTH,
    height,
    viewBox: `0 0 ${WIDTH} ${height}`,
  };
  return { width: WIDTH, height, field, overlay: tag("svg", attributes, [head.svg, ...panels].join("\n")) };
}

function panelOf(plan: Plan, layer: Layer, view: View, lettering: Lettering, column: number): string {
  const panel = panelSvg(plan, layer, view, lettering);
  const bottom = view.top + view.height;
  const start = view.left - LEFT / 2;
  const step = roundStep(85 / view.scale);
  const ruler = ticks(view.flat.minX, view.flat.maxX, step).map((a) => {
    const place = { x: view.x(a), y: bottom + 36, size: SMALL, anchor: "middle" } as const;
    return line(view.x(a), bottom, view.x(a), bottom + 10) + text(lettering, tickText(a, step), place);
  });
  const said = lettering.fitted(layer.said, column - LEFT, SMALL);
  return [
    text(lettering, layer.title, { x: start, y: view.top - 46, size: SMALL, weight: "bold" }),
    text(lettering, said, { x: start, y: view.top - 14, size: SMALL }, { fill: QUIET }),
    panel.svg,
    uprights(plan, view, view.top, bottom, view.top),
    panel.words,
    colourBar(layer, view.left + view.width + 14, view.top, view.height, lettering, false),
    ...ruler,
    text(
      lettering,
      aroundWords(plan),
      { x: view.left + view.width / 2, y: bottom + 66, size: SMALL, anchor: "middle" },
      { fill: QUIET },
    ),
  ].join("");
}
