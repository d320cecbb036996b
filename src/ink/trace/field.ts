/** What is found of a bitmap: coverage of ink, its colours, and whether it is a drawing at all. */
import { type Faint, faintParts } from "./faint.ts";
import { type Choice, mixField } from "./mix.ts";
import type { Seen } from "./seen.ts";
import { busyShare, isDots, isShaded, strayShare } from "./shares.ts";

export interface InkField {
  /** Coverage of ink, row by row; inside is value ≥ 0.5. */
  readonly value: Float32Array;
  /**
   * Share of pixels, 0…1, that have none of the picture's even colours and belong to no edge between them. About 0
   * for a picture in a few colours, drawn or photographed evenly; large for a photograph or a gradient.
   */
  readonly offTone: number;
  /** Share, 0…1, of links between neighbouring pixels that an outline crosses: large for halftones and noise. */
  readonly busy: number;
  /**
   * What shows in the picture, but nowhere covers half a pixel or is past the threshold; the largest first. None is
   * looked for in shades and dots.
   */
  readonly faint: readonly Faint[];
  /** The even colours, as the picture is seen, the commonest first; chosen are those that are ink. */
  readonly colours: readonly Choice[];
}

/** A faint part of so little coverage (pixels²) may be what three colours leave where they meet. */
const LEAST_FAINT = 3;

/** The field of a picture mixed of even colours; `otherwise` is the coverage of a pixel that is no blend of them. */
export function mixedField(
  seen: Seen,
  width: number,
  height: number,
  colours: readonly Choice[],
  otherwise: (i: number) => number,
): InkField {
  const { value, known } = mixField(seen, width, height, colours, otherwise);
  const offTone = strayShare(width, height, value, (i) => known[i] === 1);
  const busy = busyShare(width, height, value);
  const isDrawing = !isShaded(offTone) && !isDots(busy, width, height);
  const level = (): null => null;
  const faint = isDrawing ? faintParts({ width, height, value, least: LEAST_FAINT, level }) : [];
  return { value, offTone, busy, faint, colours };
}
