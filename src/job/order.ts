/** What the job says of the order. */
import type { JobFile, Order } from "./job.ts";

/** Options win; what neither gives stays away. The keys' order is fixed, so that a repeated run writes the same bytes. */
export function resolveOrder(file: JobFile["order"], options: JobFile["order"]): Order {
  const { name, customer, revision, quantity, date } = { ...file, ...options };
  return given({ name, customer, revision, quantity, date });
}

export type Given<T> = { [K in keyof T]?: Exclude<T[K], undefined> };
/** Without the keys that hold nothing. */
export const given = <T extends object>(group: T): Given<T> =>
  Object.fromEntries(Object.entries(group).filter(([, value]) => value !== undefined)) as Given<T>;
