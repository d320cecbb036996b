/** Text of the command line → the value that a job file would hold, or an error in the option's own terms. */
import { JobError } from "../problem.ts";

/** A decimal number, as people write it: no unit, no hexadecimal. */
const decimal = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/** Reads a number, or one of some words, and says in the option's own terms what it takes. */
export const number =
  (unit: string, ...words: string[]) =>
  (text: string, name: string): number | string => {
    if (words.includes(text)) return text;
    const value = decimal.test(text.trim()) ? Number(text) : Number.NaN;
    if (Number.isFinite(value)) return value;
    if (/^[+-]?\d+,\d+$/.test(text.trim())) {
      const said = `${name} cannot be "${text}"`;
      throw new JobError(
        "option-value",
        said,
        `write a point for the comma: ${text.trim().replace(",", ".")}`,
      );
    }
    const allowed = [...words, `a plain number${unit && ` of ${unit}`}`].join(" or ");
    throw new JobError("option-value", `${name} cannot be "${text}"`, `give ${allowed}, without a unit`);
  };
/** A whole number; the job's bounds are looked at later. */
export const whole = (text: string, name: string): number => {
  const value = decimal.test(text.trim()) ? Number(text) : Number.NaN;
  if (Number.isInteger(value)) return value;
  throw new JobError("option-value", `${name} must be a whole number, found "${text}"`, `as in ${name} 24`);
};
export const mm = number("millimetres");
export const degrees = number("degrees");
export const word = (text: string): string => text;

/** "27W" or "45%"; a space before the unit is let pass. */
export const power = (text: string, name: string): number => {
  const value = /^\s*(.+?)\s*(?:W|%)$/i.exec(text)?.[1] ?? "";
  if (decimal.test(value)) return Number(value);
  throw new JobError(
    "option-value",
    `${name} cannot be "${text}"`,
    "give watts or percent of the source, as in 27W or 45%",
  );
};
export const angles = (text: string, name: string): unknown[] =>
  text.split(",").map((one) => degrees(one, name));

/** "120,40" → [120, 40]; one value stands for both where `same`. */
export const pair =
  (read: (text: string, name: string) => unknown, same: boolean, example = "0,12.5") =>
  (text: string, name: string): [unknown, unknown] => {
    const parts = text.split(",");
    if (parts.length === 1 && same) return [read(text, name), read(text, name)];
    if (parts.length !== 2)
      throw new JobError(
        "option-value",
        `${name} takes two numbers with a comma between, found "${text}"`,
        `as in ${name} ${example}`,
      );
    return [read(parts[0]!, name), read(parts[1]!, name)];
  };

/** "88,64,110" → [88, 64, 110]. */
export const triple = (text: string, name: string): unknown[] => {
  const parts = text.split(",");
  if (parts.length === 3) return parts.map((part) => mm(part, name));
  throw new JobError(
    "option-value",
    `${name} takes three numbers with commas between, found "${text}"`,
    `as in ${name} 88,64,110: upper and lower diameter, and the height between them`,
  );
};

/** "handle,150,210" or "label,-20,20,30,55" → a blocked area. */
export const area = (text: string, name: string): unknown => {
  const [called, ...rest] = text.split(",");
  if (called?.trim() && (rest.length === 2 || rest.length === 4)) {
    const [from, to, upper, lower] = rest.map((part, i) => (i < 2 ? degrees : mm)(part, name));
    return {
      name: called,
      aroundDeg: [from, to],
      ...(rest.length === 4 ? { belowRimMm: [upper, lower] } : {}),
    };
  }
  throw new JobError(
    "option-value",
    `${name} cannot be "${text}"`,
    `give a name, from and to around in degrees, and if need be from and to below the rim, as in ${name} handle,150,210 or ${name} ring,-180,180,95,110`,
  );
};

/** "#abc" is short for "#aabbcc". */
export const colour = (text: string): string =>
  text.replace(/^#([0-9a-f])([0-9a-f])([0-9a-f])$/i, "#$1$1$2$2$3$3");
