/**
 * The customer's proof: a page with the pictures of the vessel, the facts, what is promised and the approval, and a
 * page with the flat drawing. What is known decides the layout: the pictures get the room that the words leave.
 */
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { type Page, type PageItem, type Paper, papers } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { flatDrawing } from "./flatdrawing.ts";
import { APPROVAL_HEIGHT, approval, promiseLists } from "./pageapproval.ts";
import { factColumn, factColumns } from "./pagefacts.ts";
import { type Area, type Block, frame, line, MARGIN, paragraph, stacked, text, WIDE } from "./pageparts.ts";
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
  const head = headLines(subject, lettering, width);
  const warning = warningBlock(plan, lettering, MARGIN + head.height + GAP, width);
  const title = titleBlock(subject, sheet, page, lettering, true);
  const approvalTop = page.heightMm - MARGIN - FULL_HEIGHT - GAP - APPROVAL_HEIGHT;
  const promised = promiseLists(plan, lettering, MARGIN, 0, width).height;
  const promisesTop = approvalTop - GAP - promised;
  const top = MARGIN + head.height + GAP + (warning.height > 0 ? warning.height + GAP : 0);
  const room = { x: MARGIN, y: top, width, height: promisesTop - GAP - top };
  return {
    ...page,
    items: [
      ...head.items,
      ...warning.items,
      ...pictures(subject, room, lettering),
      ...promiseLists(plan, lettering, MARGIN, promisesTop, width).items,
      ...approval(plan, lettering, { x: MARGIN, y: approvalTop, width, height: APPROVAL_HEIGHT }),
      ...title.items,
    ],
  };
}

/** The job's name and what the page is; below them customer, vessel, revision and date. */
function headLines(named: Named, lettering: Lettering, width: number): Block {
  const kind = documentKind(named.plan);
  const right = lettering.width(kind, 4, "bold");
  return {
    items: [
      text(lettering.fitted(jobName(named), width - right - 6, 6, "bold"), MARGIN, MARGIN + 4.8, 6, {
        weight: "bold",
      }),
      text(kind, MARGIN + width, MARGIN + 4.8, 4, { weight: "bold", anchor: "end" }),
      text(headWords(named, lettering, width, 3.1), MARGIN, MARGIN + 10, 3.1, { fill: QUIET }),
      line(MARGIN, MARGIN + 12, MARGIN + width, MARGIN + 12, WIDE),
    ],
    height: 12,
  };
}

/** Why it is not for approval in a heavy frame, or what is to be known in a light one, or nothing. */
function warningBlock(plan: Plan, lettering: Lettering, y: number, width: number): Block {
  const stop = stopWords(plan);
  const cautions = cautionWords(plan);
  if (!stop && cautions.length === 0) return { items: [], height: 0 };
  const place = (at: number) => ({ x: MARGIN + 3, y: at, room: width - 6 });
  const said = (words: string, size: number, weight: "regular" | "bold") => (at: number) =>
    paragraph(lettering, words, place(at), size, { weight });
  const words = stop
    ? stacked(y + 2, 0.6, [
        said(stop.head, 4.2, "bold"),
        ...stop.reasons.map((one) => said(one, 2.9, "regular")),
      ])
    : stacked(
        y + 1.4,
        0.4,
        cautions.map((one) => said(one, 2.9, "bold")),
      );
  const height = words.height + (stop ? 3.6 : 2.4);
  return {
    items: [frame({ x: MARGIN, y, width, height }, stop ? 0.9 : 0.25), ...words.items],
    height,
  };
}

/** Views, notes and facts in the area: the facts below or beside, whichever leaves the larger pictures. */
function pictures(subject: ProofSubject, area: Area, lettering: Lettering): PageItem[] {
  const list = facts(subject.plan);
  const rows = rowsOf(subject);
  const notes = (x: number, y: number, room: number): Block =>
    noteLines(subject.notes, lettering, x, y, room);
  const noted = notes(area.x, 0, area.width).height;
  const rest = area.height - (noted > 0 ? noted + GAP : 0);
  const below = factColumns(list, lettering, area.x, 0, area.width).height;
  const beside = factColumn(list, lettering, 0, 0, BESIDE).height;
  const narrow = area.width - BESIDE - 2 * GAP;
  const byBelow = frontHeight(rows, area.width, rest - below - GAP);
  const byBeside = beside <= rest ? frontHeight(rows, narrow, rest) : 0;
  const items = [...notes(area.x, area.y + area.height - noted, area.width).items];
  if (byBeside > byBelow) {
    const views = viewRows(rows, lettering, { ...area, width: narrow, height: rest });
    return [
      ...items,
      ...views.items,
      ...factColumn(list, lettering, area.x + narrow + 2 * GAP, area.y + GAP, BESIDE).items,
    ];
  }
  const factsTop = area.y + rest - below;
  const room = { ...area, height: rest - below - GAP };
  const views = viewRows(rows, lettering, room);
  // What the pictures leave goes above and below them.
  const lower = Math.max(0, (room.height - views.height) / 2);
  return [
    ...items,
    ...viewRows(rows, lettering, { ...room, y: area.y + lower, height: room.height - lower }).items,
    ...factColumns(list, lettering, area.x, factsTop, area.width).items,
  ];
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

function noteLines(
  notes: readonly string[],
  lettering: Lettering,
  x: number,
  y: number,
  room: number,
): Block {
  return notes.length === 0
    ? { items: [], height: 0 }
    : paragraph(lettering, `Of the picture: ${notes.join("; ")}.`, { x, y, room }, 2.6, {
        fill: QUIET,
        most: 6,
      });
}
