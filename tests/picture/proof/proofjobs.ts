/** Jobs for the proof's pages, from the smallest to those that fit no page, with and without what may be left out. */
import { readFileSync } from "node:fs";
import type { JobFile } from "../../../src/job/job.ts";
import type { ProofSubject } from "../../../src/picture/proof/proofpage.ts";
import type { Plan } from "../../../src/plan/types.ts";
import { crestPlan, planOf } from "../helpers.ts";

/** A frame, its hole half as large. */
export const frameSvg = (w: number, h: number): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="${w}mm" height="${h}mm" viewBox="0 0 ${w} ${h}"><path fill-rule="evenodd" d="M0 0h${w}v${h}h-${w}z M${w / 4} ${h / 4}v${h / 2}h${w / 2}v-${h / 2}z"/></svg>`;

const letteringSvg = readFileSync(
  new URL("../../../fixtures/demo/heron-reach-lettering.svg", import.meta.url),
  "utf8",
);

/** 200 characters with long words, in three scripts. */
export const longName =
  "Ruderverein Heron Reach, Abteilung Wanderrudern und Jugendförderung; Гребной клуб «Цапля»; Ναυτικός Όμιλος; Donaudampfschifffahrtsgesellschaftskapitänswitwenrentenversicherungsanstaltsgebäudeverwaltung!!";
/** One word as long as the schema allows. */
export const longWord = "W".repeat(200);

export const order = {
  name: "Crew cups, spring regatta",
  customer: "Heron Reach Rowing Club",
  revision: "B",
  quantity: 48,
};
export const tumbler = {
  diameterMm: 82,
  name: "Tumbler 600 ml",
  heightMm: 180,
  belowRimMm: 75,
  handleDeg: 90,
  seamDeg: -170,
  colour: "#7a1f2b",
  gloss: 30,
};
const settings = { powerW: 27, speedMmS: 900, frequencyKHz: 50, pitchMm: 0.025, passes: 2 };

const crest = (options: JobFile) => (): Promise<Plan> => crestPlan(options);
const framed = (w: number, h: number, options: JobFile) => (): Promise<Plan> =>
  planOf(frameSvg(w, h), options);

export const jobs: Record<string, () => Promise<Plan>> = {
  "with everything": crest({
    order,
    vessel: tumbler,
    settings,
    source: { id: "fibre-60" },
    coating: { id: "powder-red" },
  }),
  bare: crest({}),
  "5 mm small, seam and handle near": framed(5, 4, {
    order,
    vessel: { ...tumbler, handleDeg: 12, seamDeg: 6 },
  }),
  "5 mm small, alone": framed(5, 4, { vessel: { diameterMm: 82 } }),
  "tiny, right of the crown line": framed(1, 1, {
    vessel: { diameterMm: 82, heightMm: 100, belowRimMm: 3 },
    placement: { atMm: [1, 0] },
  }),
  "70 mm wide": crest({ order, vessel: tumbler, placement: { widthMm: 70 } }),
  "240 mm tall": () =>
    planOf(letteringSvg, {
      order,
      vessel: { ...tumbler, heightMm: 260, belowRimMm: 130, seamDeg: 20 },
      placement: { rotateDeg: 90, heightMm: 240 },
    }),
  "160 mm wide": framed(160, 60, { order, vessel: { diameterMm: 200, handleDeg: 120 } }),
  "700 mm wide": framed(700, 6, { order, vessel: { diameterMm: 300, heightMm: 400, belowRimMm: 200 } }),
  "3 m tall": framed(6, 3000, { vessel: { diameterMm: 82, heightMm: 400, belowRimMm: 200 } }),
  "beyond the rim": crest({ order, vessel: { ...tumbler, belowRimMm: 10 } }),
  "beside the crown line": crest({
    order,
    vessel: { diameterMm: 120, heightMm: 110, belowRimMm: 40, seamDeg: 0, handleDeg: 60 },
    placement: { widthMm: 40, atMm: [32, 10] },
  }),
  "far off the vessel": crest({ vessel: tumbler, placement: { widthMm: 40, atMm: [400, 0] } }),
  "as seen from the front": crest({ order, vessel: tumbler, placement: { widthMm: 50, fidelity: "sight" } }),
  "sides that fade": crest({ order, vessel: tumbler, placement: { widthMm: 68 } }),
  "a taper laid on as a sheet": crest({
    order,
    vessel: {
      taperMm: [88, 64, 110],
      handleDeg: 90,
      seamDeg: -60,
      blocked: [{ name: "handle", aroundDeg: [60, 120], belowRimMm: [10, 100] }],
    },
    placement: { widthMm: 44, fidelity: "sheet" },
    pose: "lying",
  }),
  "a taper, true widths": crest({
    vessel: {
      taperMm: [88, 64, 110],
      handleDeg: 70,
      seamDeg: -60,
      blocked: [
        { name: "grip ring", aroundDeg: [-180, 180], belowRimMm: [96, 110] },
        { name: "badge", aroundDeg: [-75, -45], belowRimMm: [20, 70] },
      ],
    },
    placement: { widthMm: 40, fidelity: "true-width" },
  }),
  "a ball": crest({
    vessel: { sphereMm: 70, seamDeg: 30, blocked: [{ name: "valve", aroundDeg: [50, 100] }] },
    placement: { widthMm: 40, fidelity: "true-width" },
  }),
  "a bottle, from near": crest({
    vessel: {
      profile: [
        { heightMm: 0, diameterMm: 70 },
        { heightMm: 60, diameterMm: 73.5 },
        { heightMm: 140, diameterMm: 73 },
        { heightMm: 160, diameterMm: 66 },
        { heightMm: 190, diameterMm: 46 },
        { heightMm: 230, diameterMm: 38 },
      ],
      belowRimMm: 120,
    },
    placement: { widthMm: 40, fidelity: "sight", viewingDistanceMm: 400 },
  }),
  "around in three turns": framed(50 * Math.PI, 30, {
    order,
    vessel: {
      diameterMm: 50,
      heightMm: 120,
      belowRimMm: 60,
      blocked: [{ name: "seam guard", aroundDeg: [170, 190] }],
    },
    turns: 3,
  }),
  "long names": crest({
    order: { name: longName, customer: longName, revision: longWord, quantity: 1_000_000 },
    vessel: { ...tumbler, name: longName },
    placement: { widthMm: 110 },
  }),
  "long words": crest({
    order: { name: longWord, customer: longWord, revision: longName },
    vessel: { ...tumbler, name: longWord },
  }),
};

const notes = [
  "the vessel's height was not given: drawn 150 mm tall",
  "the metal under the coat is drawn with its grain around",
  "lip and base are drawn 3 mm round",
];

/** Grey pictures of the aspect given, front and two sides. */
export function subjectOf(plan: Plan, more: Partial<ProofSubject> = {}, aspect = 0.7): ProofSubject {
  const views = (kind: string) =>
    ["front", "turned 55° to the left", "turned 55° to the right"].map((label) => ({
      name: `${kind} ${label}`,
      label,
      widthPx: Math.round(900 * aspect),
      heightPx: 900,
    }));
  return {
    plan,
    title: "heron-reach-crest.svg",
    date: "2026-03-01",
    predicted: views("predicted"),
    ideal: null,
    notes,
    paper: "a4",
    ...more,
    ...(more.ideal ? { ideal: views("ideal") } : {}),
  };
}
