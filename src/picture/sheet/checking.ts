/** The first article, cleaning and the cautions: what is looked at and minded. */

import { falloffAt } from "../../plan/falloff.ts";
import { percent } from "../../plan/figures.ts";
import { type FirstArticle, firstArticle } from "../../plan/firstarticle.ts";
import type { Plan } from "../../plan/types.ts";
import { cautions, cleaning } from "../cautions.ts";
import { plain, signed } from "../ticks.ts";
import type { Block, Section } from "./types.ts";

/** The first article's steps, and beside them the plan that it is compared with. */
export function firstSections(plan: Plan): Section[] {
  const first = firstArticle(plan);
  const steps = [
    "Mark a spare vessel with the same coating first: some squares at a few powers, then the artwork. Look in the middle and at both edges: coating gone, metal not discoloured.",
    ...(first ? unevenSteps(first) : []),
    ...(first
      ? [
          ...(isEvened(plan)
            ? [
                "As planned the artwork clears alike everywhere, though the fluence below differs: the lines or bands even it out.",
              ]
            : []),
          "Both edges weaker against the middle than planned: the focal plane is too high, lower the head a little. Stronger than planned: too deep, raise it.",
        ]
      : []),
    ...unlikeSteps(plan),
  ];
  const checked: Block = { kind: "rows", rows: [{ name: "checked by", value: null }] };
  const article: Section = { title: "First article", wide: false, blocks: [{ kind: "steps", steps }] };
  if (!first) return [{ ...article, blocks: [...article.blocks, checked] }];
  return [article, { title: "Edges as planned", wide: false, blocks: [...offBlocks(plan, first), checked] }];
}

/** A spread as small as this looks alike (our own choice). */
const ALIKE = 0.1;

/** True where lines or bands make up for the falloff, as far as can be told. */
function isEvened({ fill }: Plan): boolean {
  if (!fill?.removal || fill.neverClears || fill.uneven.length > 0) return false;
  const spread = fill.asked.lines === undefined ? fill.spread.bands : fill.spread[fill.asked.lines];
  return spread !== null && spread.spread < ALIKE;
}

/** Only along a straight wall do top and bottom tell whether the crown line is level. */
function unlikeSteps({ levelling, warp }: Plan): string[] {
  if (levelling)
    return [
      "Top and bottom are unlike by plan, for the crown line is not level. Other than that: check the pose.",
    ];
  return warp.surface.meridian.slope === null ? [] : ["Top and bottom unlike: the crown line is not level."];
}

/** A crown line this near to the ink's middle (mm) runs through it. */
const EVEN = 0.05;
const isEven = ({ leftMm, rightMm }: FirstArticle): boolean => Math.abs(leftMm + rightMm) < 2 * EVEN;

/**
 * What uneven sides mean. How far what is clear reaches tells how far off the crown line is, where it runs through the
 * ink's middle; elsewhere only the plan's own figures do.
 */
function unevenSteps(first: FirstArticle): string[] {
  const { share } = first;
  if (!isEven(first))
    return [
      "The sides are not alike by plan, for the crown line does not run through the ink's middle. One side weaker than planned: the vessel lies off the crown line; the table says by how much.",
    ];
  if (share === null) return [];
  const factor = 1 / share;
  const times = Math.abs(factor - 1) < 0.015 ? "" : `, times ${factor.toFixed(2)}`;
  return [
    `One side weaker: the vessel lies off the crown line. Measure along the curve, from the artwork's middle, how far it is clear to the left and to the right. Clear further to the right: shift the vessel to the left by half of the difference${times}; further to the left, to the right. Where it is clear up to an edge, by at least so much.`,
  ];
}

function offBlocks(plan: Plan, first: FirstArticle): Block[] {
  const { left, right } = first.fluence;
  const crown = falloffAt(plan.warp, plan.spot, 0, first.rowMm);
  const rows = first.rows.filter((row) => row.offMm > 0 || !isEven(first));
  const slope = (v: number): string => `${v > 0 ? "+" : ""}${signed(100 * v, 1)} %`;
  const side = isEven(first) ? "; off to the left, the edges swap" : "; negative: to the left";
  return [
    {
      kind: "words",
      words: `As planned the left edge gets ${percent(left)}, the crown line ${percent(crown)}, the right edge ${percent(right)} of the fluence in focus, the strongest ink ${percent(plan.falloff.max)}. With the crown line off to the right the edges get, of what they should${side}:`,
    },
    ...weakestBlocks(plan.falloff, Math.min(left, crown, right)),
    {
      kind: "table",
      head: ["off by mm", "left edge", "right edge"],
      rows: [
        ...rows.map((row) => [plain(row.offMm, 1), percent(row.left), percent(row.right)]),
        ["for each mm, at first", slope(first.slopePerMm.left), slope(first.slopePerMm.right)],
      ],
    },
  ];
}

/** The row across the middle is not all: ink above or below it may be weaker (by what shows in whole percent). */
function weakestBlocks({ min, max }: Plan["falloff"], edges: number): Block[] {
  if (!(max > 0) || percent(min) === percent(edges) || min > edges) return [];
  return [
    {
      kind: "words",
      words: `That is across the ink's middle. The weakest ink of all gets ${percent(min)}, which is ${percent(min / max)} of the strongest.`,
    },
  ];
}

export const afterSection = (): Section => ({
  title: "After marking",
  wide: false,
  blocks: [{ kind: "steps", steps: cleaning }],
});

export const careSection = (wavelengthNm: number): Section => ({
  title: "Take care",
  wide: true,
  blocks: cautions(wavelengthNm).map((words) => ({ kind: "words", words })),
});
