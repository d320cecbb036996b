/**
 * A drawing → its ink: the region that will be marked, as clean closed curves, or the list of what stands in the
 * way. Everything after this room works on the ink.
 */

import { mostInk, mostOutlined, Tally } from "../artwork/budget.ts";
import { rectLayer } from "../artwork/clips.ts";
import { sizeAssumed, sizeAssumedHint } from "../artwork/page.ts";
import { type ReadOptions, readDrawing } from "../artwork/read.ts";
import type { Artwork, Bitmap, Drawing, Painted, Shape } from "../artwork/types.ts";
import { identity, translate } from "../geometry/affine.ts";
import { clampPath } from "../geometry/clamp.ts";
import type { Box, Path } from "../geometry/path.ts";
import { pathBounds, segmentCount, transformPath, uniteBoxes } from "../geometry/path.ts";
import { type Problem, ProblemsError } from "../problem.ts";
import { Plane, type Rule } from "../region/plane.ts";
import { linesOf } from "./lines.ts";
import { Merger } from "./merge.ts";
import { type InkOptions, inkDefaults } from "./options.ts";
import { overlapProblems } from "./overlap.ts";
import { contains, type Piece, Pieces } from "./pieces.ts";
import { outlineOf } from "./placed.ts";
import { backdropNote, beyondProblems, gradientProblems, lightProblems, noInk, unusedNote } from "./told.ts";
import { toneOf } from "./tone.ts";
import { tracedBitmaps } from "./trace/bitmaps.ts";

/** Reads SVG text and resolves its ink. Throws as `readDrawing` and `inkOf`. */
export const readInk = async (
  text: string,
  options: Partial<InkOptions & ReadOptions> = {},
): Promise<Artwork> => inkOf(readDrawing(text, options), options);

/** One painted item with its outline and what it does. */
interface Outlined {
  readonly item: Painted;
  readonly path: Path<"page">;
  readonly rule: Rule;
  readonly does: "ink" | "hides";
  readonly luminance: number;
  readonly bounds: Box;
}

/**
 * Resolves the ink of a drawing, in mm on its page. Problems of severity `error` that `allow` does not name make
 * it throw ProblemsError with all of them; JobError `no-ink` where nothing is left to mark, `too-many-shapes`,
 * `too-many-segments`, `too-many-dashes` or `outlines-too-dense` where there is more than can be united.
 */
export async function inkOf(drawing: Drawing, given: Partial<InkOptions> = {}): Promise<Artwork> {
  const options: InkOptions = { ...inkDefaults, ...given };
  const problems: Problem[] = [...drawing.problems];
  const bitmaps = drawing.items.filter((item): item is Bitmap => item.kind === "bitmap");
  const traced = bitmaps.length > 0 ? await tracedBitmaps(bitmaps, options, problems) : new Map();
  const painted = drawing.items.flatMap((item): Painted[] =>
    item.kind === "painted" ? [item] : (traced.get(item) ?? []),
  );
  const outlined: Outlined[] = [];
  const tally = new Tally(mostOutlined);
  const centreLines: Painted[] = [];
  const tones = painted.map((item) => ({ item, tone: toneOf(item.colours, options) }));
  // One by one: a spread would overflow the stack on large lists.
  const tell = (list: readonly Problem[]): void => {
    for (const problem of list) problems.push(problem);
  };
  tell(gradientProblems(tones));
  for (const { item, tone } of tones) {
    if (tone.does === "nothing") continue;
    if (item.stroke && tone.does === "ink" && options.strokes === "centre-line") {
      centreLines.push(item);
      continue;
    }
    const path = outlineOf(item, options.toleranceMm, problems);
    const bounds = path && pathBounds(path);
    if (!path || !bounds) continue;
    tally.add(path, item.where);
    const rule = item.stroke ? "nonzero" : item.rule;
    outlined.push({ item, path, rule, does: tone.does, luminance: tone.luminance, bounds });
  }
  const fills = fillShapes(drawing, outlined, options, problems);
  const order = new Map(painted.map((item, i) => [item.id, i]));
  const light = outlined.filter(({ does }) => does === "hides");
  const lines = linesOf(drawing, centreLines, order, light, options.toleranceMm, problems);
  const place = (shape: Shape): number => order.get(shape.id) ?? 0;
  const shapes = [...fills, ...lines].sort((a, b) => place(a) - place(b));
  const made = new Tally(mostInk);
  for (const { path, where } of shapes) made.add(path, where);
  tell(unusedNote(options.allow, problems));
  const judged = problems.map((p): Problem => {
    const allowed = p.severity === "error" && options.allow.includes(p.code);
    return allowed ? { ...p, severity: "caution" } : p;
  });
  const [error, ...more] = judged.filter((p) => p.severity === "error");
  if (error) throw new ProblemsError([error, ...more]);
  if (shapes.length === 0) throw noInk(options, tones);
  return paged(drawing, shapes, judged);
}

/**
 * A path that reaches further than a page's size beyond its edge, laid along a box that far out: it is cut at the
 * page's edge anyway, and a grid that had to hold it would be too coarse for the page.
 */
function nearPage(
  path: Path<"page">,
  box: Box,
  { widthMm, heightMm }: NonNullable<Drawing["size"]>,
): Path<"page"> {
  const far = Math.max(widthMm, heightMm);
  const near = { minX: -far, minY: -far, maxX: widthMm + far, maxY: heightMm + far };
  return contains(near, box) ? path : clampPath(path, near);
}

function fillShapes(
  drawing: Drawing,
  all: readonly Outlined[],
  options: InkOptions,
  problems: Problem[],
): readonly Shape[] {
  const { size } = drawing;
  const far = new Set<Painted>();
  const outlined = all.flatMap((one) => {
    const path = size ? nearPage(one.path, one.bounds, size) : one.path;
    if (path === one.path) return one;
    far.add(one.item);
    const bounds = pathBounds(path);
    return bounds ? { ...one, path, bounds } : [];
  });
  const box = outlined.reduce<Box | null>((all, { bounds }) => uniteBoxes(all, bounds), null);
  if (!box) return [];
  const segments = outlined.reduce((sum, { path }) => sum + segmentCount(path), 0);
  const plane = new Plane<"page">(box, segments);
  const page = size && rectLayer(identity, 0, 0, size.widthMm, size.heightMm);
  const maker = new Pieces(plane, options.toleranceMm, page, box);
  const pieces: Piece[] = [];
  const luminances: number[] = [];
  for (const one of outlined) {
    const { luminance } = one;
    const piece = maker.of(one, pieces.length);
    if (!piece) continue;
    pieces.push(piece);
    luminances.push(luminance);
  }
  const merger = new Merger(plane);
  const merged = options.keepShapes ? merger.apart(pieces) : merger.merged(pieces);
  const told = [...merged.problems, ...beyondProblems(maker.beyond, far)];
  if (options.keepShapes) told.push(...overlapProblems(merged.shapes));
  if (options.from === "dark" && options.colours.length === 0) {
    if (size) told.push(...backdropNote(pieces, size));
    for (const problem of lightProblems(pieces, luminances)) told.push(problem);
  }
  for (const problem of told) problems.push(problem);
  return merged.shapes;
}

/** On the drawing's page, or, where it has none, on one around the ink. */
function paged(drawing: Drawing, shapes: readonly Shape[], problems: readonly Problem[]): Artwork {
  if (drawing.size) return { ...drawing.size, shapes, problems };
  const around = shapes.reduce<Box | null>((all, { path }) => uniteBoxes(all, pathBounds(path)), null);
  const { minX, minY, maxX, maxY } = around ?? { minX: 0, minY: 0, maxX: 0, maxY: 0 };
  const widthMm = maxX - minX;
  const heightMm = maxY - minY;
  const toPage = translate(-minX, -minY);
  const assumed: Problem = {
    code: "size-assumed",
    severity: "note",
    message: sizeAssumed(widthMm, heightMm),
    where: drawing.root,
    hint: sizeAssumedHint,
  };
  return {
    widthMm,
    heightMm,
    shapes: shapes.map((shape) => ({ ...shape, path: transformPath<"page", "page">(shape.path, toPage) })),
    problems: [...problems, assumed],
  };
}
