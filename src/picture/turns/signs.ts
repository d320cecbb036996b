/** The signs of the strip, which its key shows again. */
import type { Zone } from "../../plan/zones.ts";
import { zoneStyles } from "../colours.ts";
import { hatch, INK, line } from "../parts.ts";
import { ringData, tag } from "../svg.ts";

export const CUT = "14 9";
export const RING = 12;
export const CUT_INK = "#a3005f";

/** A ring around a place at which a cut goes through ink. */
export const ringSvg = (x: number, y: number): string =>
  tag("circle", { cx: x, cy: y, r: RING, fill: "none", stroke: "#ffffff", "stroke-width": 6 }) +
  tag("circle", { cx: x, cy: y, r: RING, fill: "none", stroke: CUT_INK, "stroke-width": 3 });

/** A witness mark as a bar with a small triangle under it: by itself it would be too small to see. */
export const witnessMark = (x: number, top: number, bottom: number): string =>
  tag(
    "g",
    { "data-mark": "witness" },
    line(x, top, x, bottom, "#ffffff", 8) +
      line(x, top, x, bottom, INK, 4) +
      tag("path", {
        d: ringData(
          [
            { x, y: bottom + 2 },
            { x: x + 8, y: bottom + 16 },
            { x: x - 8, y: bottom + 16 },
          ],
          true,
        ),
        fill: INK,
        stroke: "#ffffff",
        "stroke-width": 2,
      }),
  );

/** Ink in a zone, on white, so that shade and hatch show. */
export function zonePaint(zone: Zone, d: string, rings: { x: number; y: number }[][]): string {
  const { shade, shadeOpacity } = zoneStyles[zone];
  return (
    tag("path", { d, fill: "#ffffff" }) +
    tag("path", { d, fill: shade, "fill-opacity": Math.min(1, 1.6 * shadeOpacity) }) +
    hatch(zone, rings, 9) +
    tag("path", { d, fill: "none", stroke: shade, "stroke-width": 1.5 })
  );
}
