/** The first article, cleaning and the cautions: what is looked at and minded. */

import { percent } from "../../plan/figures.ts";
import { type FirstArticle, falloffOnVessel, firstArticle } from "../../plan/firstarticle.ts";
import type { Plan } from "../../plan/types.ts";
import { cautions, cleaning } from "../cautions.ts";
import { plain, signed } from "../ticks.ts";
import type { Block, Section } from "./types.ts";

export function firstSection(plan: Plan): Section {
  const first = firstArticle(plan);
  const steps = [
    "Mark a spare vessel with the same coating first: some squares at a few powers, then the artwork. Look in the middle and at both edges: coating gone, metal not discoloured.",
    ...(first ? unevenSteps(plan, first) : []),
    "Both edges weak alike, the middle strong: the focal plane is too high, lower the head a little. The middle weak, the edges strong: too deep, raise it.",
    "Top and bottom unlike: the crown line is not level.",
  ];
  return {
    title: "First article",
    wide: false,
    blocks: [
      { kind: "steps", steps },
      ...(first ? offBlocks(plan, first) : []),
      { kind: "rows", rows: [{ name: "checked by", value: null }] },
    ],
  };
}

/** A crown line this near to the ink's middle (mm) runs through it. */
const EVEN = 0.05;
const isEven = ({ leftMm, rightMm }: FirstArticle): boolean => Math.abs(leftMm + rightMm) < 2 * EVEN;

/** The rule that tells how far the vessel lies off, where the crown line runs through the ink. */
function unevenSteps({ ink }: Plan, first: FirstArticle): string[] {
  const { leftMm, rightMm, share } = first;
  if (!(leftMm < 0 && rightMm > 0) || share === null) return [];
  const from =
    Math.abs(ink.box.minX + ink.box.maxX) < 2 * EVEN
      ? "from the artwork's middle"
      : `from where the crown line belongs, ${signed(-ink.box.minX, 1)} mm right of the artwork's left edge`;
  const factor = 1 / share;
  const times = Math.abs(factor - 1) < 0.015 ? "" : `, times ${factor.toFixed(2)},`;
  return [
    `One side weaker: the vessel lies off the crown line. Measure along the curve, ${from}, how far the mark is clear to the left and to the right. Half of the difference${times} is about how far the crown line lies off, toward the wider side: shift the vessel so far away from it. Clear up to an edge: at least so far.`,
  ];
}

function offBlocks(plan: Plan, first: FirstArticle): Block[] {
  const { left, right } = first.fluence;
  const crown = falloffOnVessel(plan.warp, plan.spot, 0, first.rowMm, 0);
  const rows = first.rows.filter((row) => row.offMm > 0 || !isEven(first));
  const slope = (v: number): string => `${v > 0 ? "+" : ""}${signed(100 * v, 1)} %`;
  const side = isEven(first) ? "; off to the left, the edges swap" : "; negative: to the left";
  return [
    {
      kind: "words",
      words: `As planned the left edge gets ${percent(left)}, the crown line ${percent(crown)}, the right edge ${percent(right)} of the fluence in focus. With the crown line off to the right the edges get, of what they should${side}:`,
    },
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

export const afterSection = (): Section => ({
  title: "After marking",
  wide: false,
  blocks: [{ kind: "steps", steps: cleaning }],
});

export const careSection = (wavelengthNm: number): Section => ({
  title: "Take care",
  wide: false,
  blocks: cautions(wavelengthNm).map((words) => ({ kind: "words", words })),
});
