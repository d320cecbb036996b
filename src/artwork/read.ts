/** SVG text → Artwork: the door of this room. */
import { translate } from "../geometry/affine.ts";
import { transformPath } from "../geometry/path.ts";
import { JobError } from "../problem.ts";
import type { Collected } from "./collector.ts";
import { Collector } from "./collector.ts";
import { openDocument } from "./document.ts";
import { enter } from "./frame.ts";
import { whereOf } from "./node.ts";
import type { Page } from "./page.ts";
import { noteAssumedSize, readPage } from "./page.ts";
import { Paints } from "./paints.ts";
import { Report } from "./report.ts";
import { initialStyle } from "./style.ts";
import type { Artwork } from "./types.ts";
import { Walker } from "./walk.ts";
import { readXml } from "./xml.ts";

/** Ink may reach this far over the page's edge (mm) before it is reported: rounding, not drawing. */
const edgeTolerance = 1e-6;

function reportBeyond(item: Collected, size: { widthMm: number; heightMm: number }, report: Report): void {
  const { minX, minY, maxX, maxY } = item.box;
  const over = Math.max(-minX, -minY, maxX - size.widthMm, maxY - size.heightMm);
  if (over <= edgeTolerance) return;
  report.add(
    "caution",
    "beyond-page",
    item.node,
    `ink reaches ${over < 0.01 ? "less than 0.01" : over.toFixed(2)} mm beyond the page and was kept`,
    "move the shape onto the page, or make the page larger",
  );
}

function noInk(report: Report): JobError {
  const [first] = report.problems.filter((p) => p.severity === "stop");
  const hint = first
    ? `${first.message}; ${first.hint}`
    : "only dark fills and dark strokes are marked: check the colours";
  return new JobError("no-ink", "nothing in the file can be marked", hint);
}

/**
 * Reads SVG text: every unit, style, transform, use and arc resolved, paths in mm on the page (0, 0 top left,
 * y down), in paint order. What this version cannot draw or apply is in `problems`, by element.
 *
 * Throws JobError: `empty-text`, `broken-xml`, `too-large`, `too-deep`, `entity-too-large`, `not-svg`,
 * `size-invalid`, `too-many-elements`, `too-many-segments`, `no-ink`.
 */
export function readArtwork(text: string): Artwork {
  const xml = readXml(text);
  const { root } = xml;
  if (!root.svg || root.name !== "svg") {
    const message = `the root element ${root.name} is not an svg element of the SVG namespace`;
    throw new JobError("not-svg", message, "choose an SVG file", whereOf(root));
  }
  const report = new Report();
  const document = openDocument(xml, report);
  if (root.attributes["data-fallaway"] !== undefined) {
    report.add(
      "stop",
      "bent-already",
      root,
      "this file has been bent for a vessel already",
      "give the customer's own drawing",
    );
  }
  const page: Page = readPage(root, report);
  const collector = new Collector(document);
  const walker = new Walker({ document, paints: new Paints(document), collector });
  const outer = {
    matrix: page.matrix,
    style: initialStyle,
    opacity: 1,
    width: page.width,
    height: page.height,
    depth: 0,
    uses: null,
    clip: null,
  };
  const entered = enter(document, root, outer);
  if (entered) walker.children(root, entered.frame);

  const around = collector.around;
  if (!around) throw noInk(report);
  if (page.size) {
    for (const item of collector.items) reportBeyond(item, page.size, report);
    return { ...page.size, shapes: collector.items.map((item) => item.shape), problems: report.problems };
  }
  const widthMm = around.maxX - around.minX;
  const heightMm = around.maxY - around.minY;
  noteAssumedSize(root, widthMm, heightMm, report);
  const toPage = translate(-around.minX, -around.minY);
  const shapes = collector.items.map(({ shape }) => ({
    ...shape,
    path: transformPath<"page", "page">(shape.path, toPage),
  }));
  return { widthMm, heightMm, shapes, problems: report.problems };
}
