/**
 * The fill of a job: the pitch of each set → rows across the ink → lines in marking order; and the proof, for which plain
 * fill, even fill and bands are all laid and what they leave is summed.
 */
import type { Spot } from "../../beam/spot.ts";
import { directions } from "../../geometry/rows.ts";
import type { Fill as Asked, Job, Settings } from "../../job/job.ts";
import { JobError, type Problem } from "../../problem.ts";
import type { Warp } from "../../warp/warp.ts";
import { Bender } from "../bent.ts";
import type { InkShape } from "../ink.ts";
import type { Cell } from "../process/cells.ts";
import { setSeconds } from "../process/time.ts";
import type { Mark, Turn } from "../types.ts";
import { cutIntoBands } from "./bandcut.ts";
import { bandsOf } from "./bands.ts";
import { measured } from "./bend.ts";
import { benderOf } from "./bender.ts";
import { isAlong, Lying } from "./lie.ts";
import { TurnLines } from "./lines.ts";
import { missedParts } from "./missed.ts";
import { type Laid, laidInOrder } from "./order.ts";
import { outlinePass } from "./outlinepass.ts";
import { type Pitches, pitchAt } from "./pitch.ts";
import { alikePitches, evenPitches } from "./pitches.ts";
import { proofOf } from "./proof.ts";
import { trimmed } from "./trim.ts";
import type { Bands, Fill, LaidSet, Lengths, SetFacts, TurnFill } from "./types.ts";
import { worthOf } from "./worth.ts";

/** Bands that the proof compares with where none are asked for (our own choice). */
const BANDS = 5;

/**
 * Null where the job asks for none, or no filled ink is usable. `cells`: of the usable ink of all turns. Throws JobError where
 * even fill has no set along the axis, and where the lines would be too many or cannot be bent.
 */
export function fillOf(
  job: Job,
  warp: Warp,
  spot: Spot,
  turns: readonly Pick<Turn, "pieces">[],
  cells: readonly Cell[],
): Fill | null {
  const asked = job.fill;
  if (!asked || cells.length === 0) return null;
  if (asked.lines === "even" && !asked.anglesDeg.some(isAlong)) throw notEvenable(asked.anglesDeg);
  const worth = worthOf(job, spot, asked.passes);
  const { anglesDeg, pitchMm } = asked;
  const alike = (on: "vessel" | "command"): Pitches[] =>
    anglesDeg.map((angle) => alikePitches(cells, warp, angle, pitchMm, on));
  const plain = alike("vessel");
  const even = evenPitches(cells, warp, worth, asked, plain);
  const pitches = asked.lines === "even" ? even!.pitches : plain;
  const inks = turns.map(
    ({ pieces }) =>
      new TurnLines(
        (pieces.get("usable") ?? []).filter((s) => s.paint === "fill"),
        asked,
      ),
  );
  const ranges = anglesDeg.map((angle, i) => rangesOver(cells, warp, angle, pitches[i]!));
  const filled = inks.map((ink) =>
    asked.lines ? fillTurn(ink, warp, spot, job, asked, pitches, ranges) : { sets: [], outline: null },
  );
  const sets = asked.lines
    ? anglesDeg.map((_, i) =>
        together(
          filled.map((turn) => turn.sets[i]!),
          ranges[i]!,
        ),
      )
    : [];
  const bands = bandsOf(cells, warp, worth, asked.bands ?? BANDS, asked.bandsBy, spot.waistDiameterMm);
  const problems: Problem[] = [];
  const outlines = filled.flatMap(({ outline }) => (outline ? [outline] : []));
  const outline = outlines.length > 0 ? summed(outlines) : null;
  const laid = { plain, even: even?.pitches ?? null, station: alike("command") };
  const proof = proofOf(inks, warp, spot, worth, asked, laid, bands);
  return {
    asked,
    removal: worth.removal,
    turns: filled.map((turn, i) => ({
      ...turn,
      bands:
        asked.bands && bands
          ? bandMarks(turns[i]!.pieces.get("usable") ?? [], warp, spot, job, bands, problems)
          : null,
    })),
    sets,
    outline,
    lostOutlineMm2: outlines.reduce((sum, o) => sum + o.lostMm2, 0),
    seconds: job.settings && asked.lines ? seconds(sets, outline, job.settings) : null,
    uneven: asked.lines === "even" ? even!.uneven : [],
    missed: asked.lines
      ? inks.flatMap((ink) =>
          missedParts(
            ink.shapes,
            anglesDeg,
            pitches.map((pitch, i) => ink.of(i, pitch).at),
          ),
        )
      : [],
    neverClears: worth.removal && cells.every((cell) => worth.perMm(cell.met) === 0),
    ...proof,
    bands,
    problems,
    metAt: asked.lines
      ? laidAt(warp, asked, pitches)
      : asked.bands && bands
        ? bandedAt(bands, asked.bandsBy)
        : null,
  };
}

const notEvenable = (anglesDeg: readonly number[]): JobError =>
  new JobError(
    "fill-not-evenable",
    `none of the sets at ${anglesDeg.map((angle) => `${angle}°`).join(", ")} runs along the axis, and only such lines can be laid denser where less comes off`,
    "give --angles with a 90 among them, as in --angles 90,0, or --fill plain",
  );

/** Outlines, and centre lines with them, cut into bands and bent. */
function bandMarks(
  shapes: readonly InkShape[],
  warp: Warp,
  spot: Spot,
  job: Job,
  bands: Bands,
  problems: Problem[],
): readonly (readonly Mark[])[] {
  const bender = new Bender(warp, job);
  return cutIntoBands(shapes, warp.surface, bands, spot.waistDiameterMm, problems).map((list) =>
    list.map((shape) => ({
      id: shape.id,
      paint: shape.paint,
      path: { contours: shape.path.contours.map((contour) => bender.bend(contour, shape).contour) },
    })),
  );
}

/** Steps along a line in which its length on the vessel is summed (mm). */
const STEP_MM = 1;

/** Length on the vessel of lines of the flat at an angle, by Simpson's rule. */
function vesselLength({ ends }: Laid, warp: Warp, angleDeg: number): number {
  const lying = new Lying(warp, angleDeg);
  let sum = 0;
  for (let i = 0; i < ends.length; i += 4) {
    const a = ends[i]!;
    const b = ends[i + 1]!;
    const [da, db] = [ends[i + 2]! - a, ends[i + 3]! - b];
    const length = Math.hypot(da, db);
    const n = 2 * Math.max(1, Math.ceil(length / STEP_MM / 2));
    let stretch = 0;
    for (let k = 0; k <= n; k++)
      stretch +=
        (k === 0 || k === n ? 1 : k % 2 === 1 ? 4 : 2) * lying.stretchAt(a + (da * k) / n, b + (db * k) / n);
    sum += (stretch * length) / (3 * n);
  }
  return sum;
}

/** One turn's lines in marking order and its outline pass; nothing is simulated. Throws JobError as `fillOf` does. */
export function fillTurn(
  ink: TurnLines,
  warp: Warp,
  spot: Spot,
  job: Job,
  asked: Asked,
  pitches: readonly Pitches[],
  ranges: readonly Ranges[],
): Omit<TurnFill, "bands"> {
  const { shapes } = ink;
  const sets = asked.anglesDeg.map((angleDeg, i): LaidSet => {
    const pitch = pitches[i]!;
    const lines = ink.of(i, pitch);
    const rows = asked.trimEnds ? trimmed(lines.rows, lines.at, angleDeg, warp, spot) : lines.rows;
    const laid = laidInOrder(rows, lines.at, angleDeg, asked.travel);
    const lengths = measured(laid.ends, benderOf(warp, job, laid, angleDeg, asked.form));
    const markLengthMm = vesselLength(laid, warp, angleDeg);
    return {
      angleDeg,
      lines: laid.ends.length / 4,
      markLengthMm,
      ...lengths,
      ...(laid.ends.length > 0 ? ranges[i]! : NO_RANGES),
      laid,
    };
  });
  const outline = asked.outlinePass ? outlinePass(shapes, warp, spot, job, job.toleranceMm) : null;
  return { sets, outline };
}

type Ranges = Pick<SetFacts, "pitchMinMm" | "pitchMaxMm" | "slowest" | "fastest">;

/** Distances of neighbouring lines on the vessel, and how fast the beam runs there, over the ink. */
export function rangesOver(cells: readonly Cell[], warp: Warp, angleDeg: number, pitches: Pitches): Ranges {
  const lying = new Lying(warp, angleDeg);
  const [, , px, py] = directions(angleDeg);
  let [pitchMinMm, pitchMaxMm, slowest, fastest] = [Infinity, 0, Infinity, 0];
  for (const { a, b } of cells) {
    for (const side of [a, -a]) {
      const { area, stretch, along } = lying.at(side, b);
      const pitch = (pitchAt(pitches, side * px + b * py) * area) / stretch;
      pitchMinMm = Math.min(pitchMinMm, pitch);
      pitchMaxMm = Math.max(pitchMaxMm, pitch);
      slowest = Math.min(slowest, stretch / along);
      fastest = Math.max(fastest, stretch / along);
    }
  }
  return { pitchMinMm, pitchMaxMm, slowest, fastest };
}

/** With J what all sets lay at a point over what one set lays in the command plane at the pitch asked for, on average. */
function laidAt(warp: Warp, asked: Asked, pitches: readonly Pitches[]): NonNullable<Fill["metAt"]> {
  const { anglesDeg, pitchMm } = asked;
  const sets = anglesDeg.map((angle, i) => {
    const [, , px, py] = directions(angle);
    return { lying: new Lying(warp, angle), pitch: pitches[i]!, px, py };
  });
  return (met, a, b) => {
    const laid = sets.reduce((sum, { lying, pitch, px, py }) => {
      const { along, area } = lying.at(a, b);
      return sum + (along * pitchMm) / (area * pitchAt(pitch, a * px + b * py));
    }, 0);
    return { ...met, areaRatio: laid / sets.length };
  };
}

/** What the station fills by itself, slower or stronger in each band. */
const bandedAt =
  (bands: Bands, by: Asked["bandsBy"]): NonNullable<Fill["metAt"]> =>
  (met, a, b) => {
    const factor = bands.factorAt(a, b) || 1;
    return by === "speed" ? { ...met, areaRatio: met.areaRatio / factor } : { ...met, power: factor };
  };

const summed = (list: readonly Lengths[]): Lengths => ({
  lines: list.reduce((sum, one) => sum + one.lines, 0),
  commandLengthMm: list.reduce((sum, one) => sum + one.commandLengthMm, 0),
  jumpLengthMm: list.reduce((sum, one) => sum + one.jumpLengthMm, 0),
});

/** Of a set without lines. */
const NO_RANGES: Ranges = { pitchMinMm: 0, pitchMaxMm: 0, slowest: 0, fastest: 0 };

/** One set over all turns. */
function together(list: readonly LaidSet[], ranges: Ranges): SetFacts {
  return {
    angleDeg: list[0]!.angleDeg,
    ...summed(list),
    markLengthMm: list.reduce((sum, set) => sum + set.markLengthMm, 0),
    ...(list.some((set) => set.lines > 0) ? ranges : NO_RANGES),
  };
}

/** All passes; the outline is marked once in each. */
function seconds(sets: readonly SetFacts[], outline: Lengths | null, settings: Settings): number {
  const all: readonly Lengths[] = [...sets, ...(outline ? [outline] : [])];
  return (
    settings.passes *
    all.reduce((sum, one) => sum + setSeconds({ ...one, markLengthMm: one.commandLengthMm }, settings), 0)
  );
}
