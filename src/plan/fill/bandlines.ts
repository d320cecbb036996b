/** Centre lines cut where the band changes, at the meridian itself: a line marked once has no seam to hide. */
import { evalCubic, subCubic } from "../../geometry/cubic.ts";
import type { Contour, Path } from "../../geometry/path.ts";
import type { Bands } from "./types.ts";

/** Paths by band. */
export type ByBand = ReadonlyMap<number, Path<"flat">>;

/** Places looked at along a segment, and how closely a cut is found (as a share of it). */
const PROBES = 32;
const CLOSE = 1e-10;

/** A line within one band stays as it is; the ink is where the flat has a vessel. */
export function linesByBand(path: Path<"flat">, bands: Bands): ByBand {
  const at = new Float64Array(4);
  const found = new Map<number, Contour<"flat">[]>();
  const put = (band: number, contour: Contour<"flat">): void => {
    found.set(band, [...(found.get(band) ?? []), contour]);
  };
  for (const contour of path.contours) {
    const runs: { band: number; points: number[]; straight: number[] }[] = [];
    for (let k = 0; k < contour.straight.length; k++) {
      const bandAt = (t: number): number => {
        evalCubic(contour.points, 6 * k, t, at);
        return bands.bandAt(at[0]!, at[1]!);
      };
      const cuts = [0, ...changes(bandAt), 1];
      for (let j = 0; j + 1 < cuts.length; j++) {
        const [t0, t1] = [cuts[j]!, cuts[j + 1]!];
        const band = bandAt((t0 + t1) / 2);
        const piece = subCubic(contour.points, 6 * k, t0, t1);
        if (runs.at(-1)?.band !== band) runs.push({ band, points: [...piece.subarray(0, 2)], straight: [] });
        const run = runs.at(-1)!;
        run.points.push(...piece.subarray(2));
        run.straight.push(contour.straight[k]!);
      }
    }
    if (runs.length === 1) put(runs[0]!.band, contour);
    else {
      for (const { band, points, straight } of runs) {
        put(band, {
          closed: false,
          points: Float64Array.from(points),
          straight: Uint8Array.from(straight),
        });
      }
    }
  }
  return new Map([...found].map(([band, contours]) => [band, { contours }]));
}

/** Where a whole number of t changes between 0 and 1, ascending. */
function changes(of: (t: number) => number): number[] {
  const found: number[] = [];
  const within = (t0: number, v0: number, t1: number, v1: number): void => {
    if (v0 === v1) return;
    if (t1 - t0 < CLOSE) {
      if (t1 < 1) found.push(t1);
      return;
    }
    const t = (t0 + t1) / 2;
    const v = of(t);
    within(t0, v0, t, v);
    within(t, v, t1, v1);
  };
  let before = of(0);
  for (let i = 1; i <= PROBES; i++) {
    const here = of(i / PROBES);
    within((i - 1) / PROBES, before, i / PROBES, here);
    before = here;
  }
  return found;
}
