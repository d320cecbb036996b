/** How shapes and sizes are named in what is said of a job. */
import { downTenth } from "./figures.ts";
import type { Plan } from "./types.ts";

/** Four ids, and how many more there are. */
export function names(shapes: readonly { readonly id: string }[]): string {
  const ids = [...new Set(shapes.map((s) => s.id))];
  return `${ids.slice(0, 4).join(", ")}${ids.length > 4 ? ` and ${ids.length - 4} more` : ""}`;
}

/** `factor` (> 0) times the ink's size, rounded down, in the terms that the job's own size was asked in. */
export function scaled(
  { ink: { box }, job: { placement } }: Pick<Plan, "ink" | "job">,
  factor: number,
): string {
  const width = `--width ${downTenth((box.maxX - box.minX) * factor)}`;
  const height = `--height ${downTenth((box.maxY - box.minY) * factor)}`;
  if (placement.heightMm === undefined) return box.maxX > box.minX ? width : height;
  return placement.widthMm === undefined ? height : `${width} ${height}`;
}
