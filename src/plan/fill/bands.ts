/**
 * The ink cut along meridians into bands of equal falloff, each with a setting of its own, for stations that fill outlines by
 * themselves. Such a station's pitch h is the same in the command plane, so that what it leaves is, as mean depth
 *
 *   S = (N f/(v h)) J V  ∝  worth per mm · J          (J the area ratio: command plane over vessel)
 *
 * S over the angle θ around is the mean of each column of θ, linear between their middles; bands part at its levels of
 * equal ratio, L_k = S_max (S_min/S_max)^(k/n). A band is all θ of its strengths: several intervals where S rises and falls.
 * What is worth nothing counts as of the weakest band and is in no mean: no speed helps it.
 */
import { bracketRoot } from "../../geometry/roots.ts";
import type { Surface } from "../../vessel/surface.ts";
import type { Warp } from "../../warp/warp.ts";
import type { Cell } from "../process/cells.ts";
import type { Met } from "../process/process.ts";
import type { Band, Bands } from "./types.ts";
import type { Worth } from "./worth.ts";

/** As many as the cells have. */
const COLUMNS = 96;
/** Levels go no lower than this share of the strongest (our own choice): what is fainter is of the weakest band. */
const FAINTEST = 0.01;
/** Strengths that differ by no more than this share are one. */
const ALIKE = 1e-9;
/** A rise or dip of the strength goes at least this share of a band beyond a level, else it is not worth its seams. */
const SHALLOW = 0.15;
/** No station has that much more power. */
const MOST_POWER = 1000;

/** A cell with its angle around from the crown line (≥ 0) and its strength at the settings. */
interface Weighed {
  readonly theta: number;
  readonly strength: number;
  readonly areaMm2: number;
  readonly met: Met;
}

interface Column {
  readonly theta: number;
  readonly strength: number;
}

/** θ from and to, and the number of its levels' band. */
interface Between {
  readonly from: number;
  readonly to: number;
  readonly level: number;
}

/** With how many cells have their middle in it, and its columns' least and largest place on the scale of levels. */
interface Stretch extends Between {
  readonly cells: number;
  readonly least: number;
  readonly most: number;
}

/**
 * Up to `count` bands (≥ 2); null for no cells or where nothing is worth anything. Where cells end, the last interval goes on.
 * Intervals narrower than `spotMm` on the vessel or than the cells can tell, and rises and dips of less than a seventh of a band, are
 * of their neighbour's band.
 * `bandAt` and `factorAt` are NaN where the flat has no vessel; `factorAt` is 1 in a band that nothing helps.
 */
export function bandsOf(
  cells: readonly Cell[],
  warp: Warp,
  worth: Worth,
  count: number,
  by: "speed" | "power",
  spotMm = 0,
): Bands | null {
  const { surface } = warp;
  const around = aroundOn(surface);
  const weighed = cells.map(
    ({ a, b, met, areaMm2 }): Weighed => ({
      theta: around(a, b),
      strength: worth.perMm(met) * met.areaRatio,
      areaMm2,
      met,
    }),
  );
  if (!(meanOf(weighed) > 0)) return null;
  const { columns, from, to } = columnsOf(weighed);
  const scale = scaleOf(columns, count);
  const stretches = joined(
    crossed(columns, from, to, scale).map((stretch): Stretch => {
      const isIn = ({ theta }: { theta: number }): boolean => theta >= stretch.from && theta < stretch.to;
      const places = columns.filter(isIn).map(({ strength }) => scale.place(strength));
      const [least, most] = [Math.min(...places), Math.max(...places)];
      return { ...stretch, cells: weighed.filter(isIn).length, least, most };
    }),
    spotMm / surface.meridian.radius,
  );
  const ends = stretches.slice(0, -1).map((stretch) => stretch.to);
  const stretchAt = (theta: number): number => {
    const i = ends.findIndex((end) => theta < end);
    return i < 0 ? ends.length : i;
  };
  // By the level at first; then from the strongest to the weakest.
  const byLevel = new Map<number, Weighed[]>(stretches.map(({ level }) => [level, []]));
  for (const cell of weighed) byLevel.get(stretches[stretchAt(cell.theta)]!.level)!.push(cell);
  const groups = [...byLevel].sort(([, one], [, other]) => meanOf(other) - meanOf(one));
  const strongest = meanOf(groups[0]![1]);
  const area = sumOf(weighed, (cell) => cell.areaMm2);
  const bands = groups.map(([level, group]): Band => {
    const falloff = meanOf(group) / strongest;
    return {
      intervalsDeg: stretches
        .filter((stretch) => stretch.level === level)
        .map((stretch) => [degrees(stretch.from), degrees(stretch.to)]),
      share: sumOf(group, (cell) => cell.areaMm2) / area,
      dead: sumOf(group, (cell) => (cell.strength > 0 ? 0 : cell.areaMm2)) / area,
      falloff,
      speedFactor: falloff > 0 ? falloff : null,
      powerFactor: falloff === 1 ? 1 : powerFor(group, worth, strongest),
    };
  });
  const numbers = stretches.map(({ level }) => groups.findIndex((group) => group[0] === level));
  const bandAt = (a: number, b: number): number => {
    const theta = around(a, b);
    return Number.isNaN(theta) ? Number.NaN : numbers[stretchAt(theta)]!;
  };
  const factors = bands.map((band) => (by === "speed" ? band.speedFactor : band.powerFactor) ?? 1);
  return { bands, bandAt, factorAt: (a, b) => factors[bandAt(a, b)] ?? Number.NaN };
}

const degrees = (radians: number): number => (radians * 180) / Math.PI;

/** |θ| of a flat point; NaN where the flat has no vessel. */
function aroundOn({ chart }: Surface): (a: number, b: number) => number {
  const place = new Float64Array(6);
  return (a, b) => (chart.to(a, b, place) ? Math.abs(place[0]!) : Number.NaN);
}

const sumOf = (cells: readonly Weighed[], of: (cell: Weighed) => number): number =>
  cells.reduce((sum, cell) => sum + of(cell), 0);

/** Mean strength of what is worth something; 0 where nothing is. */
function meanOf(cells: readonly Weighed[]): number {
  const some = cells.filter((cell) => cell.strength > 0);
  const area = sumOf(some, (cell) => cell.areaMm2);
  return area > 0 ? sumOf(some, (cell) => cell.areaMm2 * cell.strength) / area : 0;
}

/** Columns that have cells, and from where to where these are. */
function columnsOf(cells: readonly Weighed[]): { columns: Column[]; from: number; to: number } {
  const far = cells.reduce((most, { theta }) => Math.max(most, theta), 0);
  const wide = far / (COLUMNS - 0.5);
  const bins = Array.from({ length: COLUMNS }, (): Weighed[] => []);
  for (const cell of cells) bins[Math.min(COLUMNS - 1, Math.floor(cell.theta / wide))]!.push(cell);
  const columns = bins.flatMap((bin): Column[] => {
    if (bin.length === 0) return [];
    const area = sumOf(bin, (cell) => cell.areaMm2);
    return [{ theta: sumOf(bin, (cell) => cell.areaMm2 * cell.theta) / area, strength: meanOf(bin) }];
  });
  return { columns, from: wide * bins.findIndex((bin) => bin.length > 0), to: wide * COLUMNS };
}

interface Scale {
  /** Falling, one fewer than the bands; none where all is alike. */
  readonly levels: readonly number[];
  /** 0 for the strongest, k at level k, as many as the bands for the weakest. */
  place(strength: number): number;
}

function scaleOf(columns: readonly Column[], count: number): Scale {
  const strengths = columns.map((column) => column.strength).filter((strength) => strength > 0);
  const max = Math.max(...strengths);
  const min = Math.max(FAINTEST * max, Math.min(...strengths));
  if (min > max * (1 - ALIKE)) return { levels: [], place: () => 0 };
  return {
    levels: Array.from({ length: count - 1 }, (_, k) => max * (min / max) ** ((k + 1) / count)),
    place: (strength) => (strength > min ? (count * Math.log(max / strength)) / Math.log(max / min) : count),
  };
}

/** Parted where the strength crosses a level. */
function crossed(columns: readonly Column[], from: number, to: number, { levels }: Scale): Between[] {
  const under = (strength: number): number => levels.filter((level) => strength < level).length;
  const found: Between[] = [];
  let [start, here] = [from, under(columns[0]!.strength)];
  for (let i = 1; i < columns.length; i++) {
    const [one, next] = [columns[i - 1]!, columns[i]!];
    const last = under(next.strength);
    while (here !== last) {
      const level = levels[here < last ? here : here - 1]!;
      const share = (level - one.strength) / (next.strength - one.strength);
      const at = one.theta + share * (next.theta - one.theta);
      found.push({ from: start, to: at, level: here });
      start = at;
      here += here < last ? 1 : -1;
    }
  }
  found.push({ from: start, to, level: here });
  return found;
}

/** What is narrower than `narrow`, has no cell or is too shallow joins its wider neighbour, the narrowest first. */
function joined(all: readonly Stretch[], narrow: number): Stretch[] {
  let stretches = withoutSeams(all);
  while (stretches.length > 1) {
    const widths = stretches.map((stretch) => stretch.to - stretch.from);
    let worst = -1;
    stretches.forEach(({ cells }, i) => {
      const poor = cells === 0 || widths[i]! < narrow || depthOf(stretches, i) < SHALLOW;
      if (poor && (worst < 0 || widths[i]! < widths[worst]!)) worst = i;
    });
    if (worst < 0) break;
    const to = (widths[worst - 1] ?? -1) > (widths[worst + 1] ?? -1) ? worst - 1 : worst + 1;
    stretches[worst] = { ...stretches[worst]!, level: stretches[to]!.level };
    stretches = withoutSeams(stretches);
  }
  return stretches;
}

/** How far a rise or dip goes beyond the level that it shares with its neighbours, in bands. */
function depthOf(stretches: readonly Stretch[], i: number): number {
  const { level, least, most } = stretches[i]!;
  const beside = [stretches[i - 1], stretches[i + 1]].flatMap((other) => (other ? [other.level] : []));
  if (beside.every((other) => other < level)) return most - level;
  if (beside.every((other) => other > level)) return level + 1 - least;
  return 1;
}

/** Neighbours of one level are one. */
function withoutSeams(stretches: readonly Stretch[]): Stretch[] {
  const list: Stretch[] = [];
  for (const stretch of stretches) {
    const before = list.at(-1);
    if (before?.level !== stretch.level) list.push(stretch);
    else {
      list[list.length - 1] = {
        ...before,
        to: stretch.to,
        cells: before.cells + stretch.cells,
        least: Math.min(before.least, stretch.least),
        most: Math.max(before.most, stretch.most),
      };
    }
  }
  return list;
}

/** How many times the power makes the cells' mean strength that of the target; null where no power does. */
function powerFor(cells: readonly Weighed[], worth: Worth, target: number): number | null {
  const area = sumOf(cells, (cell) => cell.areaMm2);
  const mean = (power: number): number =>
    sumOf(cells, ({ areaMm2, met }) => areaMm2 * worth.perMm(met, power) * met.areaRatio) / area;
  if (mean(1) >= target) return 1;
  const log = bracketRoot((x) => mean(Math.exp(x)) - target, 0, Math.log(MOST_POWER));
  return log === null ? null : Math.exp(log);
}
