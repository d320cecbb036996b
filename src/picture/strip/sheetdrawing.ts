/**
 * The strip as it stands on the vessel, to scale around it: rows with their numbers, the bars' numbers where they are marked, and
 * which way is which. Along the vessel it is drawn shorter, so that it finds room on the page.
 */
import { leftOf, rightOf } from "../../plan/strip/edges.ts";
import type { Strip } from "../../plan/strip/types.ts";
import type { Lettering } from "../lettering.ts";
import type { Box } from "../page/boxes.ts";
import { line, text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { fixed } from "../svg.ts";
import { numberedBars } from "./shapes.ts";

const SMALL = 2.4;
/** How tall figures stand, in ems (Noto Sans). */
const FIGURE = 0.714;
/** Room for the rows' names at both sides (mm). */
const SIDE = 13;
/** A row's height, from one row to the next, and a number of two figures along its bar (mm). */
const BAR = 2.2;
const ROW = 3.4;
const NUMBER = 3.2;
/** From the box's upper edge to the numbers, from the numbers to the rows, and the two lines below (mm). */
const HEAD = 3.4;
const GAP = 0.6;
const FOOT = 8;

export function stripDrawing(strip: Strip, letters: Lettering, width: number): Box {
  if (strip.ladder === "squares") return squareDrawing(strip, letters, width);
  const { bars, marks } = strip;
  const [first, last] = [bars[0]!, bars.at(-1)!];
  const scale = (width - 2 * SIDE) / (rightOf(last) - leftOf(first));
  const rows = (marks.length - 1) * ROW + BAR;
  return {
    height: HEAD + 2 * (NUMBER + GAP) + rows + FOOT,
    items(x, y) {
      const at = (mm: number): number => x + SIDE + (mm - leftOf(first)) * scale;
      const top = y + HEAD + NUMBER + GAP;
      const bottom = top + rows;
      const drawn = marks.flatMap((mark, i): PageItem[] => {
        const row = top + i * ROW;
        const d = bars.map((bar) => {
          const [left, right] = [fixed(at(leftOf(bar)), 3), fixed(at(rightOf(bar)), 3)];
          return `M${left} ${fixed(row, 3)}H${right}V${fixed(row + BAR, 3)}H${left}Z`;
        });
        return [
          { kind: "path", d: d.join(""), fill: "#000000" },
          text(`mark ${mark.number}`, x + SIDE - 2, row + BAR - 0.2, SMALL, { anchor: "end" }),
        ];
      });
      const numbers = numberedBars(strip).map(({ number, atMm }, i) => {
        const above = i % 2 === 0;
        return text(
          String(number),
          at(atMm) + (FIGURE * SMALL) / 2,
          above ? top - GAP : bottom + GAP,
          SMALL,
          { anchor: above ? "start" : "end", rotate: -90 },
        );
      });
      const crown = at(0);
      const said = sayings(strip).map((words, i) =>
        text(letters.fitted(words, width, SMALL), x, bottom + GAP + NUMBER + 3.4 + 3.2 * i, SMALL),
      );
      const middle = { anchor: "middle" as const };
      return [
        text("left", x + SIDE, y + 2, SMALL),
        text(toward(strip), x + width / 2, y + 2, SMALL, middle),
        text("right", x + width - SIDE, y + 2, SMALL, { anchor: "end" }),
        ...numbers,
        ...drawn,
        line(crown, top, crown, bottom, 0.15, [1, 0.6]),
        ...said,
      ];
    },
  };
}

const toward = ({ ladder }: Strip): string =>
  ladder === "ramp" ? "as seen from the lens" : "toward the rim, as seen from the lens";

function sayings({ ladder, bars }: Strip): string[] {
  const [first, last] = [bars[0]!, bars.at(-1)!];
  const pitch = (last.atMm - first.atMm) / (last.number - first.number);
  const missing = last.number - first.number + 1 - bars.length;
  const middle = ladder === "ramp" ? "the middle of the coupon" : "the crown line";
  return [
    `Bars ${first.number} to ${last.number}, ${fixed(pitch, 2)} mm from bar to bar${missing > 0 ? `; ${missing} are left out and the others keep their numbers` : ""}. Dashed: ${middle}.`,
    `The bars' numbers lie on their side, by turns above the top row and below the lowest. Each row's own number stands above it, on ${middle}.`,
  ];
}

function squareDrawing({ sideMm }: Strip, letters: Lettering, width: number): Box {
  const side = 26;
  return {
    height: side + 8,
    items(x, y) {
      const [left, top] = [x + width / 2 - side / 2, y + 1];
      const d = `M${fixed(left, 3)} ${fixed(top, 3)}h${side}v${side}h${-side}Z`;
      return [
        { kind: "path", d, stroke: "#000000", width: 0.3 },
        text("x", left + side / 2, top + side + 3.2, SMALL, { anchor: "middle" }),
        text("y", left + side + 1.6, top + side / 2 + 0.8, SMALL),
        text(
          letters.fitted(`commanded ${sideMm} mm; x and y are the bed's, as the file has them`, width, SMALL),
          x + width / 2,
          top + side + 6.4,
          SMALL,
          { anchor: "middle" },
        ),
      ];
    },
  };
}
