/** A rendering by resvg, thresholded to ink: one byte a pixel, 1 where its relative luminance is below a half. */
import { Resvg } from "@resvg/resvg-js";

/** The longer side of every rendering. */
export const side = 1000;
const inkBelow = 0.5;

/** Linear light of an 8-bit sRGB value (IEC 61966-2-1). */
const linear = Float64Array.from({ length: 256 }, (_, v) => {
  const c = v / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
});
const red = linear.map((v) => 0.2126 * v);
const green = linear.map((v) => 0.7152 * v);
const blue = linear.map((v) => 0.0722 * v);

/** No font and no file is ever read: neither what we are nor what a customer's file names. */
const alone = { font: { loadSystemFonts: false }, background: "white", logLevel: "off" };
const crispEdges = 1;
const smoothEdges = 2;

/**
 * Renders an SVG text over white, its longer side 1000 px. `crisp`: without antialiasing, each pixel by its
 * centre. Throws what resvg throws.
 */
export function rendered(text, crisp = false) {
  const shapeRendering = crisp ? crispEdges : smoothEdges;
  const sized = new Resvg(text, { ...alone, shapeRendering });
  const fit = { mode: sized.height > sized.width ? "height" : "width", value: side };
  const image = new Resvg(text, { ...alone, shapeRendering, fitTo: fit }).render();
  return { width: image.width, height: image.height, rgba: image.pixels };
}

/** 1 for ink, one byte a pixel. */
export function thresholded({ width, height, rgba }) {
  const ink = new Uint8Array(width * height);
  for (let i = 0, p = 0; i < ink.length; i++, p += 4) {
    if (red[rgba[p]] + green[rgba[p + 1]] + blue[rgba[p + 2]] < inkBelow) ink[i] = 1;
  }
  return ink;
}

const figure = (v) => String(Math.round(v * 1e5) / 1e5);

function pathData({ contours }, scale) {
  const parts = [];
  for (const { points: p, straight } of contours) {
    parts.push(`M${figure(scale * p[0])} ${figure(scale * p[1])}`);
    for (let k = 0; k < straight.length; k++) {
      const cubic = Array.from(p.subarray(6 * k + 2, 6 * k + 8), (v) => figure(scale * v));
      parts.push(straight[k] ? `L${cubic[4]} ${cubic[5]}` : `C${cubic.join(" ")}`);
    }
    parts.push("z");
  }
  return parts.join("");
}

/**
 * The ink as a plain drawing: black filled paths, sized in px, nothing else, so that both sides are rasterised by
 * the same hand and only the ink's shape is compared.
 */
export function inkDrawing({ widthMm, heightMm, shapes }) {
  const scale = 96 / 25.4;
  const paths = shapes.map((shape) => {
    if (shape.paint !== "fill") throw new Error(`${shape.id} is not an area`);
    return `<path d="${pathData(shape.path, scale)}"/>`;
  });
  const width = figure(scale * widthMm);
  const height = figure(scale * heightMm);
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">${paths.join("")}</svg>`;
}

/** Share of pixels where one says ink and the other does not, 0…1; null where the sizes differ. */
export function difference(one, other) {
  if (one.width !== other.width || one.height !== other.height) return null;
  const a = thresholded(one);
  const b = thresholded(other);
  let differ = 0;
  for (let i = 0; i < a.length; i++) differ += a[i] ^ b[i];
  return differ / a.length;
}
