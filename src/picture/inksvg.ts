/** The ink as an SVG: one user unit = 1 mm, true size, where it lies on the artwork's page. */
import { stringify } from "svgson";
import type { Artwork } from "../artwork/types.ts";
import { element, markNode, roundedPath, transformAttr } from "./marks.ts";

/** Decimals of a millimetre. */
const decimals = 4;

export function inkSvg({ widthMm, heightMm, shapes }: Artwork): string {
  const size = (mm: number): string => String(Math.round(mm * 1e4) / 1e4);
  const root = element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      width: `${size(widthMm)}mm`,
      height: `${size(heightMm)}mm`,
      viewBox: `0 0 ${size(widthMm)} ${size(heightMm)}`,
    },
    shapes.map((shape) => markNode({ ...shape, path: roundedPath(shape.path, decimals) }, "#000000")),
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n${stringify(root, { transformAttr })}\n`;
}
