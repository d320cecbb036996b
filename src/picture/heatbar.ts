/** The colour bar of a layer. */
import { viridisHex } from "./colours.ts";
import { type Layer, tickPlaces } from "./layers.ts";
import type { Lettering } from "./lettering.ts";
import { INK, line, QUIET, SMALL, text } from "./parts.ts";
import { tag } from "./svg.ts";

/** A bar at (x, top), its numbers and its title to the right. */
export function colourBar(
  layer: Layer,
  x: number,
  top: number,
  height: number,
  lettering: Lettering,
  titled = true,
): string {
  const width = 30;
  const clip = `bar-${layer.id}`;
  const y = (place: number): number => top + (1 - place) * height;
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
    tag("clipPath", { id: clip }, tag("rect", { x, y: top, width, height })),
    tag("g", { "clip-path": `url(#${clip})` }, steps.join("")),
    tag("rect", { x, y: top, width, height, fill: "none", stroke: INK, "stroke-width": 1.5 }),
  ];
  for (const { at, words } of tickPlaces(layer, y, 28)) {
    parts.push(line(x + width, at, x + width + 8, at));
    if (words !== null) parts.push(text(lettering, words, { x: x + width + 16, y: at + 9, size: SMALL }));
  }
  if (layer.threshold !== null) {
    const at = y(layer.place(layer.threshold));
    parts.push(line(x - 6, at, x + width + 8, at, INK, 3));
  }
  if (!titled) return parts.join("");
  parts.push(
    text(
      lettering,
      layer.title,
      { x: x + width + 84, y: top + height / 2, size: SMALL, anchor: "middle", rotate: -90 },
      { fill: QUIET },
    ),
  );
  return parts.join("");
}
