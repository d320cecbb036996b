/** The page: the root's size in mm, and the map from its user units onto it. */
import type { Affine } from "../geometry/affine.ts";
import { scale } from "../geometry/affine.ts";
import { JobError } from "../problem.ts";
import type { SvgNode } from "./node.ts";
import { whereOf } from "./node.ts";
import type { Report } from "./report.ts";
import { lengthMm, mmPerPx, parseLength } from "./units.ts";
import type { ViewBox } from "./viewport.ts";
import { parseFit, parseViewBox, viewportTransform } from "./viewport.ts";

export interface Page {
  /** Null: the file gives no size, the page is the box around the ink. */
  readonly size: { readonly widthMm: number; readonly heightMm: number } | null;
  /** Root user units → mm. */
  readonly matrix: Affine;
  /** What percentages refer to, in user units. */
  readonly width: number;
  readonly height: number;
}

/** The size a browser gives a picture that has none (CSS 2, 10.3.2), in px; only percentages see it. */
const fallbackWidth = 300;
const fallbackHeight = 150;

function badSize(root: SvgNode, message: string): never {
  throw new JobError("size-invalid", message, "set the page size in the drawing program", whereOf(root));
}

function sideMm(root: SvgNode, name: "width" | "height"): number | null {
  const text = root.attributes[name]?.trim();
  if (text === undefined || text === "" || text === "auto") return null;
  const length = parseLength(text);
  if (!length) badSize(root, `the ${name} of the page is not a length: “${text.slice(0, 40)}”`);
  if (length.value <= 0) badSize(root, `the ${name} of the page is not positive: “${text.slice(0, 40)}”`);
  const mm = lengthMm(length);
  if (mm !== null && !Number.isFinite(mm)) badSize(root, `the ${name} of the page is too large`);
  return mm;
}

/** A `viewBox`, or null where there is none or it is not understood (reported). */
export function viewBoxOf(node: SvgNode, report: Report): ViewBox | null {
  const text = node.attributes.viewBox;
  if (text === undefined) return null;
  const box = parseViewBox(text);
  if (!box) {
    report.add(
      "error",
      "viewbox-not-understood",
      node,
      "the viewBox is not four numbers: read as if it were not there",
      "save the file again from the drawing program and check the size of the artwork",
    );
  }
  return box;
}

const round = (mm: number): string => String(Math.round(mm * 100) / 100);

/** The file gave no size: which one was assumed. */
export const sizeAssumed = (widthMm: number, heightMm: number): string =>
  `no size in the file: 96 px per inch assumed: ${round(widthMm)} × ${round(heightMm)} mm`;
export const sizeAssumedHint =
  "give the page a width and height in mm in the drawing program, or check this size";

/** Reads the root's size. Throws JobError `size-invalid` for sizes that are zero, negative or not lengths. */
export function readPage(root: SvgNode, report: Report): Page {
  const width = sideMm(root, "width");
  const height = sideMm(root, "height");
  const box = viewBoxOf(root, report);
  if (box && !(box.width > 0 && box.height > 0)) badSize(root, "the viewBox has no width or no height");
  if (!box) {
    return {
      size: width !== null && height !== null ? { widthMm: width, heightMm: height } : null,
      matrix: scale(mmPerPx),
      width: width === null ? fallbackWidth : width / mmPerPx,
      height: height === null ? fallbackHeight : height / mmPerPx,
    };
  }
  const widthMm = width ?? (height === null ? box.width * mmPerPx : (height * box.width) / box.height);
  const heightMm = height ?? (widthMm * box.height) / box.width;
  if (width === null && height === null) {
    report.add("note", "size-assumed", root, sizeAssumed(widthMm, heightMm), sizeAssumedHint);
  }
  const fit = parseFit(root.attributes.preserveAspectRatio);
  return {
    size: { widthMm, heightMm },
    matrix: viewportTransform(box, fit, widthMm, heightMm),
    width: box.width,
    height: box.height,
  };
}
