/** A printed rule of exactly 100 mm, to check the print with. */
import type { Lettering, Weight } from "../lettering.ts";
import { type Box, paragraph, stacked } from "../page/boxes.ts";
import { line, text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";

const LONG = 100;
const NUMBER = 2.5;
export const RULE_HEIGHT = 11;

/** The rule's left end at (x, y), and beside it what it is for; `scale` is the drawing's, "1:2". */
export function rule(scale: string, x: number, y: number, room: number, lettering: Lettering): PageItem[] {
  const items: PageItem[] = [line(x, y, x + LONG, y, 0.25)];
  for (let mm = 0; mm <= LONG; mm++) {
    const tall = mm % 10 === 0 ? 5 : mm % 5 === 0 ? 3.6 : 2.2;
    items.push(line(x + mm, y, x + mm, y + tall, mm % 10 === 0 ? 0.25 : 0.15));
    if (mm % 10 === 0) items.push(text(String(mm), x + mm, y + 8, NUMBER, { anchor: "middle" }));
  }
  const left = LONG + 6;
  const said = (words: string, size: number, weight: Weight = "regular"): Box =>
    paragraph(lettering, words, room - left, size, { weight });
  const words = [
    said("check with a ruler: this scale is 100 mm", 2.8, "bold"),
    said("print at 100 %, without fitting to the page", 2.6),
    ...(scale === "1:1" ? [] : [said(`the rule's own scale is 1:1; the drawing's is ${scale}`, 2.6)]),
  ];
  return [...items, ...stacked(words, 0).items(x + left, y - 0.6)];
}
