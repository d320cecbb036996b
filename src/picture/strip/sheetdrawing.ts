/** The strip as it stands on the vessel, small: rows with their numbers, every fifth bar's number, and which way is which. */
import { leftOf, rightOf } from "../../plan/strip/edges.ts";
import type { Strip } from "../../plan/strip/types.ts";
import type { Lettering } from "../lettering.ts";
import type { Box } from "../page/boxes.ts";
import { line, text } from "../page/items.ts";
import type { PageItem } from "../page/page.ts";
import { fixed } from "../svg.ts";

const SMALL = 2.4;
/** Room for the rows' numbers at both sides, and a row's height and distance at most (mm). */
const SIDE = 16;
const BAR = 2.2;
const ROW = 3.4;

export function stripDrawing(strip: Strip, letters: Lettering, width: number): Box {
  if (strip.ladder === "squares") return squareDrawing(strip, letters, width);
  const { bars, marks } = strip;
  const [from, to] = [leftOf(bars[0]!), rightOf(bars.at(-1)!)];
  const scale = (width - 2 * SIDE) / (to - from);
  const height = 9 + marks.length * ROW + 5;
  return {
    height,
    items(x, y) {
      const at = (mm: number): number => x + SIDE + (mm - from) * scale;
      const top = y + 8;
      const rows = marks.flatMap((mark, i): PageItem[] => {
        const row = top + i * ROW;
        const d = bars
          .map(
            (bar) =>
              `M${fixed(at(leftOf(bar)), 3)} ${fixed(row, 3)}H${fixed(at(rightOf(bar)), 3)}V${fixed(row + BAR, 3)}H${fixed(at(leftOf(bar)), 3)}Z`,
          )
          .join("");
        return [
          { kind: "path", d, fill: "#000000" },
          text(`mark ${mark.number}`, x + SIDE - 2, row + BAR - 0.2, SMALL, { anchor: "end" }),
        ];
      });
      const fifth = bars.filter(({ number }) => number % 5 === 0 || number === 1);
      const numbers = fifth.map(({ number, atMm }) =>
        text(String(number), at(atMm), top - 1.2, SMALL, { anchor: "middle" }),
      );
      const foot = top + marks.length * ROW + 2.6;
      const middle = strip.ladder === "ramp" ? "middle of the coupon" : "crown line";
      const crown = at(0);
      return [
        text("left", x + SIDE - 2, y + 2.4, SMALL, { anchor: "end" }),
        text(
          strip.ladder === "ramp" ? "as seen from the lens" : "toward the rim",
          x + width / 2,
          y + 2.4,
          SMALL,
          {
            anchor: "middle",
          },
        ),
        text("right", x + width - SIDE + 2, y + 2.4, SMALL),
        ...numbers,
        ...rows,
        line(crown, top - 0.8, crown, foot - 2, 0.15, [1, 0.6]),
        text(
          letters.fitted(
            `${middle}; bars ${bars[0]!.number} to ${bars.at(-1)!.number}, ${fixed(bars[1]!.atMm - bars[0]!.atMm, 2)} mm from bar to bar`,
            width,
            SMALL,
          ),
          crown,
          foot + 0.8,
          SMALL,
          { anchor: "middle" },
        ),
      ];
    },
  };
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
