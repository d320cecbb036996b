/** Plans and lettering for the picture tests: the demo's artwork and small drawings of our own. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { readInk } from "../../src/ink/ink.ts";
import type { JobFile } from "../../src/job/job.ts";
import { resolveJob } from "../../src/job/resolve.ts";
import { Lettering } from "../../src/picture/lettering.ts";
import { planJob } from "../../src/plan/plan.ts";
import type { Plan } from "../../src/plan/types.ts";
import { profiles } from "../support/profiles.ts";

const root = new URL("../../", import.meta.url);
const read = (path: string): string => readFileSync(new URL(path, root), "utf8");

export async function planOf(svg: string, options: JobFile): Promise<Plan> {
  const job = resolveJob({}, options, profiles);
  const { strokes, keepShapes, allow } = job.ink;
  return planJob(await readInk(svg, { strokes, keepShapes, allow }), job);
}

export const crestPlan = (options: JobFile = {}): Promise<Plan> =>
  planOf(read("fixtures/demo/heron-reach-crest.svg"), {
    vessel: { diameterMm: 82 },
    placement: { widthMm: 50 },
    ...options,
  });

export const letteringPlan = (widthMm: number): Promise<Plan> =>
  planOf(read("fixtures/demo/heron-reach-lettering.svg"), {
    vessel: { diameterMm: 82 },
    placement: { widthMm },
  });

/** The fonts that ship with the package. */
export function lettering(): Lettering {
  const { resolve } = createRequire(import.meta.url);
  const load = (weight: number): Uint8Array[] =>
    ["latin", "latin-ext", "greek", "cyrillic"].map((script) =>
      readFileSync(resolve(`@fontsource/noto-sans/files/noto-sans-${script}-${weight}-normal.woff2`)),
    );
  return new Lettering({ regular: load(400), bold: load(700) });
}

/** What no picture may hold: words left to a system font, or the traces of a number that was none. */
export const FORBIDDEN = /<text|<tspan|font-family|NaN|undefined|Infinity|\[object|null/;

/** Largest difference of any channel of two rasters of the same size. */
export function largestDifference(a: Uint8Array, b: Uint8Array): number {
  let most = 0;
  for (let i = 0; i < a.length; i++) most = Math.max(most, Math.abs(a[i]! - b[i]!));
  return most;
}
