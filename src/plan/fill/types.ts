/** What the fill comes to: lines in marking order, bands, and the proof that they are even. */
import type { Box, Path } from "../../geometry/path.ts";
import type { Fill as Asked } from "../../job/job.ts";
import type { Problem } from "../../problem.ts";
import type { InkShape } from "../ink.ts";
import type { Met } from "../process/process.ts";
import type { Mark } from "../types.ts";
import type { Grid } from "./coverage.ts";
import type { Laid } from "./order.ts";
import type { Spread } from "./removalmap.ts";

/** Lines of a kind, or of nothing but outlines. */
export interface Lengths {
  readonly lines: number;
  /** As the head runs it, in the command plane. */
  readonly commandLengthMm: number;
  readonly jumpLengthMm: number;
}

export interface SetFacts extends Lengths {
  readonly angleDeg: number;
  /** Of all its lines, on the vessel. */
  readonly markLengthMm: number;
  /** Smallest and largest distance of neighbouring lines on the vessel; 0 where the set has none. */
  readonly pitchMinMm: number;
  readonly pitchMaxMm: number;
  /** Slowest and fastest that the beam runs on the vessel, over the speed commanded. */
  readonly slowest: number;
  readonly fastest: number;
}

/** One set of one turn. */
export interface LaidSet extends SetFacts {
  /** On the turn's own flat, in marking order. */
  readonly laid: Laid;
  /** Around its lines in the file; null where there are none. */
  readonly box: Box | null;
}

/** The outline half a spot inside the ink. */
export interface OutlinePass extends Lengths {
  /** In the command plane, turned for the bed's axis; one closed outline each, in marking order. */
  readonly paths: readonly Path<"command">[];
  /** Ink that is too narrow for the spot, or lies in the tip of a sharp corner: it is filled, but has no outline (mm²). */
  readonly lostMm2: number;
}

export interface TurnFill {
  readonly sets: readonly LaidSet[];
  /** Null where none is asked for. */
  readonly outline: OutlinePass | null;
  /** The outlines of each band as the station gets them; null where no bands are asked for. */
  readonly bands: readonly (readonly Mark[])[] | null;
}

/** Where the falloff cannot be evened. */
export interface Uneven {
  /** Distances from the crown line on the flat: to both sides as far as there is ink. */
  readonly fromMm: number;
  readonly toMm: number;
  /** From where to where along the axis, from the placement point. */
  readonly alongMm: readonly [number, number];
  readonly reason: "below-threshold" | "smallest-pitch";
  /** Of the usable ink. */
  readonly share: number;
}

export const proofs = ["plain", "even", "bands"] as const;
export type ProofKind = (typeof proofs)[number];

/**
 * What each kind of fill leaves on one turn's ink: depth in mm, or without a coating worth in a unit of its own.
 */
export interface TurnProof {
  readonly grid: Grid;
  /** Share of each cell that is ink. */
  readonly coverage: Float32Array;
  /** 1 where a cell counts: wholly inside the ink and a spot from its edge. */
  readonly counts: Uint8Array;
  /** Null where the kind cannot be laid (no set along the axis). */
  readonly maps: Readonly<Record<ProofKind, Float32Array | null>>;
  /** The same of the station's own fill of the outlines, its lines evenly spaced in the command plane. */
  readonly station: Float32Array | null;
}

export interface Band {
  /** Distances from the crown line, around on the vessel, degrees: to both sides as far as there is ink. */
  readonly intervalsDeg: readonly (readonly [number, number])[];
  /** Of the usable ink. */
  readonly share: number;
  /** Of the usable ink: what of the band is worth nothing (below the threshold). */
  readonly dead: number;
  /** Mean worth of the rest as the station would fill it, over that of the strongest band. */
  readonly falloff: number;
  /** What makes it as strong as the strongest; null where nothing does (below the threshold). */
  readonly speedFactor: number | null;
  readonly powerFactor: number | null;
}

export interface Bands {
  /** From the strongest to the weakest. */
  readonly bands: readonly Band[];
  /** The factor of the band that a point is in, by what was asked: what its speed or power is multiplied by. */
  factorAt(a: number, b: number): number;
  /** The band that a point is in. */
  bandAt(a: number, b: number): number;
}

export interface Fill {
  readonly asked: Asked;
  /** True where evenness is of the removal, false where of the areal falloff. */
  readonly removal: boolean;
  /** In the turns' order. */
  readonly turns: readonly TurnFill[];
  /** Over all turns. */
  readonly sets: readonly SetFacts[];
  readonly outline: Lengths | null;
  readonly lostOutlineMm2: number;
  /** All passes; null where no speed is known. */
  readonly seconds: number | null;
  readonly uneven: readonly Uneven[];
  /** For each part of the ink that no line crosses the shape that it is of. */
  readonly missed: readonly InkShape[];
  /** True where the coating is removed nowhere. */
  readonly neverClears: boolean;
  /** In the turns' order; null for one without filled ink within the limits. */
  readonly proof: readonly (TurnProof | null)[];
  readonly spread: Readonly<Record<ProofKind, Spread | null>>;
  /** Of the station's own fill. */
  readonly stationSpread: Spread | null;
  /** As asked for; for the proof alone where they are not. */
  readonly bands: Bands | null;
  /** What was met while cutting the bands. */
  readonly problems: readonly Problem[];
  /**
   * What is met at a point of lines that are laid, or of the station's own in bands: with the J and the power there. Null where
   * it is the station's as ever.
   */
  readonly metAt: ((met: Met, a: number, b: number) => Met) | null;
}
