/**
 * How the flat drawing goes onto its paper: the first of the scales of ISO 5455 (1:1, then the reductions) with which
 * the ink and its dimensions fit, upright or turned, and with it as much of the vessel as there is room for.
 */
import type { Box } from "../../geometry/path.ts";
import type { Plan } from "../../plan/types.ts";
import type { Area } from "../page/items.ts";
import { type KnownLine, LABELS, type LineName, placesOf } from "./pageflatlines.ts";

export interface Fit {
  /** 1, 2, 5, …: millimetres of the flat on one of the paper. */
  readonly reduction: number;
  /** The page, its sides swapped where it is turned. */
  readonly widthMm: number;
  readonly heightMm: number;
  /** Where the flat's (0, 0) lies on the page. */
  readonly originX: number;
  readonly originY: number;
  /** Where lines may be drawn, so that labels and dimensions around them still lie on the page. */
  readonly room: Area;
  /** The ink on the page. */
  readonly ink: Box;
}

/** What of the paper is taken by other things (mm). */
interface Taken {
  readonly above: number;
  readonly below: number;
  readonly around: number;
}

const reductions = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000] as const;
/** From this size on (mm on paper) a dimension has its figure within. */
export const ROOMY = 12;
/** What a side's dimensions take, with their first line at a distance of one row. */
const BESIDE = 17;
const ROW = 8;

/** How far left of the ink its dimensions stand: farther where the figure from the crown line has to go there. */
export const leftStep = (inkMinX: number, reduction: number): number =>
  Math.abs(inkMinX) / reduction < ROOMY ? 2 * ROW + 2 : ROW;

/** The lines that are wanted with the ink: the first list for which there is room. */
const wanted: readonly (readonly LineName[])[] = [
  ["crown", "join", "rim", "base", "handle", "seam", "blocked"],
  ["crown", "join", "rim", "base", "handle", "seam"],
  ["crown", "join", "rim", "base", "handle"],
  ["crown", "join", "rim", "base"],
  ["crown", "join", "rim"],
  ["crown", "join"],
  [],
];

export function fitted(
  plan: Plan,
  known: readonly KnownLine[],
  paper: { readonly widthMm: number; readonly heightMm: number },
  taken: Taken,
): Fit {
  const pages = [paper, { widthMm: paper.heightMm, heightMm: paper.widthMm }];
  for (const reduction of reductions) {
    for (const names of wanted) {
      const box = together(
        plan.ink.box,
        known.filter(({ name }) => names.includes(name)),
      );
      for (const page of pages) {
        const room = roomOn(page, plan, reduction, taken);
        const fits =
          (box.maxX - box.minX) / reduction <= room.width && (box.maxY - box.minY) / reduction <= room.height;
        if (fits) return placed(plan, box, reduction, page, room);
      }
    }
  }
  // The ink is at most 5 m large (plan/ink.ts): the last reduction has room for it on any paper.
  throw new Error("the flat drawing fits no page");
}

function together(ink: Box, lines: readonly KnownLine[]): Box {
  const xs = lines.filter((one) => !one.level).flatMap(placesOf);
  const ys = lines.filter((one) => one.level).flatMap(placesOf);
  return {
    minX: Math.min(ink.minX, ...xs),
    maxX: Math.max(ink.maxX, ...xs),
    minY: Math.min(ink.minY, ...ys),
    maxY: Math.max(ink.maxY, ...ys),
  };
}

/** The page less what is taken and what labels and dimensions need. */
function roomOn(
  page: { readonly widthMm: number; readonly heightMm: number },
  { ink: { box } }: Plan,
  reduction: number,
  { above, below, around }: Taken,
): Area {
  const short = (box.maxY - box.minY) / reduction < ROOMY;
  const top = around + above + (short ? BESIDE : LABELS);
  const right = short ? BESIDE + ROW : BESIDE;
  const rows = box.minX < 0 && box.maxX > 0 ? 2 : 3;
  const bottom = around + below + ROW * rows + 4;
  const left = around + leftStep(box.minX, reduction) + BESIDE - ROW;
  return {
    x: left,
    y: top,
    width: page.widthMm - left - around - right,
    height: page.heightMm - top - bottom,
  };
}

/** In the middle of the room. */
function placed(
  { ink: { box: ink } }: Plan,
  box: Box,
  reduction: number,
  page: { readonly widthMm: number; readonly heightMm: number },
  room: Area,
): Fit {
  const originX = room.x + room.width / 2 - (box.minX + box.maxX) / 2 / reduction;
  const originY = room.y + room.height / 2 - (box.minY + box.maxY) / 2 / reduction;
  return {
    ...page,
    reduction,
    originX,
    originY,
    room,
    ink: {
      minX: originX + ink.minX / reduction,
      maxX: originX + ink.maxX / reduction,
      minY: originY + ink.minY / reduction,
      maxY: originY + ink.maxY / reduction,
    },
  };
}
