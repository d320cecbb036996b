/**
 * The flat drawing: the ink true to size on paper, or in a scale of ISO 5455 where the page is too small, with the
 * crown line, the vessel's rim, base, handle and seam as far as they are known and near, dimensions and a rule.
 */
import { multiply, scale as scaling, translate } from "../../geometry/affine.ts";
import { transformPath } from "../../geometry/path.ts";
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { pathData, roundedPath } from "../marks.ts";
import { paragraph } from "../page/boxes.ts";
import { line, text, WIDE } from "../page/items.ts";
import { type Page, type PageItem, type Paper, papers } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { type Fit, fitted } from "./pagefit.ts";
import { type AreasDrawn, blockedItems } from "./pageflatareas.ts";
import { flatDimensions } from "./pageflatdims.ts";
import { type DrawnLine, drawnBox, knownLines, linesOnPage } from "./pageflatlines.ts";
import { MARGIN } from "./pageparts.ts";
import { RULE_HEIGHT, rule } from "./pagerule.ts";
import { flatWords } from "./shapewords.ts";
import { SMALL_HEIGHT, titleBlock } from "./titleblock.ts";
import { edges, edgeWords, fromWords, type Named, NOT_GIVEN, wallWords } from "./words.ts";

const INK_FILL = "#333333";
const HEAD = 20;
const GAP = 4;

/** The page, upright or turned; one at 1:1 wherever it can be. */
export function flatDrawing(
  named: Named,
  paper: Paper,
  sheet: { readonly number: number; readonly of: number },
  lettering: Lettering,
): Page {
  const { plan } = named;
  const fit = fitted(plan, knownLines(plan), papers[paper], {
    above: HEAD,
    below: SMALL_HEIGHT + GAP + RULE_HEIGHT + GAP,
    around: MARGIN,
  });
  const scale = `1:${fit.reduction}`;
  const page = { widthMm: fit.widthMm, heightMm: fit.heightMm };
  const width = page.widthMm - 2 * MARGIN;
  const ruleTop = page.heightMm - MARGIN - SMALL_HEIGHT - GAP - RULE_HEIGHT;
  const lines = linesOnPage(knownLines(plan), fit);
  const areas = blockedItems(plan, fit, drawnBox(fit.ink, lines), lines, lettering);
  return {
    ...page,
    items: [
      ...areas.items,
      ...head(plan, fit, scale, beyondWords(plan, lines, areas), lettering, width),
      ...inkItems(plan, fit),
      ...areas.labels,
      ...flatDimensions(plan, fit, lines, lettering),
      ...rule(scale, MARGIN + 1.5, ruleTop, width - 1.5, lettering),
      ...titleBlock(named, { ...sheet, scale }, page, lettering, false),
    ],
  };
}

/** What it is, its scale in large letters, and what lies beyond the page. */
function head(
  plan: Plan,
  { reduction }: Fit,
  scale: string,
  beyond: string,
  lettering: Lettering,
  width: number,
): PageItem[] {
  const what = `${flatWords(plan)}. Dimensions in mm.`;
  const size = reduction === 1 ? "true to size" : "reduced, not true to size";
  const right = Math.max(lettering.width(`scale ${scale}`, 7, "bold"), lettering.width(size, 3.1));
  const room = width - right - 8;
  return [
    text("flat drawing", MARGIN, MARGIN + 5, 5, { weight: "bold" }),
    text(`scale ${scale}`, MARGIN + width, MARGIN + 5.6, 7, { weight: "bold", anchor: "end" }),
    text(size, MARGIN + width, MARGIN + 10, 3.1, { anchor: "end" }),
    ...paragraph(lettering, what, room, 2.9, { most: 1 }).items(MARGIN, MARGIN + 7.2),
    ...paragraph(lettering, beyond, width, 2.5, { fill: QUIET }).items(MARGIN, MARGIN + 12.1),
    line(MARGIN, MARGIN + HEAD - 1, MARGIN + width, MARGIN + HEAD - 1, WIDE),
  ];
}

/** Where the lines are that are known but not drawn, and which are not known; areas that stay free elsewhere. */
function beyondWords(plan: Plan, lines: readonly DrawnLine[], areas: AreasDrawn): string {
  const { vessel } = plan.job;
  const { topMm, bottomMm } = edges(plan);
  // To a line that runs aslant no dimension is drawn.
  const drawn = new Set(lines.map((one) => one.name));
  const aslant = new Set(lines.filter((one) => one.curve).map((one) => one.name));
  const ends = vessel.sphereMm === undefined ? (["rim", "base"] as const) : [];
  const told = [...ends, ...(["handle", "seam"] as const)].filter((name) => !drawn.has(name));
  const words = {
    rim: `top edge: ${edgeWords(topMm, "rim")}${wallWords(plan)}`,
    base: `bottom edge: ${edgeWords(bottomMm, "base")}${wallWords(plan)}`,
    handle: `from the handle: ${fromWords(plan, vessel.handleDeg, "handle")}`,
    seam: `from the seam: ${fromWords(plan, vessel.seamDeg, "seam")}`,
  };
  const known = { rim: topMm, base: bottomMm, handle: vessel.handleDeg, seam: vessel.seamDeg };
  const given = [
    ...told.filter((name) => (known[name] ?? null) !== null).map((name) => words[name]),
    ...areas.elsewhere.map((name) => `keep free: ${name}`),
  ];
  const missing = told.filter((name) => (known[name] ?? null) === null);
  // Ink past a line has no distance to draw.
  const past = (["rim", "base"] as const)
    .filter((name) => drawn.has(name) && known[name] !== null && (aslant.has(name) || known[name] < 0))
    .map((name) => words[name]);
  return [
    ...past,
    ...(areas.items.length > 0
      ? [`hatched: keep free${areas.unnamed.length > 0 ? `, ${areas.unnamed.join(", ")}` : ""}`]
      : []),
    ...(given.length > 0 ? [`not on this page: ${given.join("; ")}`] : []),
    ...(missing.length > 0 ? [`${NOT_GIVEN}: ${missing.join(", ")}`] : []),
  ].join(". ");
}

/** Each shape by itself: they may lie over each other. Centre lines are as wide as the spot. */
function inkItems(plan: Plan, { reduction, originX, originY }: Fit): PageItem[] {
  const toPage = multiply(translate(originX, originY), scaling(1 / reduction));
  const pen = Math.max(0.1, plan.spot.waistDiameterMm / reduction);
  return plan.ink.shapes.map((shape) => {
    const d = pathData(roundedPath(transformPath<"flat", "page">(shape.path, toPage), 5));
    return shape.paint === "fill"
      ? { kind: "path", d, fill: INK_FILL }
      : { kind: "path", d, fill: "none", stroke: INK_FILL, width: pen };
  });
}
