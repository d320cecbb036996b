/** The colour bar of relative fluence, 0 to 1. */
import { viridisHex } from "./colours.ts";
import type { Lettering } from "./lettering.ts";
import { INK, line, QUIET, SMALL, text } from "./parts.ts";
import { tag } from "./svg.ts";

/** A bar at (x, top), its numbers and its title to the right. */
export function colourBar(x: number, top: number, height: number, lettering: Lettering): string {
  const width = 30;
  const y = (value: number): number => top + (1 - value) * height;
  const steps = Array.from({ length: 256 }, (_, i) =>
    // Each step runs on under the next, so that no seam shows.
    tag("rect", {
      x,
      y: y((i + 1) / 256),
      width,
      height: Math.min(height, (height / 256) * 2, y(i / 256) + height / 256 - y((i + 1) / 256)),
      fill: viridisHex(i),
    }),
  ).reverse();
  const parts = [
    tag("clipPath", { id: "bar" }, tag("rect", { x, y: top, width, height })),
    tag("g", { "clip-path": "url(#bar)" }, steps.join("")),
    tag("rect", { x, y: top, width, height, fill: "none", stroke: INK, "stroke-width": 1.5 }),
  ];
  for (let i = 0; i <= 5; i++) {
    const value = i / 5;
    parts.push(
      line(x + width, y(value), x + width + 8, y(value)),
      text(lettering, value.toFixed(1), { x: x + width + 16, y: y(value) + 9, size: SMALL }),
    );
  }
  parts.push(
    text(
      lettering,
      "relative fluence φ",
      { x: x + width + 84, y: top + height / 2, size: SMALL, anchor: "middle", rotate: -90 },
      { fill: QUIET },
    ),
  );
  return parts.join("");
}
