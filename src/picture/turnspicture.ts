/**
 * The picture of all turns: the whole artwork unrolled around the vessel, with each turn's window, the cuts between them,
 * and how relative fluence falls off across each. Shapes only: its text is outlines.
 */
import type { Plan } from "../plan/types.ts";
import { headSvg } from "./heatmap.ts";
import type { Lettering } from "./lettering.ts";
import { tag } from "./svg.ts";
import { bandsOf } from "./turns/bands.ts";
import { FALLOFF_ROW, falloffRow } from "./turns/falloffrow.ts";
import { turnsKey } from "./turns/key.ts";
import { turnsPanel } from "./turns/panel.ts";
import { DEGREES, MILLIMETRES, turnsRulers } from "./turns/rulers.ts";
import { drawnTurns, type Strip, stripOf } from "./turns/strip.ts";
import { turnsWords } from "./turns/words.ts";

export const TURNS_WIDTH = 1600;
const EDGE = 40;
/** Room at the strip's left for numbers and title. */
const LEFT = 130;
const GAP = 14;

/** An SVG 1600 px wide; `title` is the artwork's name. */
export function turnsPicture(plan: Plan, lettering: Lettering, title: string): string {
  const drawn = drawnTurns(plan);
  const head = headSvg(plan, lettering, title, turnsWords(plan), TURNS_WIDTH);
  const room = TURNS_WIDTH - LEFT - EDGE - 20;
  const stripAt = (top: number): Strip => stripOf(plan, drawn, LEFT, top, room);
  const aboveTop = head.bottom + 2 * GAP;
  // How tall the bands are depends on how wide the strip is, not on where it stands.
  const bands = bandsOf(plan, drawn, stripAt(0), lettering);
  const strip = stripAt(aboveTop + bands.above + GAP + DEGREES);
  const belowTop = strip.top + strip.height + MILLIMETRES + GAP;
  const rowTop = belowTop + bands.below + GAP;
  const panel = turnsPanel(plan, drawn, strip, TURNS_WIDTH - EDGE, lettering);
  const place = {
    left: EDGE,
    right: TURNS_WIDTH - EDGE,
    top: rowTop + FALLOFF_ROW + GAP,
    angles: bands.short,
  };
  const key = turnsKey(plan, panel, place, lettering);
  const height = Math.ceil(key.bottom + EDGE);
  const content = [
    tag("rect", { x: 0, y: 0, width: TURNS_WIDTH, height, fill: "#ffffff" }),
    head.svg,
    bands.svg(aboveTop, belowTop),
    panel.svg,
    turnsRulers(strip, lettering),
    falloffRow(plan, drawn, strip, rowTop, lettering),
    key.svg,
  ];
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    width: TURNS_WIDTH,
    height,
    viewBox: `0 0 ${TURNS_WIDTH} ${height}`,
  };
  return tag("svg", attributes, content.join("\n"));
}
