/** Pictures with the font that ships: reads the font files, has the picture room draw, encodes. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { heatmap } from "../picture/heatmap.ts";
import type { LayerId } from "../picture/layers.ts";
import { layerSheet } from "../picture/layersheet.ts";
import { Lettering } from "../picture/lettering.ts";
import { zonesSvg } from "../picture/zonesdrawing.ts";
import type { Plan } from "../plan/types.ts";
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

export const heatmapPicture = (plan: Plan, title: string, layer: LayerId): Promise<Buffer> =>
  layeredPng(heatmap(plan, lettering(), title, layer));
export const layersPicture = (plan: Plan, title: string): Promise<Buffer> =>
  layeredPng(layerSheet(plan, lettering(), title));
export const zonesPicture = (plan: Plan, title: string): string => zonesSvg(plan, lettering(), title);
