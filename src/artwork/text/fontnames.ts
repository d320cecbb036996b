/** The names that a font file gives its faces: OpenType, "name" and "fvar". */
import type { Font } from "fontkit";
import type { Settings } from "./face.ts";

/** A named setting of a variable font's axes. */
interface Instance {
  readonly name?: Strings;
  readonly postscriptNameID?: number;
  readonly coord: readonly number[];
}

/** By language. */
type Strings = Readonly<Record<string, unknown>>;

/** Names are compared without case, and blanks counted once. */
export const nameKey = (name: string): string => name.toLowerCase().replace(/\s+/g, " ").trim();

const textsOf = (strings: Strings | undefined): string[] =>
  Object.values(strings ?? {}).flatMap((name) =>
    typeof name === "string" && name.trim() !== "" ? [name.trim()] : [],
  );

/** Name IDs 16 and 1. */
export const familiesOf = (font: Font): string[] =>
  ["preferredFamily", "fontFamily"].flatMap((key) => textsOf(font.name?.records[key]));

/**
 * By key: full and PostScript names (name IDs 4 and 6) with the axes' own values, and those of the named settings of
 * the axes with theirs.
 */
export function ownNamesOf(font: Font): ReadonlyMap<string, Settings> {
  const axes = font.fvar?.axis ?? [];
  const names = new Map<string, Settings>();
  const add = (name: string, coord: readonly number[]): void => {
    const settings = Object.fromEntries(axes.map(({ axisTag }, i) => [axisTag.trim(), coord[i]]));
    if (!names.has(nameKey(name))) names.set(nameKey(name), settings);
  };
  const { records } = font.name ?? {};
  const plain = axes.map((axis) => axis.defaultValue);
  for (const key of ["fullName", "postscriptName"]) {
    for (const name of textsOf(records?.[key])) add(name, plain);
  }
  const { instance = [] } = (font.fvar ?? {}) as { readonly instance?: readonly Instance[] };
  // fontkit keeps the names that a font numbers for itself (256 and up) under this key.
  const numbered = records?.fontFeatures as Readonly<Record<string, Strings>> | undefined;
  for (const { name, postscriptNameID, coord } of instance) {
    for (const own of textsOf(numbered?.[String(postscriptNameID)])) add(own, coord);
    for (const style of textsOf(name)) {
      for (const family of familiesOf(font)) add(`${family} ${style}`, coord);
    }
  }
  return names;
}
