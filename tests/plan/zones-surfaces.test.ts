/** Zones on every vessel, fidelity and pose: the pieces that ink is cut into are where zoneAt says, point by point. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { evalCubic } from "../../src/geometry/cubic.ts";
import type { Path } from "../../src/geometry/path.ts";
import type { ScanHead } from "../../src/head/scanhead.ts";
import type { Keepout } from "../../src/plan/blocked.ts";
import { type CutInk, cutInk } from "../../src/plan/cut.ts";
import { type Limits, strips, type Zone, zoneAt, zoneNames } from "../../src/plan/zones.ts";
import type { Surface } from "../../src/vessel/surface.ts";
import { Warp } from "../../src/warp/warp.ts";
import { circle, inkOf, line, rectangle } from "../support/shapes.ts";
import { evenly, posed } from "../support/surfaces.ts";

const stations: readonly (readonly [string, ScanHead, number])[] = [
  ["long lens", { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 6 }, 7.3],
  ["crown out of depth", { pivotAcross: 545, pivotAlong: 531, field: 300, belowCrown: 10 }, 4],
  ["short lens, small field, deep", { pivotAcross: 168, pivotAlong: 154, field: 52, belowCrown: 2 }, 40],
];

/** In front, to the right; and from far right past the back up on the left. */
const areasOn = ({ meridian }: Surface): Keepout[] => [
  { name: "front", fromRad: 0.25, toRad: 0.6, top: -14, bottom: 21 },
  { name: "back", fromRad: 2.5, toRad: 5.75, top: meridian.from, bottom: 5 },
];

/**
 * Share of an area that cutting may lose: where curves cross, a chord's sagitta at most along the edges (2e-5 of the
 * longer side, src/region/plane.ts).
 */
const SHEET = 1e-5;
const SMALL = 5e-5;

interface Piece {
  readonly zone: Zone;
  readonly rings: readonly Float64Array[];
}

/** Pieces as polygons: curves by 64 chords. */
function piecesOf({ pieces }: CutInk): Piece[] {
  const at = new Float64Array(4);
  const ringsOf = (path: Path<"flat">): Float64Array[] =>
    path.contours.map(({ points, straight }) => {
      const ring: number[] = [];
      for (let k = 0; k < straight.length; k++) {
        const n = straight[k] ? 1 : 64;
        for (let i = 0; i < n; i++) {
          evalCubic(points, 6 * k, i / n, at);
          ring.push(at[0]!, at[1]!);
        }
      }
      return Float64Array.from(ring);
    });
  return [...pieces].flatMap(([zone, shapes]) => shapes.map(({ path }) => ({ zone, rings: ringsOf(path) })));
}

/** Even-odd, by a ray to the right. */
function holds({ rings }: Piece, x: number, y: number): boolean {
  let inside = false;
  for (const ring of rings)
    for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
      const [x0, y0, x1, y1] = [ring[j]!, ring[j + 1]!, ring[i]!, ring[i + 1]!];
      if (y0 > y !== y1 > y && x < x0 + ((y - y0) / (y1 - y0)) * (x1 - x0)) inside = !inside;
    }
  return inside;
}

/** So near an edge (mm) a point may be counted to either side. */
const NEAR = 2e-3;
function zonesNear(warp: Warp, limits: Limits, a: number, b: number): Set<Zone> {
  const zones = new Set<Zone>();
  for (const da of [-NEAR, 0, NEAR])
    for (const db of [-NEAR, 0, NEAR]) zones.add(zoneAt(warp, limits, a + da, b + db));
  return zones;
}

/** Larger than the vessel where that ends. */
function sheetFor({ halfWidth, meridian }: Surface) {
  const wide = 1.05 * Math.min(halfWidth, 160);
  const top = Math.max(-62, meridian.from * 1.03);
  const bottom = Math.min(58, meridian.to * 1.03);
  return { x: -wide, y: top, w: 2 * wide, h: bottom - top };
}

/** Four poses of each and three stations: every one meets every other. */
const cases = posed.map(({ name, surface }, i) => {
  const [lens, head, depth] = stations[i % 3]!;
  return { name: `${name}; ${lens}`, surface, head, depth };
});

describe.each(cases)("$name", ({ surface, head, depth }) => {
  const warp = new Warp(surface, head);
  const limits = { usableDepthMm: depth, maxIncidenceDeg: 60, blocked: areasOn(surface) };
  const { x, y, w, h } = sheetFor(surface);

  it("a large sheet of ink: every point in one piece, of its own zone, and no area lost", () => {
    const ink = inkOf([{ contours: [rectangle(x, y, w, h)] }]);
    const cut = cutInk(ink, strips(warp, limits), surface);
    const pieces = piecesOf(cut);
    const n = 61;
    const counted = new Map<Zone, number>();
    const wrong: string[] = [];
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        // Off any edge that could run along a row or a column.
        const [a, b] = [x + ((i + 0.4871) * w) / n, y + ((j + 0.5137) * h) / n];
        const zone = zoneAt(warp, limits, a, b);
        counted.set(zone, (counted.get(zone) ?? 0) + 1);
        const holding = pieces.filter((piece) => holds(piece, a, b)).map((piece) => piece.zone);
        if (holding.length === 1 && holding[0] === zone) continue;
        if (zonesNear(warp, limits, a, b).size > 1) continue;
        wrong.push(`${a.toFixed(3)}, ${b.toFixed(3)}: ${zone}, cut as ${holding.join("+") || "nothing"}`);
      }
    expect(wrong).toEqual([]);
    let total = 0;
    for (const zone of zoneNames) {
      const area = (cut.pieces.get(zone) ?? []).reduce((sum, s) => sum + s.areaMm2, 0);
      total += area;
      // So many points know an area to about its rim's share.
      const share = (counted.get(zone) ?? 0) / n ** 2;
      expect(Math.abs(area / ink.areaMm2 - share)).toBeLessThan(2 / n);
    }
    expect(Math.abs(total - ink.areaMm2)).toBeLessThan(SHEET * ink.areaMm2);
  });

  it("lines are cut where they cross, and keep their length", () => {
    const ink = inkOf([
      { contours: [line(x, y, x + w, y + h), line(x, 3, x + w, 3), line(0.3 * x, y + h, 0.1 * x, y)] },
      "centre-line",
    ]);
    const { pieces } = cutInk(ink, strips(warp, limits), surface);
    let length = 0;
    for (const [zone, shapes] of pieces)
      for (const shape of shapes) {
        length += shape.lengthMm;
        for (const { points: p } of shape.path.contours) {
          const [a, b] = [(p[0]! + p.at(-2)!) / 2, (p[1]! + p.at(-1)!) / 2];
          expect(zonesNear(warp, limits, a, b)).toContain(zone);
        }
      }
    expect(Math.abs(length - ink.lengthMm)).toBeLessThan(1e-6);
  });
});

it("property: whatever the vessel, the lens and the focus, no area is lost or doubled", () => {
  fc.assert(
    fc.property(
      fc.record({
        which: fc.integer({ min: 0, max: posed.length - 1 }),
        pivot: evenly(120, 800),
        below: evenly(-5, 15),
        depth: evenly(0.3, 20),
        field: evenly(40, 300),
        at: evenly(-40, 40),
        along: evenly(-30, 30),
        from: evenly(-7, 7),
        wide: evenly(0, 6),
      }),
      ({ which, pivot, below, depth, field, at, along, from, wide }) => {
        const { surface } = posed[which]!;
        const warp = new Warp(surface, {
          pivotAcross: pivot,
          pivotAlong: pivot - 10,
          field,
          belowCrown: below,
        });
        const blocked = [
          { name: "b", fromRad: from, toRad: from + wide, top: along - 10, bottom: along + 8 },
        ];
        const ink = inkOf([{ contours: [circle(at, along, 17)] }]);
        const limits = { usableDepthMm: depth, maxIncidenceDeg: 60, blocked };
        const { pieces } = cutInk(ink, strips(warp, limits), surface);
        let total = 0;
        for (const [, shapes] of pieces) for (const s of shapes) total += s.areaMm2;
        expect(Math.abs(total - ink.areaMm2)).toBeLessThan(SMALL * ink.areaMm2);
      },
    ),
    { numRuns: 150, seed: 21 },
  );
});
