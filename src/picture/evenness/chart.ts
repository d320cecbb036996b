/** Charts over the distance from the crown line: a frame with its rulers, and lines in it that may be broken. */
import type { Lettering } from "../lettering.ts";
import { DASH_DOT, INK, line, QUIET, RULE, SMALL, text } from "../parts.ts";
import { ringData, tag } from "../svg.ts";
import { roundStep, ticks, tickText } from "../ticks.ts";
import type { Bin } from "./profile.ts";

export interface Chart {
  readonly id: string;
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** What lies at the frame's left and right edge (mm), and at its foot and head. */
  readonly across: readonly [number, number];
  readonly up: readonly [number, number];
}

export const xOf = ({ left, width, across: [from, to] }: Chart, a: number): number =>
  left + (width * (a - from)) / (to - from);
export const yOf = ({ top, height, up: [low, high] }: Chart, value: number): number =>
  top + height * (1 - (value - low) / (high - low));

/** Distance of ticks around (mm). */
export const aroundStep = ({ width, across: [from, to] }: Chart): number =>
  roundStep((85 * (to - from)) / width);

/** Grid, crown line, `inside` clipped to the frame, and the frame with ticks at its foot. */
export function framed(chart: Chart, step: number, inside: string): string {
  const { id, left, top, width, height, across, up } = chart;
  const frame = { x: left, y: top, width, height };
  const foot = top + height;
  const around = ticks(across[0], across[1], aroundStep(chart)).map((a) => xOf(chart, a));
  return [
    ...ticks(up[0], up[1], step).map((v) => line(left, yOf(chart, v), left + width, yOf(chart, v), RULE, 1)),
    ...around.map((x) => line(x, top, x, foot, RULE, 1)),
    tag("defs", {}, tag("clipPath", { id }, tag("rect", frame))),
    tag(
      "g",
      { "clip-path": `url(#${id})` },
      inside + line(xOf(chart, 0), top, xOf(chart, 0), foot, INK, 1.5, DASH_DOT),
    ),
    tag("rect", { ...frame, fill: "none", stroke: INK, "stroke-width": 1.5 }),
    ...around.map((x) => line(x, foot, x, foot + 10)),
  ].join("");
}

/** Room of the numbers below a frame and of what they count. */
export const FOOT = 84;

/** Numbers under the frame and what they count. */
export function aroundNumbers(chart: Chart, title: string, lettering: Lettering): string {
  const foot = chart.top + chart.height;
  const step = aroundStep(chart);
  const numbers = ticks(chart.across[0], chart.across[1], step).map((a) =>
    text(lettering, tickText(a, step), { x: xOf(chart, a), y: foot + 36, size: SMALL, anchor: "middle" }),
  );
  const place = { x: chart.left + chart.width / 2, y: foot + 68, size: SMALL, anchor: "middle" } as const;
  return numbers.join("") + text(lettering, title, place, { fill: QUIET });
}

/** Numbers at the frame's left or right, and what they count. */
export function upNumbers(
  chart: Chart,
  step: number,
  title: string,
  lettering: Lettering,
  side: "left" | "right" = "left",
): string {
  const { left, top, width, height, up } = chart;
  const [edge, way, anchor] =
    side === "left" ? ([left, -1, "end"] as const) : ([left + width, 1, "start"] as const);
  const parts = ticks(up[0], up[1], step).map((v) => {
    const y = yOf(chart, v);
    const place = { x: edge + way * 18, y: y + 9, size: SMALL, anchor } as const;
    return line(edge, y, edge + way * 10, y) + text(lettering, tickText(v, step), place);
  });
  const x = side === "left" ? edge - 88 : edge + 106;
  const place = { x, y: top + height / 2, size: SMALL, anchor: "middle", rotate: -90 } as const;
  return parts.join("") + text(lettering, title, place, { fill: QUIET });
}

/** A broken line of bins; each run reaches to the edges of its outermost bins. */
export const binsLine = (
  chart: Chart,
  runs: readonly (readonly Bin[])[],
  value: (bin: Bin) => number,
): string => runs.map((run) => ringData(points(chart, run, value), false)).join("");

/** What lies between two values of the bins. */
export const binsArea = (chart: Chart, runs: readonly (readonly Bin[])[], unit: number): string =>
  runs
    .map((run) => {
      const upper = points(chart, run, (bin) => bin.high * unit);
      const lower = points(chart, run, (bin) => bin.low * unit);
      return ringData([...upper, ...lower.reverse()], true);
    })
    .join("");

function points(chart: Chart, run: readonly Bin[], value: (bin: Bin) => number): { x: number; y: number }[] {
  const middle = run.map((bin) => ({ x: xOf(chart, (bin.from + bin.to) / 2), y: yOf(chart, value(bin)) }));
  const [first, last] = [run[0]!, run.at(-1)!];
  return [
    { x: xOf(chart, first.from), y: yOf(chart, value(first)) },
    ...middle,
    { x: xOf(chart, last.to), y: yOf(chart, value(last)) },
  ];
}
