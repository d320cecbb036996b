/** What a proof shows: the vessel's body as far as the job knows it, how coat and metal look, and from where. */

import { stretchOf } from "../../plan/rim.ts";
import type { Plan } from "../../plan/types.ts";
import { type Body, ball, openCup, uprightWall, type Wall } from "./body.ts";
import { srgbToLinear } from "./encode.ts";
import { roughnessOfGloss } from "./ggx.ts";
import { Camera, type Ring } from "./lathe.ts";
import type { Coat, Metal, Rgb } from "./studio.ts";

type Surface = Plan["warp"]["surface"];

/** How far the camera looks down on the vessel: enough to see its rim (our own choice). */
const DOWN_DEG = 9;
/** The side views: the vessel seen from so far around. */
export const SIDE_DEG = 55;

/** A grey that no one orders, where the job does not know the coating's colour. */
const NO_COLOUR = "#4d5257";
const NO_GLOSS = 30;

/** Stainless steel at normal incidence, R G B: from memory, near to iron's 0.56 0.57 0.58 and a little lighter. */
const STEEL: Rgb = [0.61, 0.6, 0.58];
/** A brushed ground, smooth along its grain and rough across it (our own choice, for the look). */
const BRUSHED = { along: 0.14, across: 0.42 };

export interface Scene {
  readonly rings: readonly Ring[];
  readonly camera: Camera;
  readonly surface: Surface;
  /** Radius at the placement point, the largest one, and those of the wall at its upper and lower end (mm). */
  readonly radius: number;
  readonly widest: number;
  readonly mouth: number;
  readonly base: number;
  /** Where the ink's middle is (radians from the crown line): the flat is laid half a turn to both sides of it. */
  readonly middle: number;
  readonly bottom: number;
  readonly top: number;
  /** Radius of what it stands on. */
  readonly foot: number;
  readonly coat: Coat;
  readonly metal: Metal;
  readonly inside: Metal;
}

/** What of a picture is assumed, and the option that would tell. */
export interface Assumed {
  readonly words: string;
  readonly option: string | null;
}

export function sceneOf(plan: Plan): { scene: Scene; notes: Assumed[] } {
  const { vessel, metal } = plan.job;
  const { surface } = plan.warp;
  const { radius } = surface.meridian;
  const { body, bottom, top, mouth, base, notes } = bodyOf(plan);
  if (vessel.colour === undefined)
    notes.push({
      words: "the coating's colour is not given: a plain grey stands in",
      option: "--coating-colour",
    });
  const undrawn = undrawnOf(vessel);
  if (undrawn.length > 0) notes.push({ words: `not drawn: ${undrawn.join(", ")}`, option: null });
  const alpha = roughnessOfGloss(vessel.gloss ?? NO_GLOSS);
  const steel: Metal = { f0: STEEL, rough: BRUSHED, grain: metal.grain };
  return {
    scene: {
      ...body,
      camera: new Camera((DOWN_DEG * Math.PI) / 180),
      surface,
      radius,
      widest: body.rings.reduce((most, { r0, r1 }) => Math.max(most, r0, r1), 0),
      mouth,
      base,
      middle: middleOf(plan),
      bottom,
      top,
      coat: { colour: linearOf(vessel.colour ?? NO_COLOUR), alpha },
      metal: steel,
      inside: { ...steel, grain: "around" },
    },
    notes,
  };
}

/** What the vessel has and the picture does not show, each once: a handle may be told and blocked. */
function undrawnOf({ handleDeg, seamDeg, blocked = [] }: Plan["job"]["vessel"]): string[] {
  const told = [...(handleDeg === undefined ? [] : ["handle"]), ...(seamDeg === undefined ? [] : ["seam"])];
  const others = blocked.map(({ name }) => name).filter((name) => !told.includes(name.toLowerCase()));
  return [...told.map((name) => `the ${name}`), ...new Set(others)];
}

/** Charts that go on around the back. */
const goesAround = ({ chart }: Surface): boolean =>
  chart.fidelity === "girth" || chart.fidelity === "true-width";

function middleOf({ ink: { box }, warp: { surface } }: Plan): number {
  const place = new Float64Array(6);
  const shown = surface.chart.to((box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2, place);
  return shown && goesAround(surface) ? place[0]! : 0;
}

type Stand = Pick<Scene, "bottom" | "top" | "mouth" | "base"> & { body: Body; notes: Assumed[] };

function bodyOf(plan: Plan): Stand {
  const { meridian } = plan.warp.surface;
  if (meridian.kind === "sphere") {
    const { bottom, ...body } = ball(meridian.radius);
    return { body, bottom, top: meridian.radius, mouth: 0, base: body.foot, notes: [] };
  }
  const { bottom, top, notes } = heightsOf(plan);
  const wall = wallOf(plan.warp.surface);
  const { above, below } = inkAlong(plan);
  const body = openCup(wall, bottom, top, { above: top - above, below: below - bottom });
  return { body, bottom, top, mouth: wall.radiusAt(top), base: wall.radiusAt(bottom), notes };
}

/** The wall by the vessel's outline; what was not measured goes on straight along the axis. */
function wallOf({ meridian }: Surface): Wall {
  const out = new Float64Array(4);
  const at = (m: number): { r: number; y: number } => {
    meridian.at(m, out);
    return { r: out[0]!, y: -out[1]! };
  };
  if (meridian.slope === 0) return uprightWall(meridian.radius);
  const [rim, base] = [at(meridian.from), at(meridian.to)];
  return {
    straight: meridian.slope !== null,
    kinks: [rim.y, base.y],
    radiusAt(y) {
      if (y >= rim.y) return rim.r;
      if (y <= base.y) return base.r;
      return at(meridian.arcAt(-y)).r;
    },
  };
}

/** The ink's upper and lower end, up along the axis from the placement point. */
function inkAlong({ ink: { shapes }, warp: { surface } }: Plan): { above: number; below: number } {
  const { meridian, chart } = surface;
  const stretches = shapes.map((shape) => stretchOf(shape, surface));
  const top = stretches.reduce((least, one) => Math.min(least, one.top), Infinity);
  const bottom = stretches.reduce((most, one) => Math.max(most, one.bottom), -Infinity);
  if (chart.fidelity === "sight" || meridian.slope === 0) return { above: -top, below: -bottom };
  const out = new Float64Array(4);
  const up = (m: number): number => {
    meridian.at(Math.min(meridian.to, Math.max(meridian.from, m)), out);
    return -out[1]!;
  };
  return { above: up(top), below: up(bottom) };
}

/** Rim and base above the placement point, y up; drawn so that the ink has room where they are not known. */
function heightsOf({ ink, job, warp }: Plan): { bottom: number; top: number; notes: Assumed[] } {
  const { heightMm, belowRimMm } = job.vessel;
  const diameterMm = 2 * warp.surface.meridian.radius;
  const [above, below] = [Math.max(0, -ink.box.minY), Math.max(0, ink.box.maxY)];
  const margin = 0.22 * diameterMm;
  if (heightMm !== undefined && belowRimMm !== undefined)
    return { top: belowRimMm, bottom: belowRimMm - heightMm, notes: [] };
  if (heightMm !== undefined) {
    const middle = -(ink.box.minY + ink.box.maxY) / 2;
    const words = "how far the artwork lies below the rim is not given: drawn at mid-height";
    return {
      top: middle + heightMm / 2,
      bottom: middle - heightMm / 2,
      notes: [{ words, option: "--below-rim" }],
    };
  }
  const tall = Math.max(1.45 * diameterMm, above + below + 2 * margin);
  const top = belowRimMm ?? above + (tall - above - below) / 2;
  const bottom = Math.min(top - tall, -below - margin);
  const words = `the vessel's height is not given: drawn ${Math.round(top - bottom)} mm tall`;
  return { top, bottom, notes: [{ words, option: "--vessel-height" }] };
}

/** `#rrggbb` in linear light. */
export function linearOf(hex: string): Rgb {
  const part = (at: number): number => srgbToLinear(Number.parseInt(hex.slice(at, at + 2), 16) / 255);
  return [part(1), part(3), part(5)];
}
