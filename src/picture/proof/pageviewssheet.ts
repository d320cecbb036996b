/**
 * The views alone, as one picture to send: each at exactly its own pixels, the words in proportion to the whole, so
 * that they can still be read when it is seen 1200 px wide. Laid out in pixels, then scaled to the page's mm.
 */
import type { Lettering } from "../lettering.ts";
import type { Page, PageItem } from "../page/page.ts";
import { MEDIUM, QUIET, SMALL } from "../parts.ts";
import { type Block, paragraph, RISE, type Style, stacked, text } from "./pageparts.ts";
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
  const told = (words: string, most: number, style: Style = {}) => {
    return (y: number): Block => sentence(words, most, style, y, m);
  };
  const quiet = { fill: QUIET };
  const bold = { weight: "bold" } as const;
  const blocks = [
    (y: number) => headLine(subject, y, m),
    told(headWords(subject, lettering, m.width - 2 * m.gap, SMALL * m.unit), 1, quiet),
    ...(stop ? [told(stop.head, 2, bold), ...stop.reasons.map((one) => told(one, 2))] : []),
    ...cautionWords(plan).map((one) => told(one, 2, bold)),
    ...(ideal ? [told(predictedTitle, 1, bold)] : []),
    (y: number) => viewRow(predicted, y, m),
    ...(ideal ? [told(idealTitle, 1, bold), (y: number) => viewRow(ideal, y, m)] : []),
    ...footWords(subject).map((words) => told(words, 4, quiet)),
  ];
  const { items, height } = stacked(m.gap, 8 * m.unit, blocks);
  return {
    widthMm: m.width / pxPerMm,
    heightMm: Math.ceil(height + 2 * m.gap) / pxPerMm,
    items: items.map((item) => scaled(item, 1 / pxPerMm)),
  };
}

function measures(rows: readonly (readonly PlacedView[])[], lettering: Lettering): Measures {
  const wide = rows.map((views) => views.reduce((sum, view) => sum + view.widthPx, 0));
  const widest = Math.max(...wide);
  const gap = Math.max(4, Math.round(widest / 60));
  const width = Math.max(...rows.map((views, i) => wide[i]! + gap * (views.length + 1)));
  return { width, gap, unit: width / 1200, lettering };
}

const sentence = (words: string, most: number, style: Style, y: number, m: Measures): Block =>
  paragraph(m.lettering, words, { x: m.gap, y, room: m.width - 2 * m.gap }, SMALL * m.unit, {
    ...style,
    most,
  });

/** The job's name, and at its right what the picture is. */
function headLine(subject: ProofSubject, y: number, m: Measures): Block {
  const kind = documentKind(subject.plan);
  const [size, small] = [36 * m.unit, MEDIUM * m.unit];
  const room = m.width - 2 * m.gap - m.lettering.width(kind, small, "bold") - size;
  const name = m.lettering.fitted(jobName(subject), room, size, "bold");
  const base = y + RISE * size;
  return {
    items: [
      text(name, m.gap, base, size, { weight: "bold" }),
      text(kind, m.width - m.gap, base, small, { weight: "bold", anchor: "end" }),
    ],
    height: 1.15 * size,
  };
}

/** The views on one base line, at whole pixels, with their labels. */
function viewRow(views: readonly PlacedView[], from: number, m: Measures): Block {
  const y = Math.ceil(from);
  const tallest = Math.max(...views.map((view) => view.heightPx));
  const wide = views.reduce((sum, view) => sum + view.widthPx, m.gap * (views.length - 1));
  let x = Math.round((m.width - wide) / 2);
  let labels = 0;
  const items = inRow(views).flatMap((view): PageItem[] => {
    const { widthPx: width, heightPx: height, label } = view;
    const image = imageOf(view, { x, y: y + tallest - height, width, height });
    const place = { x: x + width / 2, y: y + tallest + 4 * m.unit, room: width };
    const words = paragraph(m.lettering, label, place, SMALL * m.unit, { anchor: "middle", most: 3 });
    labels = Math.max(labels, words.height);
    x += width + m.gap;
    return [image, ...words.items];
  });
  return { items, height: y - from + tallest + 4 * m.unit + labels };
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
