/**
 * Text as outlines, so that a picture looks the same on every machine: no font of the system is ever used.
 * The caller hands in the bytes of the fonts (WOFF2, WOFF, TTF); each character comes from the first font that
 * has it, and one that none has is drawn as a box.
 */
import { create, type Font, type PathCommand } from "fontkit";

export type Weight = "regular" | "bold";

export interface FontBytes {
  readonly regular: readonly Uint8Array[];
  readonly bold: readonly Uint8Array[];
}

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

/** One glyph in place, in ems, y up; `commands` null for a character that no font has. */
interface Placed {
  readonly x: number;
  readonly y: number;
  readonly perEm: number;
  readonly commands: readonly PathCommand[] | null;
}

interface Line {
  readonly glyphs: readonly Placed[];
  readonly advance: number;
}

/** Advance and outline (a frame) of a missing character, in ems. */
const BOX = { advance: 0.62, left: 0.06, right: 0.56, height: 0.71, stroke: 0.06 };

export class Lettering {
  readonly #bytes: FontBytes;
  readonly #fonts: Record<Weight, Font[]> = { regular: [], bold: [] };
  readonly #lines = new Map<string, Line>();

  constructor(fonts: FontBytes) {
    this.#bytes = fonts;
  }

  /** How far the text runs, in the unit of `size`. */
  width(text: string, size: number, weight: Weight = "regular"): number {
    return this.#line(text, weight).advance * size;
  }

  /** The text, or as much of it as fits into `room` with an ellipsis after it. */
  fitted(text: string, room: number, size: number, weight: Weight = "regular"): string {
    const whole = cleaned(text);
    if (this.width(whole, size, weight) <= room) return whole;
    const characters = [...whole];
    let fits = 0;
    let tooMany = characters.length;
    while (tooMany - fits > 1) {
      const n = (fits + tooMany) >> 1;
      if (this.width(short(characters, n), size, weight) <= room) fits = n;
      else tooMany = n;
    }
    return short(characters, fits);
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

  /** SVG path data of the text's outlines, to be filled nonzero. */
  path(text: string, place: TextPlace): string {
    const { x, y, size, anchor = "start", weight = "regular", rotate = 0, decimals = 2 } = place;
    const unit = 10 ** decimals;
    const round = (v: number): number => Math.round(v * unit) / unit + 0;
    const line = this.#line(text, weight);
    const start = anchor === "start" ? 0 : anchor === "middle" ? -line.advance / 2 : -line.advance;
    const cos = Math.cos((rotate * Math.PI) / 180) * size;
    const sin = Math.sin((rotate * Math.PI) / 180) * size;
    // Ems, y up → the picture, y down.
    const point = (ex: number, ey: number): string => {
      const along = ex + start;
      return `${round(x + along * cos + ey * sin)} ${round(y + along * sin - ey * cos)}`;
    };
    return line.glyphs.map((glyph) => outline(glyph, point)).join("");
  }

  #line(text: string, weight: Weight): Line {
    const key = `${weight} ${text}`;
    let line = this.#lines.get(key);
    if (!line) {
      line = this.#layOut(cleaned(text), weight);
      this.#lines.set(key, line);
    }
    return line;
  }

  #layOut(text: string, weight: Weight): Line {
    const glyphs: Placed[] = [];
    let pen = 0;
    for (const { font, text: run } of this.#runs(text, weight)) {
      if (!font) {
        for (const _ of run) {
          glyphs.push({ x: pen, y: 0, perEm: 1, commands: null });
          pen += BOX.advance;
        }
        continue;
      }
      const perEm = 1 / font.unitsPerEm;
      const shaped = font.layout(run);
      shaped.glyphs.forEach((glyph, i) => {
        const at = shaped.positions[i]!;
        const commands = glyph.path.commands;
        glyphs.push({ x: pen + at.xOffset * perEm, y: at.yOffset * perEm, perEm, commands });
        pen += at.xAdvance * perEm;
      });
    }
    return { glyphs, advance: pen };
  }

  /** The text cut into stretches of one font each. */
  #runs(text: string, weight: Weight): { font: Font | null; text: string }[] {
    const runs: { font: Font | null; text: string }[] = [];
    for (const character of text) {
      const last = runs.at(-1);
      const font =
        character === " " && last?.font ? last.font : this.#fontFor(character.codePointAt(0)!, weight);
      if (last && last.font === font) last.text += character;
      else runs.push({ font, text: character });
    }
    return runs;
  }

  /** Fonts are unpacked only when a character is not found in those before. */
  #fontFor(codePoint: number, weight: Weight): Font | null {
    const fonts = this.#fonts[weight];
    const bytes = this.#bytes[weight];
    for (let i = 0; i < bytes.length; i++) {
      let font = fonts[i];
      if (!font) fonts[i] = font = create(bytes[i]!);
      if (font.hasGlyphForCodePoint(codePoint)) return font;
    }
    return null;
  }
}

/** One line of characters that show: composed, blanks as spaces, no controls, joiners or variation marks. */
const cleaned = (text: string): string =>
  text
    .normalize("NFC")
    .replace(/\s+/gu, " ")
    .replace(/[\p{Cc}\p{Cf}\p{Variation_Selector}]/gu, "");

const short = (characters: readonly string[], n: number): string =>
  `${characters.slice(0, n).join("").trimEnd()}…`;

function outline(glyph: Placed, point: (x: number, y: number) => string): string {
  if (!glyph.commands) return frame(glyph.x, point);
  let d = "";
  for (const { command, args } of glyph.commands) {
    d += letters[command];
    for (let i = 0; i < args.length; i += 2) {
      if (i > 0) d += " ";
      d += point(glyph.x + args[i]! * glyph.perEm, glyph.y + args[i + 1]! * glyph.perEm);
    }
  }
  return d;
}

/** An upright frame: the outer edge one way round, the inner the other. */
function frame(x: number, point: (x: number, y: number) => string): string {
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

const letters: Record<PathCommand["command"], string> = {
  moveTo: "M",
  lineTo: "L",
  quadraticCurveTo: "Q",
  bezierCurveTo: "C",
  closePath: "Z",
};
