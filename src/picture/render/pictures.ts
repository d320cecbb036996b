/** The vessel from the front and from both sides, as predicted and as it ideally were; the mask is rasterised by the caller. */
import type { Plan } from "../../plan/types.ts";
import { InkMask, type MaskPlace, maskPlace, maskSvg } from "./mask.ts";
import { type Pixels, Renderer } from "./render.ts";
import { nothingRemains, remainingOf } from "./reveal.ts";
import { type Assumed, SIDE_DEG, sceneOf } from "./scene.ts";

/** A view of the vessel. */
export interface Shot {
  /** Of the image on a page. */
  readonly name: string;
  readonly label: string;
  readonly pixels: Pixels;
}

/** The views in the order of a page's row: front, then what stands left and right of it. */
const azimuths = [
  { name: "front", label: "front", degrees: 0 },
  { name: "left", label: `from the left, turned ${SIDE_DEG}°`, degrees: -SIDE_DEG },
  { name: "right", label: `from the right, turned ${SIDE_DEG}°`, degrees: SIDE_DEG },
] as const;

/** Texels of the mask to a pixel's side: with it, 16 for each pixel. */
const FINE = 4;

export class ProofPictures {
  /** What of the pictures was assumed. */
  readonly notes: readonly Assumed[];
  readonly #plan: Plan;
  readonly #renderer: Renderer;
  readonly #place: MaskPlace;

  /** Pictures whose longer side has `side` px. */
  constructor(plan: Plan, side: number) {
    const { scene, notes } = sceneOf(plan);
    this.notes = notes;
    this.#plan = plan;
    this.#renderer = new Renderer(scene, side);
    this.#place = maskPlace(plan, FINE * this.#renderer.frame.perMm);
  }

  /** The ink's drawing: to be rasterised at its size in px, one channel a px. */
  get maskSvg(): string {
    return maskSvg(this.#plan, this.#place);
  }

  /** `coverage`: the raster of `maskSvg`. `only`: the first so many views. */
  shots(coverage: Uint8Array, ideal: boolean, only: number = azimuths.length): Shot[] {
    const mask = new InkMask(this.#place, coverage);
    const remaining = ideal ? nothingRemains : remainingOf(this.#plan);
    return azimuths.slice(0, only).map(({ name, label, degrees }) => ({
      name: ideal ? `ideal-${name}` : name,
      label,
      pixels: this.#renderer.view((degrees * Math.PI) / 180, mask, remaining),
    }));
  }
}
