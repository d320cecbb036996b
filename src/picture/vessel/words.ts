/** What the vessel's page and the command say in words. */
import { plain, signed } from "../ticks.ts";
import type { Subject } from "./subject.ts";

/** Rounded to a tenth of a cm², which is how exact measured vessels are. */
export const areaWords = ({ study }: Pick<Subject, "study">): string =>
  `${(study.table.printable.areaMm2 / 100).toFixed(1)} cm²${isEndless(study) ? " in the field" : ""}`;

/** True where the vessel goes on past what the table has. */
const isEndless = ({ ends, table }: Subject["study"]): boolean =>
  table.shape === "cylinder" && (ends.rimY === null || ends.baseY === null);

export const limitWords = ({ study }: Pick<Subject, "study">): string =>
  `depth ±${plain(study.table.limits.usableDepthMm, 2)} mm, incidence up to ${plain(study.table.limits.maxIncidenceDeg, 1)}°`;

const why = {
  asked: "as asked for",
  depth: "as deep as leaves the crown there usable",
  column: "the column at its stop",
} as const;

const whyOf = ({ focus, crownRiseMm }: Subject["study"]["table"]): string =>
  focus.by === "highest"
    ? `as deep as leaves the crown usable where it is highest, ${crownRiseMm.toFixed(1)} mm above that point`
    : why[focus.by];

/** "focal plane 7.3 mm below the crown at the placement point, as deep as leaves the crown there usable". */
export function focusWords({ study }: Pick<Subject, "study">): string {
  const { belowCrownMm } = study.table.focus;
  const where = belowCrownMm < 0 ? "above" : "below";
  return `focal plane ${plain(Math.abs(belowCrownMm), 2)} mm ${where} the crown at the placement point, ${whyOf(study.table)}`;
}

const poses = {
  levelled: "levelled: crown line level at the placement point",
  axis: "its axis level",
  lying: "lying on its side on the bed",
} as const;

/** "its axis tilted 6.2°, rim down". */
export function tiltWords({ study, pose }: Pick<Subject, "study" | "pose">): string {
  const { tiltDeg } = study.table;
  const how = typeof pose === "number" ? `${signed(pose, 1)}° as asked for` : poses[pose];
  const flat = Math.abs(tiltDeg) < 0.05;
  return `${how}${flat ? "" : `; axis tilted ${Math.abs(tiltDeg).toFixed(1)}°, rim ${tiltDeg > 0 ? "up" : "down"}`}`;
}

export const poseWords = (subject: Subject): string => `${tiltWords(subject)}; ${focusWords(subject)}.`;
