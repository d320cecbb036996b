/** Where a cut between turns goes through ink. */
import type { Place, Run } from "./unrolled.ts";

export interface Inked {
  readonly filled: boolean;
  readonly runs: readonly Run[];
}

/** From one place along the cut to another; both the same where it only crosses a centre line. Lengths in mm. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

export interface Crossing extends Place {
  /** Length of the cut within ink, mm; 0 at a centre line. */
  readonly lengthMm: number;
}

/**
 * The middles of the cut's stretches through ink, from its top down; those less than `apartMm` apart are one.
 * `radius`: mm on the vessel for a radian.
 */
export function crossings(
  cut: readonly Place[],
  inks: readonly Inked[],
  radius: number,
  apartMm: number,
): Crossing[] {
  const along = alongOf(cut, radius);
  const found = inks.flatMap((ink) => stretchesIn(cut, along, ink, radius));
  return merged(found, apartMm).map(({ from, to, lengthMm }) => ({
    ...placeAt(cut, along, (from + to) / 2),
    lengthMm,
  }));
}

/** Length along the cut up to each of its points. */
function alongOf(cut: readonly Place[], radius: number): number[] {
  const along = [0];
  for (let i = 1; i < cut.length; i++) {
    const [p, q] = [cut[i - 1]!, cut[i]!];
    along.push(along[i - 1]! + Math.hypot(radius * (q.theta - p.theta), q.m - p.m));
  }
  return along;
}

function stretchesIn(
  cut: readonly Place[],
  along: readonly number[],
  { filled, runs }: Inked,
  radius: number,
): Stretch[] {
  const met: number[] = [];
  for (let i = 1; i < cut.length; i++) {
    const [p, q] = [cut[i - 1]!, cut[i]!];
    const [dx, dy] = [radius * (q.theta - p.theta), q.m - p.m];
    const length2 = dx * dx + dy * dy;
    if (length2 === 0) continue;
    // On which side of the cut's line a place lies; one on it counts to the right, so that corners count once.
    const side = ({ theta, m }: Place): number => dx * (m - p.m) - dy * radius * (theta - p.theta);
    for (const { places, closed } of runs) {
      for (let k = closed ? 0 : 1; k < places.length; k++) {
        const [u, v] = [places[k === 0 ? places.length - 1 : k - 1]!, places[k]!];
        const [su, sv] = [side(u), side(v)];
        if (su < 0 === sv < 0) continue;
        const t = su / (su - sv);
        const x = radius * (u.theta + t * (v.theta - u.theta) - p.theta);
        const y = u.m + t * (v.m - u.m) - p.m;
        const s = (x * dx + y * dy) / length2;
        if (s >= 0 && s < 1) met.push(along[i - 1]! + s * Math.sqrt(length2));
      }
    }
  }
  met.sort((a, b) => a - b);
  if (!filled) return met.map((at) => ({ from: at, to: at }));
  const stretches: Stretch[] = [];
  for (let i = 0; i + 1 < met.length; i += 2) stretches.push({ from: met[i]!, to: met[i + 1]! });
  return stretches;
}

function merged(stretches: readonly Stretch[], apartMm: number): (Stretch & { lengthMm: number })[] {
  const all: (Stretch & { lengthMm: number })[] = [];
  for (const { from, to } of [...stretches].sort((a, b) => a.from - b.from)) {
    const last = all.at(-1);
    if (!last || from - last.to > apartMm) all.push({ from, to, lengthMm: to - from });
    else {
      const more = Math.max(0, to - Math.max(from, last.to));
      all[all.length - 1] = {
        from: last.from,
        to: Math.max(last.to, to),
        lengthMm: last.lengthMm + more,
      };
    }
  }
  return all;
}

function placeAt(cut: readonly Place[], along: readonly number[], at: number): Place {
  const i = Math.max(
    1,
    along.findIndex((length) => length >= at),
  );
  const [p, q] = [cut[i - 1]!, cut[i]!];
  const long = along[i]! - along[i - 1]!;
  const t = long > 0 ? (at - along[i - 1]!) / long : 0;
  return { theta: p.theta + t * (q.theta - p.theta), m: p.m + t * (q.m - p.m) };
}
