/**
 * How a straight line of the flat lies on the vessel and in the command plane. With r(a, b) on the surface, c(a, b) in the
 * command plane and e = (cos, sin) the line's direction on the flat:
 *
 *   along = |∂c/∂e|    commanded length per mm of line     stretch = |∂r/∂e|    length on the vessel per mm of line
 *   area = √det G      area on the vessel per mm² (do Carmo, Differential Geometry of Curves and Surfaces, §2-5)
 *
 * Lines a distance h apart on the flat lie h·area/stretch apart on the vessel, and commanded at the speed v they run at
 * v·stretch/along there; so that a set of them lays f/(v h) · along/area pulses on each mm² of the vessel.
 */
import { directions } from "../../geometry/rows.ts";
import type { Warp } from "../../warp/warp.ts";

/** Lines of this angle run along the vessel's axis. */
export const isAlong = (angleDeg: number): boolean => Math.abs(angleDeg % 180) === 90;

export interface Lie {
  along: number;
  stretch: number;
  area: number;
}

/** Asks for one direction; the answer is written anew each time. */
export class Lying {
  readonly #warp: Warp;
  readonly #cos: number;
  readonly #sin: number;
  readonly #jet = new Float64Array(7);
  readonly #at = new Float64Array(12);
  readonly #out: Lie = { along: 0, stretch: 0, area: 0 };

  constructor(warp: Warp, angleDeg: number) {
    [this.#cos, this.#sin] = directions(angleDeg);
    this.#warp = warp;
  }

  /** At a point that the warp maps. */
  at(a: number, b: number): Readonly<Lie> {
    const [cos, sin, j, s, out] = [this.#cos, this.#sin, this.#jet, this.#at, this.#out];
    this.#warp.at(a, b, j);
    this.#warp.surface.at(a, b, s);
    out.along = Math.hypot(j[2]! * cos + j[3]! * sin, j[4]! * cos + j[5]! * sin);
    const E = s[3]! ** 2 + s[5]! ** 2 + s[7]! ** 2;
    const F = s[3]! * s[4]! + s[5]! * s[6]! + s[7]! * s[8]!;
    const G = s[4]! ** 2 + s[6]! ** 2 + s[8]! ** 2;
    out.stretch = Math.sqrt(E * cos * cos + 2 * F * cos * sin + G * sin * sin);
    out.area = Math.sqrt(E * G - F * F);
    return out;
  }

  /** The stretch alone, at half the price. */
  stretchAt(a: number, b: number): number {
    const s = this.#at;
    this.#warp.surface.at(a, b, s);
    const x = s[3]! * this.#cos + s[4]! * this.#sin;
    const y = s[5]! * this.#cos + s[6]! * this.#sin;
    const down = s[7]! * this.#cos + s[8]! * this.#sin;
    return Math.sqrt(x * x + y * y + down * down);
  }
}
