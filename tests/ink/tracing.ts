/**
 * Small tools for the tests of tracing: pictures drawn by librsvg, which shares nothing with the tracing, rings in
 * closed form, and distances by plain sampling.
 */
import { readFileSync } from "node:fs";
import * as fontkit from "fontkit";
import sharp from "sharp";
import { identity } from "../../src/geometry/affine.ts";
import { type Contour, type Path, signedArea } from "../../src/geometry/path.ts";
import { inkField } from "../../src/ink/trace/tone.ts";
import { traceField } from "../../src/ink/trace/trace.ts";

export type Point = [x: number, y: number];
export type Ring = Point[];

/** Relative luminance over white: WCAG 2.2, "relative luminance". */
export function lightness(r: number, g: number, b: number, a: number): number {
  const linear = (c: number): number => {
    const v = 1 - a + c * a;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
}

export async function drawn(body: string, n: number, oneBit = false, ground = "#fff"): Promise<Uint8Array> {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${n}" height="${n}">${body}</svg>`;
  const plain = sharp(Buffer.from(svg)).flatten({ background: ground });
  const rgba = new Uint8Array(await plain.ensureAlpha().raw().toBuffer());
  if (oneBit) for (let i = 0; i < rgba.length; i++) if (i % 4 < 3) rgba[i] = rgba[i]! < 128 ? 0 : 255;
  return rgba;
}

export const traced = (rgba: Uint8Array, n: number): Path<"page"> =>
  traceField(n, n, inkField(rgba, n, n, lightness).value, 0.5, identity, 0.001);

export const areaOf = (path: Path<"page">): number =>
  path.contours.reduce((sum, c) => sum + signedArea(c), 0);

export function ringOf({ points: p, straight }: Contour<"page">, parts = 32): Ring {
  const out: Ring = [];
  for (let k = 0; k < straight.length; k++)
    for (let j = 0; j < parts; j++) {
      const t = j / parts;
      const w = [(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t ** 2, t ** 3];
      const at = (axis: number): number => w.reduce((sum, v, m) => sum + v * p[6 * k + 2 * m + axis]!, 0);
      out.push([at(0), at(1)]);
    }
  return out;
}

/** Largest and mean distance of the points of `from` from the segments of `to`. */
export function distances(from: readonly Ring[], to: readonly Ring[]): { worst: number; mean: number } {
  const cells = new Map<number, [Point, Point][]>();
  const cell = 8;
  const key = (i: number, j: number): number => 100_000 * i + j;
  for (const ring of to)
    ring.forEach((a, k) => {
      const b = ring[(k + 1) % ring.length]!;
      const lo = [Math.min(a[0], b[0]), Math.min(a[1], b[1])].map((v) => Math.floor(v / cell));
      const hi = [Math.max(a[0], b[0]), Math.max(a[1], b[1])].map((v) => Math.floor(v / cell));
      for (let i = lo[0]!; i <= hi[0]!; i++)
        for (let j = lo[1]!; j <= hi[1]!; j++) {
          const list = cells.get(key(i, j));
          if (list) list.push([a, b]);
          else cells.set(key(i, j), [[a, b]]);
        }
    });
  let worst = 0;
  let sum = 0;
  let count = 0;
  for (const [x, y] of from.flat()) {
    // Nothing within a cell's width counts as that much.
    let best = cell;
    for (let i = -1; i <= 1; i++)
      for (let j = -1; j <= 1; j++)
        for (const [a, b] of cells.get(key(Math.floor(x / cell) + i, Math.floor(y / cell) + j)) ?? []) {
          const dx = b[0] - a[0];
          const dy = b[1] - a[1];
          const l = dx * dx + dy * dy;
          const t = l > 0 ? Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / l)) : 0;
          best = Math.min(best, Math.hypot(x - a[0] - t * dx, y - a[1] - t * dy));
        }
    worst = Math.max(worst, best);
    sum += best;
    count++;
  }
  return { worst, mean: sum / count };
}

export const circle = (x: number, y: number, r: number): Ring =>
  Array.from({ length: 2000 }, (_, k) => {
    const a = (2 * Math.PI * k) / 2000;
    return [x + r * Math.cos(a), y + r * Math.sin(a)];
  });

/** Corners → a ring with points all along the sides. */
export const polygon = (corners: readonly Point[]): Ring =>
  corners.flatMap(([x, y], k) => {
    const [u, v] = corners[(k + 1) % corners.length]!;
    return Array.from({ length: 200 }, (_, j): Point => [x + ((u - x) * j) / 200, y + ((v - y) * j) / 200]);
  });

export const turned = (x: number, y: number, w: number, h: number, deg: number): Point[] => {
  const c = Math.cos((deg * Math.PI) / 180);
  const s = Math.sin((deg * Math.PI) / 180);
  return [
    [-w, -h],
    [w, -h],
    [w, h],
    [-w, h],
  ].map(([a, b]): Point => [x + (a! * c - b! * s) / 2, y + (a! * s + b! * c) / 2]);
};

export const dOf = (rings: readonly Ring[]): string =>
  rings.map((r) => `M${r.map((p) => p.join(" ")).join("L")}Z`).join("");

const font = fontkit.create(
  readFileSync(
    new URL(
      "../../node_modules/@fontsource/noto-sans/files/noto-sans-latin-700-normal.woff2",
      import.meta.url,
    ),
  ),
) as fontkit.Font;

/** Glyphs as rings, from the font's own curves. */
export function lettering(text: string, size: number, x0: number, y0: number): Ring[] {
  const rings: Ring[] = [];
  const k = size / font.unitsPerEm;
  const run = font.layout(text);
  let pen = x0;
  run.glyphs.forEach((glyph, g) => {
    let at: Point = [0, 0];
    for (const { command, args } of glyph.path.commands) {
      const p: Point[] = [];
      for (let i = 0; i < args.length; i += 2) p.push([pen + args[i]! * k, y0 - args[i + 1]! * k]);
      if (command === "moveTo") rings.push([p[0]!]);
      else if (p.length > 0) {
        const all = [at, ...p];
        for (let j = 1; j <= 60; j++) {
          // De Casteljau, for lines, quadratics and cubics alike.
          let row = all;
          while (row.length > 1)
            row = row.slice(1).map((q, i): Point => {
              const o = row[i]!;
              return [o[0] + ((q[0] - o[0]) * j) / 60, o[1] + ((q[1] - o[1]) * j) / 60];
            });
          rings.at(-1)!.push(row[0]!);
        }
      }
      at = p.at(-1) ?? at;
    }
    pen += run.positions[g]!.xAdvance * k;
  });
  return rings;
}

export const ringArea = (ring: Ring): number =>
  ring.reduce((sum, [x, y], k) => {
    const [u, v] = ring[(k + 1) % ring.length]!;
    return sum + (x * v - u * y) / 2;
  }, 0);
