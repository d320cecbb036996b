/** The report's sections on the turns, the seams between them, and how the ends meet. */
import { z } from "zod";
import { box, boxFacts, mm, neat, point } from "../reportparts.ts";
import type { Plan, Turn } from "../types.ts";
import { zoneNames } from "../zones.ts";

export const turnsSchemas = {
  turns: z
    .array(
      z.object({
        index: z.number().int().describe("from 1, left to right"),
        verdict: z.enum(["usable", "stop"]).describe("whether all of its ink is within the limits"),
        indexAngleDeg: z
          .number()
          .describe(
            "from the artwork's crown line to the one of this turn; positive: what lies to the right comes up",
          ),
        indexArcMm: mm.describe("the same along the girth where the artwork is placed"),
        stepDeg: z.number().describe("from the turn before; of the first one from the artwork's crown line"),
        stepArcMm: mm,
        fromMm: mm.describe("leftmost ink on the whole artwork's flat"),
        toMm: mm.describe("rightmost"),
        inkAreaMm2: z.number(),
        falloffRatio: z.number().describe("weakest over strongest relative fluence"),
        zones: z.array(z.object({ zone: z.enum(zoneNames), areaMm2: z.number(), share: z.number() })),
        box: box.nullable().describe("of its marks in its file"),
        witnessAimMm: point.nullable().describe("where the pointer must meet the mark of the turn before"),
        files: z.array(z.string()).describe("names beside the report"),
      }),
    )
    .describe("the positions of the vessel; one where it is not turned"),
  seams: z.array(
    z.object({ between: z.tuple([z.number().int(), z.number().int()]), inkMm: mm, straight: z.boolean() }),
  ),
  overlapMm2: z.number().describe("ink that two turns mark"),
  closing: z
    .object({
      periodMm: mm.describe("the artwork's, around"),
      girthMm: mm,
      errorMm: mm.describe("girth − period: positive leaves a gap"),
    })
    .nullable()
    .describe("how first and last meet; null where the artwork does not go all the way around"),
};

type Sections = { [K in keyof typeof turnsSchemas]: z.infer<(typeof turnsSchemas)[K]> };

/** `turnFiles`: names of each turn's files, in the turns' order. */
export function turnsSections(plan: Plan, turnFiles: readonly (readonly string[])[]): Sections {
  return {
    turns: plan.turns.map((turn, i) => turnFacts(plan, turn, plan.turns[i - 1], turnFiles[i] ?? [])),
    seams: plan.parting.cuts.map(({ inkMm, straight, between }) => ({
      between: [...between],
      inkMm: neat(inkMm),
      straight,
    })),
    overlapMm2: neat(plan.parting.overlapMm2),
    closing: plan.parting.closing,
  };
}

function turnFacts(
  plan: Plan,
  turn: Turn,
  before: Turn | undefined,
  files: readonly string[],
): Sections["turns"][number] {
  const { rhoMm } = plan.parting;
  const step = turn.angle - (before?.angle ?? 0);
  const degrees = (radians: number): number => neat((radians * 180) / Math.PI);
  const { all } = turn.box;
  return {
    index: turn.index,
    verdict: turn.zones.every(({ zone, shapes }) => zone === "usable" || shapes.length === 0)
      ? "usable"
      : "stop",
    indexAngleDeg: degrees(turn.angle),
    indexArcMm: neat(turn.angle * rhoMm),
    stepDeg: degrees(step),
    stepArcMm: neat(step * rhoMm),
    fromMm: neat(turn.fromMm),
    toMm: neat(turn.toMm),
    inkAreaMm2: neat(turn.ink.areaMm2),
    falloffRatio: turn.falloff.max > 0 ? turn.falloff.min / turn.falloff.max : 0,
    zones: turn.zones.map(({ zone, areaMm2, share }) => ({ zone, areaMm2, share })),
    box: all && boxFacts(all),
    witnessAimMm: turn.aimMm && [neat(turn.aimMm[0]), neat(turn.aimMm[1])],
    files: [...files],
  };
}
