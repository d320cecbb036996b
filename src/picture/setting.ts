/**
 * Sets one line of text: mixed directions in their visual order (UAX 9), each stretch of one font, direction and
 * script shaped on its own, and its glyphs gathered so that every group stands for whole characters.
 */
import type { Bidi } from "bidi-js";
import type { Font } from "fontkit";
import { mirrored, textLevels, visualOrder } from "../script/bidi.ts";
import { extendsPrevious, isIgnorable, scriptOf } from "../script/scripts.ts";
import { gathered } from "./gathering.ts";
import type { Typecase, Weight } from "./typecase.ts";

/** In ems from the start of the line, y up. */
export interface SetGlyph {
  readonly id: number;
  readonly x: number;
  readonly y: number;
}

/** Glyphs that stand for some characters together: a letter with its dots, a ligature, a syllable. */
export interface Cluster {
  /** The characters in logical order. */
  readonly text: string;
  /** None for a character that no font has. */
  readonly glyphs: readonly SetGlyph[];
  /** Ems from the start of the line. */
  readonly x: number;
  readonly advance: number;
}

export interface Run {
  /** Null: no font has these characters. */
  readonly font: Font | null;
  /** Left to right. */
  readonly clusters: readonly Cluster[];
}

export interface SetLine {
  /** In the order in which the line is read; `clusters` of each go left to right. */
  readonly read: readonly Run[];
  /** The same runs from left to right. */
  readonly seen: readonly Run[];
  /** Ems. */
  readonly advance: number;
}

/** A character as it is drawn and as it was given: they differ for brackets that run to the left. */
export interface Character {
  readonly shown: string;
  readonly given: string;
}

interface Stretch {
  readonly font: Font | null;
  readonly level: number;
  readonly script: string | null;
  readonly characters: Character[];
}

/** Advance and outline (a frame) of a missing character, in ems. */
export const BOX = { advance: 0.62, left: 0.06, right: 0.56, height: 0.71, stroke: 0.06 };

/** One line of text: composed, blanks as spaces, no controls but those of direction and joining. */
export const cleaned = (text: string): string =>
  text
    .normalize("NFC")
    .replace(/\s+/gu, " ")
    .replace(
      /[\p{Cc}\p{Variation_Selector}]|(?!\u200c|\u200d|[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069])\p{Cf}/gu,
      "",
    )
    // A shadda stands next to its letter (UTR 53, "Arabic mark transient reordering"); canonically the same text.
    .replace(/([\u064b-\u0650\u0652]+)\u0651/gu, "\u0651$1");

/** The line's direction is that of its first letter that has one. */
export function setLine(text: string, weight: Weight, fonts: Typecase): SetLine {
  const read = stretchesOf(cleaned(text), weight, fonts);
  const runs = new Map<Stretch, Run>();
  let pen = 0;
  for (const stretch of visualOrder(read)) {
    const run = stretch.font ? shaped(stretch, stretch.font, pen) : boxes(stretch, pen);
    runs.set(stretch, run);
    for (const cluster of run.clusters) pen = cluster.x + cluster.advance;
  }
  return { read: read.map((stretch) => runs.get(stretch)!), seen: [...runs.values()], advance: pen };
}

function stretchesOf(text: string, weight: Weight, fonts: Typecase): Stretch[] {
  const { bidi } = fonts;
  const levels = textLevels(text, "auto", bidi);
  const stretches: Stretch[] = [];
  for (const { at, letter } of letters(text)) {
    const level = levels?.[at] ?? 0;
    const last = stretches.at(-1);
    const characters = drawn(letter, level, bidi, last);
    if (characters.length === 0) continue;
    const shown = characters.map((c) => c.shown).join("");
    const space = shown === " " && last?.font?.hasGlyphForCodePoint(0x20);
    const font = space ? last!.font : fonts.fontFor(shown, weight);
    for (const character of characters)
      put(stretches, character, level, owner(character, font, weight, fonts));
  }
  return stretches;
}

/** A mark that the font of its letter lacks is looked for by itself. */
const owner = (character: Character, font: Font | null, weight: Weight, fonts: Typecase): Font | null =>
  font?.hasGlyphForCodePoint(character.shown.codePointAt(0)!) ? font : fonts.fontFor(character.shown, weight);

function put(stretches: Stretch[], character: Character, level: number, font: Font | null): void {
  const last = stretches.at(-1);
  const script = scriptOf(character.shown);
  if (
    last &&
    last.font === font &&
    last.level === level &&
    (script === null || last.script === null || script === last.script)
  ) {
    last.characters.push(character);
    if (last.script === null && script !== null) stretches[stretches.length - 1] = { ...last, script };
  } else stretches.push({ font, level, script, characters: [character] });
}

/** Each letter with the marks and joiners after it, and where it starts. */
export function letters(text: string): { at: number; letter: string }[] {
  const found: { at: number; letter: string }[] = [];
  let at = 0;
  for (const character of text) {
    const last = found.at(-1);
    if (last && extendsPrevious(character)) last.letter += character;
    else found.push({ at, letter: character });
    at += character.length;
  }
  return found;
}

/** Scripts whose letters join or stack, so that a joiner between them changes what is drawn. */
const joining =
  /[\p{Script=Arabic}\p{Script=Syriac}\p{Script=Nko}\p{Script=Mongolian}\p{Script=Devanagari}\p{Script=Bengali}\p{Script=Gurmukhi}\p{Script=Gujarati}\p{Script=Oriya}\p{Script=Tamil}\p{Script=Telugu}\p{Script=Kannada}\p{Script=Malayalam}\p{Script=Sinhala}\p{Script=Khmer}\p{Script=Myanmar}]/u;

/** What of a letter is handed to a font: no controls, and joiners only where the font before them knows them. */
function drawn(letter: string, level: number, bidi: Bidi, last: Stretch | undefined): Character[] {
  const known = joining.test(letter) || (last?.font && joining.test(last.characters.at(-1)!.shown));
  return [...letter]
    .filter((c) => !isIgnorable(c) || (known && /[\u200c\u200d]/u.test(c)))
    .map((given) => ({ given, shown: mirrored(given, level, bidi) }));
}

function boxes({ characters, level }: Stretch, start: number): Run {
  const order = level % 2 === 1 ? characters.toReversed() : characters;
  let pen = start;
  const clusters = order.map(({ given }): Cluster => {
    const cluster = { text: given, glyphs: [], x: pen, advance: BOX.advance };
    pen += BOX.advance;
    return cluster;
  });
  return { font: null, clusters };
}

function shaped({ characters, level }: Stretch, font: Font, start: number): Run {
  const rtl = level % 2 === 1;
  const perEm = 1 / font.unitsPerEm;
  const text = characters.map((c) => c.shown).join("");
  const { glyphs, positions } = font.layout(text, undefined, undefined, undefined, rtl ? "rtl" : "ltr");
  const logical = glyphs.map((glyph, i) => ({
    ...positions[i]!,
    id: glyph.id,
    codePoints: glyph.codePoints,
  }));
  const groups = gathered(rtl ? logical.toReversed() : logical, characters);
  let pen = start;
  const clusters = (rtl ? groups.toReversed() : groups).map((group): Cluster => {
    const x = pen;
    const placed = (rtl ? group.glyphs.toReversed() : group.glyphs).map(
      ({ id, xOffset, yOffset, xAdvance }) => {
        const glyph = { id, x: pen + xOffset * perEm, y: yOffset * perEm };
        pen += xAdvance * perEm;
        return glyph;
      },
    );
    return { text: group.text, glyphs: placed, x, advance: pen - x };
  });
  return { font, clusters };
}
