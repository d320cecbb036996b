/**
 * Pulses laid down one by one on a tilted plane, by vectors alone: no kernel of the beam room is used here.
 *
 * Space is (X, Y, up), mm; the command plane is up = 0, and the plane that is struck passes below (0, 0) at the
 * given drop and falls toward +Y. A beam runs from the pivot (or straight down) through its command point.
 */
import { cylinder } from "../../src/vessel/cylinder.ts";
import type { Surface } from "../../src/vessel/surface.ts";

/** Uniform in [0, 1), the same for the same seed (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Drop at (0, 0) and fall toward +Y. */
export interface Tilt {
  readonly dropMm: number;
  readonly angle: number;
}

/** The plane as a surface: a along X, b down the slope. */
export const tiltedPlane = ({ dropMm, angle }: Tilt): Surface => {
  const [sin, cos] = [Math.sin(angle), Math.cos(angle)];
  return {
    ...cylinder(1e6, "sight"),
    alikeAlong: false,
    covers: () => true,
    at(a, b, out) {
      out.set([a, b * cos, dropMm + b * sin, 1, 0, 0, cos, 0, sin, 0, sin, cos]);
    },
    flatOf(x, y, _s, out) {
      out.set([x, y / cos]);
    },
    firstHit: () => Number.NaN,
  };
};

/** One beam: radius at the plane, energy, and where all beams come from. */
export interface Pulses {
  readonly radiusMm: number;
  readonly energyMj: number;
  /** Height of the pivot above (0, 0), or Infinity: straight down. */
  readonly pivotMm: number;
}

/** A rectangle of cells on the plane around (a, b); what each pulse leaves adds up in them. */
export class Patch {
  readonly #tilt: Tilt;
  readonly #cells: Float64Array;
  readonly #side: { a: number; b: number; columns: number; rows: number; cell: number };

  constructor(tilt: Tilt, centre: { a: number; b: number }, half: { a: number; b: number }, cell: number) {
    this.#tilt = tilt;
    const columns = Math.round((2 * half.a) / cell);
    const rows = Math.round((2 * half.b) / cell);
    this.#cells = new Float64Array(columns * rows);
    this.#side = { a: centre.a - half.a, b: centre.b - half.b, columns, rows, cell };
  }

  /**
   * A pulse commanded to (u, v): each cell nearer than `reachMm` to the beam's axis gets `leaves` of its fluence
   * in J/cm², I = 2E/(πw²) exp(−2r²/w²) across the beam, times the cosine to the plane's normal.
   */
  strike(u: number, v: number, pulses: Pulses, reachMm: number, leaves: (fluence: number) => number): void {
    const { a: a0, b: b0, columns, rows, cell } = this.#side;
    const [sin, cos] = [Math.sin(this.#tilt.angle), Math.cos(this.#tilt.angle)];
    const p = pulses.pivotMm;
    const length = p === Infinity ? 1 : Math.hypot(u, v, p);
    // The unit direction, downward.
    const t = p === Infinity ? [0, 0, -1] : [u / length, v / length, -p / length];
    const against = -(sin * t[1]! + cos * t[2]!);
    if (!(against > 0)) throw new Error("the beam comes from behind the plane");
    // The plane is Y sin + (up + drop) cos = 0.
    const along = (v * sin + this.#tilt.dropMm * cos) / against;
    const at = [u + along * t[0]!, v + along * t[1]!, along * t[2]!];
    const [a, b] = [at[0]!, at[1]! * cos - (at[2]! + this.#tilt.dropMm) * sin];
    const wide = reachMm / against;
    const peak = ((2 * pulses.energyMj) / (Math.PI * pulses.radiusMm ** 2)) * 0.1 * against;
    const first = Math.max(0, Math.floor((b - wide - b0) / cell));
    const last = Math.min(rows - 1, Math.ceil((b + wide - b0) / cell));
    const left = Math.max(0, Math.floor((a - wide - a0) / cell));
    const right = Math.min(columns - 1, Math.ceil((a + wide - a0) / cell));
    for (let j = first; j <= last; j++) {
      const db = b0 + (j + 0.5) * cell - b;
      for (let i = left; i <= right; i++) {
        const da = a0 + (i + 0.5) * cell - a;
        // From the landing point to the cell: (da, db cos, −db sin); what of it is across the beam.
        const parallel = da * t[0]! + db * (cos * t[1]! - sin * t[2]!);
        const r2 = da * da + db * db - parallel * parallel;
        if (r2 > reachMm * reachMm) continue;
        this.#cells[j * columns + i]! += leaves(peak * Math.exp((-2 * r2) / pulses.radiusMm ** 2));
      }
    }
  }

  mean(): number {
    return this.#cells.reduce((sum, d) => sum + d, 0) / this.#cells.length;
  }
}

/**
 * Visits the pulses of one set of lines over a disc of the command plane: lines `pitchMm` apart and turned by
 * `turn`, pulses `stepMm` apart. Lines and pulses start at random phases and each pulse is off by up to a tenth.
 */
export function layLines(
  set: { pitchMm: number; stepMm: number; turn: number },
  disc: { u: number; v: number; radius: number },
  random: () => number,
  visit: (u: number, v: number) => void,
): void {
  const { pitchMm, stepMm, turn } = set;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const off = (): number => 0.2 * (random() - 0.5);
  const start = random();
  const n = Math.ceil(disc.radius / pitchMm) + 1;
  const m = Math.ceil(disc.radius / stepMm) + 1;
  for (let k = -n; k <= n; k++) {
    const phase = random();
    for (let i = -m; i <= m; i++) {
      const x = (i + phase + off()) * stepMm;
      const y = (k + start + off()) * pitchMm;
      visit(disc.u + c * x - s * y, disc.v + s * x + c * y);
    }
  }
}
