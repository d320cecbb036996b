/** Places around the vessel on the flat: numbers by plane geometry, a round trip, and how an angle is said. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { resolveJob } from "../../src/job/resolve.ts";
import { arcOf, degreesAt, placeNear, placesWithin, sideWords } from "../../src/plan/around.ts";
import { profiles } from "../support/profiles.ts";

const R = 41;
const jobOf = (fidelity: "girth" | "sight") =>
  resolveJob({}, { vessel: { diameterMm: 2 * R }, placement: { fidelity } }, profiles);
const girth = jobOf("girth");
const sight = jobOf("sight");

describe("where an angle lies on the flat", () => {
  it("a quarter turn is a quarter of the girth; seen from the front 30° are half the radius", () => {
    expect(placesWithin(girth, 90, -100, 100)).toEqual([expect.closeTo((Math.PI * 2 * R) / 4, 9)]);
    // sin 30° = 1/2.
    expect(placesWithin(sight, 30, -R, R)).toEqual([expect.closeTo(R / 2, 9)]);
    expect(placesWithin(sight, -30, 0, R)).toEqual([]);
    expect(arcOf(girth, -90)).toBeCloseTo((Math.PI * 2 * R) / 4, 9);
  });

  it("from the front nothing from the horizon on is shown", () => {
    for (const degrees of [90, -90, 180]) {
      expect(placesWithin(sight, degrees, -100, 100)).toEqual([]);
      expect(placeNear(sight, degrees, 0)).toBeNull();
    }
  });

  it("every turn of a flat that reaches around, all within the ends, a girth apart", () => {
    const around = 2 * Math.PI * R;
    const places = placesWithin(girth, 10, -300, 600);
    const first = (R * 10 * Math.PI) / 180;
    expect(places).toEqual([-1, 0, 1, 2].map((k) => expect.closeTo(first + k * around, 9)));
    expect(placeNear(girth, 10, 500)).toBeCloseTo(first + 2 * around, 9);
    expect(placeNear(girth, 170, -100)).toBeCloseTo((R * -190 * Math.PI) / 180, 9);
    // Opposite the middle both ways are alike: the left one.
    expect(placeNear(girth, 180, 0)).toBeCloseTo(-around / 2, 9);
  });

  it("and back, on the vessel alone", () => {
    fc.assert(
      fc.property(fc.double({ min: -179.99, max: 179.99, noNaN: true }), (degrees) => {
        expect(degreesAt(girth, placeNear(girth, degrees, 0)!)).toBeCloseTo(degrees, 9);
        if (Math.abs(degrees) < 89.9)
          expect(degreesAt(sight, placeNear(sight, degrees, 0)!)).toBeCloseTo(degrees, 9);
      }),
    );
    expect(degreesAt(sight, R + 0.001)).toBeNull();
    expect(degreesAt(sight, R)).toBe(90);
    expect(degreesAt(girth, Math.PI * R + 0.001)).toBeNull();
  });

  it.each([
    [0.04, null],
    [-0.04, null],
    [0.06, "0.1° to the right of the crown line"],
    [-90, "90° to the left of the crown line"],
    [179.96, "opposite the crown line"],
    [-180, "opposite the crown line"],
  ])("%d° is said: %s", (degrees, words) => {
    expect(sideWords(degrees, "the crown line")).toBe(words);
  });
});
