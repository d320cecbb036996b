/** Relative fluence of each turn across its window, at the height where the artwork is placed. */
import { falloffAt } from "../../plan/falloff.ts";
import type { Plan, Turn } from "../../plan/types.ts";
import { viridisHex, viridisIndex } from "../colours.ts";
import type { Lettering } from "../lettering.ts";
import { INK, line, QUIET, RULE, SMALL, text } from "../parts.ts";
import { ringData, tag } from "../svg.ts";
import { tickText } from "../ticks.ts";
import type { DrawnTurn, Strip } from "./strip.ts";

const HEIGHT = 150;
/** Room for the title above and the ranges below. */
const TITLE = 52;
const RANGES = 40;
export const FALLOFF_ROW = TITLE + HEIGHT + RANGES;
/** Width of a column of colour (px). */
const COLUMN = 3;

export function falloffRow(
  plan: Plan,
  drawn: readonly DrawnTurn[],
  strip: Strip,
  top: number,
  lettering: Lettering,
): string {
  const { left, width, x } = strip;
  const frameTop = top + TITLE;
  const bottom = frameTop + HEIGHT;
  const y = (phi: number): number => bottom - phi * HEIGHT;
  const parts: string[] = [];
  for (const phi of [0, 0.5, 1]) {
    parts.push(line(left, y(phi), left + width, y(phi), RULE, 1), line(left - 10, y(phi), left, y(phi)));
    const place = { x: left - 18, y: y(phi) + 9, size: SMALL, anchor: "end" } as const;
    parts.push(text(lettering, tickText(phi, 0.5), place));
  }
  parts.push(...plan.turns.map((turn, i) => curve(plan, turn, drawn[i]!, strip, y)));
  const frame = { x: left, y: frameTop, width, height: HEIGHT };
  parts.push(
    tag("rect", { ...frame, fill: "none", stroke: INK, "stroke-width": 1.5 }),
    text(
      lettering,
      "relative fluence across each turn, at the height where the artwork is placed",
      { x: left + width / 2, y: top + 26, size: SMALL, anchor: "middle" },
      { fill: QUIET },
    ),
  );
  let end = -Infinity;
  plan.turns.forEach(({ falloff }, i) => {
    const { from, to } = drawn[i]!;
    const range = `${falloff.min.toFixed(2)} to ${falloff.max.toFixed(2)}`;
    const room = x(to) - x(from) - 8;
    const words = [`over its ink ${range}`, range, falloff.min.toFixed(2)].find(
      (one) => lettering.width(one, SMALL) <= room,
    );
    const place = { x: (x(from) + x(to)) / 2, y: bottom + 30, size: SMALL, anchor: "middle" } as const;
    if (!words || place.x - lettering.width(words, SMALL) / 2 < end) return;
    end = place.x + lettering.width(words, SMALL) / 2 + 8;
    parts.push(text(lettering, words, place));
  });
  return tag("g", { id: "falloff" }, parts.join(""));
}

/** Columns in viridis up to the value, and the curve over them. */
function curve(
  { warp, spot, job }: Plan,
  { index, angle }: Turn,
  { from, to }: DrawnTurn,
  { x }: Strip,
  y: (phi: number) => number,
): string {
  const { chart } = warp.surface;
  const out = new Float64Array(6);
  const m = chart.to(0, job.placement.atMm[1], out) ? out[1]! : 0;
  const phiAt = (theta: number): number =>
    chart.from(theta - angle, m, out) ? falloffAt(warp, spot, out[0]!, out[1]!) : 0;
  const count = Math.max(2, Math.ceil((x(to) - x(from)) / COLUMN));
  const points = Array.from({ length: count + 1 }, (_, k) => {
    const theta = from + ((to - from) * k) / count;
    const phi = phiAt(theta);
    return { x: x(theta), y: y(phi), phi };
  });
  const columns = points.slice(1).map((p, k) => {
    const q = points[k]!;
    const phi = (p.phi + q.phi) / 2;
    // A hair wider, so that no seam shows.
    const box = { x: q.x, y: y(phi), width: p.x - q.x + 0.6, height: y(0) - y(phi) };
    return tag("rect", { ...box, fill: viridisHex(viridisIndex(phi)) });
  });
  return tag(
    "g",
    { id: `falloff-${index}` },
    columns.join("") +
      tag("path", { d: ringData(points, false), fill: "none", stroke: INK, "stroke-width": 2.5 }),
  );
}
