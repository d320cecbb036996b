/** Turns: how the vessel is indexed from one to the next, what each loads, and how first and last meet. */
import type { Box } from "../../geometry/path.ts";
import type { Plan } from "../../plan/types.ts";
import { plain, signed } from "../ticks.ts";
import { downWords, standing, standsWords } from "./around.ts";
import { boxLoaded } from "./laid.ts";
import type { Block, Section, SheetFacts } from "./types.ts";

/** True where the vessel is indexed, if only once. */
export const isTurned = ({ turns }: Pick<Plan, "turns">): boolean =>
  turns.length > 1 || turns.some(({ angle }) => angle !== 0);

/** A hash in groups of eight digits. */
export const grouped = (hash: string): string => hash.match(/.{1,8}/g)?.join(" ") ?? "";

/** One section, or none where the vessel is not indexed. */
export function turnsSections(plan: Plan, facts: SheetFacts): Section[] {
  if (!isTurned(plan)) return [];
  const { turns, parting, spot } = plan;
  const radius = parting.rhoMm;
  const tenth = plain((radius * Math.PI) / 1800, 2);
  const aimed = turns.some(({ aimMm }) => aimMm !== null);
  const blocks: Block[] = [
    {
      kind: "words",
      words: `Index angles count from the artwork's crown line, where the alignment line was. Each step: turn the vessel about its axis until what lies to the side named (seen from the lens, top up) has come up by so much; arcs are on the girth where the artwork is placed, where 0.1° is ${tenth} mm. Then load that turn's file alone.`,
    },
    ...(aimed
      ? [
          {
            kind: "words" as const,
            words:
              "Witness marks: each turn marks a small upright line at its right end. Before the next one, the pointer at the place in the table must fall on that line's middle.",
          },
        ]
      : []),
    indexTable(plan, aimed),
    ...standingBlocks(plan),
    ...meetingBlocks({ parting, spot }),
    ...fileBlocks(facts),
  ];
  return [{ title: "Turns", wide: true, blocks }];
}

/** So many things on the vessel have columns in the index, of names no longer than this; others have lines. */
const COLUMNS = 2;
const NAMED = 16;

const inColumns = (areas: readonly { readonly name: string }[]): boolean =>
  areas.length <= COLUMNS && areas.every(({ name }) => name.length <= NAMED);

/** What stands on the vessel as it lies in each turn, and where it is in the rest's way. */
function standingBlocks(plan: Plan): Block[] {
  const areas = standing(plan, plan.turns[0]!);
  if (areas.length === 0) return [];
  const down = downWords(plan);
  const lines = inColumns(areas) ? [] : areas.map(({ name }, i) => `${name}: ${stoodWords(plan, i)}.`);
  const counted = `${areas.map(({ name }) => name).join(", ")}: here from that turn's own crown line.`;
  return [
    {
      kind: "words",
      words: lines.length > 0 ? `From each turn's own crown line: ${lines.join(" ")}` : counted,
    },
    ...(down === null
      ? []
      : [
          {
            kind: "words" as const,
            words: `Pointing down, the rest must leave it room: ${down}.`,
            strong: true,
          },
        ]),
  ];
}

const stoodWords = (plan: Plan, i: number): string =>
  plan.turns.map((turn) => `turn ${turn.index} ${standsWords(standing(plan, turn)[i]!)}`).join(", ");

function indexTable(plan: Plan, aimed: boolean): Block {
  const { turns } = plan;
  const radius = plan.parting.rhoMm;
  const areas = standing(plan, turns[0]!);
  const columns = inColumns(areas) ? areas.map(({ name }) => name) : [];
  const degrees = (radians: number): string => signed((radians * 180) / Math.PI, 2);
  const rows = turns.map((turn, i) => {
    const step = turn.angle - (turns[i - 1]?.angle ?? 0);
    const all = boxLoaded(plan, turn, "all");
    return [
      String(turn.index),
      degrees(turn.angle),
      degrees(step),
      signed(step * radius, 2),
      Math.abs(step) < 1e-9 ? "–" : step > 0 ? "right" : "left",
      all ? pair((all.minX + all.maxX) / 2, (all.minY + all.maxY) / 2) : "–",
      all ? sizeOf(all) : "–",
      ...(aimed ? [turn.aimMm ? pair(...turn.aimMm) : "–"] : []),
      ...(columns.length > 0 ? standing(plan, turn).map(standsWords) : []),
    ];
  });
  const head = ["turn", "index °", "step °", "arc mm", "comes up", "box centre x, y mm", "box size mm"];
  return {
    kind: "table",
    kept: true,
    head: [...head, ...(aimed ? ["pointer x, y mm"] : []), ...columns],
    rows,
  };
}

const pair = (x: number, y: number): string => `${signed(x, 3)}, ${signed(y, 3)}`;
const sizeOf = (box: Box): string => `${plain(box.maxX - box.minX, 2)} × ${plain(box.maxY - box.minY, 2)}`;

/** Where cuts go through ink, and how first and last meet. */
function meetingBlocks({ parting: { cuts, closing }, spot }: Pick<Plan, "parting" | "spot">): Block[] {
  const through = cuts.filter(({ inkMm }) => inkMm > 0).length;
  const parts = [
    ...(cuts.length === 0
      ? []
      : through === 0
        ? ["No cut goes through ink."]
        : [
            `${through} of ${cuts.length} cuts ${through === 1 ? "goes" : "go"} through ink: there the turns overlap by one spot, ${plain(spot.waistDiameterMm, 2)} mm.`,
          ]),
    ...(closing ? [closingWords(closing)] : []),
  ];
  return parts.length > 0 ? [{ kind: "words", words: parts.join(" ") }] : [];
}

function closingWords({ periodMm, girthMm, errorMm }: NonNullable<Plan["parting"]["closing"]>): string {
  const by = Math.abs(errorMm);
  const how =
    by < 0.005
      ? "first and last meet"
      : `first and last ${errorMm > 0 ? "leave a gap of" : "overlap by"} ${plain(by, 2)} mm`;
  return `Closing: the artwork goes around ${plain(periodMm, 2)} mm, the vessel ${plain(girthMm, 2)} mm: ${how}.`;
}

function fileBlocks({ turnFiles, html }: SheetFacts): Block[] {
  if (!turnFiles) return [];
  return [
    {
      kind: "table",
      instead: `Each file's SHA-256: in ${html}.`,
      head: ["turn", "file", "SHA-256"],
      rows: turnFiles.map(({ name, sha256 }, i) => [String(i + 1), name, grouped(sha256)]),
    },
    {
      kind: "words",
      words:
        "Code and foot hold the SHA-256 of the list of files as text: for each its SHA-256 (64 digits), two blanks, its name, a line feed.",
    },
  ];
}
