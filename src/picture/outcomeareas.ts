/** Where coating likely stays or metal is likely at risk, as areas of the flat: within the limits, row by row. */
import type { Box } from "../geometry/path.ts";
import { likeliest } from "../plan/process/outcome.ts";
import { effect, type Outcome, outcomeOf, type Process } from "../plan/process/process.ts";
import type { Plan } from "../plan/types.ts";
import { zoneAt } from "../plan/zones.ts";
import type { Rings } from "./zoneareas.ts";

const ROWS = 60;
const COLUMNS = 160;
/** Worlds that stand for all. */
const WORLDS = 128;

/** The likeliest outcome of usable flat at (a, b); null beyond the limits. */
function outcomeAt(plan: Plan, process: Process, a: number, b: number): Outcome | null {
  if (zoneAt(plan.warp, plan.limits, a, b) !== "usable") return null;
  const met = plan.forecast?.met(a, b);
  if (!met) return null;
  const out = effect();
  const counts = { residue: 0, metal: 0, clean: 0 };
  for (let i = 1; i <= WORLDS; i++) counts[outcomeOf(process.at(met, process.worlds[i]!, out))]++;
  return likeliest((outcome) => counts[outcome]);
}

/** Rings of the outcomes asked for; empty without settings and a coating. */
export function outcomeAreas<O extends Outcome>(plan: Plan, box: Box, asked: readonly O[]): Map<O, Rings> {
  const areas = new Map<O, Rings>();
  if (!plan.forecast?.outcome || asked.length === 0) return areas;
  const { process } = plan.forecast;
  const [wide, high] = [(box.maxX - box.minX) / COLUMNS, (box.maxY - box.minY) / ROWS];
  const rows = Array.from({ length: ROWS }, (_, j): Row => {
    const outcome = (a: number) => outcomeAt(plan, process, a, box.minY + (j + 0.5) * high);
    const a = Array.from({ length: COLUMNS }, (_, i) => box.minX + (i + 0.5) * wide);
    return { a, here: a.map(outcome), outcome };
  });
  for (const one of asked) {
    const rings = joined(
      box,
      rows.map((row) => stretchesOf(box, row, one)),
    );
    if (rings.length > 0) areas.set(one, rings);
  }
  return areas;
}

interface Row {
  /** Middles of the columns, and what is likeliest there. */
  readonly a: readonly number[];
  readonly here: readonly (Outcome | null)[];
  outcome(a: number): Outcome | null;
}
type Stretch = [number, number];

/** Stretches of the rows joined to rings where those of neighbouring rows overlap. */
function joined(box: Box, rows: readonly Stretch[][]): Rings {
  const high = (box.maxY - box.minY) / ROWS;
  const open: { left: number[]; right: number[]; from: number; last: Stretch }[] = [];
  const rings: Rings = [];
  const shut = (run: (typeof open)[number]): void => {
    const n = run.left.length;
    const y = (i: number): number => box.minY + (run.from + i + 0.5) * high;
    const top = box.minY + run.from * high;
    const side = (xs: readonly number[]) => [
      { x: xs[0]!, y: top },
      ...xs.map((x, i) => ({ x, y: y(i) })),
      { x: xs[n - 1]!, y: top + n * high },
    ];
    rings.push([...side(run.left), ...side(run.right).reverse()]);
  };
  for (let j = 0; j < ROWS; j++) {
    const stretches = [...rows[j]!];
    for (const run of open.splice(0)) {
      const touching = stretches.filter(([p, q]) => p < run.last[1] && run.last[0] < q);
      const same = touching[0];
      // One that parts or meets others begins anew.
      if (touching.length !== 1 || !same) {
        shut(run);
        continue;
      }
      stretches.splice(stretches.indexOf(same), 1);
      run.left.push(same[0]);
      run.right.push(same[1]);
      run.last = same;
      open.push(run);
    }
    for (const one of stretches) open.push({ left: [one[0]], right: [one[1]], from: j, last: one });
  }
  for (const run of open) shut(run);
  return rings;
}

/** Where a row is of one outcome, ends refined by halving. */
function stretchesOf(box: Box, { a, here, outcome }: Row, one: Outcome): Stretch[] {
  const edge = (i: number): number => {
    let [inside, outside] = here[i] === one ? [a[i]!, a[i + 1]!] : [a[i + 1]!, a[i]!];
    for (let k = 0; k < 6; k++) {
      const middle = (inside + outside) / 2;
      if (outcome(middle) === one) inside = middle;
      else outside = middle;
    }
    return inside;
  };
  const list: Stretch[] = [];
  let from: number | null = here[0] === one ? box.minX : null;
  for (let i = 0; i + 1 < a.length; i++) {
    const [now, next] = [here[i] === one, here[i + 1] === one];
    if (!now && next) from = edge(i);
    if (now && !next && from !== null) {
      list.push([from, edge(i)]);
      from = null;
    }
  }
  if (from !== null) list.push([from, box.maxX]);
  return list;
}
