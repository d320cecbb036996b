/** Pictures with the font that ships: reads the font files, has the picture room draw, encodes. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { heatmap } from "../picture/heatmap.ts";
import { Lettering } from "../picture/lettering.ts";
import { zonesSvg } from "../picture/zonesdrawing.ts";
import type { Plan } from "../plan/types.ts";
import { heatmapPng } from "./png.ts";

const scripts = ["latin", "latin-ext", "greek", "cyrillic"];

function lettering(): Lettering {
  const { resolve } = createRequire(import.meta.url);
  const load = (weight: number): Uint8Array[] =>
    scripts.map((s) =>
      readFileSync(resolve(`@fontsource/noto-sans/files/noto-sans-${s}-${weight}-normal.woff2`)),
    );
  return new Lettering({ regular: load(400), bold: load(700) });
}

export const heatmapPicture = (plan: Plan, title: string): Promise<Buffer> =>
  heatmapPng(heatmap(plan, lettering(), title));
export const zonesPicture = (plan: Plan, title: string): string => zonesSvg(plan, lettering(), title);
