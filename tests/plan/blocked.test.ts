/** Blocked areas: an interval around and one along on the vessel, whatever the fidelity; its edge is not blocked. */
import { describe, expect, it } from "vitest";
import { indexed, type Keepout, keepoutsOf, keepsOut, meets, within } from "../../src/plan/blocked.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { coneOutline, cylinderOutline } from "../../src/vessel/straight.ts";
import { circle, rectangle } from "../support/shapes.ts";
import { atPoint, chartBy, charted, flatPlaces } from "../support/surfaces.ts";

const DEG = Math.PI / 180;
const cone = coneOutline(90, 66, 130, 60);
const blockedOn = (blocked: { aroundDeg: [number, number]; belowRimMm?: [number, number] }[]) =>
  blocked.map((area, i) => ({ name: `b${i}`, ...area }));
const coneWith = (...blocked: Parameters<typeof blockedOn>[0]): Keepout[] =>
  keepoutsOf({ taperMm: [90, 66, 130], belowRimMm: 60, blocked: blockedOn(blocked) }, cone);

describe("from the job", () => {
  it("around: to the right from the first angle to the second, past the back where that is less", () => {
    const rows: [around: [number, number], from: number, to: number][] = [
      [[-20, 35], -20, 35],
      [[150, -150], 150, 210],
      [[170, 190], 170, 190],
      [[30, 10], 30, 370],
      [[-180, 180], -180, 180],
      [[0, 400], 0, 360],
      [[10, -700], 10, 20],
    ];
    for (const [aroundDeg, from, to] of rows) {
      const [area] = coneWith({ aroundDeg });
      expect(area!.fromRad / DEG).toBeCloseTo(from, 10);
      expect(area!.toRad / DEG).toBeCloseTo(to, 10);
    }
  });

  it("along: below the rim by the axis, so on a cone longer along the wall; from rim to base where not said", () => {
    const [said, all] = coneWith({ aroundDeg: [0, 90], belowRimMm: [20, 85] }, { aroundDeg: [0, 90] });
    // The placement point is 60 mm below the rim; a wall's millimetre is cos α of it.
    const cos = 130 / Math.hypot(12, 130);
    expect(said!.top).toBeCloseTo((20 - 60) / cos, 11);
    expect(said!.bottom).toBeCloseTo((85 - 60) / cos, 11);
    expect([all!.top, all!.bottom]).toEqual([cone.from, cone.to]);
    expect([said!.name, all!.name]).toEqual(["b0", "b1"]);
  });

  it("along: what goes over an end goes up to it", () => {
    const [area] = coneWith({ aroundDeg: [0, 90], belowRimMm: [-5, 400] });
    expect([area!.top, area!.bottom]).toEqual([cone.from, cone.to]);
  });

  it("a cylinder that is not known to end is blocked without end", () => {
    const [area] = keepoutsOf(
      { diameterMm: 82, blocked: blockedOn([{ aroundDeg: [10, 20] }]) },
      cylinderOutline(41),
    );
    expect([area!.top, area!.bottom]).toEqual([-Infinity, Infinity]);
  });

  it("on a sphere it is below the top: 45° of latitude lie R(1 − √½) below it", () => {
    const [area] = keepoutsOf(
      {
        sphereMm: 90,
        blocked: blockedOn([{ aroundDeg: [0, 9], belowRimMm: [45 * (1 - Math.SQRT1_2), 67.5] }]),
      },
      sphereOutline(45),
    );
    expect(area!.top).toBeCloseTo((-45 * Math.PI) / 4, 10);
    expect(area!.bottom).toBeCloseTo((45 * Math.PI) / 6, 10);
  });

  it("none where none are given", () => {
    expect(keepoutsOf({ diameterMm: 82 }, cylinderOutline(41))).toEqual([]);
  });
});

describe.each(charted)("$name", ({ outline, chart }) => {
  const surface = revolved(outline, chart, 0);
  const areas: [fromDeg: number, toDeg: number, top: number, bottom: number][] = [
    [-25, 40, -12, 30],
    [70, 200, -50, 20],
    [185, 340, -30, 45],
    [-400, -330, 0.5, 50],
  ];

  it.each(areas)(
    "from %d° to %d°, along from %d to %d mm: by where the points lie in space",
    (from, to, y0, y1) => {
      const area = {
        name: "a",
        fromRad: from * DEG,
        toRad: to * DEG,
        top: outline.arcAt(Math.max(y0, -39)),
        bottom: outline.arcAt(Math.min(y1, 39)),
      };
      let [inside, outside] = [0, 0];
      for (const [a, b] of flatPlaces(surface)) {
        const s = atPoint(surface, a, b);
        // The axis is level: Y along it, the angle from the crown by X and the height over the axis.
        const around = Math.atan2(s[0]!, outline.radius - s[2]!) / DEG;
        const turned = [-2, -1, 0, 1].some((k) => around + 360 * k > from && around + 360 * k < to);
        const be = turned && s[1]! > Math.max(y0, -39) && s[1]! < Math.min(y1, 39);
        if (be) inside++;
        else outside++;
        expect(keepsOut(area, surface, a, b)).toBe(be);
      }
      expect(inside).toBeGreaterThan(0);
      expect(outside).toBeGreaterThan(10);
    },
  );

  it("is not where the flat shows no vessel", () => {
    const everywhere = { name: "a", fromRad: -Math.PI, toRad: Math.PI, top: -1e3, bottom: 1e3 };
    expect(keepsOut(everywhere, surface, Number.NaN, 0)).toBe(false);
    expect(keepsOut(everywhere, surface, 0, 1e9)).toBe(false);
  });
});

describe("within", () => {
  const area: Keepout = { name: "a", fromRad: 2.8, toRad: 3.9, top: -10, bottom: 20 };

  it("leaves the edge out, by a hair of 1e-9", () => {
    const inside: [number, number][] = [
      [2.8 + 1e-6, 0],
      [3.9 - 1e-6, 0],
      [3.9 - 2 * Math.PI - 1e-6, 0],
      [3, -10 + 1e-6],
      [3, 20 - 1e-6],
    ];
    const outside: [number, number][] = [
      [2.8, 0],
      [3.9, 0],
      [3.9 - 2 * Math.PI, 0],
      [0, 0],
      [3, -10],
      [3, 20],
      [Number.NaN, 0],
      [3, Number.NaN],
    ];
    for (const [theta, m] of inside) expect(within(area, theta, m)).toBe(true);
    for (const [theta, m] of outside) expect(within(area, theta, m)).toBe(false);
  });

  it("a whole turn has no edge around", () => {
    const ring = { ...area, fromRad: 1, toRad: 1 + 2 * Math.PI };
    for (const theta of [-3, 0, 1, 1 - 2 * Math.PI, Math.PI]) expect(within(ring, theta, 0)).toBe(true);
    expect(within(ring, Number.NaN, 0)).toBe(false);
  });
});

it("indexed: the vessel is turned under the lens, so the areas go the other way", () => {
  const area: Keepout = { name: "handle", fromRad: 1, toRad: 1.5, top: -10, bottom: 20 };
  const [turned] = indexed([area], 1.2);
  // What lay 1.2 rad to the right is the crown line now, and within the area.
  expect(within(area, 1.2, 0)).toBe(true);
  expect(within(turned!, 0, 0)).toBe(true);
  for (const theta of [-3, -1, 0.9, 1.1, 1.4, 1.6, 3])
    expect(within(turned!, theta - 1.2, 0)).toBe(within(area, theta, 0));
  expect(turned).toMatchObject({ name: "handle", top: -10, bottom: 20 });
});

it("meets: an outline with a point within, on any side of its contours", () => {
  const surface = revolved(cone, chartBy("girth", cone)!, 0);
  const r = cone.radius;
  const area: Keepout = { name: "a", fromRad: 0.5, toRad: 0.9, top: -10, bottom: 20 };
  const hit = (...contours: ReturnType<typeof circle>[]): boolean => meets(area, surface, { contours });
  expect(hit(circle(0.7 * r, 5, 3))).toBe(true);
  expect(hit(circle(0, 5, 3))).toBe(false);
  expect(hit(circle(0, 5, 3), circle(0.7 * r, 5, 3))).toBe(true);
  expect(hit(circle(0.9 * r + 2.9, 5, 3, 8))).toBe(true);
  expect(hit(circle(0.9 * r + 3.1, 5, 3, 8))).toBe(false);
  expect(hit(rectangle(0.5 * r - 4, -14, 8, 8))).toBe(true);
});
