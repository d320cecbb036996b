/** The bar of the common scale: its title above, its numbers below. */
import type { Lettering } from "../lettering.ts";
import { INK, line, SMALL, text } from "../parts.ts";
import { tag } from "../svg.ts";
import { ticks, tickText } from "../ticks.ts";
import type { Scale } from "./scale.ts";

/** Its frame in whole px. */
export interface Bar {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

export function barSvg({ low, high, step, title }: Scale, bar: Bar, lettering: Lettering): string {
  const foot = bar.top + bar.height;
  const numbers = ticks(low, high, step).map((value) => {
    const x = bar.left + (bar.width * (value - low)) / (high - low);
    const place = { x, y: foot + 36, size: SMALL, anchor: "middle" } as const;
    return line(x, foot, x, foot + 10) + text(lettering, tickText(value, step), place);
  });
  const place = { x: bar.left, y: bar.top - 14, size: SMALL };
  return [
    text(lettering, lettering.fitted(title, bar.width, SMALL), place),
    tag("rect", {
      x: bar.left,
      y: bar.top,
      width: bar.width,
      height: bar.height,
      fill: "none",
      stroke: INK,
      "stroke-width": 1.5,
    }),
    ...numbers,
  ].join("");
}
