/**
 * The fill's lines of one turn in the drawing interchange format DXF, release 12 (AC1009), as text, bit by bit. Source:
 * Drawing Interchange and File Formats, Release 12 (1992). A file is groups of two lines, a code and its value:
 *
 *   0 begins a section, a table, an entity   2 a name          9 a variable of the header     1 its text
 *   8 the layer    6 the line type    62 the colour (7: black or white)    70 flags, numbers    66 "vertices follow" (1)
 *   10 20 30  x y z of a point, the first of a line            11 21 31 of its end            999 a comment
 *   3 40 72 73  of a line type: its description, the length of its pattern, 65, the number of its dashes
 *
 * A straight line is a LINE, a bent one a POLYLINE of VERTEX and SEQEND. x = u, y = −v, since y runs up; mm, though release
 * 12 has no way of saying so.
 */
import type { Box } from "../geometry/path.ts";
import type { Pen } from "../plan/fill/bend.ts";
import type { TurnFill } from "../plan/fill/types.ts";
import type { Plan } from "../plan/types.ts";
import { digits } from "./digits.ts";
import { bentBy, flattened, type Part, partsOf, setWords, usageWords } from "./fillparts.ts";
import { verdictLine } from "./marks.ts";

/** A value may be so long (1992, "string"). */
const LONGEST = 255;

/**
 * All sets, or the one numbered `which` from 0; `plan` of this turn. Everything by straight pieces, within the job's
 * tolerance; at most 4 decimals. Throws JobError where a line cannot be bent.
 */
export function* fillDxf(plan: Plan, turn: TurnFill, which: number | null): Generator<string> {
  const parts = partsOf(plan, turn, which);
  const comments = [
    "bent by fallaway",
    verdictLine(plan),
    ...(plan.reasons.length > 0 ? ["the reasons are in the report"] : []),
    "lengths are mm, which this release of the format cannot say; y runs up",
    ...usageWords(plan, turn, which),
    ...parts.flatMap((part) =>
      "set" in part ? [`layer ${layerOf(part)} is ${setWords(part.set, part.number, turn.sets.length)}`] : [],
    ),
  ];
  for (const words of comments) yield group(999, plain(words).slice(0, LONGEST));
  const { minX, minY, maxX, maxY } = boxOf(plan, parts);
  yield section(
    "HEADER",
    group(9, "$ACADVER") +
      group(1, "AC1009") +
      group(9, "$EXTMIN") +
      point(0, minX, -maxY) +
      group(9, "$EXTMAX") +
      point(0, maxX, -minY),
  );
  yield section("TABLES", lineTypes + layers(parts.map(layerOf)));
  yield group(0, "SECTION") + group(2, "ENTITIES");
  for (const part of parts) {
    const layer = group(8, layerOf(part));
    for (const { points, closed } of linesOf(plan, part)) yield entity(points, closed, layer);
  }
  yield group(0, "ENDSEC") + group(0, "EOF");
}

const group = (code: number, value: string): string => `${code}\n${value}\n`;
const section = (name: string, groups: string): string =>
  group(0, "SECTION") + group(2, name) + groups + group(0, "ENDSEC");
const table = (name: string, entries: number, groups: string): string =>
  group(0, "TABLE") + group(2, name) + group(70, String(entries)) + groups + group(0, "ENDTAB");

/** A real number has a point. */
function real(value: number): string {
  const text = digits(value);
  return text.includes(".") ? text : `${text}.0`;
}

/** The first point of an entity (nth = 0), or its second. */
const point = (nth: 0 | 1, x: number, y: number): string =>
  `${10 + nth}\n${real(x)}\n${20 + nth}\n${real(y)}\n${30 + nth}\n0.0\n`;

const lineTypes = table(
  "LTYPE",
  1,
  group(0, "LTYPE") +
    group(2, "CONTINUOUS") +
    group(70, "0") +
    group(3, "Solid line") +
    group(72, "65") +
    group(73, "0") +
    group(40, "0.0"),
);

/** Layer 0 is in every drawing. */
function layers(names: readonly string[]): string {
  const all = ["0", ...names];
  const entry = (name: string): string =>
    group(0, "LAYER") + group(2, name) + group(70, "0") + group(62, "7") + group(6, "CONTINUOUS");
  return table("LAYER", all.length, all.map(entry).join(""));
}

const layerOf = (part: Part): string => part.name.toUpperCase();

function entity(p: readonly number[], closed: boolean, layer: string): string {
  if (p.length === 4) return `0\nLINE\n${layer}${point(0, p[0]!, -p[1]!)}${point(1, p[2]!, -p[3]!)}`;
  // A closed one goes back to its first point by itself.
  const end = closed ? p.length - 2 : p.length;
  let text = `0\nPOLYLINE\n${layer}66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n${closed ? 1 : 0}\n`;
  for (let i = 0; i < end; i += 2) text += `0\nVERTEX\n${layer}${point(0, p[i]!, -p[i + 1]!)}`;
  return `${text}0\nSEQEND\n${layer}`;
}

/** u v of each line, in marking order; one list for all of them, to be read at once. */
function* linesOf(plan: Plan, part: Part): Generator<{ points: readonly number[]; closed: boolean }> {
  if (!("set" in part)) {
    for (const contour of part.contours)
      yield { points: flattened(contour, plan.job.toleranceMm), closed: contour.closed };
    return;
  }
  const { ends } = part.set.laid;
  const bender = bentBy(plan, part.set, "polyline");
  const points: number[] = [];
  const put = (x: number, y: number): void => {
    points.push(x, y);
  };
  const pen: Pen = { move: put, line: put, cubic: (_x1, _y1, _x2, _y2, x, y) => put(x, y) };
  for (let i = 0; i < ends.length; i += 4) {
    points.length = 0;
    bender.bend(ends[i]!, ends[i + 1]!, ends[i + 2]!, ends[i + 3]!, pen);
    yield { points, closed: false };
  }
}

/** Around all lines. Each is bent once more when it is written: all of them are too many to be kept. */
function boxOf(plan: Plan, parts: readonly Part[]): Box {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const part of parts) {
    for (const { points } of linesOf(plan, part)) {
      for (let i = 0; i < points.length; i += 2) {
        minX = Math.min(minX, points[i]!);
        maxX = Math.max(maxX, points[i]!);
        minY = Math.min(minY, points[i + 1]!);
        maxY = Math.max(maxY, points[i + 1]!);
      }
    }
  }
  return minX <= maxX ? { minX, minY, maxX, maxY } : { minX: 0, minY: 0, maxX: 0, maxY: 0 };
}

/** Text of release 12 is safe in ASCII alone. */
const plain = (words: string): string =>
  words
    .replace(/°/g, " degrees")
    .replace(/[“”]/g, '"')
    .replace(/[–−]/g, "-")
    .replace(/×/g, "x")
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/[^ -~]/g, "?");
