/**
 * A strip marked without a cup: every line that the station marks is laid, and what the lines leave is summed on a grid. It
 * shares the house's summing (plan/fill/removalmap.ts), surfaces and head with the product, and nothing of what the product
 * predicts a strip by.
 *
 *   file      flat (a, b) → (u, v) by the job's own head, the crown line on the axis
 *   station   lines at k + ½ pitches of the command plane, clipped by each bar's outline there
 *   truth     (u, v) → where the true beam comes down on the vessel as it stood → fluence, crater, area
 *   cells     volume over 1/J, the vessel's area to each mm² of the command plane → depth
 *
 * All of it is summed in the command plane: there the lines are straight and evenly spaced, so that a cell of whole pitches
 * has no ripple of theirs. A crater is round across the beam; of radius R it reaches in the command plane across a line of
 * normal n, with k = 1/(1 + d/p) on each axis and the beam's lean l = (u/p_x, v/p_y),
 *
 *   R √(|m|² + (l·m)²),   m = (k_x n_x, k_y n_y)
 *
 * Of each bar only a thin slice along b is laid, about its middle: what is met changes along a bar by its lean v/p alone, or
 * with a taper by a few hundredths of a mm, and lines farther off than one's crater leave nothing in the slice's middle.
 */
import { metalThreshold } from "../../src/beam/metal.ts";
import { footprintArea, peakFluence, pulseDensity, pulseEnergy } from "../../src/beam/pulse.ts";
import { pulseVolume } from "../../src/beam/removal.ts";
import { focusedSpot, type Spot, spotGrowth } from "../../src/beam/spot.ts";
import { type Path, PathBuilder } from "../../src/geometry/path.ts";
import { directions, rowsAt } from "../../src/geometry/rows.ts";
import { lean, shrink } from "../../src/head/scanhead.ts";
import type { Job } from "../../src/job/job.ts";
import { surfaceOf } from "../../src/plan/body.ts";
import type { Grid } from "../../src/plan/fill/coverage.ts";
import { removalMap, type Trace } from "../../src/plan/fill/removalmap.ts";
import { headOf } from "../../src/plan/station.ts";
import { type Bar, isCoupon, type Strip, type StripMark } from "../../src/plan/strip/types.ts";
import { coupon } from "../../src/vessel/coupon.ts";
import { shifted } from "../../src/vessel/shifted.ts";
import type { Face } from "../../src/vessel/surface.ts";
import { Warp } from "../../src/warp/warp.ts";
import type { Truth } from "./truth.ts";

/** A stretch of `a` (mm; infinite where it runs on past the strip) and what is not so within it. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly gap: readonly [number, number] | null;
}

/** Where a mark is clear and where metal shows, before anybody reads it; null where nowhere. */
export interface Seen {
  readonly clear: Stretch | null;
  readonly metal: Stretch | null;
}

/** Cells at least so wide (mm), and at most so many across a bar: fine against what a bar shrinks to (our own choice, both). */
const CELL_MM = 0.02;
const CELLS = 24;
/** A slice reaches so many craters, and two pitches, to both sides of a bar's middle: more than a lean makes of a crater. */
const WIDER = 1.1;
/** From node to node of the lattice that the summing works its numbers out at (plan/fill/lattice.ts). */
const NODES_MM = 0.5;

/** What one pulse meets and does that is commanded to (u, v); one object, written anew. */
interface Struck {
  fluence: number;
  /** Radius of the crater across the beam, area of the 1/e² footprint, volume: mm, mm², mm³. */
  crater: number;
  footprint: number;
  volume: number;
  /** ∂(u,v)/∂(area on the vessel); NaN where the beam passes by. */
  J: number;
  kx: number;
  ky: number;
}

class Station {
  readonly #met: Warp<Face>;
  readonly #spot: Spot;
  readonly #truth: Truth;
  readonly #energyMj: number;
  readonly #struck: Struck = { fluence: 0, crater: 0, footprint: 0, volume: 0, J: 0, kx: 1, ky: 1 };
  /** Where that was. */
  #u = Number.NaN;
  #v = Number.NaN;

  constructor(job: Job, truth: Truth, { settings, belowCrownMm }: StripMark, face: Face) {
    const { lens, source, axis } = job;
    this.#met = new Warp(face, {
      ...headOf({ ...lens, pivotMm: truth.pivotMm }, axis),
      belowCrown: belowCrownMm + truth.focusErrorMm,
    });
    const { m2, beamDiameterMm } = truth;
    this.#spot = focusedSpot({ wavelengthNm: source.wavelengthNm, m2, beamDiameterMm }, lens.focalLengthMm);
    this.#truth = truth;
    this.#energyMj = pulseEnergy(settings.powerW, settings.frequencyKHz);
  }

  strike(u: number, v: number): Readonly<Struck> {
    const [out, met, spot] = [this.#struck, this.#met, this.#spot];
    if (u === this.#u && v === this.#v) return out;
    this.#u = u;
    this.#v = v;
    const { thresholdJPerCm2: threshold, depthUm } = this.#truth;
    out.fluence = out.crater = out.footprint = out.volume = 0;
    out.J = Number.NaN;
    const flat = met.inverse({ x: u, y: v });
    if (typeof flat === "string") return out;
    const { defocus, slant, cosIncidence, areaRatio } = met.meetingUnchecked(flat.x, flat.y);
    const w = (spot.waistDiameterMm / 2) * spotGrowth(defocus * slant, spot);
    out.fluence = peakFluence(this.#energyMj, w, cosIncidence);
    out.footprint = footprintArea(w, cosIncidence);
    out.J = areaRatio;
    out.kx = shrink(defocus, met.head.pivotAcross);
    out.ky = shrink(defocus, met.head.pivotAlong);
    if (out.fluence > threshold) {
      out.crater = w * Math.sqrt(Math.log(out.fluence / threshold) / 2);
      out.volume = pulseVolume(out.fluence, threshold, depthUm / 1000, out.footprint);
    }
    return out;
  }

  /** Half of what one pulse leaves in the command plane, across a line of normal (nx, ny). */
  halfWidth(u: number, v: number, nx: number, ny: number): number {
    const { crater, kx, ky } = this.strike(u, v);
    const [mx, my] = [kx * nx, ky * ny];
    const { pivotAcross, pivotAlong } = this.#met.head;
    return crater * Math.hypot(mx, my, lean(u, pivotAcross) * mx + lean(v, pivotAlong) * my);
  }
}

/** A place on a bar: how the coat and the metal are there, both above 0 where it is so. */
interface Place {
  readonly a: number;
  readonly clear: number;
  readonly metal: number;
}

class Simulation {
  readonly #strip: Strip;
  readonly #mark: StripMark;
  readonly #truth: Truth;
  readonly #bent: Warp<Face>;
  readonly #station: Station;

  constructor(strip: Strip, mark: StripMark, truth: Truth, tilt: number) {
    const { job } = strip;
    const lies = (at: number): Face => (isCoupon(strip) ? coupon(at) : surfaceOf(job));
    this.#strip = strip;
    this.#mark = mark;
    this.#truth = truth;
    this.#bent = new Warp(lies(tiltOf(strip)), {
      ...headOf(job.lens, job.axis),
      belowCrown: mark.belowCrownMm,
    });
    // A coupon's height is measured where the axis meets it: one that lies to the side is one at another height.
    const face = isCoupon(strip) ? lies(tilt) : shifted(lies(tilt), truth.sidewaysMm);
    this.#station = new Station(job, truth, mark, face);
  }

  /** All that is looked at, from left to right. */
  places(): Place[] {
    return this.#strip.bars.flatMap((bar) => this.#across(bar));
  }

  #across({ atMm, widthMm }: Bar): Place[] {
    const { settings, rowMm } = this.#mark;
    const { pitchMm } = settings;
    const [left, right] = [atMm - widthMm / 2, atMm + widthMm / 2];
    const [start, end] = [this.#command(left, rowMm), this.#command(right, rowMm)];
    const v = (start.y + end.y) / 2;
    const reach = [start.x, (start.x + end.x) / 2, end.x].map((u) => this.#station.strike(u, v).crater);
    const half = Math.min(this.#strip.barHeightMm / 2, WIDER * Math.max(...reach) + 2 * pitchMm);
    const slice = this.#outline(left, right, rowMm - half, rowMm + half);
    const margin = reach[1]! + pitchMm;
    const grid = gridAcross(start.x + margin, end.x - margin, v, pitchMm);
    const depth = removalMap(grid, this.#traces(slice), (x, y) => 1 / this.#station.strike(x, y).J);
    return inner(grid, start.x + margin, end.x - margin).map((i) => {
      const u = grid.left + (i + 0.5) * grid.cellMm;
      // u runs straight with a to 2 µm in a bar of 0.6 mm.
      const a = left + ((u - start.x) / (end.x - start.x)) * widthMm;
      return this.#place(a, u, v, depth[i]!);
    });
  }

  #place(a: number, u: number, v: number, depthMm: number): Place {
    const { thicknessUm, metalThresholdJPerCm2, incubation } = this.#truth;
    const layers = Number.isNaN(depthMm) ? 0 : (depthMm * 1000) / thicknessUm;
    // The root of the depth runs nearly straight with the logarithm of the fluence: V goes with its square.
    const clear = Math.sqrt(layers) - 1;
    if (clear < 0) return { a, clear, metal: clear };
    const { fluence, footprint, J } = this.#station.strike(u, v);
    const { settings } = this.#mark;
    const sets = settings.passes * settings.anglesDeg.length;
    const pulses = sets * pulseDensity(settings.frequencyKHz, settings) * J * footprint;
    const after = pulses * (1 - 1 / layers);
    const metal = fluence / metalThreshold(metalThresholdJPerCm2, incubation, after) - 1;
    return { a, clear, metal: Math.min(clear, metal) };
  }

  #traces(slice: Path<"command">): Trace[] {
    const { anglesDeg, pitchMm, passes, frequencyKHz, speedMmS } = this.#mark.settings;
    const station = this.#station;
    const perMm = (passes * 1000 * frequencyKHz) / speedMmS;
    return anglesDeg.map((angleDeg): Trace => {
      const [, , nx, ny] = directions(angleDeg);
      const at = evenly(slice, nx, ny, pitchMm);
      return {
        angleDeg,
        at,
        rows: rowsAt([slice], angleDeg, at),
        volumeAt: (u, v) => perMm * station.strike(u, v).volume,
        halfWidthAt: (u, v) => station.halfWidth(u, v, nx, ny),
      };
    });
  }

  #command(a: number, b: number): { readonly x: number; readonly y: number } {
    const command = this.#bent.forward({ x: a, y: b });
    if (typeof command === "string") throw new RangeError(`a bar at ${a} mm cannot be marked: ${command}`);
    return command;
  }

  #outline(left: number, right: number, top: number, bottom: number): Path<"command"> {
    const builder = new PathBuilder<"command">();
    const corners = [
      [left, top],
      [right, top],
      [right, bottom],
      [left, bottom],
    ] as const;
    corners.forEach(([a, b], i) => {
      const { x, y } = this.#command(a, b);
      if (i === 0) builder.move(x, y);
      else builder.line(x, y);
    });
    return builder.close().build();
  }
}

/**
 * One row of cells of whole pitches about a bar's middle, over what of it is looked at. It is whole steps of the lattice wide,
 * so that a mirrored bar has mirrored nodes.
 */
function gridAcross(left: number, right: number, v: number, pitch: number): Grid {
  const cellMm = Math.ceil(Math.max(CELL_MM, (right - left) / CELLS) / pitch - 1e-9) * pitch;
  const stride = Math.max(1, Math.round(NODES_MM / cellMm));
  const columns = stride * Math.max(1, Math.ceil((right - left) / (stride * cellMm)));
  return { left: (left + right - columns * cellMm) / 2, top: v - cellMm / 2, cellMm, columns, rows: 1 };
}

/** The cells that lie between; where there is none, as of a bar hardly wider than a line, the middle ones. */
function inner({ left, cellMm, columns }: Grid, from: number, to: number): number[] {
  const first = Math.ceil((from - left) / cellMm - 1e-9);
  const last = Math.floor((to - left) / cellMm + 1e-9) - 1;
  if (first <= last) return Array.from({ length: last - first + 1 }, (_, i) => first + i);
  const middle = (columns - 1) / 2;
  return [...new Set([Math.floor(middle), Math.ceil(middle)])];
}

/** Rows at k + ½ pitches over a path. */
function evenly({ contours }: Path<"command">, nx: number, ny: number, pitch: number): Float64Array {
  let [low, high] = [Infinity, -Infinity];
  for (const { points } of contours) {
    for (let i = 0; i < points.length; i += 2) {
      const t = points[i]! * nx + points[i + 1]! * ny;
      low = Math.min(low, t);
      high = Math.max(high, t);
    }
  }
  const first = Math.ceil(low / pitch - 0.5);
  const count = Math.max(0, Math.floor(high / pitch - 0.5) - first + 1);
  return Float64Array.from({ length: count }, (_, k) => (first + k + 0.5) * pitch);
}

export const tiltOf = ({ tiltDeg }: Strip): number => ((tiltDeg ?? 0) * Math.PI) / 180;

/** Where a mark is clear and shows metal; `tilt` (radians): of a coupon, where it is not the strip's. */
export function seenOf(strip: Strip, mark: StripMark, truth: Truth, tilt = tiltOf(strip)): Seen {
  const places = new Simulation(strip, mark, truth, tilt).places();
  return { clear: stretchOf(places, ({ clear }) => clear), metal: stretchOf(places, ({ metal }) => metal) };
}

/** From the first place where it is so to the last; between places it is taken to run straight. */
function stretchOf(places: readonly Place[], of: (place: Place) => number): Stretch | null {
  const [begins, ends]: [number[], number[]] = [[], []];
  places.forEach((place, i) => {
    const [here, before] = [of(place), i === 0 ? null : places[i - 1]!];
    if (before === null) {
      if (here >= 0) begins.push(-Infinity);
      return;
    }
    const was = of(before);
    if (was >= 0 === here >= 0) return;
    (here >= 0 ? begins : ends).push(before.a + ((place.a - before.a) * was) / (was - here));
  });
  if (begins.length === 0) return null;
  if (begins.length > ends.length) ends.push(Infinity);
  return {
    from: begins[0]!,
    to: ends.at(-1)!,
    gap: begins.length > 1 ? [ends[0]!, begins.at(-1)!] : null,
  };
}
