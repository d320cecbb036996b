/**
 * The proof by simulation: plain fill, even fill and bands are all laid on the ink, what their lines leave is summed on a
 * grid, and the spread is read from it. For bands the lines are those of a station that fills outlines with a pitch that is
 * the same in the command plane, each as strong as its band's factor makes it.
 */
import type { Spot } from "../../beam/spot.ts";
import { type Box, uniteBoxes } from "../../geometry/path.ts";
import type { Fill as Asked } from "../../job/job.ts";
import { JobError } from "../../problem.ts";
import type { Warp } from "../../warp/warp.ts";
import { spotAcross } from "../thin/spot.ts";
import { coverageOf, type Grid, gridOver, insideOf } from "./coverage.ts";
import { Lattice } from "./lattice.ts";
import { Lying } from "./lie.ts";
import { TOO_DENSE, type TurnLines } from "./lines.ts";
import { pointOf } from "./order.ts";
import type { Pitches } from "./pitch.ts";
import { removalMap, type Spread, spreadOf, type Trace } from "./removalmap.ts";
import type { Bands, Fill, ProofKind, TurnProof } from "./types.ts";
import type { Worth } from "./worth.ts";

/** The pitches of each set, by what lays it. */
export interface Laying {
  readonly plain: readonly Pitches[];
  readonly even: readonly Pitches[] | null;
  readonly station: readonly Pitches[];
}

export function proofOf(
  inks: readonly TurnLines[],
  warp: Warp,
  spot: Spot,
  worth: Worth,
  asked: Asked,
  laying: Laying,
  bands: Bands | null,
): Pick<Fill, "proof" | "spread" | "stationSpread"> {
  const simulation = new Simulation(warp, spot, worth, asked);
  const proof = inks.map((ink) => {
    const box = ink.shapes.map((s) => s.box).reduce<Box | null>(uniteBoxes, null);
    return box && simulation.of(ink, box, laying, bands);
  });
  const made = proof.filter((one) => one !== null);
  const spread = (of: (turn: TurnProof) => Float32Array | null): Spread | null =>
    made.some((turn) => of(turn) === null) ? null : spreadOver(made, (turn) => of(turn)!);
  const kind = (one: ProofKind): Spread | null => spread((turn) => turn.maps[one]);
  return {
    proof,
    spread: { plain: kind("plain"), even: kind("even"), bands: kind("bands") },
    stationSpread: spread((turn) => turn.station),
  };
}

function spreadOver(proof: readonly TurnProof[], of: (turn: TurnProof) => Float32Array): Spread | null {
  const [only] = proof;
  if (!only) return null;
  if (proof.length === 1) return spreadOf(of(only), only.counts);
  const size = proof.reduce((sum, { counts }) => sum + counts.length, 0);
  const [map, counts] = [new Float32Array(size), new Uint8Array(size)];
  let at = 0;
  for (const turn of proof) {
    map.set(of(turn), at);
    counts.set(turn.counts, at);
    at += turn.counts.length;
  }
  return spreadOf(map, counts);
}

/** Null where there would be too many lines: what is only compared with does not stop a job. */
function ifLaid(map: () => Float32Array): Float32Array | null {
  try {
    return map();
  } catch (error) {
    if (error instanceof JobError && error.problem.code === TOO_DENSE) return null;
    throw error;
  }
}

/** In each cell at least (our own choice). */
const PITCHES = 4;

class Simulation {
  readonly #warp: Warp;
  readonly #spot: Spot;
  readonly #worth: Worth;
  readonly #asked: Asked;

  constructor(warp: Warp, spot: Spot, worth: Worth, asked: Asked) {
    this.#warp = warp;
    this.#spot = spot;
    this.#worth = worth;
    this.#asked = asked;
  }

  of(ink: TurnLines, box: Box, laying: Laying, bands: Bands | null): TurnProof {
    const wide = this.#spot.waistDiameterMm;
    const grid = this.#grid(box);
    const coverage = coverageOf(
      ink.shapes.map((shape) => shape.path),
      grid,
    );
    const map = (pitches: readonly Pitches[], power?: number): Float32Array =>
      this.#map(ink, grid, pitches, power);
    const { plain, even, station } = laying;
    let known: Float32Array | undefined;
    const own = (): Float32Array => {
      known ??= map(station);
      return known;
    };
    const maps: Record<ProofKind, Float32Array | null> = {
      plain: ifLaid(() => map(plain)),
      even: even && ifLaid(() => map(even)),
      bands:
        bands &&
        ifLaid(() => this.#banded(grid, bands, (power) => (power === 1 ? own() : map(station, power)))),
    };
    return { grid, coverage, counts: insideOf(coverage, grid, wide), maps, station: ifLaid(own) };
  }

  /** Cells of whole pitches, so that no ripple shows that is but the cells' own beat with the lines. */
  #grid(box: Box): Grid {
    const pitch = this.#asked.pitchMm;
    const whole = (cell: number): number => Math.ceil(cell / pitch - 1e-9) * pitch;
    const fine = whole(Math.max(this.#spot.waistDiameterMm, PITCHES * pitch));
    const grid = gridOver(box, fine);
    return grid.cellMm > fine ? gridOver(box, whole(grid.cellMm)) : grid;
  }

  /**
   * Of each cell what its band's factor makes of it. Speed divides; power is laid once at the largest factor, and each cell has
   * of that the share which a line of its own band's power is worth there.
   */
  #banded(grid: Grid, { bands, bandAt }: Bands, map: (power: number) => Float32Array): Float32Array {
    const byPower = this.#asked.bandsBy === "power";
    const powers = bands.map((band) => (byPower && band.powerFactor) || 1);
    const most = Math.max(...powers);
    const shares = powers.map((power) => (a: number, b: number): number => {
      const met = this.#warp.meeting(a, b);
      if (typeof met === "string") return Number.NaN;
      const all = this.#worth.perMm(met, most);
      return all > 0 ? this.#worth.perMm(met, power) / all : 0;
    });
    const lattice = byPower ? new Lattice(grid, ...shares) : null;
    const here = new Float64Array(bands.length).fill(1);
    const { left, top, cellMm, columns } = grid;
    return map(most).map((depth, i) => {
      if (!(depth > 0)) return depth;
      const [x, y] = [(i % columns) + 0.5, Math.floor(i / columns) + 0.5];
      const k = bandAt(left + x * cellMm, top + y * cellMm);
      if (!bands[k]) return Number.NaN;
      lattice?.at(x, y, here);
      return (depth * here[k]!) / ((!byPower && bands[k].speedFactor) || 1);
    });
  }

  #map(ink: TurnLines, grid: Grid, pitches: readonly Pitches[], power?: number): Float32Array {
    const warp = this.#warp;
    const traces = this.#asked.anglesDeg.map((angleDeg, i): Trace => {
      const lying = new Lying(warp, angleDeg);
      const [da, db] = pointOf(0, 1, angleDeg);
      return {
        angleDeg,
        ...ink.of(i, pitches[i]!),
        volumeAt: (a, b) => {
          const met = warp.meeting(a, b);
          return typeof met === "string" ? Number.NaN : this.#worth.perMm(met, power) * lying.at(a, b).along;
        },
        halfWidthAt: (a, b) => {
          const met = warp.meeting(a, b);
          if (typeof met === "string") return Number.NaN;
          const { widthMm, spotMm } = spotAcross(warp, this.#spot, a, b, da, db);
          return (this.#worth.halfWidth(met) * spotMm) / widthMm / 2;
        },
      };
    });
    const lying = new Lying(warp, 0);
    return removalMap(grid, traces, (a, b) =>
      typeof warp.meeting(a, b) === "string" ? Number.NaN : lying.at(a, b).area,
    );
  }
}
