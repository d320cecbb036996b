/** The bender of a set's lines: the same where they are measured and where they are written. */
import type { Box } from "../../geometry/path.ts";
import type { Job } from "../../job/job.ts";
import type { Warp } from "../../warp/warp.ts";
import { LineBender, type LineForm } from "./bend.ts";
import type { Laid } from "./order.ts";

/** For lines at an angle as they are laid on the flat. */
export function benderOf(
  warp: Warp,
  { toleranceMm, axis }: Pick<Job, "toleranceMm" | "axis">,
  { ends }: Laid,
  angleDeg: number,
  form: LineForm,
): LineBender {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < ends.length; i += 2) {
    minX = Math.min(minX, ends[i]!);
    maxX = Math.max(maxX, ends[i]!);
    minY = Math.min(minY, ends[i + 1]!);
    maxY = Math.max(maxY, ends[i + 1]!);
  }
  const box: Box = ends.length > 0 ? { minX, minY, maxX, maxY } : { minX: 0, minY: 0, maxX: 0, maxY: 0 };
  return new LineBender(warp, toleranceMm, box, angleDeg, form, axis);
}
