/**
 * What rows say against each other, whatever machine and coat they come from. Of two marks with the focus and everything else
 * alike, the one with at least the power and at most the speed has no less fluence and no fewer pulses anywhere, so that it
 * clears, and shows metal, wherever the other does. And a vessel that stood to one side did so in every row.
 */
import type { Reading, ReadStrip, Strip, StripMark } from "../plan/strip/types.ts";
import { JobError } from "../problem.ts";
import { type LikePlaces, likePlaces, rowsAlike } from "./likeplaces.ts";
import { checkSides } from "./sides.ts";

/**
 * Bars that an edge may lie on the wrong side of another mark's: one bar misread in each of the two rows. Edges seen half a bar
 * off in both, and rounded to whole bars, come to one.
 */
const SLACK = 2;
/**
 * Where it is not known that what the weaker mark shows is all of one piece, it may be slivers to both sides of the crown line, and
 * a little noise takes one of them away. A tenth more power, or half as much speed again, makes slivers of several bars: the
 * fluence over what clears falls by less than it gains on the way to the next three or so. Our own choice.
 */
const MORE_POWER = 1.1;
const MORE_SPEED = 1.5;
/** Heights of a coupon's ends, read to 0.1 mm twice, that show it to lie as before (mm; our own choice). */
const LIES_ALIKE_MM = 0.3;

type Part = "clear" | "metal";

interface Pair {
  readonly strip: Strip;
  readonly strong: Reading;
  readonly weak: Reading;
  /** By more than slivers. */
  readonly surely: boolean;
  readonly like: LikePlaces;
}

/** Throws JobError `readings-contradict`, naming the rows. */
export function checkTogether({ strip, readings }: ReadStrip): void {
  if (strip.ladder === "squares") return;
  // Contradicts in bars too, which would say less of what went wrong.
  checkSides(strip, readings);
  // Between its marks the lens is moved, and never quite back.
  if (strip.ladder === "focus") return;
  const markOf = (reading: Reading): StripMark => strip.marks.find(({ number }) => number === reading.mark)!;
  for (const strong of readings)
    for (const weak of readings) {
      const [one, other] = [markOf(strong), markOf(weak)];
      if (strong === weak || !takesMore(one, other) || !lieAlike(strong, weak)) continue;
      const like = likePlaces(strip, one, other);
      const pair = { strip, strong, weak, surely: surelyMore(one, other), like };
      compareEnds(pair, "clear");
      compareGap(pair);
      compareEnds(pair, "metal");
    }
}

function takesMore(one: StripMark, other: StripMark): boolean {
  const { powerW, speedMmS, ...rest } = one.settings;
  const { powerW: power, speedMmS: speed, ...others } = other.settings;
  return (
    powerW >= power &&
    speedMmS <= speed &&
    one.belowCrownMm === other.belowCrownMm &&
    rest.frequencyKHz === others.frequencyKHz &&
    rest.pitchMm === others.pitchMm &&
    rest.passes === others.passes &&
    String(rest.anglesDeg) === String(others.anglesDeg)
  );
}

const surelyMore = ({ settings: one }: StripMark, { settings: other }: StripMark): boolean =>
  one.powerW >= MORE_POWER * other.powerW || MORE_SPEED * one.speedMmS <= other.speedMmS;

function lieAlike({ endsMm: one }: Reading, { endsMm: other }: Reading): boolean {
  return (one ?? []).every((end, i) => other === undefined || Math.abs(end - other[i]!) <= LIES_ALIKE_MM);
}

/** Outermost ends: those of the stronger mark lie no farther in. */
function compareEnds(pair: Pair, part: Part): void {
  const { strip, strong, weak, surely, like } = pair;
  const [ours, theirs] = [strong[part], weak[part]];
  if (ours === undefined || theirs === undefined || theirs === "none") return;
  if (!surely && !(part === "clear" && weak.gap === "none")) return;
  const places = strip.bars.map(({ atMm }) => atMm);
  const [first, last] = [indexOf(strip, theirs[0]) + SLACK, indexOf(strip, theirs[1]) - SLACK];
  if (first > last) return;
  const [left, right] = [like(places[first]!), like(places[last]!)];
  if (ours === "none") {
    if (left ?? right) contradict(pair, part);
    return;
  }
  if (left && left[1] < places[indexOf(strip, ours[0])]!) contradict(pair, part);
  if (right && right[0] > places[indexOf(strip, ours[1])]!) contradict(pair, part);
}

/**
 * Of a gap only its two ends are known not to be clear: between them the middle may be clear again, and there a weaker mark may
 * be too. Where it is clear all about such an end, it clears what the stronger mark leaves; with settings nearly alike a thin
 * gap may only have gone unseen.
 */
function compareGap(pair: Pair): void {
  const { strip, strong, weak, surely } = pair;
  const { clear, gap } = weak;
  if (!surely || !rowsAlike(strip) || strong.gap === undefined || strong.gap === "none") return;
  if (gap === undefined || clear === undefined || clear === "none") return;
  const inBars = (ends: readonly [number, number]) =>
    ends.map((bar) => indexOf(strip, bar)) as [number, number];
  const ends = inBars(strong.gap);
  const [first, last] = inBars(clear);
  const [from, to] = gap === "none" ? [Infinity, -Infinity] : inBars(gap);
  for (const end of ends) {
    const about = [end - SLACK, end + SLACK] as const;
    if (about[0] >= first && about[1] <= last && (about[1] < from || about[0] > to)) contradict(pair, "gap");
  }
}

/** By place and not by number: where bars were left out an edge is read on the next one that there is. */
const indexOf = ({ bars }: Strip, bar: number): number => bars.findIndex(({ number }) => number === bar);

function contradict({ strong, weak }: Pair, part: Part | "gap"): never {
  const said = { clear: "is clear", metal: "shows metal", gap: "leaves coat between what is clear" }[part];
  const where = (ends: Reading["clear"]): string =>
    ends === "none" || ends === undefined ? "nowhere" : `from bar ${ends[0]} to ${ends[1]}`;
  throw new JobError(
    "readings-contradict",
    `rows ${weak.row} and ${strong.row}: mark ${strong.mark} has no less power and no more speed than mark ${weak.mark}, ` +
      `and ${said} ${where(strong[part])}, mark ${weak.mark} ${where(weak[part])}`,
    "read both again; check that each was marked with the settings of its row",
  );
}
