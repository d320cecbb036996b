/** The lists of positions of one element, read along its characters. */
import type { Entered } from "../frame.ts";
import type { SvgNode } from "../node.ts";
import type { Report } from "../report.ts";
import type { Axis } from "../units.ts";
import { parseLength, userUnits } from "../units.ts";

type Name = "x" | "y" | "dx" | "dy" | "rotate";
const axes: Readonly<Record<Name, Axis>> = { x: "x", y: "y", dx: "x", dy: "y", rotate: "x" };

function bad(node: SvgNode, name: string, text: string, report: Report): void {
  const message = `the ${name} is not a length: “${text.slice(0, 40)}”; read as if it were not there`;
  report.add("error", "length-not-understood", node, message, "correct the element or draw it again");
}

/** One length attribute in user units; null where it is absent or unreadable (reported). */
export function lengthOf(
  node: SvgNode,
  name: string,
  axis: Axis,
  { frame }: Entered,
  report: Report,
): number | null {
  const text = node.attributes[name]?.trim();
  if (text === undefined || text === "") return null;
  const length = parseLength(text);
  if (!length) {
    bad(node, name, text, report);
    return null;
  }
  const { width, height, style } = frame;
  return userUnits(length, axis, { width, height, fontSize: style.fontSize });
}

export class Lists {
  readonly #lists: Record<Name, readonly number[]>;
  #consumed = 0;

  constructor(node: SvgNode, entered: Entered, report: Report) {
    const { width, height, style } = entered.frame;
    const context = { width, height, fontSize: style.fontSize };
    const list = (name: Name): number[] => {
      const numbers: number[] = [];
      for (const word of (node.attributes[name] ?? "").split(/[\s,]+/)) {
        if (word === "") continue;
        const length = parseLength(word);
        if (!length) {
          bad(node, name, word, report);
          break;
        }
        numbers.push(userUnits(length, axes[name], context));
      }
      return numbers;
    };
    this.#lists = { x: list("x"), y: list("y"), dx: list("dx"), dy: list("dy"), rotate: list("rotate") };
  }

  /** What is said of the character that is next; null for nothing. */
  at(name: Name): number | null {
    return this.#lists[name][this.#consumed] ?? null;
  }

  /** The angle of the next character in degrees: the last one holds for all that follow. */
  angle(): number | null {
    const { rotate } = this.#lists;
    return rotate[this.#consumed] ?? rotate.at(-1) ?? null;
  }

  next(): void {
    this.#consumed++;
  }
}
