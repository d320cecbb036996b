/**
 * A bitmap's ink → outlines: the iso-line of value ≥ level, at the picture's own resolution.
 *
 * Marching squares walks the outlines (`walk.ts`), crossings are read to a fraction of a pixel
 * (`edge.ts`), corners are found and put back where their sides meet (`corners.ts`), what lies between
 * is straight or smoothed (`smooth.ts`), and the fitter lays few cubics over it. Every outline is kept,
 * down to a single pixel's.
 */
import { FitFailure, type FitOptions, Fitter } from "../../fit/fit.ts";
import type { Affine } from "../../geometry/affine.ts";
import type { MappedCurve } from "../../geometry/curve.ts";
import { type Contour, type Path, reversed, signedArea, transformPath } from "../../geometry/path.ts";
import { type Corner, type Course, cornersOf, courseOf, excess, firstFrom } from "./corners.ts";
import type { Field } from "./edge.ts";
import { COARSE, FINE, type Grain } from "./grain.ts";
import { type Line, meet, nearestLine } from "./local.ts";
import { Pieces, smoothInto } from "./smooth.ts";
import { type Loop, walkOutlines } from "./walk.ts";

/** What fitting may add, in pixels, for anti-aliased pictures and for those of one bit per pixel. */
const FINE_TOLERANCE = 0.25;
const COARSE_TOLERANCE = 0.45;
/** A tolerance given in mm never counts for more than this many pixels: less would no longer be the picture. */
const MOST_TOLERANCE = 0.5;
/** Outlines with fewer vertices are a round dot, unless they are a pixel's own square. */
const DOT = 8;

/**
 * The outlines of value ≥ level on the page (mm), to be filled nonzero: outer ones of positive area, holes
 * negative; empty where nothing reaches the level. `value` holds one number per pixel centre, row by row; beyond
 * the picture nothing is inside. With level 0.5 the values are read as coverage, 0…1, which places
 * anti-aliased edges exactly; with any other level crossings are interpolated linearly. `place` maps pixels
 * ((0, 0) the picture's top left corner, centres at halves) onto the page. Fitting may move
 * outlines by a quarter of a pixel, by `toleranceMm` if that is more, and by half a pixel at most (one-bit pictures:
 * 0.45). No area under `place`, no outlines.
 */
export function traceField(
  width: number,
  height: number,
  value: Float64Array | Float32Array,
  level: number,
  place: Affine,
  toleranceMm: number,
): Path<"page"> {
  if (value.length < width * height) throw new RangeError("fewer values than pixels");
  const determinant = place.a * place.d - place.b * place.c;
  if (determinant === 0 || !Number.isFinite(determinant)) return { contours: [] };
  const asked = toleranceMm / longestPixel(place, determinant);
  const fitter = new Fitter();
  const contours: Contour<"page">[] = [];
  const field = { width, height, value, level };
  for (const loop of walkOutlines(field)) {
    const contour = outline(field, loop, asked, fitter);
    if (contour) contours.push(determinant < 0 ? reversed(contour) : contour);
  }
  return transformPath({ contours }, place);
}

/** The larger singular value of the map: mm per pixel where it stretches most. */
function longestPixel({ a, b, c, d }: Affine, determinant: number): number {
  const sum = (a * a + b * b + c * c + d * d) / 2;
  return Math.sqrt(sum + Math.sqrt(Math.max(0, sum * sum - determinant * determinant)));
}

function outline(field: Field, loop: Loop, asked: number, fitter: Fitter): Contour<"page"> | null {
  const coarse = isCoarse(loop);
  const grain = coarse ? COARSE : FINE;
  const course = courseOf(loop);
  const own = coarse ? COARSE_TOLERANCE : FINE_TOLERANCE;
  const tolerance = Math.min(Math.max(own, Math.min(asked, MOST_TOLERANCE)), course.length / 40);
  const corners = cornersOf(loop, course, grain, field);
  const area = polygonArea(loop);
  const lay = [
    (pieces: Pieces) => withCorners(field, course, corners, grain, pieces),
    (pieces: Pieces) => withoutCorners(loop, grain, pieces),
    (pieces: Pieces) => through(loop, pieces),
  ].slice(corners.length > 0 ? 0 : course.n > DOT ? 1 : 2);
  let contour: Contour<"page"> | null = null;
  for (const each of lay) {
    const pieces = new Pieces();
    each(pieces);
    const curve = pieces.curve();
    if (curve.pieces === 0) continue;
    contour = fitted(fitter, curve, { tolerance });
    // Thin lines must not fall shut: the plainer ways keep closer to the vertices.
    if (Math.abs(signedArea(contour) - area) <= MOST_AREA * course.length + CORNER_AREA * corners.length)
      break;
  }
  return contour;
}

/** The outline may gain or lose this width (pixels) over its length before a plainer curve is taken. */
const MOST_AREA = 0.12;
/** What putting back a corner adds or takes: half of a half pixel squared, and a little (square pixels). */
const CORNER_AREA = 0.15;

function polygonArea({ x, y }: Loop): number {
  let sum = 0;
  for (let i = 0, k = x.length - 1; i < x.length; k = i++) sum += x[k]! * y[i]! - x[i]! * y[k]!;
  return sum / 2;
}

/** The fitter's cubics, or the pieces themselves, which are cubics too, where it does not converge. */
function fitted(
  fitter: Fitter,
  curve: MappedCurve<"page"> & { readonly cubics: Float64Array },
  options: FitOptions,
): Contour<"page"> {
  try {
    return fitter.fit(curve, options).contour;
  } catch (error) {
    if (!(error instanceof FitFailure)) throw error;
    const points = new Float64Array(2 + 6 * curve.pieces);
    for (let k = 0; k < curve.pieces; k++) points.set(curve.cubics.subarray(8 * k, 8 * k + 8), 6 * k);
    points.copyWithin(points.length - 2, 0, 2);
    return { closed: true, points, straight: curve.straight };
  }
}

/** Runs along the pixels' sides longer than this say nothing of how the picture was sampled. */
const PLAIN_RUN = 8;

/** Whether a picture has one bit per pixel along this outline: hardly a vertex between mixed pixels. */
function isCoarse({ way, hard }: Loop): boolean {
  const n = way.length;
  let counted = 0;
  let plain = 0;
  for (let i = 0; i < n; ) {
    let k = i;
    while (k < n && way[k] === way[i]) k++;
    if (k - i < PLAIN_RUN)
      for (let m = i; m < k; m++) {
        counted++;
        plain += hard[m]!;
      }
    i = k;
  }
  return plain >= 0.85 * counted;
}

/** A round loop through every vertex. */
function through({ x, y }: Loop, pieces: Pieces): void {
  const n = x.length;
  const at = (v: Float64Array, i: number): number => v[(i + n) % n]!;
  for (let i = 0; i < n; i++) {
    const c = new Float64Array(8);
    for (const [axis, v] of [x, y].entries()) {
      c[axis] = at(v, i);
      c[2 + axis] = at(v, i) + (at(v, i + 1) - at(v, i - 1)) / 6;
      c[4 + axis] = at(v, i + 1) - (at(v, i + 2) - at(v, i)) / 6;
      c[6 + axis] = at(v, i + 1);
    }
    pieces.cubic(c);
  }
}

/** A closed smooth outline; it starts where it bends most, so that no straight run is cut in two. */
function withoutCorners(loop: Loop, grain: Grain, pieces: Pieces): void {
  const n = loop.x.length;
  const arm = Math.max(1, Math.min(Math.round(2 * grain.arm), n >> 2));
  let start = 0;
  let most = -1;
  for (let i = 0; i < n; i++) {
    const a = (i + n - arm) % n;
    const b = (i + arm) % n;
    const off = Math.hypot(
      loop.x[a]! + loop.x[b]! - 2 * loop.x[i]!,
      loop.y[a]! + loop.y[b]! - 2 * loop.y[i]!,
    );
    if (off > most + 1e-9) {
      most = off;
      start = i;
    }
  }
  const turned = <T extends Float64Array | Uint8Array>(v: T): T => {
    const out = v.slice() as T;
    out.set(v.subarray(start), 0);
    out.set(v.subarray(0, start), n - start);
    return out;
  };
  const { s, x, y } = courseOf({
    x: turned(loop.x),
    y: turned(loop.y),
    way: turned(loop.way),
    hard: turned(loop.hard),
  });
  smoothInto({ s, x, y, lo: n, hi: 2 * n, open: false }, grain, pieces);
}

/** Shorter than this many pixels a line does not say where its corners lie. */
const TELLING = 2.5;

/** From corner to corner: a line where the points between make one, else a smooth curve. */
function withCorners(
  field: Field,
  course: Course,
  corners: readonly Corner[],
  grain: Grain,
  pieces: Pieces,
): void {
  const { s, x, y, length } = course;
  const spans = corners.map((a, k) => {
    const b = corners[(k + 1) % corners.length]!;
    const end = b.s > a.s ? b.s : b.s + length;
    const from = firstFrom(s, a.s + a.gap);
    const to = Math.max(from, firstFrom(s, end - b.gap));
    const line = nearestLine(x, y, from, to);
    const straight = to - from < 2 || (line !== null && line.worst <= grain.straight);
    const telling = straight && line !== null && s[to - 1]! - s[from]! >= TELLING ? line : null;
    return { start: a.s, end, from, to, straight, telling };
  });
  corners.forEach((corner, k) => {
    const place = settled(
      corner,
      spans[(k + corners.length - 1) % corners.length]!.telling,
      spans[k]!.telling,
    );
    if (place && corner.seen && excess(field, grain, corner.seen, place) <= grain.excess)
      [corner.x, corner.y] = place;
  });
  spans.forEach(({ start, end, from, to, straight }, k) => {
    const a = corners[k]!;
    const b = corners[(k + 1) % corners.length]!;
    if (straight) {
      pieces.line(a.x, a.y, b.x, b.y);
      return;
    }
    const n = to - from + 2;
    const own = { s: new Float64Array(n), x: new Float64Array(n), y: new Float64Array(n) };
    own.s.set(s.subarray(from, to), 1);
    own.x.set(x.subarray(from, to), 1);
    own.y.set(y.subarray(from, to), 1);
    own.s[0] = start;
    own.x[0] = a.x;
    own.y[0] = a.y;
    own.s[n - 1] = end;
    own.x[n - 1] = b.x;
    own.y[n - 1] = b.y;
    smoothInto({ ...own, lo: 0, hi: n - 1, open: true }, grain, pieces);
  });
}

/** A corner beside lines lies on them, where that is near. */
function settled(corner: Corner, before: Line | null, after: Line | null): [number, number] | null {
  const line = before ?? after;
  let place: [number, number] | null = null;
  if (before && after) place = meet(before, after);
  else if (line) {
    const t = (corner.x - line.x) * line.dx + (corner.y - line.y) * line.dy;
    place = [line.x + t * line.dx, line.y + t * line.dy];
  }
  return place && Math.hypot(place[0] - corner.x, place[1] - corner.y) <= 2 ? place : null;
}
