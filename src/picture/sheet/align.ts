/**
 * The alignment line: a file of its own for the visible pointer. One line on the crown line over the vessel's height
 * (over the field where that is not known) and a short cross tick on the placement point, (0, 0). Page, frame and
 * turning are those of the marks (picture/marks.ts), and so is the note that it is no artwork.
 */
import { stringify } from "svgson";
import type { Box } from "../../geometry/path.ts";
import { endsOf } from "../../plan/rim.ts";
import type { Plan } from "../../plan/types.ts";
import { element } from "../marks.ts";
import { fixed } from "../svg.ts";

/** Half the tick's length, and a line's width (mm): easy to see under a pointer (our own choice). */
const TICK = 3;
const WIDTH = 0.05;

type Known = Pick<Plan, "job" | "warp">;

/** Rim and base on the crown line, b on the flat; null where they are not known. As far as the vessel was measured. */
function crownEnds(known: Known): readonly [number, number] | null {
  const { heightMm, belowRimMm } = known.job.vessel;
  if (heightMm === undefined || belowRimMm === undefined) return null;
  const { rim, base } = endsOf(known);
  const { chart, meridian } = known.warp.surface;
  if (chart.fidelity === "sight" || meridian.slope === 0) return [rim, base];
  const flat = new Float64Array(2);
  const at = (m: number): number => {
    chart.from(0, Math.max(meridian.from, Math.min(meridian.to, m)), flat);
    return flat[1]!;
  };
  return [at(rim), at(base)];
}

/** The line's ends along the vessel in the command plane (mm), at most the field. */
function ends(known: Known): [number, number] {
  const half = known.job.lens.fieldMm / 2;
  const along = crownEnds(known);
  if (!along) return [-half, half];
  const at = (b: number): number => {
    const met = known.warp.meeting(0, b);
    return typeof met === "string" ? Math.sign(b) * half : Math.max(-half, Math.min(half, met.v));
  };
  return [round(at(along[0])), round(at(along[1]))];
}
const round = (v: number): number => Math.round(v * 1e4) / 1e4 + 0;

/** At which ends the field cuts the line off before the vessel ends; of a vessel whose ends are known. */
export function alignEnds(plan: Known): { top: boolean; bottom: boolean } {
  const along = crownEnds(plan);
  if (!along) return { top: false, bottom: false };
  const half = plan.job.lens.fieldMm / 2;
  const beyond = (b: number): boolean => {
    const met = plan.warp.meeting(0, b);
    return typeof met === "string" || Math.abs(met.v) > half;
  };
  return { top: beyond(along[0]), bottom: beyond(along[1]) };
}

/** The box around the line and its tick, as in the file: x right, y down, from the optical axis. */
export function alignBox(plan: Known): Box {
  const [top, bottom] = ends(plan);
  const [minY, maxY] = [Math.min(top, 0), Math.max(bottom, 0)];
  return plan.job.axis === "x"
    ? { minX: -maxY, maxX: -minY + 0, minY: -TICK, maxY: TICK }
    : { minX: -TICK, maxX: TICK, minY, maxY };
}

export function alignSvg(plan: Known): string {
  const { lens, axis } = plan.job;
  const half = lens.fieldMm / 2;
  const [top, bottom] = ends(plan);
  // (u, v) → (−v, u) where the vessel's top points to +x.
  const point = (u: number, v: number): string =>
    (axis === "x" ? [-v, u] : [u, v]).map((c) => fixed(c, 4)).join(" ");
  const line = (id: string, d: string) =>
    element("path", { id, fill: "none", stroke: "#000000", "stroke-width": String(WIDTH), d });
  const root = element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      width: `${lens.fieldMm}mm`,
      height: `${lens.fieldMm}mm`,
      viewBox: `${-half} ${-half} ${lens.fieldMm} ${lens.fieldMm}`,
      "data-fallaway": "bent",
    },
    [
      line("crown-line", `M${point(0, top)}L${point(0, bottom)}`),
      line("placement-point", `M${point(-TICK, 0)}L${point(TICK, 0)}`),
    ],
  );
  const said =
    "for the visible pointer alone, never to be marked: the crown line, and a tick on the placement point";
  return `<?xml version="1.0" encoding="UTF-8"?>\n<!-- ${said} -->\n${stringify(root)}\n`;
}
