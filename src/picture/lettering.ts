/**
 * Text as outlines, so that a picture looks the same on every machine: no font of the system is ever used.
 * The caller hands in the fonts; each character comes from the first font that has it, and one that none has is
 * drawn as a box.
 */
import type { Font, PathCommand } from "fontkit";
import { BOX, type Cluster, cleaned, letters, type Run, type SetLine, setLine } from "./setting.ts";
import { fixed } from "./svg.ts";
import { type FontBytes, Typecase, type Weight } from "./typecase.ts";

export type { FontBytes, FontSource, Weight } from "./typecase.ts";

export interface TextPlace {
  readonly x: number;
  /** The baseline. */
  readonly y: number;
  /** Height of the em; capitals are about 0.71 of it. */
  readonly size: number;
  readonly anchor?: "start" | "middle" | "end";
  readonly weight?: Weight;
  /** Degrees clockwise around (x, y). */
  readonly rotate?: number;
  /** Decimals of the path data, 2 unless told. */
  readonly decimals?: number;
}

export class Lettering {
  readonly #fonts: Typecase;
  readonly #lines = new Map<string, SetLine>();

  constructor(fonts: FontBytes) {
    this.#fonts = new Typecase(fonts);
  }

  /** How far the text runs, in the unit of `size`. */
  width(text: string, size: number, weight: Weight = "regular"): number {
    return this.set(text, weight).advance * size;
  }

  /** The text, or as much of it as fits into `room` with an ellipsis after it. */
  fitted(text: string, room: number, size: number, weight: Weight = "regular"): string {
    const whole = cleaned(text);
    if (this.width(whole, size, weight) <= room) return whole;
    const all = letters(whole).map(({ letter }) => letter);
    let fits = 0;
    let tooMany = all.length;
    while (tooMany - fits > 1) {
      const n = (fits + tooMany) >> 1;
      if (this.width(short(all, n), size, weight) <= room) fits = n;
      else tooMany = n;
    }
    return short(all, fits);
  }

  /** The text on so many lines, broken at spaces; what the last has no room for ends in an ellipsis. */
  lines(text: string, room: number, size: number, weight: Weight, most: number): string[] {
    const words = cleaned(text).split(" ");
    const lines: string[] = [];
    let line = words[0] ?? "";
    for (let i = 1; i < words.length; i++) {
      const joined = `${line} ${words[i]}`;
      if (lines.length === most - 1) line = joined;
      else if (this.width(joined, size, weight) <= room) line = joined;
      else {
        lines.push(line);
        line = words[i]!;
      }
    }
    return [...lines, line].map((one) => this.fitted(one, room, size, weight));
  }

  /**
   * SVG path data of the text's outlines, to be filled nonzero; of all its runs unless told. Throws Error for a place
   * that is not finite.
   */
  path(text: string, place: TextPlace, asked: (run: Run) => boolean = () => true): string {
    const { x, y, size, anchor = "start", weight = "regular", rotate = 0, decimals = 2 } = place;
    const unit = 10 ** decimals;
    // Halves go up, below zero as well.
    const round = (v: number): string => fixed(Math.round(v * unit) / unit, decimals);
    const line = this.set(text, weight);
    const start = anchor === "start" ? 0 : anchor === "middle" ? -line.advance / 2 : -line.advance;
    const cos = Math.cos((rotate * Math.PI) / 180) * size;
    const sin = Math.sin((rotate * Math.PI) / 180) * size;
    // Ems, y up → the picture, y down.
    const point = (ex: number, ey: number): string => {
      const along = ex + start;
      return `${round(x + along * cos + ey * sin)} ${round(y + along * sin - ey * cos)}`;
    };
    return line.seen
      .filter(asked)
      .map(({ font, clusters }) => clusters.map((c) => outline(c, font, point)).join(""))
      .join("");
  }

  /** The line as glyphs in place, in ems. */
  set(text: string, weight: Weight = "regular"): SetLine {
    const key = `${weight} ${text}`;
    let line = this.#lines.get(key);
    if (!line) {
      line = setLine(text, weight, this.#fonts);
      this.#lines.set(key, line);
    }
    return line;
  }

  /** The characters that no font has, each once, in the order met. */
  missing(text: string, weight: Weight = "regular"): string[] {
    const runs = this.set(text, weight).read.filter((run) => !run.font);
    return [...new Set(runs.flatMap((run) => run.clusters.map((cluster) => cluster.text)))];
  }
}

const short = (all: readonly string[], n: number): string => `${all.slice(0, n).join("").trimEnd()}…`;

type Point = (ex: number, ey: number) => string;

function outline({ glyphs, x }: Cluster, font: Font | null, point: Point): string {
  if (!font) return frame(x, point);
  const perEm = 1 / font.unitsPerEm;
  return glyphs
    .flatMap((placed) =>
      (font.getGlyph(placed.id)?.path.commands ?? []).map(({ command, args }) => {
        const points: string[] = [];
        for (let i = 0; i < args.length; i += 2)
          points.push(point(placed.x + args[i]! * perEm, placed.y + args[i + 1]! * perEm));
        return commandLetters[command] + points.join(" ");
      }),
    )
    .join("");
}

/** An upright frame: the outer edge one way round, the inner the other. */
function frame(x: number, point: Point): string {
  const ring = (inset: number, names: readonly (readonly [number, number])[]): string =>
    names
      .map(([i, j], k) => {
        const ex = i ? x + BOX.right - inset : x + BOX.left + inset;
        const ey = j ? BOX.height - inset : inset;
        return `${k === 0 ? "M" : "L"}${point(ex, ey)}`;
      })
      .join("") + "Z";
  const around = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ] as const;
  return ring(0, around) + ring(BOX.stroke, [...around].reverse());
}

const commandLetters: Record<PathCommand["command"], string> = {
  moveTo: "M",
  lineTo: "L",
  quadraticCurveTo: "Q",
  bezierCurveTo: "C",
  closePath: "Z",
};
