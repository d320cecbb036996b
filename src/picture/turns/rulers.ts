/** The strip's rulers: degrees around above it, mm on the girth below it, mm along the outline at its left. */
import type { Lettering } from "../lettering.ts";
import { line, QUIET, SMALL, text } from "../parts.ts";
import { tag } from "../svg.ts";
import { roundStep, ticks, tickText } from "../ticks.ts";
import type { Strip } from "./strip.ts";

/** Room for each. */
export const DEGREES = 78;
export const MILLIMETRES = 78;
const TICK = 12;

/** Steps that divide a full turn, degrees. */
const ANGLES = [1, 2, 5, 10, 15, 30, 45, 90];
const RAD = Math.PI / 180;

export function turnsRulers(strip: Strip, lettering: Lettering): string {
  const { left, top, width, height, scale, radius, fromTheta, toTheta, topM, bottomM, x, y } = strip;
  const bottom = top + height;
  const middle = left + width / 2;
  const parts: string[] = [];
  const level = (words: string, at: number, base: number): string =>
    text(lettering, words, { x: at, y: base, size: SMALL, anchor: "middle" });
  const perDegree = scale * radius * RAD;
  const step = ANGLES.find((degrees) => degrees * perDegree >= 74) ?? 90;
  for (const degrees of ticks(fromTheta / RAD, toTheta / RAD, step)) {
    const at = x(degrees * RAD);
    parts.push(line(at, top - TICK, at, top), level(`${tickText(degrees, 1)}°`, at, top - 20));
  }
  const around = roundStep(74 / scale);
  for (const mm of ticks(radius * fromTheta, radius * toTheta, around)) {
    const at = x(mm / radius);
    parts.push(line(at, bottom, at, bottom + TICK), level(tickText(mm, around), at, bottom + 36));
  }
  const along = roundStep(46 / scale);
  for (const m of ticks(topM, bottomM, along)) {
    const place = { x: left - 20, y: y(m) + 9, size: SMALL, anchor: "end" } as const;
    parts.push(line(left - TICK, y(m), left, y(m)), text(lettering, tickText(m, along), place));
  }
  const title = (words: string, at: number): string =>
    text(lettering, words, { x: middle, y: at, size: SMALL, anchor: "middle" }, { fill: QUIET });
  const upright = {
    x: left - 92,
    y: (top + bottom) / 2,
    size: SMALL,
    anchor: "middle",
    rotate: -90,
  } as const;
  parts.push(
    title("around from the artwork's crown line", top - 50),
    title("on the girth where it is placed (mm)", bottom + 68),
    text(lettering, "along (mm)", upright, { fill: QUIET }),
  );
  return tag("g", { id: "rulers" }, parts.join(""));
}
