/** Lines that end the spot's radius inside the ink. Edges that run along the lines are as they were: there the rows decide. */
import type { Spot } from "../../beam/spot.ts";
import type { Rows } from "../../geometry/rows.ts";
import type { Warp } from "../../warp/warp.ts";
import { spotAcross } from "../thin/spot.ts";
import { pointOf } from "./order.ts";

/** Of a line shorter than the spot so much of the spot stays about its middle: nothing is dropped (our own choice). */
const STUB = 0.1;

/** The rows at t = `at` with both ends of each line drawn in by half the spot's reach along it. */
export function trimmed({ from, s }: Rows, at: Float64Array, angleDeg: number, warp: Warp, spot: Spot): Rows {
  const short = new Float64Array(s.length);
  const [da, db] = pointOf(1, 0, angleDeg);
  const radius = (along: number, t: number): number => {
    const [a, b] = pointOf(along, t, angleDeg);
    const { widthMm, spotMm } = spotAcross(warp, spot, a, b, da, db);
    return spotMm / widthMm / 2;
  };
  at.forEach((t, row) => {
    for (let i = from[row]!; i < from[row + 1]!; i += 2) {
      const [s0, s1] = [s[i]!, s[i + 1]!];
      const [r0, r1] = [radius(s0, t), radius(s1, t)];
      const left = s1 - s0 - r0 - r1;
      const stub = Math.min(s1 - s0, STUB * (r0 + r1));
      const middle = (s0 + s1) / 2;
      short[i] = left > stub ? s0 + r0 : middle - stub / 2;
      short[i + 1] = left > stub ? s1 - r1 : middle + stub / 2;
    }
  });
  return { from, s: short };
}
