/** A printed rule of exactly 100 mm, to check the print with. */
import type { Lettering } from "../lettering.ts";
import type { PageItem } from "../page/page.ts";
import { type Block, line, paragraph, stacked, text } from "./pageparts.ts";

const LONG = 100;
const NUMBER = 2.5;
export const RULE_HEIGHT = 11;

/** The rule's left end at (x, y), and beside it what it is for; `scale` is the drawing's, "1:2". */
export function rule(scale: string, x: number, y: number, room: number, lettering: Lettering): Block {
  const items: PageItem[] = [line(x, y, x + LONG, y, 0.25)];
  for (let mm = 0; mm <= LONG; mm++) {
    const tall = mm % 10 === 0 ? 5 : mm % 5 === 0 ? 3.6 : 2.2;
    items.push(line(x + mm, y, x + mm, y + tall, mm % 10 === 0 ? 0.25 : 0.15));
    if (mm % 10 === 0) items.push(text(String(mm), x + mm, y + 8, NUMBER, { anchor: "middle" }));
  }
  const place = (at: number) => ({ x: x + LONG + 6, y: at, room: room - LONG - 6 });
  const told = scale === "1:1" ? [] : [`the rule's own scale is 1:1; the drawing's is ${scale}`];
  const words = stacked(y - 0.6, 0, [
    (at) =>
      paragraph(lettering, "check with a ruler: this scale is 100 mm", place(at), 2.8, { weight: "bold" }),
    (at) => paragraph(lettering, "print at 100 %, without fitting to the page", place(at), 2.6),
    ...told.map((one) => (at: number) => paragraph(lettering, one, place(at), 2.6)),
  ]);
  return { items: [...items, ...words.items], height: RULE_HEIGHT };
}
