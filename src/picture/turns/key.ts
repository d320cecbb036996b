/** The key of the picture of all turns, item after item on as many rows as they need, and what is said under it. */
import type { Plan } from "../../plan/types.ts";
import type { Zone } from "../../plan/zones.ts";
import type { Lettering } from "../lettering.ts";
import { DASH_DOT, INK, line, MEDIUM, RULE, SMALL, text } from "../parts.ts";
import { ringData, tag } from "../svg.ts";
import { boxRing, zoneKeyItems } from "../zonekey.ts";
import type { Panel } from "./panel.ts";
import { CUT, CUT_INK, ringSvg, witnessMark, zonePaint } from "./signs.ts";
import { closingWords, indexWords, overlapWords } from "./words.ts";

interface Item {
  readonly words: string;
  /** Drawn in a box 48 px wide whose middle line lies at y. */
  sample(x: number, y: number): string;
}

const BOX = 48;
const ROW = 44;
const GAP = 40;
/** Of the list of index angles. */
const LINE = 34;

/** `angles`: the turns' index angles are listed, for the bands have no room for them. */
export function turnsKey(
  plan: Plan,
  panel: Panel,
  {
    left,
    right,
    top,
    angles,
  }: { readonly left: number; readonly right: number; readonly top: number; readonly angles: boolean },
  lettering: Lettering,
): { svg: string; bottom: number } {
  const parts = [line(left, top + 8, right, top + 8, RULE, 1)];
  let [x, y] = [left, top + 48];
  for (const { words, sample } of itemsOf(plan, panel)) {
    const wide = BOX + 14 + lettering.width(words, SMALL);
    if (x > left && x + wide > right) [x, y] = [left, y + ROW];
    parts.push(sample(x, y - 8));
    parts.push(
      text(lettering, lettering.fitted(words, right - x - BOX - 14, SMALL), {
        x: x + BOX + 14,
        y,
        size: SMALL,
      }),
    );
    x += wide + GAP;
  }
  if (angles) {
    const lines = packed(indexWords(plan), right - left, lettering);
    const words = lines.map((one, i) =>
      text(lettering, one, { x: left, y: y + ROW + i * LINE, size: SMALL }),
    );
    parts.push(tag("g", { id: "index-angles", "data-words": lines.join(" ") }, words.join("")));
    y += ROW + (lines.length - 1) * LINE;
  }
  const closing = closingWords(plan);
  if (closing) {
    y += ROW + 4;
    const place = { x: left, y, size: MEDIUM, weight: "bold" } as const;
    parts.push(tag("g", { id: "closing", "data-words": closing }, text(lettering, closing, place)));
  }
  return { svg: tag("g", { id: "key" }, parts.join("")), bottom: y + 12 };
}

/** Words in lines, none of them broken. */
function packed(words: readonly string[], room: number, lettering: Lettering): string[] {
  const lines: string[] = [];
  for (const word of words) {
    const joined = lines.length > 0 ? `${lines.at(-1)} ${word}` : word;
    if (lines.length > 0 && lettering.width(joined, SMALL) <= room) lines[lines.length - 1] = joined;
    else lines.push(word);
  }
  return lines;
}

function itemsOf(plan: Plan, { zones, unseen, crossed }: Panel): Item[] {
  const items: Item[] = [
    {
      words: plan.turns.length === 1 ? "crown line of the turn" : "crown line of each turn",
      sample: (x, y) => line(x, y, x + BOX, y, INK, 1.8, DASH_DOT),
    },
  ];
  if (plan.parting.cuts.length > 0)
    items.push({ words: "cut between turns", sample: (x, y) => line(x, y, x + BOX, y, CUT_INK, 2.5, CUT) });
  if (crossed > 0)
    items.push({
      words: `cut through ink: ${overlapWords(plan)}`,
      sample: (x, y) => ringSvg(x + BOX / 2, y),
    });
  if (plan.turns.some(({ aimMm }) => aimMm !== null))
    items.push({
      words: "witness mark, for the pointer of the next turn",
      sample: (x, y) => witnessMark(x + BOX / 2, y - 18, y - 4),
    });
  for (const { zone, words } of zoneKeyItems({ ...plan, forecast: null }, zones)) {
    if (zone === "residue" || zone === "metal") continue;
    items.push({ words, sample: zoneSample(zone) });
  }
  for (const name of unseen)
    items.push({ words: `${name}: blocked, does not show here`, sample: zoneSample("blocked") });
  return items;
}

const zoneSample =
  (zone: Zone) =>
  (x: number, y: number): string => {
    const ring = boxRing(x, y - 14, BOX, 28);
    return zonePaint(zone, ringData(ring, true), [ring]);
  };
