/** Pictures with the fonts that ship: has the picture room draw, encodes. */
import { heatmap } from "../picture/heatmap.ts";
import { layerSheet } from "../picture/layersheet.ts";
import { zonesSvg } from "../picture/zonesdrawing.ts";
import type { Plan } from "../plan/types.ts";
import type { pictureEnds } from "./files.ts";
import { layeredPng } from "./png.ts";
import { lettering } from "./typefaces.ts";

export { drawingPng } from "./png.ts";
export { lettering } from "./typefaces.ts";

export interface Picture {
  readonly kind: "heatmap" | "layers" | "zones";
  /** What its file's name ends in. */
  readonly end: (typeof pictureEnds)[number];
  readonly data: Buffer | string;
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
