/** The profiles across the vessel under each map: its own strong over what 90 % of the ink lies between, the others faint. */
import type { ProofKind } from "../../plan/fill/types.ts";
import type { Lettering } from "../lettering.ts";
import { QUIET, SMALL, text } from "../parts.ts";
import { tag } from "../svg.ts";
import { roundStep } from "../ticks.ts";
import { aroundNumbers, binsArea, binsLine, type Chart, framed, upNumbers } from "./chart.ts";
import { kindLines, SHADE } from "./key.ts";
import type { Bin } from "./profile.ts";
import type { Scale } from "./scale.ts";

export const PROFILE = 230;

/** What the charts show: the scale, and beyond it as far as the shades go. */
export function profileRange(runs: ReadonlyMap<ProofKind, Bin[][]>, scale: Scale): [number, number] {
  let [low, high] = [scale.low, scale.high];
  for (const bin of [...runs.values()].flat(2)) {
    low = Math.min(low, bin.low * scale.unit);
    high = Math.max(high, bin.high * scale.unit);
  }
  return [low, high + 0.05 * (high - low)];
}

export function profileChart(
  chart: Chart,
  runs: ReadonlyMap<ProofKind, Bin[][]>,
  own: ProofKind,
  scale: Scale,
  title: string,
  lettering: Lettering,
): string {
  const curve = (kind: ProofKind, width: number, opacity: number): string => {
    const { colour, dash } = kindLines[kind];
    const d = binsLine(chart, runs.get(kind)!, (bin) => bin.mean * scale.unit);
    return d === ""
      ? ""
      : tag("path", {
          d,
          fill: "none",
          stroke: colour,
          "stroke-width": width,
          "stroke-opacity": opacity,
          "stroke-linejoin": "round",
          ...(dash ? { "stroke-dasharray": dash } : {}),
        });
  };
  const step = roundStep((chart.up[1] - chart.up[0]) / 6);
  const area = binsArea(chart, runs.get(own)!, scale.unit);
  const shade =
    area === "" ? "" : tag("path", { d: area, fill: kindLines[own].colour, "fill-opacity": SHADE });
  const others = [...runs.keys()].filter((kind) => kind !== own).map((kind) => curve(kind, 2.5, 0.45));
  const none =
    area === ""
      ? text(
          lettering,
          "no ink lies a spot inside its edges",
          {
            x: chart.left + chart.width / 2,
            y: chart.top + chart.height / 2 - 12,
            size: SMALL,
            anchor: "middle",
          },
          { fill: QUIET, halo: 5 },
        )
      : "";
  return [
    framed(chart, step, shade + others.join("") + curve(own, 4, 1)),
    none,
    aroundNumbers(chart, title, lettering),
    own === "plain" ? upNumbers(chart, step, scale.short, lettering) : "",
  ].join("");
}
