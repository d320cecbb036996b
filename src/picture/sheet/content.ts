/** The station sheet's content from a plan: everything the operator needs at the laser, in the order it is needed. */
import type { Plan } from "../../plan/types.ts";
import { shapeWords } from "../../plan/vesselsaid.ts";
import { orderName, withoutShapes } from "../jobwords.ts";
import { plain } from "../ticks.ts";
import { afterSection, careSection, firstSections } from "./checking.ts";
import { crownSection, heightSection, loadSection, poseSection, schematicWords } from "./placing.ts";
import { settingsSection } from "./running.ts";
import { grouped, turnsSections } from "./turning.ts";
import type { Reason, Row, Sheet, SheetFacts } from "./types.ts";

export function sheetContent(plan: Plan, facts: SheetFacts): Sheet {
  const name = orderName(plan, facts.title);
  const { turnFiles } = facts;
  return {
    name,
    facts,
    head: headRows(plan, facts),
    verdict: verdictOf(plan),
    sections: [
      careSection(plan.job.source.wavelengthNm),
      poseSection(plan),
      crownSection(plan, facts),
      heightSection(plan, facts),
      loadSection(plan, facts),
      ...turnsSections(plan, facts),
      settingsSection(plan, facts),
      ...(plan.box.usable ? [...firstSections(plan), afterSection()] : []),
    ],
    schematic: schematicWords(plan),
    hash: grouped(facts.sha256),
    hashOf: turnFiles ? "SHA-256 of the list of files" : "SHA-256",
    code: codeOf(name, facts),
    codeWords: turnFiles ? "job, files, SHA-256" : "job, file, SHA-256",
  };
}

function headRows({ job }: Plan, facts: SheetFacts): Row[] {
  const { customer, revision, quantity } = job.order;
  const { name, heightMm, taperMm, sphereMm } = job.vessel;
  const ends = taperMm === undefined && sphereMm === undefined;
  // Measures first: a name in a script that runs to the left would turn the whole line.
  const vessel = [
    shapeWords(job.vessel),
    ...(ends ? [heightMm === undefined ? "height not given" : `height ${plain(heightMm, 1)} mm`] : []),
    ...(name === undefined ? [] : [name]),
  ];
  const { coating, metal, source } = job;
  return [
    { name: "customer", value: customer ?? null },
    { name: "revision", value: revision ?? null },
    { name: "quantity", value: quantity === undefined ? null : String(quantity) },
    { name: "date", value: facts.date },
    { name: "artwork", value: facts.title },
    { name: "vessel", value: vessel.join(", ") },
    {
      name: "coating",
      value: coating
        ? `${coating.id}, about ${plain(coating.thicknessUm.value, 1)} µm, on ${metal.id}`
        : null,
    },
    { name: "source", value: `${source.id}, ${plain(source.wavelengthNm, 1)} nm` },
  ];
}

const verdictWords = { ready: "READY", caution: "CAUTION: read before marking", stop: "STOP: DO NOT MARK" };

/** Reasons of weight, with the shapes' names left to the report. */
function verdictOf({ verdict, reasons }: Plan): Sheet["verdict"] {
  const grave = reasons.filter((r) => r.severity === "stop" || r.severity === "caution");
  return {
    words: verdictWords[verdict],
    stop: verdict === "stop",
    reasons: grave.map((reason): Reason => {
      // The headline is a caution's or a stop's; in a stop's company a caution says what it is.
      const mixed = verdict === "stop" && reason.severity === "caution";
      return {
        words: `${mixed ? "caution: " : ""}${withoutShapes(reason)}`,
        hint: `${reason.hint.includes("--") ? "at the desk: " : ""}${reason.hint}`,
      };
    }),
  };
}

/** Longer names are cut, so that the code's squares stay large enough to be read off paper (our own choice). */
const NAME = 100;

function codeOf(name: string, { marks, sha256, turnFiles }: SheetFacts): string {
  const short = (text: string): string => {
    const letters = [...text];
    return letters.length > NAME ? `${letters.slice(0, NAME - 1).join("")}…` : text;
  };
  const what = turnFiles
    ? `files: ${short(marks)}\nsha256 of their list: `
    : `file: ${short(marks)}\nsha256: `;
  return `job: ${short(name)}\n${what}${sha256}`;
}
