/**
 * Ink against the vessel's own ends, as far as the job says where they are: the placement point r below the rim, the
 * vessel's height h, both along the axis. Ink and ends are compared along the vessel's outline (m), for `sight` along its
 * axis (y, as the flat's b is); on an upright cylinder both are the same:
 *
 *   rim at −r,   base at h − r   (mm)
 *
 * The lip and rim area is the upper 20 mm of a drinking vessel's outside (ASTM C927 and ISO 6486 test it so, from
 * memory). A coat there is a closed film (21 CFR 175.300: resinous coatings as continuous films, from memory), which
 * marking opens.
 */
import { walkContour } from "../geometry/cubic.ts";
import type { Problem } from "../problem.ts";
import type { Surface } from "../vessel/surface.ts";
import { downTenth, floorTenth, upTenth } from "./figures.ts";
import type { InkShape } from "./ink.ts";
import { names, scaled } from "./said.ts";
import type { Plan } from "./types.ts";

type Known = Pick<Plan, "job" | "ink" | "warp">;

/** Height of the lip and rim area (mm). */
export const LIP_MM = 20;
/** What is nearer to a limit than this (mm) is on it. */
const HAIR = 1e-6;
/** A distance from a limit (mm), 0 for what is on it. */
export const fromLimit = (mm: number): number => (Math.abs(mm) <= HAIR ? 0 : mm);

/** Stops beyond rim and base, a caution near the lip; nothing where the job does not say where they are. */
export const rimProblems = (known: Known): Problem[] =>
  known.job.vessel.belowRimMm === undefined ? tallerThanVessel(known) : [...atRim(known), ...atBase(known)];

function atRim(known: Known): Problem[] {
  const { shapes } = known.ink;
  const { rim } = endsOf(known);
  const along = new Map(shapes.map((s) => [s, stretchOf(s, known.warp.surface).top - rim]));
  const top = Math.min(...along.values());
  const where = whereOf(shapes, (s) => along.get(s)!);
  if (top < -HAIR) {
    const beyond = shapes.filter((s) => along.get(s)! < -HAIR);
    return [
      {
        code: "ink-beyond-rim",
        severity: "stop",
        message: `ink reaches ${upTenth(-top)} mm beyond the rim: ${names(beyond)}`,
        ...where,
        hint: movedDown(known, LIP_MM) ?? movedDown(known, 0) ?? fitted(known),
      },
    ];
  }
  if (top >= LIP_MM - HAIR) return [];
  const way = movedDown(known, LIP_MM) ?? (roomBelowLip(known) ? fitted(known) : null);
  return [
    {
      code: "ink-near-lip",
      severity: "caution",
      message: `ink begins ${downTenth(Math.max(0, top))} mm below the rim: the upper ${LIP_MM} mm are the lip and rim area, and marking opens the coat's closed film there`,
      ...where,
      hint: `${way === null ? "" : `${way}, or `}check that nobody drinks there`,
    },
  ];
}

function atBase(known: Known): Problem[] {
  const { shapes } = known.ink;
  const { base } = endsOf(known);
  const along = new Map(shapes.map((s) => [s, stretchOf(s, known.warp.surface).bottom - base]));
  const over = Math.max(...along.values());
  if (over <= HAIR) return [];
  const beyond = shapes.filter((s) => along.get(s)! > HAIR);
  return [
    {
      code: "ink-beyond-base",
      severity: "stop",
      message: `ink reaches ${upTenth(over)} mm beyond the base: ${names(beyond)}`,
      ...whereOf(shapes, (s) => -along.get(s)!),
      hint: movedUp(known) ?? fitted(known),
    },
  ];
}

function tallerThanVessel(known: Known): Problem[] {
  const { heightMm } = known.job.vessel;
  const tall = heightOf(known);
  if (heightMm === undefined || tall <= heightMm + HAIR) return [];
  return [
    {
      code: "ink-taller-than-vessel",
      severity: "stop",
      message: `the artwork is ${upTenth(tall)} mm tall, but the vessel ${heightMm} mm`,
      hint: `give ${scaled(known, heightMm / tall)} or less, or turn the artwork with --rotate`,
    },
  ];
}

const heightOf = ({ ink: { box } }: Known): number => box.maxY - box.minY;

/** Rim and base as ink is compared with them; the base nowhere, as far as one goes, where the height is not known. */
export function endsOf({ job: { vessel }, warp: { surface } }: Pick<Plan, "job" | "warp">): {
  readonly rim: number;
  readonly base: number;
} {
  const rim = -(vessel.belowRimMm ?? 0);
  const base = (vessel.heightMm ?? Infinity) + rim;
  if (surface.chart.fidelity === "sight" || surface.meridian.slope === 0) return { rim, base };
  const { meridian } = surface;
  const arc = (y: number, end: number, past: number): number => {
    const m = meridian.arcAt(y);
    return Number.isNaN(m) ? end + past : m;
  };
  // What was not measured is taken as straight along the axis.
  const [first, last] = [axisAt(meridian, meridian.from), axisAt(meridian, meridian.to)];
  return { rim: arc(rim, meridian.from, rim - first), base: arc(base, meridian.to, base - last) };
}

function axisAt(meridian: Surface["meridian"], m: number): number {
  const out = new Float64Array(4);
  meridian.at(m, out);
  return out[1]!;
}

/** Top and bottom of a shape along the vessel. */
export function stretchOf(
  { box, path }: InkShape,
  { chart, meridian }: Surface,
): { top: number; bottom: number } {
  if (chart.fidelity !== "sheet" || meridian.slope === 0) return { top: box.minY, bottom: box.maxY };
  const place = new Float64Array(6);
  let [top, bottom] = [Infinity, -Infinity];
  for (const contour of path.contours)
    walkContour(contour, CHORD, STEP, (a, b) => {
      if (!chart.to(a, b, place)) return;
      top = Math.min(top, place[1]!);
      bottom = Math.max(bottom, place[1]!);
    });
  return { top, bottom };
}
/** How closely curves are followed for it, and how far along straight lines, which bend on the wall (mm). */
const CHORD = 0.01;
const STEP = 1;

/** The place of the shape that comes first by `order`. */
function whereOf(shapes: readonly InkShape[], order: (shape: InkShape) => number): Pick<Problem, "where"> {
  const first = shapes.reduce<InkShape | null>((a, b) => (a && order(a) <= order(b) ? a : b), null);
  return first ? { where: { ...first.where, id: first.id } } : {};
}

/** Puts the ink's top `gap` below the rim, or null where its bottom would then pass the base. */
function movedDown(known: Known, gap: number): string | null {
  const { atMm, rimB, box } = placeOf(known);
  const to = Math.ceil(10 * (atMm[1] + rimB + gap - box.minY) - 1e-6) / 10;
  if (box.maxY + to - atMm[1] > endsOf(known).base + HAIR) return null;
  const free = gap > 0 ? `, which leaves the upper ${gap} mm free` : "";
  return `move it ${upTenth(to - atMm[1])} mm down with ${at(known, to)}${free}`;
}

/** Puts the ink's bottom onto the base, or null where its top would then pass the rim. */
function movedUp(known: Known): string | null {
  const { atMm, rimB, box } = placeOf(known);
  const to = floorTenth(atMm[1] + endsOf(known).base - box.maxY);
  if (box.minY + to - atMm[1] < rimB - HAIR) return null;
  return `move it ${upTenth(atMm[1] - to)} mm up with ${at(known, to)}`;
}

/** Whether the vessel is so tall that most of it lies below the lip. */
const roomBelowLip = ({ job: { vessel } }: Known): boolean => (vessel.heightMm ?? Infinity) > 2 * LIP_MM;

/** A size and a place between rim and base, below the lip where the vessel is tall enough for that. */
function fitted(known: Known): string {
  const heightMm = known.job.vessel.heightMm ?? Infinity;
  const { rimB } = placeOf(known);
  const lip = roomBelowLip(known) ? LIP_MM : 0;
  // The place is rounded to a tenth, either way: that much room is kept.
  const room = heightMm - lip - 0.1;
  const middle = Math.round(10 * (rimB + lip + (heightMm - lip) / 2)) / 10;
  return `the vessel is ${heightMm} mm tall: give ${scaled(known, room / heightOf(known))} or less with ${at(known, middle)}`;
}

const placeOf = (known: Known) => ({
  atMm: known.job.placement.atMm,
  rimB: endsOf(known).rim,
  box: known.ink.box,
});

const at = ({ job }: Known, b: number): string => `--at ${job.placement.atMm[0]},${b}`;
