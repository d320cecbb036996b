/** Parsed JSON against a schema: what it says, or one line that names the key, what was found and what is allowed. */
import type { z } from "zod";
import { JobError } from "../problem.ts";
import { nearest } from "./nearest.ts";

export interface Checked {
  /** What the whole is called, as "the job". */
  readonly what: string;
  /** Of an unknown key, and of a value that cannot be. */
  readonly codes: { readonly key: string; readonly value: string };
  /** Where to look up what is allowed. */
  readonly allowed: string;
  /** A place's own name in messages, as that of its option. */
  readonly nameOf?: (path: readonly PropertyKey[]) => string | null;
}

/** `where` names the file in messages. */
export function checked<S extends z.ZodType>(
  schema: S,
  value: unknown,
  where: string,
  { what, codes, allowed, nameOf }: Checked,
): z.output<S> {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  const issue = result.error.issues[0] as z.core.$ZodIssue;
  const place = issue.path.join(".");
  const named = nameOf?.(issue.path) ?? null;
  if (issue.code === "unrecognized_keys") {
    const key = issue.keys[0] as string;
    const known = keysAt(schema, issue.path);
    const near = nearest(key, known);
    throw new JobError(
      codes.key,
      `${where}: unknown key "${place ? `${place}.` : ""}${key}"`,
      near.length > 0
        ? `did you mean ${near.map((k) => `"${k}"`).join(" or ")}?`
        : `known here: ${known.join(", ")}`,
    );
  }
  const found = dig(value, issue.path);
  const unit = unitOf(String(issue.path.at(-1) ?? ""));
  const wanted = unit && typeof found === "string" ? `takes a plain number in ${unit}` : sentence(issue);
  throw new JobError(
    codes.value,
    `${named ?? `${where}: ${place || what}`} ${wanted}, found ${shown(found)}`,
    named
      ? unit
        ? `it is in ${unit}; see --help`
        : "see --help"
      : unit
        ? `write it as a number in ${unit}, without a unit`
        : allowed,
  );
}

/** A value as it stands in the job, in a line; of a long one how long it is. */
function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? "nothing";
  return text.length > LONG ? `${text.slice(0, LONG)}… (${text.length} characters)` : text;
}
const LONG = 120;

/** The keys that a schema knows in the group at `path`. */
function keysAt(whole: z.ZodType, path: readonly PropertyKey[]): string[] {
  let schema: unknown = whole;
  for (const key of path) {
    const { shape, element } = schema as { shape?: Record<string, unknown>; element?: unknown };
    schema = shape?.[String(key)] ?? element ?? {};
    if (schema && typeof schema === "object" && "element" in schema) continue;
    if (schema && typeof schema === "object" && "unwrap" in schema)
      schema = (schema as { unwrap(): unknown }).unwrap();
  }
  return Object.keys((schema as { shape?: Record<string, unknown> } | undefined)?.shape ?? {});
}

const dig = (value: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((v, key) => (v as Record<PropertyKey, unknown> | undefined)?.[key], value);

function unitOf(key: string): string | null {
  if (key.endsWith("Mm")) return "mm";
  if (key.endsWith("Deg")) return "degrees";
  if (key.endsWith("Nm")) return "nm";
  if (key.endsWith("MmS")) return "mm/s";
  if (key.endsWith("KHz")) return "kHz";
  if (key.endsWith("JPerCm2")) return "J/cm²";
  if (key.endsWith("Um")) return "µm";
  if (key.endsWith("Mj")) return "mJ";
  if (key.endsWith("Ns")) return "ns";
  if (key.endsWith("W")) return "watts";
  return null;
}

const counts: Readonly<Record<number, string>> = { 1: "one or more", 2: "two", 3: "three" };

function sentence(issue: z.core.$ZodIssue): string {
  if (issue.code === "too_small" || issue.code === "too_big") {
    if (issue.origin === "array")
      return `must be a list of ${counts[Number(issue.code === "too_small" ? issue.minimum : issue.maximum)] ?? "another length"}`;
    if (issue.origin === "string")
      return issue.code === "too_small"
        ? "must not be empty"
        : `must be at most ${issue.maximum} characters long`;
    const [edge, strict, loose] =
      issue.code === "too_small"
        ? [issue.minimum, "more than", "at least"]
        : [issue.maximum, "less than", "at most"];
    return `must be ${issue.inclusive ? loose : strict} ${edge}`;
  }
  if (issue.code === "invalid_value") return `must be ${words(issue.values)}`;
  if (issue.code === "invalid_type") {
    if (issue.expected === "tuple") return "must be a list of numbers";
    if (issue.expected === "int") return "must be a whole number";
    return `must be ${/^[aeiou]/.test(issue.expected) ? "an" : "a"} ${issue.expected}`;
  }
  if (issue.code === "invalid_union") {
    const each = [...new Set(issue.errors.map((branch) => (branch[0] ? sentence(branch[0]) : "")))];
    return each.filter(Boolean).join(", or ").replaceAll("or must be", "or");
  }
  return issue.message;
}

const words = (values: readonly unknown[]): string =>
  `${values.length > 1 ? "one of " : ""}${values.map((v) => JSON.stringify(v)).join(", ")}`;
