/**
 * The views alone, as one picture to send: each at exactly its own pixels, the words in proportion to the whole, so
 * that they can still be read when it is seen 1200 px wide. Laid out in pixels, then scaled to the page's mm.
 */
import type { Lettering } from "../lettering.ts";
import { type Box, paragraph, RISE } from "../page/boxes.ts";
import { type Style, text } from "../page/items.ts";
import type { Page, PageItem } from "../page/page.ts";
import { MEDIUM, QUIET, SMALL } from "../parts.ts";
import { imageOf, inRow, type PlacedView } from "./pageviews.ts";
import type { ProofSubject } from "./proofpage.ts";
import {
  cautionWords,
  documentKind,
  headWords,
  honesty,
  idealTitle,
  jobName,
  predictedTitle,
  stopWords,
} from "./words.ts";

/** The sheet's measures (px). */
interface Measures {
  readonly width: number;
  readonly gap: number;
  /** What is one pixel where the sheet is seen 1200 px wide. */
  readonly unit: number;
  readonly lettering: Lettering;
}

/** `pxPerMm` > 0: a pixel is 1/pxPerMm mm on the page. */
export function viewsSheet(subject: ProofSubject, lettering: Lettering, pxPerMm: number): Page {
  const { plan, predicted, ideal } = subject;
  const m = measures(ideal ? [predicted, ideal] : [predicted], lettering);
  const stop = stopWords(plan);
  const told = (words: string, most: number, style: Style = {}): Box =>
    paragraph(lettering, words, m.width - 2 * m.gap, SMALL * m.unit, { ...style, most });
  const quiet = { fill: QUIET };
  const bold = { weight: "bold" } as const;
  const boxes = [
    headLine(subject, m),
    told(headWords(subject, lettering, m.width - 2 * m.gap, SMALL * m.unit), 1, quiet),
    ...(stop ? [told(stop.head, 2, bold), ...stop.reasons.map((one) => told(one, 2))] : []),
    ...cautionWords(plan).map((one) => told(one, 2, bold)),
    ...(ideal ? [told(predictedTitle, 1, bold)] : []),
    viewRow(predicted, m),
    ...(ideal ? [told(idealTitle, 1, bold), viewRow(ideal, m)] : []),
    ...footWords(subject).map((words) => told(words, 4, quiet)),
  ];
  const { items, end } = fromTop(boxes, m);
  return {
    widthMm: m.width / pxPerMm,
    heightMm: Math.ceil(end + m.gap) / pxPerMm,
    items: items.map((item) => scaled(item, 1 / pxPerMm)),
  };
}

/** Below each other; each row of views begins at a whole pixel. */
function fromTop(boxes: readonly (Box & { readonly whole?: true })[], { gap, unit }: Measures) {
  const items: PageItem[] = [];
  let end = gap;
  for (const [i, box] of boxes.entries()) {
    const next = i === 0 ? gap : end + 8 * unit;
    const y = box.whole ? Math.ceil(next) : next;
    items.push(...box.items(gap, y));
    end = y + box.height;
  }
  return { items, end };
}

function measures(rows: readonly (readonly PlacedView[])[], lettering: Lettering): Measures {
  const wide = rows.map((views) => views.reduce((sum, view) => sum + view.widthPx, 0));
  const widest = Math.max(...wide);
  const gap = Math.max(4, Math.round(widest / 60));
  const width = Math.max(...rows.map((views, i) => wide[i]! + gap * (views.length + 1)));
  return { width, gap, unit: width / 1200, lettering };
}

/** The job's name, and at its right what the picture is. */
function headLine(subject: ProofSubject, m: Measures): Box {
  const kind = documentKind(subject.plan);
  const [size, small] = [36 * m.unit, MEDIUM * m.unit];
  const room = m.width - 2 * m.gap - m.lettering.width(kind, small, "bold") - size;
  const name = m.lettering.fitted(jobName(subject), room, size, "bold");
  return {
    height: 1.15 * size,
    items: (x, y) => [
      text(name, x, y + RISE * size, size, { weight: "bold" }),
      text(kind, m.width - m.gap, y + RISE * size, small, { weight: "bold", anchor: "end" }),
    ],
  };
}

/** The views on one base line, at whole pixels, with their labels. */
function viewRow(views: readonly PlacedView[], m: Measures): Box & { readonly whole: true } {
  const tallest = Math.max(...views.map((view) => view.heightPx));
  const wide = views.reduce((sum, view) => sum + view.widthPx, m.gap * (views.length - 1));
  const above = tallest + 4 * m.unit;
  const row = inRow(views).map((view) => ({
    view,
    label: paragraph(m.lettering, view.label, view.widthPx, SMALL * m.unit, { anchor: "middle", most: 3 }),
  }));
  return {
    whole: true,
    height: above + Math.max(...row.map(({ label }) => label.height)),
    items(_, y) {
      let x = Math.round((m.width - wide) / 2);
      return row.flatMap(({ view, label }) => {
        const { widthPx: width, heightPx: height } = view;
        const image = imageOf(view, { x, y: y + tallest - height, width, height });
        const words = label.items(x + width / 2, y + above);
        x += width + m.gap;
        return [image, ...words];
      });
    },
  };
}

function footWords({ plan, ideal, notes }: ProofSubject): string[] {
  const { colour } = plan.job.vessel;
  return [
    honesty(plan, ideal !== null),
    ...(colour ? [`coating shown as ${colour}: screens and prints shift colours`] : []),
    ...(notes.length > 0 ? [`${notes.join("; ")}`] : []),
  ];
}

/** Only what this sheet holds: text and images. */
function scaled(item: PageItem, by: number): PageItem {
  if (item.kind === "text") return { ...item, x: item.x * by, y: item.y * by, size: item.size * by };
  if (item.kind !== "image") return item;
  const { x, y, width, height } = item;
  return { ...item, x: x * by, y: y * by, width: width * by, height: height * by };
}
