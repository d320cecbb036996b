/** One profile out of a list, by its id. */
import { JobError } from "../problem.ts";
import { nearest } from "./nearest.ts";

/** The profile of an id, or an error at `place` with the nearest: by name, or by a number that it goes by. */
export function pick<T extends { id: string }>(
  list: readonly T[],
  id: string,
  place: string,
  what: string,
  numbers: (profile: T) => readonly number[],
): T {
  const found = list.find((p) => p.id === id);
  if (found) return found;
  const given = new Set((id.match(/\d+/g) ?? []).map(Number));
  const byNumber = list.filter((p) => numbers(p).some((n) => given.has(n))).map((p) => p.id);
  const near = [
    ...new Set([
      ...byNumber,
      ...nearest(
        id,
        list.map((p) => p.id),
      ),
    ]),
  ];
  throw new JobError(
    `${what}-unknown`,
    `${place}: there is no ${what} profile "${id}"`,
    near.length > 0 ? `nearest: ${near.join(", ")}` : `there are: ${list.map((p) => p.id).join(", ")}`,
  );
}
