/** Contours on the flat for tests, all lengths in mm. */
import {
  type Box,
  type Contour,
  type Path,
  PathBuilder,
  pathBounds,
  uniteBoxes,
} from "../../src/geometry/path.ts";
import { type Ink, type InkShape, inkShape } from "../../src/plan/ink.ts";
import { Plane } from "../../src/region/plane.ts";

export const only = (path: Path<"flat">): Contour<"flat"> => path.contours[0]!;

export const line = (x0: number, y0: number, x1: number, y1: number): Contour<"flat"> =>
  only(new PathBuilder<"flat">().move(x0, y0).line(x1, y1).build());

export const rectangle = (x: number, y: number, w: number, h: number): Contour<"flat"> =>
  only(
    new PathBuilder<"flat">()
      .move(x, y)
      .line(x + w, y)
      .line(x + w, y + h)
      .line(x, y + h)
      .close()
      .build(),
  );

/** A circle of `n` cubic arcs. */
export function circle(cx: number, cy: number, r: number, n = 4): Contour<"flat"> {
  const b = new PathBuilder<"flat">().move(cx + r, cy);
  const k = (4 / 3) * Math.tan(Math.PI / (2 * n)) * r;
  for (let i = 0; i < n; i++) {
    const p = (2 * Math.PI * i) / n;
    const q = (2 * Math.PI * (i + 1)) / n;
    b.cubic(
      cx + r * Math.cos(p) - k * Math.sin(p),
      cy + r * Math.sin(p) + k * Math.cos(p),
      cx + r * Math.cos(q) + k * Math.sin(q),
      cy + r * Math.sin(q) - k * Math.cos(q),
      i === n - 1 ? cx + r : cx + r * Math.cos(q),
      i === n - 1 ? cy : cy + r * Math.sin(q),
    );
  }
  return only(b.close().build());
}

/** Glyph-like: stems, bowls, a sharp join, a zero arm. */
export const glyph = (): Contour<"flat"> =>
  only(
    new PathBuilder<"flat">()
      .move(-22, 14)
      .line(-22, -14)
      .line(-14, -14)
      .cubic(-2, -14, 6, -10, 6, -3)
      .cubic(6, 1, 3, 4, -2, 5)
      .cubic(-2, 5, 4, 10, 10, 14)
      .line(2, 14)
      .cubic(-6, 8, -10, 5, -14, 5)
      .line(-14, 14)
      .close()
      .build(),
  );

/** An S and a loop, open. */
export const flourish = (): Contour<"flat"> =>
  only(
    new PathBuilder<"flat">()
      .move(-25, 0)
      .cubic(-10, -30, 5, 30, 20, 0)
      .cubic(30, -20, -10, -25, 24, 8)
      .build(),
  );

/** A cusp: the derivative vanishes inside the segment. */
export const cusp = (): Contour<"flat"> =>
  only(new PathBuilder<"flat">().move(-10, 5).cubic(10, -10, -10, -10, 10, 5).build());

/** Outlines resolved by a fill rule, as ink is. */
export function resolved(path: Path<"flat">, rule: "nonzero" | "evenodd"): Path<"flat"> {
  const plane = new Plane<"flat">(pathBounds(path)!, 0);
  return { contours: plane.outlines(plane.resolve(plane.polygons(path), rule)).contours };
}

/** Ink of the given shapes as they are, named s0, s1, … */
export function inkOf(...paths: [path: Path<"flat">, paint?: InkShape["paint"]][]): Ink {
  const shapes = paths.map(([path, paint = "fill"], i) => inkShape({ id: `s${i}`, where: {}, paint }, path)!);
  const box = shapes.reduce<Box | null>((all, s) => uniteBoxes(all, s.box), null)!;
  const sum = (f: (s: InkShape) => number): number => shapes.reduce((t, s) => t + f(s), 0);
  return { shapes, box, segments: 0, areaMm2: sum((s) => s.areaMm2), lengthMm: sum((s) => s.lengthMm) };
}
