/** Turns made ready to be marked: their limits, and the witness marks between them. */
import type { Job } from "../../job/job.ts";
import type { Problem } from "../../problem.ts";
import type { Warp } from "../../warp/warp.ts";
import { indexed } from "../blocked.ts";
import { placeOf } from "../body.ts";
import { gather, type Ink } from "../ink.ts";
import { type Limits, rangeOf } from "../zones.ts";
import type { TurnInk } from "./turns.ts";
import { noRoom, witnessMark } from "./witness.ts";

/** The limits of a turn: what is blocked went around with the vessel. */
export const turnLimits = (limits: Limits, { angle }: Pick<TurnInk, "angle">): Limits =>
  angle === 0 ? limits : { ...limits, blocked: indexed(limits.blocked ?? [], angle) };

type Aimed = TurnInk & { readonly aim: readonly [number, number] | null };

/** Each turn with the witness mark of the seam on its right, and where the one on its left is met. */
export function witnessed(
  job: Job,
  turns: readonly TurnInk[],
  warp: Warp,
  limits: Limits,
  ink: Ink,
): { turns: readonly Aimed[]; problems: Problem[] } {
  if (!job.witnessMarks || turns.length === 1)
    return { turns: turns.map((turn) => ({ ...turn, aim: null })), problems: [] };
  const { surface } = warp;
  const bottom = rangeOf(surface, ink.box, 0)?.bottom ?? 0;
  const { heightMm, belowRimMm } = job.vessel;
  const base =
    heightMm === undefined || belowRimMm === undefined ? null : surface.meridian.arcAt(heightMm - belowRimMm);
  const missing: number[] = [];
  const aimed: Aimed[] = turns.map((turn) => ({ ...turn, aim: null }));
  for (let i = 0; i + 1 < turns.length; i++) {
    const [left, right] = [turns[i]!, turns[i + 1]!];
    const theta = (edgeOf(warp, left, 1) + edgeOf(warp, right, -1)) / 2;
    const at = (turn: TurnInk) =>
      witnessMark({ theta }, turn.angle, warp, turnLimits(limits, turn), bottom, base, `witness-${i + 1}`);
    const [mark, aim] = [at(left), at(right)];
    if (!mark || !aim) {
      missing.push(i + 1);
      continue;
    }
    aimed[i] = { ...aimed[i]!, ink: gather([...left.ink.shapes, mark.shape]) };
    const met = warp.meeting(...aim.atMm);
    const turned =
      typeof met === "string"
        ? null
        : job.axis === "y"
          ? ([met.u, met.v] as const)
          : ([0 - met.v, met.u] as const);
    aimed[i + 1] = { ...aimed[i + 1]!, aim: turned };
  }
  return { turns: aimed, problems: noRoom(missing) };
}

/** θ of a turn's leftmost (−1) or rightmost (1) ink, from the artwork's crown line. */
function edgeOf({ surface }: Warp, { ink, angle }: TurnInk, side: 1 | -1): number {
  const { minX, maxX, minY, maxY } = ink.box;
  const at = placeOf(surface, side > 0 ? maxX : minX, (minY + maxY) / 2);
  return (at?.theta ?? 0) + angle;
}
