/** What a file of fill lines holds, in the order in which it is marked, and what is said of it. */
import { walkContour } from "../geometry/cubic.ts";
import type { Contour } from "../geometry/path.ts";
import type { Fill } from "../job/job.ts";
import type { LineBender, LineForm } from "../plan/fill/bend.ts";
import { benderOf } from "../plan/fill/bender.ts";
import { isAlong } from "../plan/fill/lie.ts";
import type { LaidSet, SetFacts, TurnFill } from "../plan/fill/types.ts";
import type { Plan } from "../plan/types.ts";

/** Lines that are bent already, or a set of lines on the flat. */
export type Part =
  | { readonly name: "single-lines" | "outline"; readonly contours: readonly Contour<"command">[] }
  | { readonly name: string; readonly number: number; readonly set: LaidSet };

/** What is asked of the fill. RangeError where nothing is. */
export function askedOf({ job }: Plan): Fill {
  if (!job.fill) throw new RangeError("no fill is asked for");
  return job.fill;
}

/**
 * The parts of one turn's file in marking order: of all sets (null), or of one, counted from 0. Single lines and an outline
 * pass before the lines go with the first set, an outline pass after them with the last. RangeError where there is no such set.
 */
export function partsOf(plan: Plan, { sets, outline }: TurnFill, which: number | null): Part[] {
  if (which !== null && !sets[which]) throw new RangeError(`there is no set ${which}`);
  const first = which === null || which === 0;
  const last = which === null || which === sets.length - 1;
  const single = (plan.marks.get("usable") ?? []).filter((mark) => mark.paint !== "fill");
  const edges = outline?.paths ?? [];
  const pass = askedOf(plan).outlinePass;
  const bent = (name: "single-lines" | "outline", paths: typeof edges, here: boolean): Part[] => {
    const contours = here ? paths.flatMap((path) => path.contours) : [];
    return contours.length > 0 ? [{ name, contours }] : [];
  };
  const numbered = sets.map((set, i) => ({ name: `set-${i + 1}`, number: i + 1, set }));
  return [
    ...bent(
      "single-lines",
      single.map((mark) => mark.path),
      first,
    ),
    ...bent("outline", edges, first && pass === "before"),
    ...(which === null ? numbered : numbered.slice(which, which + 1)),
    ...bent("outline", edges, last && pass === "after"),
  ];
}

/** Bends the lines of a set of one turn. */
export const bentBy = ({ warp, job }: Plan, { laid, angleDeg }: LaidSet, form: LineForm): LineBender =>
  benderOf(warp, job, laid, angleDeg, form);

/** x y of a bent contour by straight pieces within the tolerance of its curves, its first point at the end again if it is closed. */
export function flattened(contour: Contour<"command">, tolerance: number): number[] {
  const points: number[] = [];
  walkContour(contour, tolerance, Infinity, (x, y) => points.push(x, y));
  return points;
}

/** As "set 1 of 2: 90°, along the axis, pitch 0.0182 to 0.03 mm". */
export function setWords(
  { angleDeg, pitchMinMm, pitchMaxMm, lines }: SetFacts,
  number: number,
  of: number,
): string {
  const way = isAlong(angleDeg) ? ", along the axis" : angleDeg % 180 === 0 ? ", around the vessel" : "";
  const [least, most] = [String(Number(pitchMinMm.toFixed(4))), String(Number(pitchMaxMm.toFixed(4)))];
  const pitch = least === most ? `pitch ${most} mm` : `pitch ${least} to ${most} mm`;
  return `set ${number} of ${of}: ${angleDeg}°${way}, ${lines === 0 ? "no lines" : pitch}`;
}

/** How the file is marked. */
export function usageWords(plan: Plan, { sets }: TurnFill, which: number | null): string[] {
  const { passes } = askedOf(plan);
  const over = passes === 1 ? "once" : `${passes} times over`;
  const lost = [...plan.marks].some(([zone, marks]) => zone !== "usable" && marks.length > 0);
  return [
    "the lines of the fill are laid here one by one: mark them as lines, let the station fill nothing again",
    which === null || sets.length === 1
      ? `to be marked in the file's order, all of it ${over}`
      : `set ${which + 1} of ${sets.length}, a file for each: to be marked in the sets' order and each in its file's order, all of them ${over}`,
    ...(lost ? ["ink beyond the limits has no lines here"] : []),
  ];
}
