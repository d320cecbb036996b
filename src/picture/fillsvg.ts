/** The fill's lines of one turn as an SVG for the station, bit by bit: a group for each set, in marking order. Page and axes as in the marks. */
import type { Contour } from "../geometry/path.ts";
import type { LineForm, Pen } from "../plan/fill/bend.ts";
import type { LaidSet, TurnFill } from "../plan/fill/types.ts";
import type { Plan } from "../plan/types.ts";
import { digits } from "./digits.ts";
import { askedOf, bentBy, flattened, type Part, partsOf, setWords, usageWords } from "./fillparts.ts";
import { headline, pageAttributes, pathData, roundedPath, XML } from "./marks.ts";
import { escaped, tag } from "./svg.ts";

/** A path is parted after so many characters: what draws it as one shape is slow with many lines in it (librsvg 30 times). */
const LONGEST = 10_000;
/** As the single lines of the marks are drawn (mm). */
const SINGLE_WIDTH = 0.05;

/**
 * All sets, or the one numbered `which` from 0; `plan` of this turn. Numbers have at most 4 decimals of a mm. Throws JobError
 * where a line cannot be bent.
 */
export function* fillSvg(plan: Plan, turn: TurnFill, which: number | null): Generator<string> {
  const attributes = Object.entries(pageAttributes(plan)).map(([key, value]) => ` ${key}="${value}"`);
  yield `${XML}\n${headline(plan, usageWords(plan, turn, which))}\n<svg${attributes.join("")}>\n`;
  for (const part of partsOf(plan, turn, which)) yield* group(plan, part, turn.sets.length);
  yield "</svg>\n";
}

function* group(plan: Plan, part: Part, sets: number): Generator<string> {
  const { form } = askedOf(plan);
  const set = "set" in part ? part.set : null;
  // A set without lines has no pitch.
  const width = set?.pitchMinMm || SINGLE_WIDTH;
  yield `<g id="${part.name}" fill="none" stroke="#000000" stroke-width="${digits(width)}">`;
  if ("set" in part) {
    yield tag("title", {}, escaped(setWords(part.set, part.number, sets)));
    yield* regions(plan, part.set, form);
  } else {
    for (const contour of part.contours)
      yield `<path d="${form === "curves" ? curved(contour) : straight(contour, plan.job.toleranceMm)}"/>`;
  }
  yield "</g>\n";
}

const curved = (contour: Contour<"command">): string => pathData(roundedPath({ contours: [contour] }, 4));

function straight(contour: Contour<"command">, tolerance: number): string {
  const p = flattened(contour, tolerance);
  let d = "";
  for (let i = 0; i < p.length; i += 2) d += `${i === 0 ? "M" : "L"}${digits(p[i]!)} ${digits(p[i + 1]!)}`;
  return contour.closed ? `${d}Z` : d;
}

/** A path for each region, or more where it is long. */
function* regions(plan: Plan, set: LaidSet, form: LineForm): Generator<string> {
  const { ends, regions: from } = set.laid;
  const bender = bentBy(plan, set, form);
  const pen = new TextPen();
  for (let k = 0; k + 1 < from.length; k++) {
    let room = 0;
    for (let i = 4 * from[k]!; i < 4 * from[k + 1]!; i += 4) {
      if (room <= 0) {
        yield `${i > 4 * from[k]! ? '"/>' : ""}<path d="`;
        room = LONGEST;
      }
      bender.bend(ends[i]!, ends[i + 1]!, ends[i + 2]!, ends[i + 3]!, pen);
      const text = pen.take();
      room -= text.length;
      yield text;
    }
    yield '"/>';
  }
}

class TextPen implements Pen {
  #text = "";

  move(x: number, y: number): void {
    this.#text += `M${digits(x)} ${digits(y)}`;
  }

  line(x: number, y: number): void {
    this.#text += `L${digits(x)} ${digits(y)}`;
  }

  cubic(x1: number, y1: number, x2: number, y2: number, x: number, y: number): void {
    this.#text += `C${digits(x1)} ${digits(y1)} ${digits(x2)} ${digits(y2)} ${digits(x)} ${digits(y)}`;
  }

  take(): string {
    const text = this.#text;
    this.#text = "";
    return text;
  }
}
