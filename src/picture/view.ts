/** Which piece of the flat a picture shows, and where: a rectangle of whole pixels, one scale both ways. */
import type { Box } from "../geometry/path.ts";
import type { Plan } from "../plan/types.ts";

export interface View {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  /** Pixels per mm. */
  readonly scale: number;
  /** What is shown of the flat (mm). */
  readonly flat: Box;
  x(a: number): number;
  y(b: number): number;
  a(x: number): number;
  b(y: number): number;
}

/** The room a view may take (px) and what is kept free around the ink. */
export interface Room {
  readonly left: number;
  readonly top: number;
  readonly maxWidth: number;
  readonly minHeight: number;
  readonly maxHeight: number;
  /** Above and below the ink. */
  readonly border: number;
}

/** Ink and reach and a little more, as far around as the lens can see; the rest of the room shows more of the flat. */
export function viewOf(plan: Pick<Plan, "warp" | "ink" | "reach">, room: Room): View {
  const limit = seen(plan);
  const { box } = plan.ink;
  const half = plan.reach.aroundMm / 2;
  const clip = (a: number): number => Math.max(-limit, Math.min(limit, a));
  let minA = clip(Math.min(box.minX, -half));
  let maxA = clip(Math.max(box.maxX, half));
  const pad = 0.06 * (maxA - minA);
  minA = clip(minA - pad);
  maxA = clip(maxA + pad);
  const inkHeight = box.maxY - box.minY;
  const scale = Math.min(
    room.maxWidth / (maxA - minA),
    inkHeight > 0 ? (room.maxHeight - 2 * room.border) / inkHeight : Infinity,
  );
  // Spare width shows more of the vessel, evenly on both sides until one reaches its end.
  const spare = room.maxWidth / scale - (maxA - minA);
  const right = Math.min(limit - maxA, Math.max(spare / 2, spare - (limit + minA)));
  const left = Math.min(limit + minA, spare - right);
  minA -= Math.max(0, left);
  maxA += Math.max(0, right);
  const width = Math.round((maxA - minA) * scale);
  const height = Math.round(
    Math.max(room.minHeight, Math.min(room.maxHeight, inkHeight * scale + 2 * room.border)),
  );
  const middleA = (minA + maxA) / 2;
  const middleB = (box.minY + box.maxY) / 2;
  const leftPx = room.left + Math.floor((room.maxWidth - width) / 2);
  const cx = leftPx + width / 2;
  const cy = room.top + height / 2;
  const a = (x: number): number => middleA + (x - cx) / scale;
  const b = (y: number): number => middleB + (y - cy) / scale;
  return {
    left: leftPx,
    top: room.top,
    width,
    height,
    scale,
    flat: { minX: a(leftPx), maxX: a(leftPx + width), minY: b(room.top), maxY: b(room.top + height) },
    x: (value) => cx + (value - middleA) * scale,
    y: (value) => cy + (value - middleB) * scale,
    a,
    b,
  };
}

/** How far around is worth showing: to the horizon at the placement point and a little over it. */
function seen(plan: Pick<Plan, "warp">): number {
  const { surface } = plan.warp;
  const last = surface.halfWidth * 0.9999;
  const steps = 256;
  for (let i = 1; i <= steps; i++) {
    const a = (last * i) / steps;
    if (!(plan.warp.meetingUnchecked(a, 0).cosIncidence > 0)) return Math.min(last, 1.1 * a);
  }
  return last;
}
