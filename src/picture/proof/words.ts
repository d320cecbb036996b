/** What the proof says of the job, in words for the customer. Lengths mm, angles degrees. */
import { arcOf, sideWords } from "../../plan/around.ts";
import { diameterOf } from "../../plan/body.ts";
import { percent } from "../../plan/figures.ts";
import { coatingCalibrated } from "../../plan/process/label.ts";
import { endsOf, fromLimit, stretchOf } from "../../plan/rim.ts";
import type { Plan } from "../../plan/types.ts";
import { shapeWords, widthWords } from "../../plan/vesselsaid.ts";
import type { Problem } from "../../problem.ts";
import { orderName, reasonWords } from "../jobwords.ts";
import type { Lettering } from "../lettering.ts";
import { processShown } from "../render/reveal.ts";
import { plain } from "../ticks.ts";
import { closingFact, shapeFact, tapeMm, turnsFact } from "./shapewords.ts";

/** What every page is about. */
export interface Named {
  readonly plan: Plan;
  /** File name of the artwork. */
  readonly title: string;
  /** YYYY-MM-DD. */
  readonly date: string;
}

export const NOT_GIVEN = "not given";

/** A size as it is worth writing: to a tenth of a millimetre. */
export const sizeText = (mm: number): string => plain(mm, 1);
const tenths = (mm: number): number => Math.round(mm * 10) / 10;

export const jobName = ({ plan, title }: Named): string => orderName(plan, title);

/**
 * Date and revision, vessel and customer on one line: what comes last is cut, the date never. Names stand behind the
 * date, since in a script that runs to the left they would turn its figures.
 */
export function headWords({ plan, date }: Named, lettering: Lettering, room: number, size: number): string {
  const { customer, revision } = plan.job.order;
  const { name } = plan.job.vessel;
  const vessel = `vessel ${name ?? shortWords(plan.job.vessel)}`;
  const short = (words: string): string => lettering.fitted(words, room / 3, size);
  const told = [
    date,
    ...(revision ? [short(`revision ${revision}`)] : []),
    customer ? short(vessel) : vessel,
    ...(customer ? [customer] : []),
  ];
  return lettering.fitted(told.join("  ·  "), room, size);
}

/** As `shapeWords`, as long as a line beside others may be. */
function shortWords(vessel: Plan["job"]["vessel"]): string {
  const { taperMm, profile } = vessel;
  if (taperMm) return `${sizeText(taperMm[0])} to ${sizeText(taperMm[1])} mm`;
  return profile ? `${sizeText(diameterOf(vessel))} mm where placed` : shapeWords(vessel);
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

/** In the customer's words, the gravest first; null stands for the message itself. */
const concerns: Readonly<Record<string, string | null>> = {
  "coating-stays":
    "by the prediction the coating stays in places, and the mark would not come out there: a test must show better first",
  "metal-at-risk":
    "by the prediction the laser may discolour the bare steel as well: a test must show better first",
  "sides-fade": "the mark comes out fainter in places",
  "cut-through-ink":
    "the vessel is turned between the parts of the mark: where a join goes through it a fine line may show",
  "ends-do-not-meet": null,
  "ink-near-lip": null,
  "ink-on-handle": null,
  "ink-on-seam": null,
};
/** Cautions that are the shop's own affair. */
const internal =
  /^(clean-not-sure|pulse|heat-|pitch-|column-|coating-without|character-missing|cut-as-polygon|artwork-changed|not-levelled|witness-|profile-)/;
/** Ink cut off at the page's edge that no one could see. */
const crumb = ({ code, message }: Problem): boolean =>
  code === "beyond-page" && message.startsWith("less than");
/** So many are told; of the rest it is said how many there are. */
const TOLD = 3;

/** What the customer should know before approving: how the mark may come out, and what of the drawing may be lost. */
export function cautionWords(plan: Plan): string[] {
  if (stopped(plan)) return [];
  const cautions = plan.reasons.filter(
    (r) => r.severity === "caution" && !internal.test(r.code) && !crumb(r),
  );
  const known = Object.keys(concerns);
  const rank = (code: string): number => (known.includes(code) ? known.indexOf(code) : known.length);
  const words = [...cautions]
    .sort((p, q) => rank(p.code) - rank(q.code))
    .map(({ code, message }) =>
      code in concerns ? (concerns[code] ?? message) : `of the drawing: ${message}`,
    );
  const more = words.length - TOLD;
  return more > 0 ? [...words.slice(0, TOLD), `and ${more} more, which the shop can show`] : words;
}

/** Measures first: a long name may be cut after them. */
export function vesselWords({ job: { vessel } }: Plan, girth = false): string {
  return [
    shapeWords(vessel),
    ...(girth
      ? [
          `${sizeText(Math.PI * diameterOf(vessel))} mm around${vessel.diameterMm === undefined ? " where placed" : ""}`,
        ]
      : []),
    ...(vessel.heightMm === undefined || vessel.taperMm ? [] : [`${sizeText(vessel.heightMm)} mm tall`]),
    ...(vessel.name ? [vessel.name] : []),
  ].join(", ");
}

export function coatingWords({ job: { vessel, coating } }: Plan): string {
  const parts = [
    ...(coating ? [coating.id.replaceAll("-", " ")] : []),
    ...(vessel.colour ? [vessel.colour] : []),
    ...(vessel.gloss === undefined ? [] : [`gloss ${plain(vessel.gloss, 1)} at 60°`]),
  ];
  return parts.length > 0 ? parts.join(", ") : NOT_GIVEN;
}

/** Top edge below the rim and bottom edge above the base, along the wall; negative beyond them, null where not given. */
export function edges(plan: Pick<Plan, "job" | "ink" | "warp">): {
  readonly topMm: number | null;
  readonly bottomMm: number | null;
} {
  const { belowRimMm, heightMm } = plan.job.vessel;
  if (belowRimMm === undefined) return { topMm: null, bottomMm: null };
  const { shapes, box } = plan.ink;
  const contours = shapes.flatMap(({ path }) => path.contours);
  const { top, bottom } = stretchOf({ ...shapes[0]!, box, path: { contours } }, plan.warp.surface);
  const { rim, base } = endsOf(plan);
  const topMm = fromLimit(top - rim);
  if (heightMm === undefined) return { topMm, bottomMm: null };
  const bottomMm = fromLimit(base - bottom);
  // The last closes the chain of what is written, so that the figures add up to the height.
  const closing = tenths(base - rim) - tenths(topMm) - tenths(bottom - top);
  return { topMm, bottomMm: bottomMm > 0.1 ? tenths(closing) : bottomMm };
}

/** Said behind a distance from rim or base that is not one along the axis. */
export const wallWords = ({ warp: { surface } }: Pick<Plan, "warp">): string =>
  surface.meridian.slope === 0 || surface.chart.fidelity === "sight" ? "" : ", along the wall";

export function edgeWords(mm: number | null, side: "rim" | "base"): string {
  if (mm === null) return NOT_GIVEN;
  // Past the hair it is beyond, however little.
  if (mm < 0) return `${mm > -0.05 ? "less than 0.1" : sizeText(-mm)} mm beyond the ${side}`;
  return `${sizeText(mm)} mm ${side === "rim" ? "below the rim" : "above the base"}`;
}

/** From handle or seam to the artwork's middle. */
export function fromWords(
  { job, ink: { box }, warp }: Plan,
  deg: number | undefined,
  name: "handle" | "seam",
): string {
  if (deg === undefined) return NOT_GIVEN;
  const place = new Float64Array(6);
  const shown = warp.surface.chart.to((box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2, place);
  const middle = (place[0]! * 180) / Math.PI;
  if (!shown || Math.abs(middle) > 180) return "the artwork's middle is not on the vessel";
  const apart = 180 - ((((180 - middle + deg) % 360) + 360) % 360);
  const arc = arcOf(job, apart);
  const side = arc < 0.05 ? null : sideWords(apart, `the ${name}'s`);
  return `the artwork's middle ${side ? `${side}, ${sizeText(arc)} mm around` : `on the ${name}'s`}`;
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
  const seen = job.placement.fidelity === "sight";
  const around = seen
    ? `across as seen from the front, ${sizeText(tapeMm(plan))} mm by tape`
    : widthWords[job.placement.fidelity];
  const chance = forecast?.outcome?.chance.allClean;
  return [
    {
      label: "size",
      value: `${sizeText(box.maxX - box.minX)} mm ${around} × ${sizeText(box.maxY - box.minY)} mm along`,
    },
    ...named("shape", shapeFact(plan)),
    ...named("turns", turnsFact(plan)),
    ...named("all around", closingFact(plan)),
    // A ball has neither.
    ...(job.vessel.sphereMm === undefined
      ? [
          { label: "top edge", value: `${edgeWords(topMm, "rim")}${topMm === null ? "" : wallWords(plan)}` },
          {
            label: "bottom edge",
            value: `${edgeWords(bottomMm, "base")}${bottomMm === null ? "" : wallWords(plan)}`,
          },
        ]
      : []),
    {
      label: "middle",
      value:
        Math.abs(middle) < 0.05
          ? "on the crown line"
          : `${sizeText(Math.abs(middle))} mm ${middle > 0 ? "right" : "left"} of the crown line`,
    },
    ...(["handle", "seam"] as const).flatMap((name) => {
      const deg = job.vessel[`${name}Deg`];
      return deg === undefined ? [] : [{ label: `from the ${name}`, value: fromWords(plan, deg, name) }];
    }),
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
            value: `the faintest place gets ${percent(falloff.min / falloff.max)} of the laser light of the strongest`,
          },
        ]
      : []),
    ...(chance === undefined
      ? []
      : [
          {
            label: "chance",
            value: `${percent(chance)} that all of it comes out clean, ${borneOut(plan)}`,
          },
        ]),
  ];
}

const named = (label: string, value: string | null): Fact[] => (value === null ? [] : [{ label, value }]);

/** What the figures of the process rest on. */
const borneOut = ({ job }: Plan): string =>
  coatingCalibrated(job)
    ? `by figures from test marks on this coating, read on ${job.calibration!.date}`
    : "by stored figures that no test has borne out yet";

export const promisesHead = "What this picture promises";
export function promises(plan: Plan): string[] {
  const process = processShown(plan) ? `, and from the settings and the coating ${borneOut(plan)}` : "";
  const spot = plain(plan.spot.waistDiameterMm, 2);
  return [
    "size, place and proportions of the mark on the vessel, from the measures given",
    `shapes as they are drawn, as fine as the laser's spot of ${spot} mm lets them be`,
    `where the mark fades, as predicted from the lens and the focus${process}`,
  ];
}

export const excludedHead = "What it does not";
export const excluded: readonly string[] = [
  "the colours of screen and print; exact shade and gloss of coat and metal",
  "grain, small scratches, the vessel's own seams and dents; bright steel mirrors what is around it, and on a light coating the mark may be hard to see from some sides",
  "that the coating comes off as predicted, before a test on the real coating",
  "it is no instruction for marking",
];

export const predictedTitle = "as predicted";
export const idealTitle = "ideal: as if it cleared evenly";
/** Under pictures that stand alone. */
export function honesty(plan: Plan, ideal: boolean): string {
  const process = processShown(plan)
    ? `, the settings and the coating (${coatingCalibrated(plan.job) ? "from test marks on this coating" : "no test has borne it out yet"})`
    : "";
  const other = ideal ? "; ideal: as if it cleared evenly everywhere" : "";
  return `predicted: from the lens and the focus${process}${other}. A picture to look at, no instruction for marking.`;
}
