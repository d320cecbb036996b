/**
 * The vessel's body as rings, turned from its outline: an open cup of any wall, with a rounded rim and base, or a ball on
 * a small foot. Straight walls are one ring; curved ones so many that the chords keep within CHORD of the wall.
 */
import type { Ring } from "./lathe.ts";

/** Rings, and the radius that the body stands on. */
export interface Body {
  readonly rings: Ring[];
  readonly foot: number;
}

/** The wall's radius at y, up along the axis; straight where a single ring is all of it. */
export interface Wall {
  readonly straight: boolean;
  radiusAt(y: number): number;
  /** Where it may have a kink (y). */
  readonly kinks: readonly number[];
}

export const uprightWall = (radius: number): Wall => ({ straight: true, radiusAt: () => radius, kinks: [] });

/** Thickness of the wall as seen at the rim, and how round edges are (mm): our own choice, for the look. */
const WALL = 1.6;
const BASE_ROUND = 4;
/** Rings that a quarter round is made of. */
const LIP_STEPS = 3;
const BASE_STEPS = 9;

/** An edge is never quite sharp (mm); less than a pixel's worth of ink is lost on it. */
const SHARPEST = 0.02;

/** How far a chord may keep from a curved wall, as a share of the largest radius: a fiftieth of a pixel or so. */
const CHORD = 5e-5;
/** Pieces that a curved wall is first cut into, and how often each may be halved. */
const PIECES = 16;
const HALVINGS = 6;
/** The inside of a curved wall is drawn down to so many radii of the rim: no view looks deeper. */
const INSIDE = 1.2;

/** Room between the ink and the rim, and the ink and the base (mm). */
export interface Room {
  readonly above: number;
  readonly below: number;
}

/** An open cup: y from `bottom` to `top`; the ends are rounded where `free` leaves room for it. */
export function openCup(
  wall: Wall,
  bottom: number,
  top: number,
  free: Room = { above: Infinity, below: Infinity },
): Body {
  const within = (usual: number, radius: number, room: number): number =>
    Math.min(radius / 4, (top - bottom) / 4, Math.max(SHARPEST, Math.min(usual, room)));
  const round = within(BASE_ROUND, wall.radiusAt(bottom), free.below);
  const lip = within(WALL / 2, wall.radiusAt(top), free.above);
  const floor = bottom + round;
  const shoulder = top - lip;
  const places = wallPlaces(wall, floor, shoulder);
  const outside = ringsThrough(places, (y) => wall.radiusAt(y), "wall", 0);
  const [low, rim] = [wall.radiusAt(floor), wall.radiusAt(shoulder)];
  const deep = wall.straight ? floor : Math.max(floor, shoulder - INSIDE * rim);
  // A wall that narrows below leaves the inside some room.
  const inner = (y: number): number => Math.max(0.2 * wall.radiusAt(y), wall.radiusAt(y) - 2 * lip);
  const inside = ringsThrough([deep, ...places.filter((y) => y > deep)], inner, "inside", 1);
  const rings: Ring[] = [
    ...outside,
    ...inside,
    { part: "inside", run: 2, y0: deep, r0: 0, y1: deep, r1: inner(deep) },
    ...quarter(BASE_STEPS).map(([c0, s0, c1, s1]): Ring => {
      const [r0, r1] = [low - round * (1 - c1), low - round * (1 - c0)];
      return { part: "edge", run: 3, y0: floor - round * s1, r0, y1: floor - round * s0, r1 };
    }),
    ...quarter(LIP_STEPS).flatMap(([c0, s0, c1, s1]): Ring[] => {
      const [y0, y1] = [shoulder + lip * s0, shoulder + lip * s1];
      return [
        { part: "edge", run: 4, y0, r0: rim - lip * (1 - c0), y1, r1: rim - lip * (1 - c1) },
        // The rim's inner half faces up and inward.
        { part: "inside", run: 1, y0, r0: rim - lip * (1 + c0), y1, r1: rim - lip * (1 + c1) },
      ];
    }),
  ];
  return { rings, foot: low - round };
}

/** Radius of a ball's foot, as a share of its own. */
const FOOT = 0.25;

/** A closed ball about (0, 0), flat where it stands. */
export function ball(radius: number): Body & { readonly bottom: number } {
  const from = -Math.acos(FOOT);
  const count = Math.ceil((Math.PI / 2 - from) / (2 * Math.acos(1 - CHORD)));
  const at = (i: number): number => from + ((Math.PI / 2 - from) * i) / count;
  const rings = Array.from({ length: count }, (_, i): Ring => {
    const [p, q] = [at(i), at(i + 1)];
    return {
      part: "wall",
      run: 0,
      y0: radius * Math.sin(p),
      r0: radius * Math.cos(p),
      y1: radius * Math.sin(q),
      r1: i + 1 === count ? 0 : radius * Math.cos(q),
    };
  });
  return { rings, foot: FOOT * radius, bottom: radius * Math.sin(from) };
}

const ringsThrough = (
  places: readonly number[],
  radiusAt: (y: number) => number,
  part: Ring["part"],
  run: number,
): Ring[] =>
  places.slice(1).map((y1, i) => {
    const y0 = places[i]!;
    return { part, run, y0, r0: radiusAt(y0), y1, r1: radiusAt(y1) };
  });

/** Rising places along the wall, both ends among them, between which chords keep near to it. */
function wallPlaces(wall: Wall, from: number, to: number): number[] {
  if (wall.straight) return [from, to];
  const even = Array.from({ length: PIECES + 1 }, (_, i) => from + ((to - from) * i) / PIECES);
  const first = [...even, ...wall.kinks.filter((y) => y > from && y < to)].sort((p, q) => p - q);
  const near = CHORD * first.reduce((most, y) => Math.max(most, wall.radiusAt(y)), 0);
  const places = [from];
  const add = (y0: number, y1: number, halvings: number): void => {
    const [r0, r1] = [wall.radiusAt(y0), wall.radiusAt(y1)];
    const middle = (y0 + y1) / 2;
    // From the chord at right angles, not along the radius.
    const off = (Math.abs(wall.radiusAt(middle) - (r0 + r1) / 2) * (y1 - y0)) / Math.hypot(y1 - y0, r1 - r0);
    if (off > near && halvings > 0) {
      add(y0, middle, halvings - 1);
      add(middle, y1, halvings - 1);
    } else places.push(y1);
  };
  for (let i = 1; i < first.length; i++)
    if (first[i]! > first[i - 1]!) add(first[i - 1]!, first[i]!, HALVINGS);
  return places;
}

/** Cosine and sine at both ends of each step of a quarter turn. */
function quarter(steps: number): [number, number, number, number][] {
  const at = (i: number): [number, number] => {
    const angle = (Math.PI / 2) * (i / steps);
    return [Math.cos(angle), Math.sin(angle)];
  };
  return Array.from({ length: steps }, (_, i) => [...at(i), ...at(i + 1)]);
}
