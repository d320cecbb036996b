/**
 * The bands as an SVG for a station that fills outlines by itself: the marks' own page, one group for each band. What to
 * set is in the group's title; the colours only tell the groups apart.
 */
import { type INode, stringify } from "svgson";
import type { Job } from "../job/job.ts";
import { four } from "../plan/figures.ts";
import type { Fill } from "../plan/fill/types.ts";
import type { Mark, Plan } from "../plan/types.ts";
import { viridisHex } from "./colours.ts";
import { element, headline, markNode, pageAttributes, transformAttr, XML } from "./marks.ts";

/** Of the map's 256 colours: beyond it they are too pale on white. */
const PALEST = 224;

/** `marks`: of each band, in the bands' order. Bands without marks have no group; a fill without bands has no groups. */
export function bandsSvg(plan: Plan, marks: readonly (readonly Mark[])[], fill: Fill): string {
  const bands = fill.bands?.bands ?? [];
  const groups = bands.flatMap((_, k) => {
    const list = marks[k] ?? [];
    if (list.length === 0) return [];
    const colour = viridisHex(Math.round((PALEST * k) / Math.max(1, bands.length - 1)));
    return [
      element("g", { id: `band-${k + 1}` }, [
        titled(bandWords(fill, k, plan.job.settings)),
        ...list.map((mark) => markNode(mark, colour)),
      ]),
    ];
  });
  const root = element("svg", pageAttributes(plan), groups);
  const more = [
    "one group a band, to be filled by the station; the title of each group says what to set for it, its colour nothing",
  ];
  return `${XML}\n${headline(plan, more)}\n${stringify(root, { transformAttr })}\n`;
}

/** What to set for band k (from 0): “band 2 of 5: speed × 0.82 (820 mm/s)”. */
export function bandWords({ asked, bands }: Fill, k: number, settings: Job["settings"]): string {
  const all = bands?.bands ?? [];
  const { speedFactor, powerFactor } = all[k]!;
  const bySpeed = asked.bandsBy === "speed";
  const factor = bySpeed ? speedFactor : powerFactor;
  const name = `band ${k + 1} of ${all.length}`;
  if (factor === null) {
    return `${name}: below the threshold, whatever the ${asked.bandsBy}`;
  }
  const words = `${name}: ${asked.bandsBy} × ${hundredths(factor)}`;
  if (!settings) return words;
  const value = bySpeed ? `${four(factor * settings.speedMmS)} mm/s` : `${four(factor * settings.powerW)} W`;
  return `${words} (${value})`;
}

/** Three digits: bands are set to a hundredth or so. */
const hundredths = (factor: number): string => factor.toPrecision(3);

const titled = (text: string): INode => ({
  ...element("title", {}),
  children: [{ name: "", type: "text", value: text, attributes: {}, children: [] }],
});
