/** Rows of lines clipped at the ink: where each set's lines are marked, before any order. */
import { crossingCount, directions, type Rows, rowsAt } from "../../geometry/rows.ts";
import type { Fill } from "../../job/job.ts";
import { JobError } from "../../problem.ts";
import type { InkShape } from "../ink.ts";
import { type Pitches, rowsOver } from "./pitch.ts";

/** More lines than this are not laid: the file would take half a gigabyte (our own choice). */
export const MOST_LINES = 2_000_000;

export const TOO_DENSE = "fill-too-dense";

export interface LineRows {
  /** t of each row. */
  readonly at: Float64Array;
  readonly rows: Rows;
}

/** The lines of one turn's filled shapes, each set of pitches clipped once. */
export class TurnLines {
  readonly shapes: readonly InkShape[];
  readonly #asked: Pick<Fill, "anglesDeg" | "pitchMm">;
  readonly #known = new Map<Pitches, LineRows>();

  constructor(shapes: readonly InkShape[], asked: Pick<Fill, "anglesDeg" | "pitchMm">) {
    this.shapes = shapes;
    this.#asked = asked;
  }

  /** Of the set with that index; `pitches` are its own alone. Throws JobError `fill-too-dense`. */
  of(set: number, pitches: Pitches): LineRows {
    const known = this.#known.get(pitches);
    if (known) return known;
    const lines = lineRows(this.shapes, this.#asked.anglesDeg[set]!, pitches, this.#asked.pitchMm);
    this.#known.set(pitches, lines);
    return lines;
  }
}

function lineRows(
  shapes: readonly InkShape[],
  angleDeg: number,
  pitches: Pitches,
  pitchMm: number,
): LineRows {
  const paths = shapes.map((shape) => shape.path);
  const [from, to] = rangeAcross(shapes, angleDeg);
  const rough = (to - from) / least(pitches);
  if (rough > MOST_LINES) throw tooDense(rough, pitchMm);
  const at = rowsOver(pitches, from, to);
  const way = paths.reduce((sum, path) => sum + crossingCount(path, angleDeg, 1), 0);
  const count = to > from ? ((way / 2) * at.length) / (to - from) : 0;
  if (count > MOST_LINES) throw tooDense(count, pitchMm);
  return { at, rows: rowsAt(paths, angleDeg, at) };
}

const least = ({ pitchMm }: Pitches): number => pitchMm.reduce((min, h) => Math.min(min, h), Infinity);

function tooDense(lines: number, pitchMm: number): JobError {
  const enough = Number(((pitchMm * lines) / MOST_LINES).toPrecision(2));
  return new JobError(
    TOO_DENSE,
    `a set would have about ${Math.ceil(lines / 1000)} thousand lines, more than the ${MOST_LINES / 1000} thousand that are laid`,
    `give a wider --pitch, about ${enough} or more; for even fill a larger least pitch by --pitch-limits may do`,
  );
}

/** How far shapes reach across lines of an angle. */
function rangeAcross(shapes: readonly InkShape[], angleDeg: number): [number, number] {
  const [, , px, py] = directions(angleDeg);
  let [from, to] = [Infinity, -Infinity];
  for (const { box } of shapes) {
    for (const x of [box.minX, box.maxX]) {
      for (const y of [box.minY, box.maxY]) {
        const t = x * px + y * py;
        from = Math.min(from, t);
        to = Math.max(to, t);
      }
    }
  }
  return from <= to ? [from, to] : [0, 0];
}
