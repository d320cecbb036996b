/** Each turn's window as a band above and below the strip, with its name and its index angle. */
import type { Plan, Turn } from "../../plan/types.ts";
import type { Lettering } from "../lettering.ts";
import { INK, SMALL, text } from "../parts.ts";
import { segmentsData, tag } from "../svg.ts";
import { signed } from "../ticks.ts";
import { hatchLines } from "../zoneareas.ts";
import { boxRing } from "../zonekey.ts";
import type { DrawnTurn, Strip } from "./strip.ts";

/** Turns alternate in tint, and every other band is hatched. */
const TINTS = ["#dbe6ef", "#f5ead2"] as const;
const HATCH = 9;
const LINE = 32;
const PAD = 10;

export const tintOf = (index: number): string => TINTS[(index + 1) % 2]!;

/** As "turn 1, index −120.0°, −80.0 mm". */
export const turnWords = ({ index, angle }: Turn, radius: number): string[] => [
  `turn ${index}`,
  `index ${signed((angle * 180) / Math.PI, 1)}°`,
  `${signed(angle * radius, 1)} mm`,
];

/** How all names are set: in a line, in three lines, upright, or the number alone. */
type Setting = "level" | "stacked" | "upright" | "number";

export interface Bands {
  readonly above: number;
  readonly below: number;
  /** True where the bands have no room for their index angles. */
  readonly short: boolean;
  /** From the tops of the two rows. */
  svg(aboveTop: number, belowTop: number): string;
}

export function bandsOf(plan: Plan, drawn: readonly DrawnTurn[], strip: Strip, lettering: Lettering): Bands {
  const windows = plan.turns.map((turn, i) => {
    const [from, to] = [strip.x(drawn[i]!.from), strip.x(drawn[i]!.to)];
    return { index: turn.index, words: turnWords(turn, strip.radius), from, to, x: (from + to) / 2 };
  });
  const width = (words: string): number => lettering.width(words, SMALL);
  const setting = settingOf(windows, width);
  const long = Math.max(...windows.map(({ words }) => width(words.join(", "))));
  const above = { level: LINE, stacked: 3 * LINE, upright: long, number: LINE }[setting] + PAD;
  const below = LINE + PAD;
  const numbered = setting === "number" ? withRoom(windows, width) : windows;
  const level = (words: readonly string[], x: number, top: number): string =>
    words
      .map((one, k) => {
        const place = { x, y: top + PAD / 2 + LINE * k + 25, size: SMALL, anchor: "middle" } as const;
        return text(lettering, one, place, { halo: 4 });
      })
      .join("");
  const upright = (words: string, x: number, top: number): string => {
    const place = { x: x + 8, y: top + above / 2, size: SMALL, anchor: "middle", rotate: -90 } as const;
    return text(lettering, words, place, { halo: 4 });
  };
  const name = ({ index, words, x }: Window, top: number): string => {
    if (setting === "upright") return upright(words.join(", "), x, top);
    const said = { level: [words.join(", ")], stacked: words, number: [String(index)] }[setting];
    return level(said, x, top);
  };
  const short = ({ index }: Window): string =>
    setting === "level" || setting === "stacked" ? `turn ${index}` : String(index);
  return {
    above,
    below,
    short: setting === "number",
    // Neighbours may lie over each other: all names come after all bands.
    svg: (aboveTop, belowTop) =>
      [
        ...windows.map(({ index, words, from, to }) => {
          const attributes = {
            id: `turn-${index}`,
            "data-words": words.join(", "),
            "data-from": from.toFixed(2),
            "data-to": to.toFixed(2),
          };
          const bands = band(index, from, to, aboveTop, above) + band(index, from, to, belowTop, below);
          return tag("g", attributes, bands);
        }),
        ...numbered.map((window) => name(window, aboveTop) + level([short(window)], window.x, belowTop)),
      ].join(""),
  };
}

interface Window {
  readonly index: number;
  readonly words: readonly string[];
  readonly from: number;
  readonly to: number;
  /** Their middle. */
  readonly x: number;
}

/** The fullest setting for which every window has the room. */
function settingOf(windows: readonly Window[], width: (words: string) => number): Setting {
  const fits = (needs: (words: readonly string[]) => number): boolean =>
    windows.every(({ words, from, to }) => needs(words) + 16 <= to - from);
  if (fits((words) => width(words.join(", ")))) return "level";
  if (fits((words) => Math.max(...words.map(width)))) return "stacked";
  return fits(() => SMALL) ? "upright" : "number";
}

/** From left to right those whose numbers stand clear of the one before. */
function withRoom(windows: readonly Window[], width: (words: string) => number): Window[] {
  const list: Window[] = [];
  let end = -Infinity;
  for (const window of windows) {
    const half = width(String(window.index)) / 2;
    if (window.x - half < end + 8) continue;
    list.push(window);
    end = window.x + half;
  }
  return list;
}

function band(index: number, x: number, x2: number, y: number, height: number): string {
  const box = { x, y, width: x2 - x, height };
  const lines = index % 2 === 1 ? hatchLines([boxRing(x, y, x2 - x, height)], 45, HATCH) : [];
  const edge = { fill: "none", stroke: INK, "stroke-width": 1.5 };
  return (
    tag("rect", { ...box, fill: tintOf(index), "fill-opacity": 0.8 }) +
    (lines.length > 0
      ? tag("path", { d: segmentsData(lines), fill: "none", stroke: "#8fa7ba", "stroke-width": 1 })
      : "") +
    tag("rect", { ...box, ...edge })
  );
}
