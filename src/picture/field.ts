/** Relative fluence over a piece of the flat: at a point, and as a raster of viridis. */
import { relativeFluence } from "../beam/spot.ts";
import type { Plan } from "../plan/types.ts";
import { viridis } from "./colours.ts";
import type { View } from "./view.ts";

/** φ at (a, b); 0 where the beam does not reach. */
export function fluenceAt(plan: Pick<Plan, "warp" | "spot">, a: number, b: number): number {
  if (!(Math.abs(a) < plan.warp.surface.halfWidth)) return 0;
  const phi = relativeFluence(plan.warp.meetingUnchecked(a, b), plan.spot);
  return Number.isNaN(phi) ? 0 : Math.max(phi, 0);
}

/** Fills the view's rectangle of an RGBA raster; a pixel shows φ at its middle. */
export function paintField(
  plan: Pick<Plan, "warp" | "spot">,
  view: View,
  raster: Uint8Array,
  rasterWidth: number,
): void {
  const columns = Float64Array.from({ length: view.width }, (_, i) => view.a(view.left + i + 0.5));
  for (let j = 0; j < view.height; j++) {
    const b = view.b(view.top + j + 0.5);
    let at = 4 * ((view.top + j) * rasterWidth + view.left);
    for (let i = 0; i < view.width; i++, at += 4) {
      viridis(fluenceAt(plan, columns[i]!, b), raster, at);
      raster[at + 3] = 255;
    }
  }
}
