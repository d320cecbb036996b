/** Pictures with the fonts that ship: has the picture room draw, encodes. */
import { evenness } from "../picture/evenness.ts";
import { heatmap } from "../picture/heatmap.ts";
import { layerSheet } from "../picture/layersheet.ts";
import { turnsPicture } from "../picture/turnspicture.ts";
import { zonesSvg } from "../picture/zonesdrawing.ts";
import type { Plan } from "../plan/types.ts";
import type { pictureEnds } from "./files.ts";
import { drawingPng, layeredPng } from "./png.ts";
import { lettering } from "./typefaces.ts";

export { lettering } from "./typefaces.ts";
export { drawingPng };

export interface Picture {
  readonly kind: "heatmap" | "layers" | "zones";
  /** What its file's name ends in. */
  readonly end: (typeof pictureEnds)[number];
  readonly data: Buffer | string;
}

/** The whole artwork around the vessel, with all its turns. */
export const turnsPng = async (plan: Plan, title: string): Promise<Buffer> =>
  drawingPng(turnsPicture(plan, lettering(), title));

/** How even the fill comes out on a turn, counted from 0. Throws Error where the job has no fill. */
export async function evennessPng(plan: Plan, turnIndex: number, title: string): Promise<Buffer> {
  if (!plan.fill) throw new Error("this job has no fill");
  return layeredPng(evenness(plan, plan.fill, turnIndex, lettering(), title));
}

/** All pictures of a plan: the layers' sheet only where there are settings. */
export async function picturesOf(plan: Plan, title: string): Promise<Picture[]> {
  const letters = lettering();
  const heat = await layeredPng(heatmap(plan, letters, title, plan.job.layer));
  const sheet = plan.forecast ? await layeredPng(layerSheet(plan, letters, title)) : null;
  return [
    { kind: "heatmap", end: "heatmap.png", data: heat },
    ...(sheet ? [{ kind: "layers", end: "layers.png", data: sheet } as const] : []),
    { kind: "zones", end: "zones.svg", data: zonesSvg(plan, letters, title) },
  ];
}
