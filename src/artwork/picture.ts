/** An `image` element: its bytes, if they are in the file, and its place on the page. Nothing is ever loaded. */
import { multiply, scale, translate } from "../geometry/affine.ts";
import { rectLayer } from "./clips.ts";
import { parseDataUri } from "./datauri.ts";
import type { Entered } from "./frame.ts";
import { geometryOf } from "./frame.ts";
import type { SvgNode } from "./node.ts";
import { hrefOf } from "./node.ts";
import type { Reader } from "./paint-shape.ts";
import { parseFit, viewportTransform } from "./viewport.ts";

const hint = "trace the picture to shapes in the drawing program, or remove it";

/** Hands a visible picture to the sink; one that is not in the file, or not a bitmap, is reported. */
export function readPicture(reader: Reader, node: SvgNode, entered: Entered): void {
  const { report } = reader.document;
  const href = hrefOf(node) ?? "";
  if (href === "") return;
  if (!/^data:/i.test(href)) {
    const name = href.slice(0, 40);
    report.add(
      "error",
      "picture-not-loaded",
      node,
      `the picture “${name}” is not in the file and was not loaded`,
      hint,
    );
    return;
  }
  const data = parseDataUri(href);
  if (!data || /svg/i.test(data.type)) {
    const what = data ? "a drawing inside an image element" : "the picture's data cannot be read";
    report.add("error", "picture-not-read", node, `${what}: it was not drawn`, hint);
    return;
  }
  const { frame } = entered;
  const geometry = geometryOf(reader.document, node, entered);
  const width = geometry.length("width", "x");
  const height = geometry.length("height", "y");
  if ((width !== null && width <= 0) || (height !== null && height <= 0)) return;
  const corner = multiply(
    frame.matrix,
    translate(geometry.length("x", "x") ?? 0, geometry.length("y", "y") ?? 0),
  );
  const fit = parseFit(node.attributes.preserveAspectRatio);
  const size = (widthPx: number, heightPx: number): [number, number] => [
    width ?? (height === null ? widthPx : (height * widthPx) / heightPx),
    height ?? (width === null ? heightPx : (width * heightPx) / widthPx),
  ];
  const place = (widthPx: number, heightPx: number) => {
    const box = { x: 0, y: 0, width: widthPx, height: heightPx };
    return multiply(
      multiply(corner, viewportTransform(box, fit, ...size(widthPx, heightPx))),
      scale(widthPx, heightPx),
    );
  };
  // Only "slice" reaches beyond the element's own rectangle.
  const cut =
    fit.mode === "slice" && width !== null && height !== null
      ? { layers: [rectLayer(corner, 0, 0, width, height)], outer: frame.clip }
      : frame.clip;
  reader.sink.bitmap(node, { ...data, place, opacity: frame.opacity, clip: cut });
}
