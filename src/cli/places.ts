/** Problems in words: where they are, and long lists of the same kind cut short. */
import type { Problem } from "../problem.ts";

/** So many problems of one kind are told one by one. */
const shown = 5;

/** ` (rect “crest”, line 4, column 2)`, or nothing where the message says it. */
export function placeOf({ where, message }: Problem): string {
  const { element, id, line, column } = where ?? {};
  const who =
    id === undefined ? element : message.includes(`“${id}”`) ? undefined : `${element ?? "element"} “${id}”`;
  const told = /\bline \d/.test(message);
  const at = [who, told ? "" : line && `line ${line}`, told ? "" : column && `column ${column}`].filter(
    Boolean,
  );
  return at.length > 0 ? ` (${at.join(", ")})` : "";
}

/** All kinds in the order of their first problem; of each the first few, and how many more there are. */
export function byKind(problems: readonly Problem[]): { list: readonly Problem[]; more: number }[] {
  const kinds = new Map<string, Problem[]>();
  for (const problem of problems) {
    const key = `${problem.severity} ${problem.code}`;
    const list = kinds.get(key);
    if (list) list.push(problem);
    else kinds.set(key, [problem]);
  }
  return [...kinds.values()].map((all) => {
    const list = all.slice(0, all.length > shown + 1 ? shown : shown + 1);
    return { list, more: all.length - list.length };
  });
}
