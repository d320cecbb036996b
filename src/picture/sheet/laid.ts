/** Lines laid for the station, and bands, as the sheet tells them: what the file holds and what is set for each of its groups. */
import type { Box } from "../../geometry/path.ts";
import { four } from "../../plan/figures.ts";
import { boxOfLines, loadedOf } from "../../plan/fill/loaded.ts";
import { bandRows } from "../../plan/fill/section.ts";
import type { Fill } from "../../plan/fill/types.ts";
import { calibratedOn } from "../../plan/process/label.ts";
import type { Plan } from "../../plan/types.ts";
import { setWords } from "../fillparts.ts";
import { plain } from "../ticks.ts";
import type { Block, Row } from "./types.ts";

/** The box around all that a turn's file holds, or around what of it lies within the limits. */
export function boxLoaded(plan: Plan, turn: Plan["turns"][number], which: "all" | "usable"): Box | null {
  const fill = plan.fill?.turns[turn.index - 1];
  if (!fill || loadedOf(plan) === "warped") return turn.box[which];
  if (loadedOf(plan) === "bands") return turn.box.usable;
  return boxOfLines(turn, fill);
}

/** Rows of the section Load: the groups in their order, and what not to do. */
export function laidRows(plan: Plan): Row[] {
  const { fill } = plan;
  const what = loadedOf(plan);
  if (!fill || what === "warped") return [];
  if (what === "bands") {
    return [
      {
        name: "groups",
        value: `band-1 to band-${fill.bands!.bands.length}, each filled by the station with its own settings: see the table of bands`,
        strong: true,
      },
    ];
  }
  const { passes, outlinePass, dxf } = fill.asked;
  const outlined = (fill.outline?.lines ?? 0) > 0;
  const groups = [
    ...(outlinePass === "before" && outlined ? ["outline"] : []),
    ...fill.sets.map((_, i) => `set-${i + 1}`),
    ...(outlinePass === "after" && outlined ? ["outline"] : []),
  ];
  return [
    {
      name: "fill",
      value: "its lines are in the file, one by one: mark them as lines, the station's own fill switched off",
      strong: true,
    },
    {
      name: "groups",
      value: `in this order: ${groups.join(", ")}${passes > 1 ? `; all of them ${passes} times over` : ""}`,
    },
    ...(dxf
      ? [
          {
            name: "DXF",
            value: "the same lines lie beside it as DXF, y up: there the box centre's y has the other sign",
          },
        ]
      : []),
  ];
}

/** What stands below the settings. */
export function laidBlocks(plan: Plan): Block[] {
  const { fill, job } = plan;
  const what = loadedOf(plan);
  if (!fill || what === "warped") return [];
  if (what === "fill") {
    const sets = fill.sets.map((set, i) => setWords(set, i + 1, fill.sets.length));
    return [
      {
        kind: "words",
        words: `Lines as laid, distances on the vessel: ${sets.join("; ")}${outlineWords(fill)}.${evenWords(fill)}`,
      },
    ];
  }
  const bySpeed = fill.asked.bandsBy === "speed";
  const most = job.source.meanPowerW;
  const shares = !bySpeed && most !== undefined;
  return [
    {
      kind: "words",
      words: `Bands: where less comes off, each group is marked ${bySpeed ? "slower" : "with more power"}; all else as above. ${calibratedOn(job, "Uncalibrated.")}`,
    },
    {
      kind: "table",
      kept: true,
      head: [
        "group",
        "around °",
        ...(bySpeed ? ["speed ×", "speed mm/s"] : ["power ×", "power W"]),
        ...(shares ? ["power %"] : []),
      ],
      rows: bandRows(fill, job).map((band) => {
        const [factor, value] = bySpeed ? [band.speedFactor, band.speedMmS] : [band.powerFactor, band.powerW];
        const over = !bySpeed && value !== null && value > (most ?? Infinity);
        return [
          `band-${band.band}`,
          band.intervalsDeg.map(([from, to]) => `${plain(from, 1)} to ${plain(to, 1)}`).join(", "),
          factor === null ? "never clears" : factor.toFixed(3),
          value === null ? "" : over ? "beyond the source" : four(value),
          ...(shares ? [value === null || over ? "–" : four((100 * value) / most)] : []),
        ];
      }),
    },
    { kind: "words", words: "Around: degrees from the crown line, to both sides as far as there is ink." },
  ];
}

const outlineWords = ({ outline }: Fill): string =>
  outline
    ? `; the outline pass: ${outline.lines} closed lines, ${plain(outline.commandLengthMm / 1000, 1)} m`
    : "";

const evenWords = ({ asked, uneven, removal, neverClears, sets }: Fill): string => {
  if (asked.lines !== "even" || neverClears || sets.every((set) => set.lines === 0)) return "";
  const where = `They lie nearer together where ${removal ? "less comes off" : "the fluence is weaker"}`;
  return uneven.length === 0
    ? ` ${where}, so that one setting ${removal ? "clears evenly" : "may clear evenly: a test tells"}.`
    : ` ${where}; not all of it could be evened, see the cautions.`;
};
