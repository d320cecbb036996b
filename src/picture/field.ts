/** A layer over a piece of the flat as a raster of viridis. */
import { viridis } from "./colours.ts";
import type { Layer } from "./layers.ts";
import type { View } from "./view.ts";

/** Fills the view's rectangle of an RGBA raster; a pixel shows the layer's value at its middle. */
export function paintField(
  layer: Pick<Layer, "at" | "over" | "place">,
  view: View,
  raster: Uint8Array,
  rasterWidth: number,
): void {
  const columns = Float64Array.from({ length: view.width }, (_, i) => view.a(view.left + i + 0.5));
  const rows = Float64Array.from({ length: view.height }, (_, j) => view.b(view.top + j + 0.5));
  const values = layer.over?.(columns, rows);
  for (let j = 0, k = 0; j < view.height; j++) {
    let at = 4 * ((view.top + j) * rasterWidth + view.left);
    for (let i = 0; i < view.width; i++, k++, at += 4) {
      const value = values ? values[k]! : layer.at(columns[i]!, rows[j]!);
      viridis(layer.place(value), raster, at);
      raster[at + 3] = 255;
    }
  }
}
