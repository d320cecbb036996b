/** What a proof shows: the vessel's body as far as the job knows it, how coat and metal look, and from where. */

import type { Plan } from "../../plan/types.ts";
import { srgbToLinear } from "./encode.ts";
import { roughnessOfGloss } from "./ggx.ts";
import { Camera, openCup, type Ring } from "./lathe.ts";
import type { Coat, Metal, Rgb } from "./studio.ts";

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
  readonly surface: Plan["warp"]["surface"];
  /** Radius at the placement point (mm). */
  readonly radius: number;
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
  const { bottom, top, notes } = heightsOf(plan);
  const radius = vessel.diameterMm / 2;
  if (vessel.colour === undefined)
    notes.push({
      words: "the coating's colour is not given: a plain grey stands in",
      option: "--coating-colour",
    });
  const undrawn = [
    ...(vessel.handleDeg === undefined ? [] : ["the handle"]),
    ...(vessel.seamDeg === undefined ? [] : ["the seam"]),
  ];
  if (undrawn.length > 0) notes.push({ words: `not drawn: ${undrawn.join(", ")}`, option: null });
  const alpha = roughnessOfGloss(vessel.gloss ?? NO_GLOSS);
  const steel: Metal = { f0: STEEL, rough: BRUSHED, grain: metal.grain };
  const { box } = plan.ink;
  const free = { above: top + box.minY, below: -box.maxY - bottom };
  return {
    scene: {
      ...openCup(radius, bottom, top, free),
      camera: new Camera((DOWN_DEG * Math.PI) / 180),
      surface: plan.warp.surface,
      radius,
      bottom,
      top,
      coat: { colour: linearOf(vessel.colour ?? NO_COLOUR), alpha },
      metal: steel,
      inside: { ...steel, grain: "around" },
    },
    notes,
  };
}

/** Rim and base above the placement point, y up; drawn so that the ink has room where they are not known. */
function heightsOf({ ink, job }: Plan): { bottom: number; top: number; notes: Assumed[] } {
  const { heightMm, belowRimMm, diameterMm } = job.vessel;
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
