/**
 * Witness marks: small upright marks near the vessel's base, one at each seam between turns, to index by eye. The turn on
 * a seam's left marks it; when the vessel has been indexed, the pointer of the next turn must fall on it.
 */
import { PathBuilder } from "../../geometry/path.ts";
import type { Problem } from "../../problem.ts";
import type { Surface } from "../../vessel/surface.ts";
import type { Warp } from "../../warp/warp.ts";
import { type InkShape, inkShape } from "../ink.ts";
import { type Limits, zoneAt } from "../zones.ts";

/** A mark's size, and what it keeps from the base and from the ink (mm): our own choice, to be seen and not to show. */
const TALL = 2;
const WIDE = 0.3;
const OFF_BASE = 2;
const OFF_INK = 3;

export interface Seam {
  /** θ from the artwork's crown line. */
  readonly theta: number;
}

/**
 * The mark of a seam on the flat of the turn at `angle`: at the base where the beam reaches there, else below the ink.
 * Null where neither can be marked. `baseM`: the base along the outline, null where it is not known.
 */
export function witnessMark(
  seam: Seam,
  angle: number,
  warp: Warp,
  limits: Limits,
  inkBottomM: number,
  baseM: number | null,
  id: string,
): { readonly shape: InkShape; readonly atMm: readonly [number, number] } | null {
  const { surface } = warp;
  const theta = seam.theta - angle;
  const base = baseM ?? surface.meridian.to;
  const places = [base - OFF_BASE - TALL, inkBottomM + OFF_INK].filter(
    (m) => Number.isFinite(m) && m >= inkBottomM + WIDE && m + TALL <= base,
  );
  for (const top of places) {
    const path = upright(surface, theta, top);
    const at = path && middleOf(surface, theta, top + TALL / 2);
    if (!path || !at) continue;
    const shape = inkShape({ id, where: { id }, paint: "fill" }, path);
    const { minX, maxX, minY, maxY } = shape!.box;
    const usable = [minX, maxX].every((a) =>
      [minY, maxY].every((b) => zoneAt(warp, limits, a, b) === "usable"),
    );
    const met = warp.meeting(...at);
    if (usable && typeof met !== "string") return { shape: shape!, atMm: at };
  }
  return null;
}

function middleOf(surface: Surface, theta: number, m: number): readonly [number, number] | null {
  const out = new Float64Array(2);
  return surface.chart.from(theta, m, out) ? [out[0]!, out[1]!] : null;
}

/** A narrow bar along the meridian. */
function upright(surface: Surface, theta: number, top: number) {
  const out = new Float64Array(4);
  surface.meridian.at(top + TALL / 2, out);
  const half = WIDE / 2 / out[0]!;
  const builder = new PathBuilder<"flat">();
  const corners = [
    [theta - half, top],
    [theta + half, top],
    [theta + half, top + TALL],
    [theta - half, top + TALL],
  ] as const;
  for (const [i, [t, m]] of corners.entries()) {
    const at = middleOf(surface, t, m);
    if (!at) return null;
    if (i === 0) builder.move(...at);
    else builder.line(...at);
  }
  return builder.close().build();
}

export const noRoom = (seams: readonly number[]): Problem[] =>
  seams.length === 0
    ? []
    : [
        {
          code: "witness-no-room",
          severity: "caution",
          message: `no witness mark can be marked at ${seams.length === 1 ? `seam ${seams[0]}` : `the seams ${seams.join(", ")}`}: neither the base nor the place below the ink is within the limits there`,
          hint: "index by the angles in the table, or move the artwork up with --at",
        },
      ];
