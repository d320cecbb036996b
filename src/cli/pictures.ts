/** Pictures with the font that ships: reads the font files, has the picture room draw, encodes. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { heatmap } from "../picture/heatmap.ts";
import { layerSheet } from "../picture/layersheet.ts";
import { Lettering } from "../picture/lettering.ts";
import { zonesSvg } from "../picture/zonesdrawing.ts";
import type { Plan } from "../plan/types.ts";
import type { pictureEnds } from "./files.ts";
import { layeredPng } from "./png.ts";

export { drawingPng } from "./png.ts";

const scripts = ["latin", "latin-ext", "greek", "cyrillic"];

/** The fonts that ship; unpacked only when a character is not found in those before. */
export function lettering(): Lettering {
  const { resolve } = createRequire(import.meta.url);
  const load = (weight: number): Uint8Array[] =>
    scripts.map((s) =>
      readFileSync(resolve(`@fontsource/noto-sans/files/noto-sans-${s}-${weight}-normal.woff2`)),
    );
  return new Lettering({ regular: load(400), bold: load(700) });
}

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
