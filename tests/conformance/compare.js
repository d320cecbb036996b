/** One file, our ink against an independent rendering. */
import { difference, inkDrawing, rendered } from "./pixels.js";

/** Largest share of differing pixels that counts as within. */
export const within = 0.003;

/**
 * Cautions by which the engine says that it took one tone for a paint of many: no threshold of the rendering's own
 * pixels can agree with it, so such files are counted apart as well.
 */
const rules = new Set(["gradient-flattened"]);

/** What a file contains that may explain a difference; the name says what to look for. */
const features = [
  ["animation", /<(animate\w*|set)\b/],
  ["filter", /<filter\b/],
  ["text", /<text\b/],
  ["picture", /<image\b/],
  ["foreign object", /<foreignObject\b/],
  ["pattern", /<pattern\b/],
  ["gradient", /<(linear|radial)Gradient\b/],
  ["mask", /<mask\b/],
  ["blend mode", /mix-blend-mode/],
  ["opacity", /\b(fill-|stroke-)?opacity\s*[:=]\s*"?\s*0?\.\d/],
  ["scale too small for resvg", /scale\(0?\.0000\d/],
  ["marker", /<marker\b/],
  ["clip", /<clipPath\b/],
  ["use", /<use\b/],
  ["style sheet", /<style\b/],
];

/** Names of the features that a text contains. */
export const featuresOf = (text) =>
  features.filter(([, pattern]) => pattern.test(text)).map(([name]) => name);

const problemsOf = (error) => error.problems ?? (error.problem ? [error.problem] : null);

/**
 * Compares one file. `readInk` is the engine under test. The result's `outcome`:
 * - `compared`: `share` of the pixels differ, `byRule` where a gradient was taken as one tone; where more than allowed, `crispShare` is the share with antialiasing
 *   off on both sides, which tells edges from areas.
 * - `empty`: the engine finds no ink; `share` is the share of ink in the rendering.
 * - `refused`: the engine gives problems instead; `codes` names them.
 * - `failed`: the engine threw something else, or the pages differ in size.
 * - `unrendered`: resvg cannot render it, so there is nothing to compare with.
 */
export async function compareText(text, readInk) {
  const found = featuresOf(text);
  if (/<image\b[^>]*href\s*=\s*["'](?!data:)/.test(text))
    return { outcome: "unrendered", why: "loads a file", found };
  let theirs;
  try {
    theirs = rendered(text);
  } catch (error) {
    return { outcome: "unrendered", why: String(error.message ?? error), found };
  }
  let ours;
  let outcome = "compared";
  let byRule = false;
  try {
    const artwork = await readInk(text);
    byRule = artwork.problems.some((p) => rules.has(p.code));
    ours = inkDrawing(artwork);
  } catch (error) {
    const problems = problemsOf(error);
    if (!problems) return { outcome: "failed", why: String(error.stack ?? error), found };
    const codes = [...new Set(problems.filter((p) => p.severity === "error").map((p) => p.code))];
    if (codes.join() !== "no-ink") return { outcome: "refused", codes, found };
    outcome = "empty";
    byRule = found.includes("gradient");
    ours = null;
  }
  const render = (crisp) => (ours === null ? null : rendered(ours, crisp));
  const blank = (image) => ({ ...image, rgba: new Uint8Array(image.rgba.length).fill(255) });
  const share = difference(theirs, render(false) ?? blank(theirs));
  if (share === null) return { outcome: "failed", why: "the pages differ in size", found };
  const result = { outcome, share, found, byRule };
  if (share > within && ours !== null) result.crispShare = difference(rendered(text, true), render(true));
  return result;
}

/** Whether a result counts as the same ink. */
export const isWithin = ({ outcome, share }) =>
  (outcome === "compared" || outcome === "empty") && share <= within;

/** Whether a result fails for antialiased edges alone. */
export const isEdgesOnly = (result) => !isWithin(result) && result.crispShare <= within;

const percent = (share) => `${(100 * share).toFixed(2)} %`;

/** Why a file is not within, in words. */
export function reasonOf(result) {
  const { outcome, share, crispShare, codes, why, found, byRule } = result;
  const rule = byRule ? "; a gradient as one tone" : "";
  const holds = rule + (found.length > 0 ? `; holds ${found.join(", ")}` : "");
  if (isWithin(result)) return `${percent(share)}, within`;
  if (outcome === "refused") return `refused: ${codes.join(", ")}${holds}`;
  if (outcome === "failed" || outcome === "unrendered") return `${outcome}: ${why.split("\n")[0]}${holds}`;
  if (outcome === "empty") return `${percent(share)}, no ink was found${holds}`;
  const edges = isEdgesOnly(result) ? "edges only" : "areas";
  return `${percent(share)}, ${edges}: ${percent(crispShare)} without antialiasing${holds}`;
}
