/** Blocked areas on the strip, with their names. */
import type { Keepout } from "../../plan/blocked.ts";
import { zoneStyles } from "../colours.ts";
import type { Lettering } from "../lettering.ts";
import { hatch, INK, SMALL, text } from "../parts.ts";
import { tag } from "../svg.ts";
import { boxRing } from "../zonekey.ts";
import type { Strip } from "./strip.ts";

interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Each area as often as it comes by on the way shown. */
export function blockedBoxes(areas: readonly Keepout[], strip: Strip): { name: string; boxes: Rect[] }[] {
  const turn = 2 * Math.PI;
  const { fromTheta, toTheta, topM, bottomM, x, y } = strip;
  return areas.map(({ name, fromRad, toRad, top, bottom }) => {
    const [y1, y2] = [y(Math.max(topM, top)), y(Math.min(bottomM, bottom))];
    const boxes: Rect[] = [];
    for (let k = Math.ceil((fromTheta - toRad) / turn); k <= Math.floor((toTheta - fromRad) / turn); k++) {
      const x1 = x(Math.max(fromTheta, fromRad + k * turn));
      const x2 = x(Math.min(toTheta, toRad + k * turn));
      if (x2 > x1 && y2 > y1) boxes.push({ x: x1, y: y1, width: x2 - x1, height: y2 - y1 });
    }
    return { name, boxes };
  });
}

export function blockedSvg(number: number, boxes: readonly Rect[]): string {
  const { shade, shadeOpacity } = zoneStyles.blocked;
  const parts = boxes.map(
    (box) =>
      tag("rect", { ...box, fill: shade, "fill-opacity": shadeOpacity }) +
      hatch("blocked", [boxRing(box.x, box.y, box.width, box.height)]) +
      tag("rect", { ...box, fill: "none", stroke: INK, "stroke-width": 2 }),
  );
  return parts.length === 0 ? "" : tag("g", { id: `blocked-${number}` }, parts.join(""));
}

/** The area's name near its lower end, where it has the width for it; the base's name may stand below it. */
export const blockedNames = (name: string, boxes: readonly Rect[], lettering: Lettering): string =>
  boxes
    .filter(({ width, height }) => lettering.width(name, SMALL) + 12 <= width && height >= 2 * SMALL)
    .map(({ x, y, width, height }) => {
      const place = {
        x: x + width / 2,
        y: y + height - (height >= 6 * SMALL ? 86 : height >= 4 * SMALL ? 46 : 14),
        size: SMALL,
      };
      return text(lettering, name, { ...place, anchor: "middle" }, { halo: 5 });
    })
    .join("");
