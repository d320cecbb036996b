/** Where a zone's word stands: inside the zone over its whole box, with its holes left free. */
import { describe, expect, test } from "vitest";
import { zoneAreas } from "../../src/picture/zoneareas.ts";
import { clearStretches, wordPlace } from "../../src/picture/zonewords.ts";
import { zoneAt } from "../../src/plan/zones.ts";
import { crestPlan } from "./helpers.ts";

type Ring = { x: number; y: number }[];
/** Clockwise on a page with y down is the turn that Clipper gives outer rings. */
const box = (x0: number, y0: number, x1: number, y1: number): Ring => [
  { x: x0, y: y0 },
  { x: x1, y: y0 },
  { x: x1, y: y1 },
  { x: x0, y: y1 },
];
const word = { long: 8, size: 1, low: 100 };

describe("a word", () => {
  test("stands beside a hole, and the hole has none", () => {
    const [outer, hole] = [box(0, 0, 20, 20), box(2, 0.5, 18, 15).reverse()];
    const place = wordPlace(outer, [outer, hole], word)!;
    // Only the strip below the hole is 8 long and level: from 15 to 20.
    expect(place.rotate).toBe(0);
    expect(place.y - 0.9).toBeGreaterThanOrEqual(15);
    expect(wordPlace(hole, [outer, hole], word)).toBeNull();
  });

  test("stands upright where only a narrow side is left, and is left out where none is", () => {
    const [outer, hole] = [box(0, 0, 20, 20), box(0.5, 0.5, 17, 19.5).reverse()];
    const place = wordPlace(outer, [outer, hole], word)!;
    expect(place.rotate).toBe(-90);
    expect(place.x).toBeCloseTo(18.5 + 0.36, 9);
    const tight = box(0.5, 0.5, 19.5, 19.5).reverse();
    expect(wordPlace(outer, [outer, tight], word)).toBeNull();
  });

  test("keeps out of the notch of a ring that is hollow", () => {
    // A letter U: the middle of its box is not inside it.
    const u: Ring = [
      ...[0, 0, 6, 0, 6, 14, 14, 14, 14, 0, 20, 0, 20, 20, 0, 20].reduce<Ring>((list, v, i, all) => {
        if (i % 2 === 0) list.push({ x: v, y: all[i + 1]! });
        return list;
      }, []),
    ];
    const place = wordPlace(u, [u], word)!;
    expect(place.rotate).toBe(0);
    expect(place.y - 0.9).toBeGreaterThanOrEqual(14);
    expect(clearStretches([u], 2, 4)).toEqual([
      { from: 0, to: 6 },
      { from: 14, to: 20 },
    ]);
  });
});

test("on a ball seen from the front every word stands where the plan itself has that zone", async () => {
  const plan = await crestPlan({ vessel: { sphereMm: 80 }, placement: { widthMm: 54, fidelity: "sight" } });
  const areas = zoneAreas(plan, { minX: -35, minY: -34, maxX: 35, maxY: 34 });
  const size = 1.7;
  let words = 0;
  for (const [zone, rings] of areas)
    for (const ring of rings) {
      const place = wordPlace(ring, rings, { long: 6 * size, size, low: 34 - size });
      if (!place) continue;
      words++;
      const level = place.rotate === 0;
      for (let i = -1; i <= 1; i += 0.5)
        for (const up of [-0.7, -0.35, 0]) {
          const [along, across] = [i * 2.9 * size, up * size];
          const [x, y] = level ? [place.x + along, place.y + across] : [place.x + across, place.y + along];
          expect(zoneAt(plan.warp, plan.limits, x, y), `${zone} at ${x}, ${y}`).toBe(zone);
        }
    }
  expect(words).toBeGreaterThanOrEqual(3);
});
