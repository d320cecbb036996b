/** Fill rules, overlaps and knockouts: areas in closed form, curves kept as curves, and properties. */
import { areaPathsD, FillRule, type PathsD, unionD } from "clipper2-ts";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { segmentCount } from "../../src/geometry/path.ts";
import { readInk } from "../../src/ink/ink.ts";
import { inkSvg } from "../../src/picture/inksvg.ts";
import { page } from "../artwork/helpers.ts";
import { areaOf, areaOrNone, inkArea, inkOn, pointsOf, total, winding } from "./helpers.ts";

const circle = (x: number, y: number, r: number, more = ""): string =>
  `<circle cx="${x}" cy="${y}" r="${r}" ${more}/>`;
const square = (x: number, y: number, side: number, more = ""): string =>
  `<rect x="${x}" y="${y}" width="${side}" height="${side}" ${more}/>`;
const white = 'fill="#fff"';
/** Common area of two circles of one radius: 2 r² acos(d/2r) − (d/2) √(4r² − d²). */
const lens = (r: number, d: number): number =>
  2 * r * r * Math.acos(d / (2 * r)) - (d / 2) * Math.sqrt(4 * r * r - d * d);
const disc = (r: number): number => Math.PI * r * r;
/** Arcs are drawn to 1e-6 of the radius, areas thus to some 1e-6. */
const near = (found: number, wanted: number): void =>
  expect(Math.abs(found - wanted), `${found} for ${wanted}`).toBeLessThan(1e-5 * Math.max(1, wanted));

describe("two circles of radius 10, 12 apart", () => {
  const [a, b] = [circle(40, 50, 10, 'id="a"'), circle(52, 50, 10, 'id="b"')];
  test("united, their common part counts once; knocked out, it is lost", async () => {
    near(await inkArea(a + b), 2 * disc(10) - lens(10, 12));
    near(await inkArea(a + circle(52, 50, 10, white)), disc(10) - lens(10, 12));
  });

  test("the union is one shape with the first one's id, of few curves that lie on the circles to 1e-6 of r", async () => {
    const { shapes } = await inkOn(a + b);
    expect(shapes.map(({ id, paint }) => [id, paint])).toEqual([["a", "fill"]]);
    const { path } = shapes[0];
    expect(path.contours.length).toBe(1);
    const both = await inkOn(a + b, { keepShapes: true });
    const drawn = both.shapes.reduce((sum, s) => sum + segmentCount(s.path), 0);
    expect(segmentCount(path)).toBeLessThanOrEqual(drawn + 2);
    expect([...path.contours[0].straight].every((s) => s === 0)).toBe(true);
    let off = 0;
    for (const [x, y] of pointsOf(path.contours[0], 200)) {
      const [p, q] = [Math.hypot(x - 40, y - 50) - 10, Math.hypot(x - 52, y - 50) - 10];
      off = Math.max(off, Math.min(Math.abs(p), Math.abs(q)));
    }
    expect(off).toBeLessThan(10 * 1e-6);
    // The circles meet in (46, 50 ± 8).
    const nodes = Array.from(path.contours[0].points).filter((_, i) => i % 6 < 2);
    for (const y of [42, 58]) {
      const gap = nodes.reduce(
        (least, _, i) => (i % 2 ? least : Math.min(least, Math.hypot(nodes[i] - 46, nodes[i + 1] - y))),
        Infinity,
      );
      expect(gap).toBeLessThan(2e-5);
    }
  });

  test.each([
    ["nonzero", "1", 2 * disc(10) - lens(10, 12)],
    ["evenodd", "1", 2 * disc(10) - 2 * lens(10, 12)],
    // Drawn in opposite directions the common part has winding number 0.
    ["nonzero", "0", 2 * disc(10) - 2 * lens(10, 12)],
    ["evenodd", "0", 2 * disc(10) - 2 * lens(10, 12)],
  ])("as one path by %s, the second with sweep %s", async (rule, sweep, area) => {
    const around = (x: number, s: string): string =>
      `M${x - 10} 50a10 10 0 1 ${s} 20 0a10 10 0 1 ${s} -20 0z`;
    const d = around(40, "1") + around(52, sweep);
    near(await inkArea(`<path fill-rule="${rule}" d="${d}"/>`), area);
  });
});

describe("outlines that cross themselves", () => {
  // A pentagram of outer radius R has inner radius r = R cos 72°/cos 36°.
  const R = 40;
  const deg = Math.PI / 180;
  const r = (R * Math.cos(72 * deg)) / Math.cos(36 * deg);
  const star = [0, 2, 4, 1, 3]
    .map((k) => `${50 + R * Math.sin(72 * k * deg)},${50 - R * Math.cos(72 * k * deg)}`)
    .join(" ");
  const whole = 5 * R * r * Math.sin(36 * deg);
  const heart = 2.5 * r * r * Math.sin(72 * deg);
  test("the five-pointed star", async () => {
    near(await inkArea(`<polygon points="${star}"/>`), whole);
    near(await inkArea(`<polygon fill-rule="evenodd" points="${star}"/>`), whole - heart);
  });
  test.each(["nonzero", "evenodd"])("a figure eight by %s is both its eyes", async (rule) => {
    near(await inkArea(`<path fill-rule="${rule}" d="M0 0L20 20V0L0 20z"/>`), 200);
    // Two cubics y = 50 ± 90 t(1 − t)(1 − 2t) over x = 10 + 80 t: each eye is 2 · 80 · 90/32 = 450.
    const eight =
      "M10 50C36.666666666666664 20 63.333333333333336 80 90 50C63.333333333333336 20 36.666666666666664 80 10 50z";
    const { shapes } = await inkOn(`<path fill-rule="${rule}" d="${eight}"/>`);
    const eyes = shapes.flatMap(({ path }) => path.contours.map((c) => areaOf({ path: { contours: [c] } })));
    expect(eyes.length).toBe(2);
    for (const eye of eyes) near(eye, 450);
  });
  test("twice around is once by nonzero, nothing by evenodd", async () => {
    const d = "M10 10H30V30H10V10H30V30H10z";
    near(await inkArea(`<path d="${d}"/>`), 400);
    expect(await areaOrNone(`<path fill-rule="evenodd" d="${d}"/>`)).toBeCloseTo(0, 9);
  });
  test("holes turn against their outlines, whatever the rule and direction were", async () => {
    const ring = "M10 10H50V50H10zM20 20H40V40H20z";
    const { shapes } = await inkOn(`<path fill-rule="evenodd" d="${ring}"/>`);
    const areas = shapes[0].path.contours.map((contour) => areaOf({ path: { contours: [contour] } }));
    expect(areas.sort((a, b) => a - b)).toEqual([-400, 1600]);
    near(await inkArea(`<path d="${ring}"/>`), 1600);
  });
});

describe("knockouts in paint order", () => {
  test("nested squares, black and white in turn", async () => {
    const sides = [90, 75, 60, 45, 30, 15];
    const content = sides.map((s, i) => square(50 - s / 2, 50 - s / 2, s, i % 2 ? white : ""));
    const wanted = sides.reduce((sum, s, i) => sum + (i % 2 ? -1 : 1) * s * s, 0);
    near(await inkArea(content.join("")), wanted);
    // Turned around, the last and largest covers all.
    expect(await areaOrNone([...content].reverse().join(""))).toBeCloseTo(8100, 6);
  });
  test("nested circles", async () => {
    const radii = Array.from({ length: 21 }, (_, i) => 45 - 2 * i);
    const wanted = radii.reduce((sum, r, i) => sum + (i % 2 ? -1 : 1) * disc(r), 0);
    near(await inkArea(radii.map((r, i) => circle(50, 50, r, i % 2 ? white : "")).join("")), wanted);
  });
  test.each([
    ["light under ink", square(0, 0, 50, white) + square(10, 10, 20), 400],
    ["light beside ink", square(10, 10, 20) + square(30, 10, 20, white), 400],
    ["light across the edge", square(10, 10, 20) + square(20, 20, 20, white), 300],
    ["ink over the light again", square(10, 10, 20) + square(20, 20, 20, white) + square(25, 25, 10), 400],
    ["all covered but a bar", square(10, 10, 20) + square(0, 0, 50, white) + square(0, 0, 5), 25],
    [
      "two lights over one ink, one ink over one light",
      `${square(10, 10, 40)}${square(10, 10, 10, white)}${square(40, 40, 10, white)}${square(15, 15, 10)}`,
      1600 - 200 + 25,
    ],
  ])("%s", async (_, content, area) => near(await inkArea(content), area));
  test("white over everything leaves no ink", async () => {
    expect(await areaOrNone(square(10, 10, 20) + square(0, 0, 100, white))).toBe(0);
  });
  test("shapes that a knockout parts stay one shape", async () => {
    const { shapes } = await inkOn(
      square(10, 10, 30, 'id="a"') + `<rect x="20" width="10" height="90" ${white}/>`,
    );
    expect(shapes.map((s) => [s.id, s.path.contours.length])).toEqual([["a", 2]]);
  });
});

test("a corner cut by less than a step of the grid stays a corner", async () => {
  // It lies at the end of the outline, where the first segment begins.
  const { shapes, problems } = await inkOn('<path d="M10 29.99998V10H30V20H20V30H10.00002z"/>');
  expect(problems).toEqual([]);
  near(areaOf(shapes[0]), 300);
});

describe("a crowd of ink is taken at once where nothing hides another", () => {
  // The minimal standard generator (Park and Miller, 1988).
  let state = 7;
  const random = (): number => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  const parts = Array.from({ length: 300 }, (_, i) => {
    const [x, y, r] = [5 + 80 * random(), 5 + 80 * random(), 0.5 + 3 * random()];
    const at = (k: number): string => `${x + r * Math.cos(k)} ${y + r * Math.sin(k)}`;
    return [
      circle(x, y, r, `id="c${i}"`),
      square(x, y, r, `id="s${i}" transform="rotate(${360 * random()} ${x} ${y})"`),
      `<path id="ring${i}" fill-rule="evenodd" d="M${x} ${y}h${r}v${r}h-${r}zm.2 .2h${r / 2}v${r / 2}h-${r / 2}z"/>`,
      `<path id="bow${i}" d="M${at(0)}L${at(3)}L${at(1)}L${at(4)}z"/>`,
      `<path id="line${i}" d="M${at(0)}L${at(2)}" fill="none" stroke="#000" stroke-width=".3"/>`,
      circle(x, y, r, `id="cut${i}" clip-path="url(#half)"`),
    ][i % 6];
  });
  const content = `<clipPath id="half"><rect width="50" height="50"/></clipPath>${parts.join("")}`;
  // Light paint where nothing lies has everything taken cluster by cluster.
  const light = square(95, 95, 3, white);

  // A hole that touches its outline in a point may be one with it, so outlines are not counted.
  test("with the ids and the areas that it has cluster by cluster", async () => {
    const atOnce = await inkOn(content);
    const byCluster = await inkOn(content + light);
    expect(total(atOnce)).toBeGreaterThan(1000);
    const ids = ({ shapes }: typeof atOnce): string[] => shapes.map(({ id }) => id).sort();
    expect(ids(atOnce)).toEqual(ids(byCluster));
    const areas = new Map(byCluster.shapes.map((shape) => [shape.id, areaOf(shape)]));
    for (const shape of atOnce.shapes) near(areaOf(shape), areas.get(shape.id)!);
  });
  test("and ink of that ink is the same", async () => {
    const once = await inkOn(content);
    const twice = await readInk(inkSvg(once));
    near(total(twice), total(once));
    expect(twice.shapes.length).toBe(once.shapes.length);
  });
});

describe("what lies apart", () => {
  test("is untouched, bit for bit", async () => {
    const one = `<path id="one" d="M1.1 2.3C5.7 .1 11.3 3.3 12.7 7.1L9.3 13.1C7.7 11.1 2.3 8.9 1.1 2.3z"/>`;
    const two = circle(50.3, 50.7, 10.1, 'id="two"');
    const three = square(80.1, 3.7, 11.3, 'id="three"');
    const together = await inkOn(one + two + three);
    expect(together.shapes.map((s) => s.id)).toEqual(["one", "two", "three"]);
    for (const [i, content] of [one, two, three].entries()) {
      const [alone] = (await inkOn(content)).shapes;
      expect(together.shapes[i].path).toEqual(alone.path);
    }
    // A convex outline that turns clockwise on the page keeps its points as written.
    expect(together.shapes[2].path.contours[0].points[0]).toBe(80.1);
  });
  test("an island in a hole keeps its own id", async () => {
    const ring = '<path id="ring" fill-rule="evenodd" d="M10 10H70V70H10zM20 20H60V60H20z"/>';
    const { shapes } = await inkOn(ring + circle(40, 40, 10, 'id="island"'));
    expect(shapes.map((s) => [s.id, s.path.contours.length])).toEqual([
      ["ring", 2],
      ["island", 1],
    ]);
  });
  test("squares in one row that overlap become one outline of four sides", async () => {
    const { shapes } = await inkOn(square(10, 10, 20) + square(25, 10, 20));
    expect(shapes.length).toBe(1);
    expect(segmentCount(shapes[0].path)).toBe(4);
    near(areaOf(shapes[0]), 700);
  });
});

/** A painted shape with its own test of what lies inside, told by its equation. */
interface Drawn {
  readonly svg: string;
  readonly light: boolean;
  /** Inside, and how far from the outline at least. */
  at(x: number, y: number): { inside: boolean; away: number };
  readonly polygon: [number, number][];
  readonly rule: "nonzero" | "evenodd";
}

const place = fc.integer({ min: 50, max: 950 }).map((n) => n / 10);
const toSide = (x: number, y: number, [x0, y0]: [number, number], [x1, y1]: [number, number]): number => {
  const [dx, dy] = [x1 - x0, y1 - y0];
  const t = Math.max(0, Math.min(1, ((x - x0) * dx + (y - y0) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(x - x0 - t * dx, y - y0 - t * dy);
};
const paint = (light: boolean): string => `fill="${light ? "#fff" : "#000"}"`;
const round = fc
  .tuple(place, place, fc.integer({ min: 5, max: 300 }), fc.boolean())
  .map(([x, y, tenths, light]): Drawn => {
    const r = Math.min(tenths / 10, x, y, 100 - x, 100 - y);
    const n = 2000;
    return {
      svg: circle(x, y, r, paint(light)),
      light,
      at: (px, py) => {
        const d = Math.hypot(px - x, py - y);
        return { inside: d < r, away: Math.abs(d - r) };
      },
      polygon: Array.from({ length: n }, (_, i) => [
        x + r * Math.cos((2 * Math.PI * i) / n),
        y + r * Math.sin((2 * Math.PI * i) / n),
      ]),
      rule: "nonzero",
    };
  });
const tangle = fc
  .tuple(
    fc.array(fc.tuple(place, place), { minLength: 3, maxLength: 7 }),
    fc.constantFrom("nonzero" as const, "evenodd" as const),
    fc.boolean(),
  )
  .map(([points, rule, light]): Drawn => {
    const closed: [number, number][] = [...points, points[0]];
    return {
      svg: `<polygon points="${points.join(" ")}" fill-rule="${rule}" ${paint(light)}/>`,
      light,
      at: (x, y) => {
        const w = winding(closed, x, y);
        const away = closed.slice(1).map((p, i) => toSide(x, y, closed[i], p));
        return { inside: rule === "evenodd" ? w % 2 !== 0 : w !== 0, away: Math.min(...away) };
      },
      polygon: points,
      rule,
    };
  });
const drawing = fc.array(fc.oneof(round, tangle), { minLength: 1, maxLength: 8 });
const dark = (list: readonly Drawn[]): Drawn[] => list.filter((d) => !d.light);
const svgOf = (list: readonly Drawn[]): string => list.map((d) => d.svg).join("");
const settings = { seed: 3, numRuns: 150 };

describe("properties", () => {
  test("a point is ink where the last paint over it is dark", async () => {
    await fc.assert(
      fc.asyncProperty(
        drawing,
        fc.array(fc.tuple(place, place), { minLength: 40, maxLength: 40 }),
        async (list, probes) => {
          fc.pre(dark(list).length > 0);
          const found = (await areaOrNone(svgOf(list))) > 0 ? await inkOn(svgOf(list)) : { shapes: [] };
          const outlines = found.shapes.flatMap((s) => s.path.contours.map((c) => pointsOf(c)));
          for (const [x, y] of probes) {
            const hits = list.map((d) => ({ ...d.at(x, y), light: d.light }));
            if (hits.some((h) => h.away < 0.02)) continue;
            const top = hits.filter((h) => h.inside).at(-1);
            const around = outlines.reduce((sum, o) => sum + winding(o, x, y), 0);
            // Once, never twice: outlines and holes do not overlap.
            expect(around, `at ${x}, ${y}`).toBe(top && !top.light ? 1 : 0);
          }
        },
      ),
      settings,
    );
  });

  test("the area is that of clipper2-ts, and never exceeds the sum", async () => {
    await fc.assert(
      fc.asyncProperty(drawing, async (list) => {
        const shapes = dark(list);
        fc.pre(shapes.length > 0);
        const area = await areaOrNone(svgOf(shapes));
        const clean = shapes.map(
          (d): PathsD =>
            unionD(
              [d.polygon.map(([x, y]) => ({ x, y }))],
              [],
              d.rule === "evenodd" ? FillRule.EvenOdd : FillRule.NonZero,
              6,
            ),
        );
        const wanted = Math.abs(areaPathsD(unionD(clean.flat(), [], FillRule.NonZero, 6)));
        const sum = clean.reduce((all, paths) => all + Math.abs(areaPathsD(paths)), 0);
        // 2,000 chords take 2π³/(3·2000²) ≈ 5e-6 r² off a circle.
        expect(Math.abs(area - wanted)).toBeLessThan(1e-2 + 1e-5 * wanted);
        expect(area).toBeLessThanOrEqual(sum + 1e-2 + 1e-5 * sum);
      }),
      settings,
    );
  });

  test("the order of equal paints does not matter", async () => {
    await fc.assert(
      fc.asyncProperty(drawing, fc.infiniteStream(fc.nat()), async (list, keys) => {
        const shapes = dark(list);
        fc.pre(shapes.length > 0);
        const shuffled = shapes
          .map((d) => [keys.next().value, d] as const)
          .sort((a, b) => a[0] - b[0])
          .map(([, d]) => d);
        const [one, two] = [await areaOrNone(svgOf(shapes)), await areaOrNone(svgOf(shuffled))];
        expect(Math.abs(one - two)).toBeLessThan(1e-3);
      }),
      settings,
    );
  });

  test("ink of ink is the same ink", async () => {
    await fc.assert(
      fc.asyncProperty(drawing, async (list) => {
        fc.pre((await areaOrNone(svgOf(list))) > 1);
        const once = await readInk(page(svgOf(list)));
        const twice = await readInk(inkSvg(once));
        // The file keeps four decimals of a millimetre.
        const length = once.shapes
          .flatMap((s) => s.path.contours)
          .reduce(
            (sum, c) =>
              sum +
              pointsOf(c, 8).reduce(
                (l, p, i, all) => (i ? l + Math.hypot(p[0] - all[i - 1][0], p[1] - all[i - 1][1]) : 0),
                0,
              ),
            0,
          );
        expect(Math.abs(total(twice) - total(once))).toBeLessThan(1e-4 * length + 1e-6);
        const thrice = await readInk(inkSvg(twice));
        expect(Math.abs(total(thrice) - total(twice))).toBeLessThan(1e-6 * Math.max(1, total(twice)));
        expect(thrice.shapes.map((s) => s.id)).toEqual(twice.shapes.map((s) => s.id));
        expect(thrice.problems).toEqual([]);
      }),
      settings,
    );
  });
});
