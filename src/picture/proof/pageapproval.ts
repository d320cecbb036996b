/** What the customer signs: what the picture promises and what it does not, and the approval. */
import type { Plan } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { type Box, beside, paragraph, RISE, stacked } from "../page/boxes.ts";
import { type Area, frame, line, text, WIDE } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { QUIET } from "../parts.ts";
import { excluded, excludedHead, promises, promisesHead, stopped } from "./words.ts";

const SIZE = 2.7;
const BETWEEN = 6;

/** Two short lists side by side. */
export function promiseLists(plan: Plan, lettering: Lettering, width: number): Box {
  const room = (width - BETWEEN) / 2;
  const lists = [
    list(promisesHead, promises(plan), lettering, room),
    list(excludedHead, excluded, lettering, room),
  ];
  return beside(lists, room + BETWEEN);
}

const list = (head: string, points: readonly string[], lettering: Lettering, room: number): Box =>
  stacked(
    [
      paragraph(lettering, head, room, 3.1, { weight: "bold", most: 1 }),
      ...points.map((words) => point(words, lettering, room)),
    ],
    0.4,
  );

function point(words: string, lettering: Lettering, room: number): Box {
  const box = paragraph(lettering, words, room - 3, SIZE, { most: 3 });
  return {
    height: box.height,
    items: (x, y) => [text("–", x, y + RISE * SIZE, SIZE), ...box.items(x + 3, y)],
  };
}

export const APPROVAL_HEIGHT = 32;
const choices = ["approved", "approved with the changes noted", "not approved"] as const;

/** Boxes to tick and lines to write on; without boxes where the job is stopped. */
export function approval(plan: Plan, lettering: Lettering, area: Area): PageItem[] {
  const { x, y, width, height } = area;
  const left = 0.34 * width;
  const from = x + left;
  const to = x + width - 3;
  const third = (to - from) / 3;
  const rule = (words: string, x1: number, x2: number, at: number): PageItem[] => {
    const long = words === "" ? 0 : lettering.width(words, SIZE) + 1.5;
    return [
      ...(words === "" ? [] : [text(words, x1, at, SIZE, { fill: QUIET })]),
      line(x1 + long, at + 0.4, x2, at + 0.4),
    ];
  };
  return [
    frame(area, WIDE),
    text("approval", x + 3, y + 5.2, 3.4, { weight: "bold" }),
    ...(stopped(plan) ? refusal(lettering, x + 3, y + 8.6, left - 8) : boxes(lettering, x + 3, y, left - 6)),
    ...rule("changes", from, to, y + 6),
    ...rule("", from, to, y + 13),
    ...rule("", from, to, y + 20),
    ...rule("name", from, from + 1.05 * third - 3, y + height - 4),
    ...rule("signature", from + 1.05 * third, from + 2.25 * third - 3, y + height - 4),
    ...rule("date", from + 2.25 * third, to, y + height - 4),
  ];
}

const boxes = (lettering: Lettering, x: number, y: number, room: number): PageItem[] =>
  choices.flatMap((choice, i) => {
    const top = y + 9.4 + 7 * i;
    return [
      frame({ x, y: top, width: 3.6, height: 3.6 }, 0.35),
      text(lettering.fitted(choice, room - 5.5, 2.9), x + 5.5, top + 2.9, 2.9),
    ];
  });

const refusal = (lettering: Lettering, x: number, y: number, room: number): PageItem[] =>
  stacked(
    [
      paragraph(lettering, "not for approval as it is", room, 3.1, { weight: "bold" }),
      paragraph(lettering, "note what may change: a new proof is needed", room, SIZE, { most: 3 }),
    ],
    1,
  ).items(x, y);
