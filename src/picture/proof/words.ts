/** What the proof says of the job, in words for the customer. Lengths mm, angles degrees. */
import { percent } from "../../plan/figures.ts";
import type { Plan } from "../../plan/types.ts";
import { orderName, reasonWords } from "../jobwords.ts";
import type { Lettering } from "../lettering.ts";
import { plain } from "../ticks.ts";

/** What every page is about. */
export interface Named {
  readonly plan: Plan;
  /** File name of the artwork. */
  readonly title: string;
  /** YYYY-MM-DD. */
  readonly date: string;
}

export const NOT_GIVEN = "not given";

/** A size as it is worth writing: tenths, and hundredths below a centimetre. */
export const sizeText = (mm: number): string => plain(mm, Math.abs(mm) < 10 ? 2 : 1);
const degrees = (deg: number): string => `${plain(deg, 1)}°`;

export const jobName = ({ plan, title }: Named): string => orderName(plan, title);

/** Customer and vessel, and revision and date, on one line: long names are cut, the date never. */
export function headWords({ plan, date }: Named, lettering: Lettering, room: number, size: number): string {
  const { customer, revision } = plan.job.order;
  const { name, diameterMm } = plan.job.vessel;
  const dot = "  ·  ";
  const told = revision ? lettering.fitted(`revision ${revision}`, room / 3, size) : null;
  const end = [...(told ? [told] : []), date].join(dot);
  const start = [...(customer ? [customer] : []), name ?? `vessel ${plain(diameterMm, 2)} mm diameter`].join(
    dot,
  );
  const left = room - lettering.width(`${dot}${end}`, size);
  return `${lettering.fitted(start, left, size)}${dot}${end}`;
}

export const stopped = (plan: Plan): boolean => plan.verdict === "stop";
export const documentKind = (plan: Plan): string =>
  stopped(plan) ? "proof, not for approval" : "proof for approval";

/** Why the proof is not for approval: the sentence, and the first reasons. Null where nothing stops the job. */
export function stopWords(plan: Plan): { readonly head: string; readonly reasons: string[] } | null {
  if (!stopped(plan)) return null;
  const reasons = plan.reasons.filter((r) => r.severity === "stop");
  const beyond = reasons.some((r) => r.code.startsWith("ink-"));
  const why = beyond ? "ink lies beyond what can be marked as it is" : "this cannot be marked as it is";
  return { head: `Not for approval: ${why}.`, reasons: reasonWords({ ...plan, reasons }, 2) };
}

/** What the customer should know before approving: that the mark fades, or lies where it may be unwelcome. */
export function cautionWords(plan: Plan): string[] {
  if (stopped(plan)) return [];
  return plan.reasons
    .filter((r) => ofConcern.includes(r.code))
    .map(({ code, message }) =>
      code === "sides-fade" ? `the mark comes out fainter in places: ${message}` : message,
    );
}
const ofConcern = ["sides-fade", "ink-near-lip", "ink-on-handle", "ink-on-seam"];

/** Measures first: a long name may be cut after them. */
export function vesselWords({ job: { vessel } }: Plan, girth = false): string {
  return [
    `${plain(vessel.diameterMm, 2)} mm diameter`,
    ...(girth ? [`${sizeText(Math.PI * vessel.diameterMm)} mm around`] : []),
    ...(vessel.heightMm === undefined ? [] : [`${sizeText(vessel.heightMm)} mm tall`]),
    ...(vessel.name ? [vessel.name] : []),
  ].join(", ");
}

export function coatingWords({ job: { vessel, coating } }: Plan): string {
  const parts = [
    ...(coating ? [coating.id] : []),
    ...(vessel.colour ? [vessel.colour] : []),
    ...(vessel.gloss === undefined ? [] : [`gloss ${plain(vessel.gloss, 1)} at 60°`]),
  ];
  return parts.length > 0 ? parts.join(", ") : NOT_GIVEN;
}

/** Top edge below the rim and bottom edge above the base; negative beyond them, null where not given. */
export function edges({ job: { vessel }, ink: { box } }: Plan): {
  readonly topMm: number | null;
  readonly bottomMm: number | null;
} {
  const { belowRimMm, heightMm } = vessel;
  if (belowRimMm === undefined) return { topMm: null, bottomMm: null };
  return {
    topMm: belowRimMm + box.minY,
    bottomMm: heightMm === undefined ? null : heightMm - belowRimMm - box.maxY,
  };
}

export function edgeWords(mm: number | null, side: "rim" | "base"): string {
  if (mm === null) return NOT_GIVEN;
  if (mm < 0) return `${sizeText(-mm)} mm beyond the ${side}`;
  return `${sizeText(mm)} mm ${side === "rim" ? "below the rim" : "above the base"}`;
}

/** How far around from the crown line a place of the flat lies, degrees; null where it is not on the vessel. */
function aroundDeg({ job, warp }: Plan, a: number): number | null {
  if (!(Math.abs(a) <= warp.surface.halfWidth)) return null;
  const share = (2 * a) / job.vessel.diameterMm;
  const angle = job.placement.fidelity === "girth" ? share : Math.asin(Math.max(-1, Math.min(1, share)));
  return (angle * 180) / Math.PI;
}

/** From handle or seam to the artwork's middle. */
export function fromWords(plan: Plan, deg: number | undefined, name: "handle" | "seam"): string {
  if (deg === undefined) return NOT_GIVEN;
  const { box } = plan.ink;
  const middle = aroundDeg(plan, (box.minX + box.maxX) / 2);
  if (middle === null) return "the artwork's middle is not on the vessel";
  const apart = 180 - ((((180 - middle + deg) % 360) + 360) % 360);
  const arc = (Math.abs(apart) * Math.PI * plan.job.vessel.diameterMm) / 360;
  if (arc < 0.05) return `the artwork's middle on the ${name}'s`;
  const side = Math.abs(apart) > 179.95 ? "opposite" : `to the ${apart > 0 ? "right" : "left"} of`;
  return `the artwork's middle ${degrees(Math.abs(apart))} ${side} the ${name}'s, ${sizeText(arc)} mm on the girth`;
}

export interface Fact {
  readonly label: string;
  readonly value: string;
  /** A colour to show beside the value. */
  readonly swatch?: string;
}

export function facts(plan: Plan): Fact[] {
  const { job, ink, forecast, falloff } = plan;
  const { box } = ink;
  const { topMm, bottomMm } = edges(plan);
  const middle = (box.minX + box.maxX) / 2;
  const around = job.placement.fidelity === "girth" ? "around" : "across, as seen from the front";
  const chance = forecast?.outcome?.chance.allClean;
  return [
    {
      label: "size",
      value: `${sizeText(box.maxX - box.minX)} mm ${around} × ${sizeText(box.maxY - box.minY)} mm along`,
    },
    { label: "top edge", value: edgeWords(topMm, "rim") },
    { label: "bottom edge", value: edgeWords(bottomMm, "base") },
    {
      label: "middle",
      value:
        Math.abs(middle) < 0.05
          ? "on the crown line"
          : `${sizeText(Math.abs(middle))} mm ${middle > 0 ? "right" : "left"} of the crown line`,
    },
    { label: "from the handle", value: fromWords(plan, job.vessel.handleDeg, "handle") },
    { label: "from the seam", value: fromWords(plan, job.vessel.seamDeg, "seam") },
    { label: "vessel", value: vesselWords(plan, true) },
    {
      label: "coating",
      value: `${coatingWords(plan)}${job.vessel.colour ? ": screens and prints shift colours" : ""}`,
      ...(job.vessel.colour ? { swatch: job.vessel.colour } : {}),
    },
    ...(falloff.max > 0
      ? [
          {
            label: "evenness",
            value: `the weakest ink gets ${percent(falloff.min / falloff.max)} of the strongest's fluence`,
          },
        ]
      : []),
    ...(chance === undefined
      ? []
      : [
          {
            label: "chance",
            value: `${percent(chance)} that all of it comes out clean, from the profiles (uncalibrated)`,
          },
        ]),
  ];
}

export const promisesHead = "What this picture promises";
export function promises(plan: Plan): string[] {
  const process = plan.forecast?.outcome
    ? ", and from the settings and the coating by the profiles' middle figures (uncalibrated)"
    : "";
  return [
    "size, place and proportions of the ink on the vessel, from the measures given",
    `shapes of letters and lines to within ${plain(plan.job.toleranceMm, 6)} mm on the vessel`,
    `where the mark fades, as predicted from the lens and the focus${process}`,
  ];
}

export const excludedHead = "What it does not";
export const excluded: readonly string[] = [
  "the colours of screen and print; exact shade and gloss of coat and metal",
  "grain, small scratches, the vessel's own seams and dents",
  "that the coating comes off as predicted, before a test on the real coating",
  "it is no instruction for marking",
];

export const predictedTitle = "as predicted";
export const idealTitle = "ideal: as if it cleared evenly";
/** Under pictures that stand alone. */
export function honesty(plan: Plan, ideal: boolean): string {
  const process = plan.forecast?.outcome ? ", the settings and the coating (uncalibrated)" : "";
  const other = ideal ? "; ideal: as if it cleared evenly everywhere" : "";
  return `predicted: from the lens and the focus${process}${other}. A picture to look at, no instruction for marking.`;
}
