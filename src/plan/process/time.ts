/**
 * Marking time from the lines themselves: each set of lines is laid over each mark as the station would fill it,
 * there and back, row by row.
 *
 *   t = passes · Σ_sets (length/speed + jumps/jump speed + lines · delay)
 *
 * A jump leads from a line's end to the next line's beginning: over a gap in the same row, to the nearer end of the
 * next row, to the next mark. Centre lines have no sets: they are marked once a pass, with the first. Above LINES rows are sampled evenly.
 */
import { contourLength } from "../../geometry/cubic.ts";
import type { Path } from "../../geometry/path.ts";
import { crossingCount, directions, rowsAcross } from "../../geometry/rows.ts";
import type { Job, Settings } from "../../job/job.ts";
import type { Mark } from "../types.ts";

/** Settling at both ends of a line (s): from memory, usual delays add up to 0.1 to 0.5 ms. */
const LINE_DELAY_S = 0.0003;
/** More lines than this are counted on every second, third … row. */
const LINES = 2_000_000;

export interface SetTime {
  readonly angleDeg: number;
  readonly lines: number;
  readonly markLengthMm: number;
  readonly jumpLengthMm: number;
}

export interface MarkingTime {
  readonly seconds: number;
  /** One pass of each set. */
  readonly sets: readonly SetTime[];
  readonly lineDelayMs: number;
  /** Every so many-th row was counted. */
  readonly stride: number;
}

/** `marks`: what is marked, as in the file; `axis`: how the vessel's axis lies in it. */
export function markingTime(marks: readonly Mark[], settings: Settings, axis: Job["axis"]): MarkingTime {
  const angles = settings.anglesDeg.map((angle) => ({ angle, inFile: axis === "y" ? angle : angle + 90 }));
  const lines = angles.reduce(
    (sum, { inFile }) =>
      sum + marks.reduce((n, m) => n + crossingCount(m.path, inFile, settings.pitchMm) / 2, 0),
    0,
  );
  const stride = Math.max(1, Math.ceil(lines / LINES));
  const fills = marks.filter((m) => m.paint === "fill");
  const sets = angles.map(({ angle, inFile }, i) =>
    setTime(i === 0 ? marks : fills, settings.pitchMm, angle, inFile, stride),
  );
  const seconds = sets.reduce((sum, set) => sum + setSeconds(set, settings), 0);
  return { seconds: settings.passes * seconds, sets, lineDelayMs: 1000 * LINE_DELAY_S, stride };
}

/** One pass of a set. */
export const setSeconds = (set: Omit<SetTime, "angleDeg">, settings: Settings): number =>
  set.markLengthMm / settings.speedMmS + set.jumpLengthMm / settings.jumpSpeedMmS + set.lines * LINE_DELAY_S;

interface Pen {
  x: number;
  y: number;
}

function setTime(
  marks: readonly Mark[],
  pitch: number,
  angleDeg: number,
  inFile: number,
  stride: number,
): SetTime {
  let [lines, markLengthMm, jumpLengthMm] = [0, 0, 0];
  let pen: Pen | null = null;
  const jumpTo = (x: number, y: number): void => {
    if (pen) jumpLengthMm += Math.hypot(x - pen.x, y - pen.y);
  };
  for (const { paint, path } of marks) {
    if (paint === "fill") {
      const filled = fillLines(path, pitch, inFile, stride, pen);
      lines += filled.lines;
      markLengthMm += filled.markLengthMm;
      jumpLengthMm += filled.jumpLengthMm;
      pen = filled.pen;
      continue;
    }
    for (const contour of path.contours) {
      const { points } = contour;
      jumpTo(points[0]!, points[1]!);
      lines++;
      markLengthMm += contourLength(contour);
      pen = { x: points.at(-2)!, y: points.at(-1)! };
    }
  }
  return { angleDeg, lines, markLengthMm, jumpLengthMm };
}

/** The lines of one filled mark, to and fro, from where the pen stands. */
function fillLines(
  path: Path<"command">,
  pitch: number,
  inFile: number,
  stride: number,
  start: Pen | null,
): { lines: number; markLengthMm: number; jumpLengthMm: number; pen: Pen | null } {
  const { first, from, s } = rowsAcross(path, inFile, pitch, stride);
  const [cos, sin] = directions(inFile);
  let [lines, markLengthMm, jumpLengthMm, toMark] = [0, 0, 0, 0];
  // In the set's own frame: s along its lines, t across them.
  let at = start && { s: start.x * cos + start.y * sin, t: start.y * cos - start.x * sin };
  for (let k = 0; k + 1 < from.length; k++) {
    const [a, b] = [from[k]!, from[k + 1]!];
    if (a === b) continue;
    const t = (first + k + 0.5) * pitch * stride;
    // From the end that is nearer.
    const back = at !== null && Math.abs(s[b - 1]! - at.s) < Math.abs(s[a]! - at.s);
    for (let i = 0; i < b - a; i += 2) {
      const [s0, s1] = back ? [s[b - 1 - i]!, s[b - 2 - i]!] : [s[a + i]!, s[a + i + 1]!];
      const jump = at ? Math.hypot(s0 - at.s, t - at.t) : 0;
      // To the mark it is one jump; from row to row a sampled one stands for as many as the stride, each so much shorter.
      if (lines === 0) toMark = jump;
      else jumpLengthMm += i === 0 ? jump / stride : jump;
      lines++;
      markLengthMm += Math.abs(s1 - s0);
      at = { s: s1, t };
    }
  }
  const pen = at && { x: at.s * cos - at.t * sin, y: at.s * sin + at.t * cos };
  return {
    lines: stride * lines,
    markLengthMm: stride * markLengthMm,
    jumpLengthMm: toMark + stride * jumpLengthMm,
    pen,
  };
}
