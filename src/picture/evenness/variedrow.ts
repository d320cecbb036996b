/** Small charts of what the kinds vary: the pitch of evened lines beside the one of plain fill, and the bands' factor. */
import { type Fill, type ProofKind, proofs } from "../../plan/fill/types.ts";
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { QUIET, SMALL, text } from "../parts.ts";
import { ringData, tag } from "../svg.ts";
import { roundStep } from "../ticks.ts";
import { type Chart, FOOT, framed, upNumbers, xOf, yOf } from "./chart.ts";
import { kindLines } from "./key.ts";
import { evenedSet, factorCurves, pitchCurves, type Value } from "./varied.ts";

const HEIGHT = 150;
/** For the words above a chart. */
const TITLE = 44;
const TICK = 10;

interface Varied {
  readonly curves: readonly (readonly Value[])[];
  readonly title: string;
  readonly unit: string;
  /** Where the numbers stand; null where a neighbour's do. */
  readonly side: "left" | "right" | null;
}

/** Under the profiles, on their axis; nothing where no evened lines are laid and there are no bands. */
export function variedRow(
  plan: Plan,
  fill: Fill,
  turnIndex: number,
  profiles: readonly Chart[],
  lettering: Lettering,
): { svg: string; bottom: number } {
  const [profile] = profiles as [Chart];
  const bottom = profile.top + profile.height + FOOT;
  const varied = variedOf(plan, fill, turnIndex, profile);
  if (varied.size === 0) return { svg: "", bottom };
  const top = bottom + TITLE;
  const svg = proofs.map((kind, i) => {
    const one = varied.get(kind);
    if (!one) return "";
    // One scale for what counts the same.
    const alike = [...varied.values()].filter(({ unit }) => unit === one.unit);
    const most = Math.max(...alike.flatMap(({ curves }) => curves.flat().map(({ value }) => value)));
    const step = roundStep((1.12 * most) / 4);
    const chart = {
      ...profiles[i]!,
      id: `varied-${kind}`,
      top,
      height: HEIGHT,
      up: [0, 1.12 * most] as const,
    };
    const d = one.curves.map((curve) => ringData(pointsOf(chart, curve), false)).join("");
    const style = {
      fill: "none",
      stroke: kindLines[kind].colour,
      "stroke-width": 4,
      "stroke-linejoin": "round",
    };
    const place = { x: chart.left + chart.width / 2, y: top - 14, size: SMALL, anchor: "middle" } as const;
    return [
      text(lettering, lettering.fitted(one.title, chart.width, SMALL), place, { fill: QUIET }),
      framed(chart, step, tag("path", { id: `curve-${kind}`, d, ...style })),
      one.side ? upNumbers(chart, step, one.unit, lettering, one.side) : "",
    ].join("");
  });
  return { svg: tag("g", { id: "varied" }, svg.join("")), bottom: top + HEIGHT + TICK };
}

function variedOf(
  plan: Plan,
  fill: Fill,
  turnIndex: number,
  { across, width }: Chart,
): Map<ProofKind, Varied> {
  const varied = new Map<ProofKind, Varied>();
  const { pitchMm, bandsBy } = fill.asked;
  const set = evenedSet(fill, turnIndex);
  if (set) {
    const what = { title: "distance of the lines along the axis (mm)", unit: "pitch" };
    varied.set("plain", { ...what, curves: [across.map((a) => ({ a, value: pitchMm }))], side: "left" });
    varied.set("even", { ...what, curves: pitchCurves(set, plan.warp), side: null });
  }
  const { grid, maps } = fill.proof[turnIndex]!;
  const middle = grid.top + (grid.rows * grid.cellMm) / 2;
  const curves = maps.bands && fill.bands ? factorCurves(fill.bands, across, middle, width) : [];
  // Without evened lines only where bands are asked for.
  if (curves.length > 0 && (set || fill.asked.bands !== undefined)) {
    varied.set("bands", {
      curves,
      title: `factor of the ${bandsBy} in each band`,
      unit: bandsBy,
      side: "right",
    });
  }
  return varied;
}

const pointsOf = (chart: Chart, curve: readonly Value[]): { x: number; y: number }[] =>
  curve.map(({ a, value }) => ({ x: xOf(chart, a), y: yOf(chart, value) }));
