/** Outside checks of reading SVG: units, viewports, arcs, luminance. Sources stand beside the numbers. */
import { describe, expect, test } from "vitest";
import { arcCentre, drawArc } from "../../src/artwork/arcs.ts";
import { luminanceOver, parseColour } from "../../src/artwork/paint.ts";
import { Pen } from "../../src/artwork/pen.ts";
import { readDrawing } from "../../src/artwork/read.ts";
import { lengthMm, parseLength, userUnits } from "../../src/artwork/units.ts";
import { parseFit, parseViewBox, viewportTransform } from "../../src/artwork/viewport.ts";
import { identity } from "../../src/geometry/affine.ts";
import { contourLength, evalCubic } from "../../src/geometry/cubic.ts";
import type { Path } from "../../src/geometry/path.ts";

const context = { width: 100, height: 100, fontSize: 16 };

describe("units (CSS Values 4, 6.2: 1in = 2.54cm = 96px = 72pt = 6pc, 1Q = 1/40 cm)", () => {
  test.each([
    ["1in", 96],
    ["2.54cm", 96],
    ["25.4mm", 96],
    ["101.6Q", 96],
    ["72pt", 96],
    ["6pc", 96],
    ["96px", 96],
    ["96", 96],
    ["1mm", 3.779527559055118],
    // w3c/svgwg images/coords/Units.svg: 4in × 2in with stroke .4in are 384, 192, 38.4 user units.
    ["4in", 384],
    [".4in", 38.4],
  ])("%s = %d user units", (text, px) => {
    const length = parseLength(text);
    expect(length && userUnits(length, "x", context)).toBeCloseTo(px, 12);
    expect(length && lengthMm(length)).toBeCloseTo((px * 25.4) / 96, 12);
  });
});

describe("viewports (SVG 2, 8.2; numbers of W3C coords-viewattr-01-b.svg, viewBox 0 0 30 40)", () => {
  const box = parseViewBox("0 0 30 40");
  test.each([
    [50, 30, "xMinYMin meet", 0.75, 0, 0],
    [50, 30, "xMidYMid meet", 0.75, 13.75, 0],
    [50, 30, "xMaxYMax meet", 0.75, 27.5, 0],
    [30, 60, "xMinYMin meet", 1, 0, 0],
    [30, 60, "xMidYMid meet", 1, 0, 10],
    [30, 60, "xMaxYMax meet", 1, 0, 20],
    [30, 60, "xMinYMin slice", 1.5, 0, 0],
    [30, 60, "xMidYMid slice", 1.5, -7.5, 0],
    [30, 60, "xMaxYMax slice", 1.5, -15, 0],
    [50, 30, "xMinYMin slice", 1.6666666666666667, 0, 0],
    [50, 30, "xMidYMid slice", 1.6666666666666667, 0, -18.333333333333332],
    [50, 30, "xMaxYMax slice", 1.6666666666666667, 0, -36.666666666666664],
  ])("%d × %d %s", (width, height, fit, scale, tx, ty) => {
    expect(box).not.toBeNull();
    if (!box) return;
    const m = viewportTransform(box, parseFit(fit), width, height);
    expect(m.a).toBeCloseTo(scale, 12);
    expect(m.d).toBeCloseTo(scale, 12);
    expect(m.e).toBeCloseTo(tx, 12);
    expect(m.f).toBeCloseTo(ty, 12);
  });

  // w3c/svgwg arcs01.svg: 12cm × 5.25cm, viewBox 0 0 1200 400 → 0.1 mm per unit, 6.25 mm down.
  test("arcs01.svg lies on the page at 0.1 mm per unit, 6.25 mm down", () => {
    const drawing = readDrawing(
      '<svg xmlns="http://www.w3.org/2000/svg" width="12cm" height="5.25cm" viewBox="0 0 1200 400">' +
        '<rect width="1200" height="400"/></svg>',
    );
    expect(drawing.size).toEqual({ widthMm: 120, heightMm: 52.5 });
    const [item] = drawing.items;
    if (item.kind !== "painted") throw new Error("a rect is painted");
    const p = item.path.contours[0].points;
    expect(p[0]).toBeCloseTo(0, 12);
    expect(p[1]).toBeCloseTo(6.25, 12);
    expect(p[12]).toBeCloseTo(120, 12);
    expect(p[13]).toBeCloseTo(46.25, 12);
  });
});

/**
 * Arc data of W3C paths-data-03-f.svg, paths-data-20-f.svg and arcs01.svg; Λ, centre and angles (deg) by SVG 2
 * B.2.4/B.2.5, computed with svg-pathdata 7.2.0 and svg.path 6.1 (equal). Blip 4: centre exact.
 */
const arcs: [string, number[], number[], number, number, number, number, number][] = [
  [
    "Arc_MAZ",
    [25, 70, 25, 69],
    [40, 40, 0, 1, 0],
    0.00015625,
    64.9968748779201,
    69.5,
    179.283784103805,
    -358.56756820761,
  ],
  [
    "Arc_fill_maz",
    [150, 100, 175, 30],
    [50, 40, 0, 1, 0],
    0.828125,
    182.431338507912,
    69.5557345160942,
    130.438146068058,
    -228.985500334269,
  ],
  ["Arc_Ma", [350, 245, 430, 305], [40, 40, 0, 1, 0], 1.5625, 390, 275, -143.130102354156, -180],
  [
    "Tri 1st",
    [270, 30, 345, 30],
    [50, 50, 0, 1, 0],
    0.5625,
    307.5,
    63.0718913883074,
    -138.590377890729,
    -262.819244218542,
  ],
  [
    "Sin 1st",
    [215, 190, 265, 190],
    [40, 200, 10, 0, 0],
    0.379317366397358,
    266.250426796339,
    34.7305056382768,
    125.996711861555,
    -76.0328664531342,
  ],
  [
    "Sin 2nd",
    [265, 190, 315, 190],
    [40, 200, 20, 0, 1],
    0.346758333084808,
    237.065083418282,
    342.300163925571,
    -130.239734472412,
    72.1525729021129,
  ],
  [
    "Sin 5th",
    [415, 190, 465, 190],
    [40, 200, 50, 0, 0],
    0.170565966687451,
    570.300908883832,
    69.6386378773835,
    100.986849315191,
    -48.7863978471175,
  ],
  ["20-f", [145, 120, 120, 145], [25, 25, 0, 1, 0], 0.5, 120, 120, 0, -270],
  ["pie", [150, 200, 300, 50], [150, 150, 0, 1, 0], 0.5, 300, 200, 180, -270],
  ["wedge", [275, 25, 125, 175], [150, 150, 0, 0, 0], 0.5, 275, 175, -90, -90],
  ["blip 1", [650, 325, 700, 300], [25, 25, -30, 0, 1], 1.25, 675, 312.5, -176.565051177078, 180],
  ["blip 2", [750, 275, 800, 250], [25, 50, -30, 0, 1], 1.24663452641916, 775, 262.5, -178.280980989104, 180],
  ["blip 3", [850, 225, 900, 200], [25, 75, -30, 0, 1], 1.24601129057086, 875, 212.5, -178.853796268665, 180],
  ["blip 4", [950, 175, 1000, 150], [25, 100, -30, 0, 1], 1.24579315802396, 975, 162.5, -179.140296, 180],
];
const arcOf = (ends: number[], a: number[]) => ({
  rx: a[0],
  ry: a[1],
  rotation: a[2],
  large: a[3] === 1,
  sweep: a[4] === 1,
  x: ends[2],
  y: ends[3],
});
const drawn = (ends: number[], a: number[]): Path<"page"> => {
  const pen = new Pen(identity);
  pen.move(ends[0], ends[1]);
  drawArc(pen, arcOf(ends, a));
  return pen.path();
};

describe("elliptical arcs (SVG 2 B.2.4, B.2.5; values computed with svg-pathdata 7.2.0)", () => {
  test.each(arcs)("%s: centre and angles to 1e-9", (name, ends, a, lambda, cx, cy, theta1, sweep) => {
    const c = arcCentre(ends[0], ends[1], arcOf(ends, a));
    expect(c).not.toBeNull();
    if (!c) return;
    const deg = 180 / Math.PI;
    expect(Math.abs(c.lambda - lambda)).toBeLessThan(1e-9);
    expect(Math.abs(c.cx - cx)).toBeLessThan(1e-9);
    expect(Math.abs(c.cy - cy)).toBeLessThan(1e-9);
    // Blip 4's angle comes from libraries whose centre is 8e-7 off (they do not clamp the radicand).
    expect(Math.abs(c.theta1 * deg - theta1)).toBeLessThan(name === "blip 4" ? 2e-6 : 1e-9);
    expect(Math.abs(c.sweep * deg - sweep)).toBeLessThan(1e-9);
  });

  test.each(arcs)("%s: the cubics stay within 1e-6 of the radius", (_name, ends, a) => {
    const c = arcCentre(ends[0], ends[1], arcOf(ends, a));
    expect(c).not.toBeNull();
    if (!c) return;
    const points = drawn(ends, a).contours[0].points;
    const out = new Float64Array(4);
    let worst = 0;
    for (let i = 0; i + 6 < points.length; i += 6) {
      for (let k = 0; k <= 64; k++) {
        evalCubic(points, i, k / 64, out);
        const x = out[0] - c.cx;
        const y = out[1] - c.cy;
        const u = (Math.cos(c.phi) * x + Math.sin(c.phi) * y) / c.rx;
        const v = (-Math.sin(c.phi) * x + Math.cos(c.phi) * y) / c.ry;
        worst = Math.max(worst, Math.abs(Math.hypot(u, v) - 1));
      }
    }
    expect(worst).toBeLessThan(1e-6);
    expect(Array.from(points.slice(-2))).toEqual([ends[2], ends[3]]);
  });

  // Arc lengths computed with svg.path 6.1: 225π, 50π, and two ellipses.
  test.each([
    ["pie", 706.8583470577034],
    ["Arc_Ma", 157.07963267948966],
    ["blip 2", 135.21778244511694],
    ["Sin 1st", 103.04425091447624],
  ])("%s: length %d to 1e-6", (name, length) => {
    const [, ends, a] = arcs.find((row) => row[0] === name) ?? arcs[0];
    expect(Math.abs(contourLength(drawn(ends, a).contours[0]) / length - 1)).toBeLessThan(1e-6);
  });
});

// IEC 61966-2-1 and WCAG 2 relative luminance; WCAG contrast ratios computed with wcag-contrast 3.0.0.
describe("luminance (WCAG 2 contrast against white)", () => {
  test.each([
    ["#767676", 4.542224959605253],
    ["#777777", 4.478089453577214],
    ["#949494", 3.0334698257384747],
    ["#ff0000", 3.998476770754],
    ["#0000ff", 8.5924713584288],
    ["#ffff00", 1.07383923092657],
  ])("%s: contrast %d", (text, contrast) => {
    const colour = parseColour(text);
    expect(colour && 1.05 / (luminanceOver(colour, 1) + 0.05)).toBeCloseTo(contrast, 10);
  });
});
