/** How shapes and sizes are named in what is said of a job. */
import { downTenth } from "./figures.ts";
import type { Plan } from "./types.ts";

/** Four ids, and how many more there are. */
export function names(shapes: readonly { readonly id: string }[]): string {
  const ids = [...new Set(shapes.map((s) => s.id))];
  return `${ids.slice(0, 4).join(", ")}${ids.length > 4 ? ` and ${ids.length - 4} more` : ""}`;
}

/** The least size that a job may ask for (mm). */
const LEAST = 0.1;

/** `factor` (> 0) times the ink's size, rounded down, in the terms that the job's own size was asked in. */
export function scaled(
  { ink: { box }, job: { placement } }: Pick<Plan, "ink" | "job">,
  factor: number,
): string {
  const [wide, high] = [(box.maxX - box.minX) * factor, (box.maxY - box.minY) * factor];
  const [width, height] = [`--width ${downTenth(wide)}`, `--height ${downTenth(high)}`];
  // A size below a tenth cannot be asked for; the other then says it.
  if (placement.heightMm === undefined) return wide >= LEAST ? width : height;
  return placement.widthMm === undefined ? height : `${width} ${height}`;
}
