/**
 * The customer's proof: a page with the pictures of the vessel, the facts, what is promised and the approval, and a
 * page with the flat drawing. What is known decides the layout: the pictures get the room that the words leave.
 */
import type { Plan } from "../../plan/types.ts";
import type { Lettering, Weight } from "../lettering.ts";
import { type Box, paragraph, stacked } from "../page/boxes.ts";
import { type Area, frame, line, text, WIDE } from "../page/items.ts";
import { type Page, type PageItem, type Paper, papers } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { flatDrawing } from "./flatdrawing.ts";
import { APPROVAL_HEIGHT, approval, promiseLists } from "./pageapproval.ts";
import { factColumn, factColumns } from "./pagefacts.ts";
import { MARGIN } from "./pageparts.ts";
import { frontHeight, type PlacedView, type RowOfViews, viewRows } from "./pageviews.ts";
import { FULL_HEIGHT, titleBlock } from "./titleblock.ts";
import {
  cautionWords,
  documentKind,
  facts,
  headWords,
  idealTitle,
  jobName,
  type Named,
  predictedTitle,
  stopWords,
} from "./words.ts";

export type { PlacedView } from "./pageviews.ts";
export { viewsSheet } from "./pageviewssheet.ts";

export interface ProofSubject {
  readonly plan: Plan;
  /** File name of the artwork. */
  readonly title: string;
  /** YYYY-MM-DD. */
  readonly date: string;
  /** The front first, then the sides as they stand left and right of it. */
  readonly predicted: readonly PlacedView[];
  /** The mark as if it cleared evenly everywhere; null unless asked for. */
  readonly ideal: readonly PlacedView[] | null;
  /** What the pictures assume. */
  readonly notes: readonly string[];
  readonly paper: Paper;
}

/** Two pages: pictures and approval, then the flat drawing. */
export function proofPages(subject: ProofSubject, lettering: Lettering): Page[] {
  const of = 2;
  return [
    picturePage(subject, { number: 1, of, scale: null }, lettering),
    flatDrawing(subject, subject.paper, { number: 2, of }, lettering),
  ];
}

const GAP = 3;

function picturePage(
  subject: ProofSubject,
  sheet: { readonly number: number; readonly of: number; readonly scale: null },
  lettering: Lettering,
): Page {
  const { plan } = subject;
  const page = papers[subject.paper];
  const width = page.widthMm - 2 * MARGIN;
  const top = MARGIN + HEAD + GAP;
  const warning = warningBox(plan, lettering, width);
  const promised = promiseLists(plan, lettering, width);
  const approvalTop = page.heightMm - MARGIN - FULL_HEIGHT - GAP - APPROVAL_HEIGHT;
  const promisesTop = approvalTop - GAP - promised.height;
  const y = top + (warning.height > 0 ? warning.height + GAP : 0);
  return {
    ...page,
    items: [
      ...headItems(subject, lettering, width),
      ...warning.items(MARGIN, top),
      ...pictures(subject, { x: MARGIN, y, width, height: promisesTop - GAP - y }, lettering),
      ...promised.items(MARGIN, promisesTop),
      ...approval(plan, lettering, { x: MARGIN, y: approvalTop, width, height: APPROVAL_HEIGHT }),
      ...titleBlock(subject, sheet, page, lettering, true),
    ],
  };
}

/** What the head takes below the margin. */
const HEAD = 12;

/** The job's name and what the page is; below them customer, vessel, revision and date. */
function headItems(named: Named, lettering: Lettering, width: number): PageItem[] {
  const kind = documentKind(named.plan);
  const right = lettering.width(kind, 4, "bold");
  return [
    text(lettering.fitted(jobName(named), width - right - 6, 6, "bold"), MARGIN, MARGIN + 4.8, 6, {
      weight: "bold",
    }),
    text(kind, MARGIN + width, MARGIN + 4.8, 4, { weight: "bold", anchor: "end" }),
    text(headWords(named, lettering, width, 3.1), MARGIN, MARGIN + 10, 3.1, { fill: QUIET }),
    line(MARGIN, MARGIN + HEAD, MARGIN + width, MARGIN + HEAD, WIDE),
  ];
}

/** Why it is not for approval in a heavy frame, or what is to be known in a light one, or nothing. */
function warningBox(plan: Plan, lettering: Lettering, width: number): Box {
  const stop = stopWords(plan);
  const cautions = cautionWords(plan);
  if (!stop && cautions.length === 0) return stacked([], 0);
  const said = (words: string, size: number, weight: Weight): Box =>
    paragraph(lettering, words, width - 6, size, { weight });
  const words = stop
    ? stacked([said(stop.head, 4.2, "bold"), ...stop.reasons.map((one) => said(one, 2.9, "regular"))], 0.6)
    : stacked(
        cautions.map((one) => said(one, 2.9, "bold")),
        0.4,
      );
  const height = words.height + (stop ? 3.6 : 2.4);
  return {
    height,
    items: (x, y) => [
      frame({ x, y, width, height }, stop ? 0.9 : 0.25),
      ...words.items(x + 3, y + (stop ? 2 : 1.4)),
    ],
  };
}

/** Views, notes and facts in the area: the facts below or beside, whichever leaves the larger pictures. */
function pictures(subject: ProofSubject, area: Area, lettering: Lettering): PageItem[] {
  const { x, y, width } = area;
  const list = facts(subject.plan);
  const rows = rowsOf(subject);
  const notes = noteLines(subject.notes, lettering, width);
  const rest = area.height - (notes.height > 0 ? notes.height + GAP : 0);
  const below = factColumns(list, lettering, width);
  const beside = factColumn(list, lettering, BESIDE);
  const narrow = width - BESIDE - 2 * GAP;
  const room = rest - below.height - GAP;
  const noted = notes.items(x, y + area.height - notes.height);
  if (beside.height <= rest && frontHeight(rows, narrow, rest) > frontHeight(rows, width, room)) {
    const views = viewRows(rows, lettering, narrow, rest);
    return [...noted, ...views.items(x, y), ...beside.items(x + narrow + 2 * GAP, y + GAP)];
  }
  const views = viewRows(rows, lettering, width, room);
  // What the pictures leave goes above and below them.
  const lower = Math.max(0, (room - views.height) / 2);
  return [...noted, ...views.items(x, y + lower), ...below.items(x, y + rest - below.height)];
}
const BESIDE = 64;

function rowsOf({ predicted, ideal }: ProofSubject): RowOfViews[] {
  return ideal
    ? [
        { title: predictedTitle, views: predicted },
        { title: idealTitle, views: ideal },
      ]
    : [{ title: null, views: predicted }];
}

const noteLines = (notes: readonly string[], lettering: Lettering, room: number): Box =>
  paragraph(lettering, notes.length === 0 ? "" : `Of the picture: ${notes.join("; ")}.`, room, 2.6, {
    fill: QUIET,
    most: 6,
  });
