/** Entities that a DOCTYPE declares: expanded one level deep, never loaded from outside, and capped in size. */
import { JobError } from "../problem.ts";

/** All expansions of one file together, in characters. */
const expansionCap = 8 * 1024 * 1024;

const declaration =
  /<!--[\s\S]*?-->|<!ENTITY\s+(%\s+)?([^\s"'<>&;%]+)\s+(?:(?:SYSTEM|PUBLIC)\b[^>]*|"([^"]*)"|'([^']*)')\s*>/g;

const predefined: ReadonlyMap<string, string> = new Map([
  ["lt", "<"],
  ["gt", ">"],
  ["amp", "&"],
  ["quot", '"'],
  ["apos", "'"],
]);

/** Character references and the five predefined entities inside a declared value; others stay as written. */
function decode(value: string): string {
  return value.replace(/&(?:#x([0-9a-f]+)|#([0-9]+)|([a-z]+));/gi, (whole, hex, decimal, name) => {
    if (name !== undefined) return predefined.get(name) ?? whole;
    const code = hex === undefined ? Number.parseInt(decimal, 10) : Number.parseInt(hex, 16);
    return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : whole;
  });
}

/**
 * Declares a DOCTYPE's internal entities on the table a parser looks them up in. External ones are not
 * declared, so a reference to one is an error. Throws JobError `entity-too-large` while the table is read,
 * when the expansions add up to more than 8 M characters.
 */
export function declareEntities(doctype: string, table: Record<string, string>): void {
  let expanded = 0;
  for (const [, parameter, name, double, single] of doctype.matchAll(declaration)) {
    const raw = double ?? single;
    if (parameter || raw === undefined || predefined.has(name) || Object.hasOwn(table, name)) continue;
    const value = decode(raw);
    Object.defineProperty(table, name, {
      get(): string {
        expanded += value.length;
        if (expanded > expansionCap) {
          throw new JobError(
            "entity-too-large",
            "the entities of this file expand to too much text",
            "save the file again as plain SVG from the drawing program",
          );
        }
        return value;
      },
    });
  }
}
