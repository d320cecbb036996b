/** The same vessel, set down so many mm to the right: X grows by that, nothing else changes. */
import type { Face } from "./surface.ts";

export function shifted(face: Face, rightMm: number): Face {
  if (rightMm === 0) return face;
  return {
    outside: face.outside,
    covers: (a, b) => face.covers(a, b),
    at(a, b, out) {
      face.at(a, b, out);
      out[0]! += rightMm;
    },
    flatOf: (x, y, s, out) => face.flatOf(x - rightMm, y, s, out),
    firstHit: (x0, x1, y0, y1) => face.firstHit(x0 - rightMm, x1, y0, y1),
  };
}
