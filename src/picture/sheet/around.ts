/** Where what stands on the vessel has got to once it is indexed: from each turn's own crown line, and what points down. */
import type { Plan, Turn } from "../../plan/types.ts";

/** Around from a crown line, to the right seen from the lens (degrees): from ≤ to, the same where it is a line. */
interface Standing {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  /** How near to straight down it is in the rest's way (degrees). */
  readonly near: number;
}

/** An area this near to straight down wants room, and so does a handle, which is wider than its line (our own choice). */
export const DOWN = 15;
export const HANDLE_DOWN = 60;

const degrees = (radians: number): number => (radians * 180) / Math.PI;

/** Blocked areas as they lie in a turn, and the handle where it is told but not blocked by that name. */
export function standing({ job }: Pick<Plan, "job">, { angle, limits }: Turn): Standing[] {
  const areas = (limits.blocked ?? []).map(({ name, fromRad, toRad }) => ({
    name,
    from: degrees(fromRad),
    to: degrees(toRad),
    near: DOWN,
  }));
  const { handleDeg } = job.vessel;
  if (handleDeg === undefined || areas.some(({ name }) => name === "handle")) return areas;
  const at = handleDeg - degrees(angle);
  return [{ name: "handle", from: at, to: at, near: HANDLE_DOWN }, ...areas];
}

/** As "63° to 43° left"; from −180 (left out) to 180. */
export function standsWords({ from, to }: Pick<Standing, "from" | "to">): string {
  if (to - from >= 360 - 1e-9) return "all around";
  const [first, last] = [placed(from), placed(to)];
  const sides = [sideOf(first), sideOf(last)];
  if (from === to) return `${size(first)}°${sides[0]}`;
  // The side once, where both ends have it and the way from one to the other is on it.
  const once = sides[0] === sides[1] && first <= last;
  return `${size(first)}°${once ? "" : sides[0]} to ${size(last)}°${sides[1]}`;
}

/** Whether it comes so near to straight down that the rest must leave it room; what goes all around points nowhere. */
export const isDown = ({ from, to, near }: Pick<Standing, "from" | "to" | "near">): boolean =>
  to - from < 360 - 1e-9 && Math.floor((to + near - 180) / 360) >= Math.ceil((from - near - 180) / 360);

const placed = (deg: number): number => {
  const turned = deg - 360 * Math.ceil((deg - 180) / 360);
  return Math.round(turned) === -180 ? 180 : turned;
};
const size = (deg: number): string => String(Math.abs(Math.round(deg)));
const sideOf = (deg: number): string =>
  Math.abs(Math.round(deg)) % 180 === 0 ? "" : deg > 0 ? " right" : " left";

/** As "turn 1: handle; turn 3: handle, seam guard"; null where nothing points down. */
export function downWords(plan: Pick<Plan, "job" | "turns">): string | null {
  const told = plan.turns.flatMap((turn) => {
    const names = standing(plan, turn)
      .filter(isDown)
      .map(({ name }) => name);
    return names.length > 0 ? [`turn ${turn.index}: ${[...new Set(names)].join(", ")}`] : [];
  });
  return told.length > 0 ? told.join("; ") : null;
}
