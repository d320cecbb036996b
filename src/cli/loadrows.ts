/** What to load and where, then what could be loaded instead. */
import { join } from "node:path";
import type { Loaded } from "../plan/fill/loaded.ts";
import type { Report } from "../plan/report.ts";
import { fixed, row } from "./rows.ts";

type Centre = readonly [number, number];

/** `beyond`: some ink lies beyond the limits. */
export function loadRows(report: Report, folder: string, beyond: boolean): string[] {
  const several = report.turns.length > 1;
  const kind: Loaded = report.files.some((f) => f.kind === "fill")
    ? "fill"
    : report.files.some((f) => f.kind === "bands")
      ? "bands"
      : "warped";
  const note = report.verdict === "stop" ? "do not mark it as it is; " : "";
  const list: string[] = [];
  report.turns.forEach((turn, i) => {
    const files = turn.files.filter((name) => kindOf(report, name) === kind && name.endsWith(".svg"));
    const centre = centreOf(report, i, kind);
    if (files.length === 0 || (!centre && kind !== "fill")) return;
    const paths = files.map((name) => join(folder, name)).join(", then ");
    const of = files.length > 1 ? " of all of them" : "";
    const at = centre ? `, box centre${of} at ${words(centre)} from the optical axis` : "";
    list.push(
      row(
        list.length === 0 ? "load" : "",
        `${note}${several ? `turn ${turn.index}: ` : ""}${paths}${what[kind]}${at}`,
      ),
    );
  });
  if (kind === "warped" && !several && beyond && report.box?.usable)
    list.push(row("", `its group usable alone: box centre at ${words(report.box.usable.centreMm)}`));
  return [...list, ...others(report, folder, kind, note), row("files", filesWords(report, folder))];
}

const filesWords = (report: Report, folder: string): string => `${report.files.length + 1} in ${folder}`;

const what: Readonly<Record<Loaded, string>> = {
  fill: " (lines: the station fills nothing)",
  bands: " (outlines in bands, each group with its own setting)",
  warped: "",
};

/** The same lines as DXF, the bands where lines are laid, the outlines as they are. */
function others(report: Report, folder: string, kind: Loaded, note: string): string[] {
  const named = (end: (name: string) => boolean): string[] =>
    report.turns.flatMap((turn) => turn.files.filter(end)).map((name) => join(folder, name));
  const list: string[] = [];
  const or = (paths: readonly string[], words: string): void => {
    const [first] = paths;
    if (first === undefined) return;
    const more = paths.length > 1 ? ` and ${paths.length - 1} more` : "";
    list.push(row("or", `${note}${first}${more}: ${words}`));
  };
  const centre = report.turns.length === 1 ? centreOf(report, 0, "fill") : null;
  const up = centre ? `, there box centre at ${words([centre[0], 0 - centre[1]])}` : "";
  or(
    named((name) => name.endsWith(".dxf")),
    `the same lines as DXF, y up${up}`,
  );
  if (kind === "fill")
    or(
      named((name) => kindOf(report, name) === "bands"),
      "the outlines in bands, each group with its own setting",
    );
  if (kind !== "warped")
    or(
      named((name) => kindOf(report, name) === "warped"),
      "the outlines alone, filled by the station as ever",
    );
  return list;
}

const kindOf = (report: Report, name: string): string | undefined =>
  report.files.find((file) => file.path === name)?.kind;

/** The middle of the box around what a turn's file holds. */
function centreOf({ turns, fill, box }: Report, i: number, kind: Loaded): Centre | null {
  if (kind === "fill") return fill?.boxes[i]?.centreMm ?? null;
  if (turns.length > 1) return turns[i]?.box?.centreMm ?? null;
  return (kind === "bands" ? box?.usable?.centreMm : box?.centreMm) ?? null;
}

const words = ([x, y]: Centre): string => `${fixed(x, 4)}, ${fixed(y, 4)} mm`;
