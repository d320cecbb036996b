/**
 * Ink against the vessel's own ends, as far as the job says where they are. With the placement point r below the rim
 * and a vessel of the height h, both along the axis,
 *
 *   rim at b = −r,   base at b = h − r;   on an upright cylinder b is true length along the axis, mm
 *
 * The lip and rim area is the upper 20 mm of a drinking vessel's outside (ASTM C927 and ISO 6486 test it so, from
 * memory). A coat there is a closed film (21 CFR 175.300: resinous coatings as continuous films, from memory), which
 * marking opens.
 */
import type { Problem } from "../problem.ts";
import { downTenth, floorTenth, upTenth } from "./figures.ts";
import type { InkShape } from "./ink.ts";
import { names, scaled } from "./said.ts";
import type { Plan } from "./types.ts";

type Known = Pick<Plan, "job" | "ink">;

/** Height of the lip and rim area (mm). */
export const LIP_MM = 20;
/** What is nearer to a limit than this (mm) is on it. */
const HAIR = 1e-6;
/** A distance from a limit (mm), 0 for what is on it. */
export const fromLimit = (mm: number): number => (Math.abs(mm) <= HAIR ? 0 : mm);

/** Stops beyond rim and base, a caution near the lip; nothing where the job does not say where they are. */
export const rimProblems = (known: Known): Problem[] =>
  known.job.vessel.belowRimMm === undefined
    ? tallerThanVessel(known)
    : [...atRim(known, known.job.vessel.belowRimMm), ...atBase(known)];

function atRim(known: Known, belowRimMm: number): Problem[] {
  const { shapes, box } = known.ink;
  const top = box.minY + belowRimMm;
  const where = whereOf(shapes, (s) => s.box.minY);
  if (top < -HAIR) {
    const beyond = shapes.filter((s) => s.box.minY + belowRimMm < -HAIR);
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
  const { shapes, box } = known.ink;
  const base = baseOf(known);
  if (box.maxY <= base + HAIR) return [];
  const beyond = shapes.filter((s) => s.box.maxY > base + HAIR);
  return [
    {
      code: "ink-beyond-base",
      severity: "stop",
      message: `ink reaches ${upTenth(box.maxY - base)} mm beyond the base: ${names(beyond)}`,
      ...whereOf(shapes, (s) => -s.box.maxY),
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

/** Where the base is on the flat; nowhere, as far as one goes, where the vessel's height is not known. */
const baseOf = ({ job: { vessel } }: Known): number =>
  (vessel.heightMm ?? Infinity) - (vessel.belowRimMm ?? 0);

/** The place of the shape that comes first by `order`. */
function whereOf(shapes: readonly InkShape[], order: (shape: InkShape) => number): Pick<Problem, "where"> {
  const first = shapes.reduce<InkShape | null>((a, b) => (a && order(a) <= order(b) ? a : b), null);
  return first ? { where: { ...first.where, id: first.id } } : {};
}

/** Puts the ink's top `gap` below the rim, or null where its bottom would then pass the base. */
function movedDown(known: Known, gap: number): string | null {
  const { atMm, rimB, box } = placeOf(known);
  const to = Math.ceil(10 * (atMm[1] + rimB + gap - box.minY) - 1e-6) / 10;
  if (box.maxY + to - atMm[1] > baseOf(known) + HAIR) return null;
  const free = gap > 0 ? `, which leaves the upper ${gap} mm free` : "";
  return `move it ${upTenth(to - atMm[1])} mm down with ${at(known, to)}${free}`;
}

/** Puts the ink's bottom onto the base, or null where its top would then pass the rim. */
function movedUp(known: Known): string | null {
  const { atMm, rimB, box } = placeOf(known);
  const to = floorTenth(atMm[1] + baseOf(known) - box.maxY);
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

const placeOf = ({ job, ink }: Known) => ({
  atMm: job.placement.atMm,
  rimB: -(job.vessel.belowRimMm ?? 0),
  box: ink.box,
});

const at = ({ job }: Known, b: number): string => `--at ${job.placement.atMm[0]},${b}`;
