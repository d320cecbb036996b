/** Rows of a summary: a name, then what is said; tables; and the cautions that stand under each. */
import { shortCautions } from "../picture/cautions.ts";

export const row = (name: string, text: string): string => `  ${name.padEnd(10)} ${text}`;

/** Wherever someone is told what to do. */
export const careRows = (wavelengthNm: number): string[] =>
  shortCautions(wavelengthNm).map((text, i) => row(i === 0 ? "take care" : "", text));

/** Lines of a table, its first row the heads; columns of `right` are set to the right. */
export function table(rows: readonly (readonly string[])[], right: readonly number[] = []): string[] {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((r) => r[i]!.length)));
  return rows.map((r) =>
    r
      .map((cell, i) => (right.includes(i) ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!)))
      .join("  ")
      .trimEnd(),
  );
}

/** Fixed decimals, and no minus before a zero. */
export const fixed = (v: number, digits: number): string => {
  const text = v.toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : text;
};
