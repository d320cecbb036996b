/** Runs of characters → clusters of glyphs: what is placed as one (a letter with its marks, a ligature). */
import type { Bidi } from "bidi-js";
import { mirrored } from "../../script/bidi.ts";
import { extendsPrevious, isIgnorable, isJoined, isUnseen, scriptOf } from "../../script/scripts.ts";
import type { Character, Span } from "./characters.ts";
import type { FontChoice } from "./fontchoice.ts";
import type { ShapedGlyph, Typeface } from "./typeface.ts";

/** In ems from the cluster's origin, y up. */
export interface PlacedGlyph {
  readonly id: number;
  readonly x: number;
  readonly y: number;
}

export interface Cluster {
  /** The first of its characters and the one after its last. */
  readonly head: number;
  readonly end: number;
  readonly span: Span;
  readonly level: number;
  /** Null for characters that no font has. */
  readonly typeface: Typeface | null;
  readonly glyphs: readonly PlacedGlyph[];
  /** In user units, without spacing. */
  readonly advance: number;
  readonly script: string | null;
}

interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly typeface: Typeface | null;
  readonly level: number;
  readonly script: string | null;
}

interface Run extends Stretch {
  readonly typeface: Typeface;
}

/** A character handed to the font, and the place it came from. */
interface Entry {
  readonly codePoint: number;
  readonly index: number;
}

const shadda = 0x651;
const noLigatures = { liga: false, clig: false, dlig: false, hlig: false };
/** From here on a run ends at the next blank: shaping a run takes more than proportional time. */
const longRun = 1000;
/** How far a shaper may move a character within its syllable. */
const reorderReach = 64;

const sameRun = (a: Span, b: Span): boolean =>
  a === b ||
  (a.entered.frame.style.fontSize === b.entered.frame.style.fontSize &&
    a.style.features === b.style.features &&
    a.style.smallCaps === b.style.smallCaps &&
    (a.style.letterSpacing === 0) === (b.style.letterSpacing === 0));

export class Shaper {
  readonly #list: readonly Character[];
  readonly #levels: Uint8Array;
  readonly #choice: FontChoice;
  readonly #bidi: Bidi;

  constructor(list: readonly Character[], levels: Uint8Array, choice: FontChoice, bidi: Bidi) {
    this.#list = list;
    this.#levels = levels;
    this.#choice = choice;
    this.#bidi = bidi;
  }

  /** The clusters of all characters, in logical order. */
  shape(): Cluster[] {
    const clusters: Cluster[] = [];
    for (const run of this.#runs()) {
      if (run.typeface) this.#run({ ...run, typeface: run.typeface }, clusters);
      else clusters.push(this.#gap(run.from, run.level));
    }
    return clusters;
  }

  /** Stretches of one typeface, level and script within a chunk; single characters where there is no typeface. */
  #runs(): Stretch[] {
    const list = this.#list;
    const runs: Stretch[] = [];
    list.forEach((c, i) => {
      const level = this.#levels[i];
      const last = c.chunk ? undefined : runs.at(-1);
      const before = last?.typeface ?? null;
      const attached = extendsPrevious(c.text) && before?.has(c.text.codePointAt(0) as number);
      const shown = mirrored(c.text, level, this.#bidi);
      const typeface = attached ? before : this.#choice.pick(shown, c.span, before);
      const script = scriptOf(c.text);
      const joins =
        last !== undefined &&
        typeface !== null &&
        typeface === last.typeface &&
        level === last.level &&
        !(last.to - last.from >= longRun && list[i - 1].text === " ") &&
        sameRun(list[i - 1].span, c.span) &&
        (script === null || last.script === null || script === last.script);
      if (joins) runs[runs.length - 1] = { ...last, to: i + 1, script: last.script ?? script };
      else runs.push({ from: i, to: i + 1, typeface, level, script });
    });
    return runs;
  }

  /** The place of a character that no font has. */
  #gap(index: number, level: number): Cluster {
    const { span, text } = this.#list[index];
    const advance = isUnseen(text) ? 0 : 0.5 * span.entered.frame.style.fontSize;
    return { head: index, end: index + 1, span, level, typeface: null, glyphs: [], advance, script: null };
  }

  #run(run: Run, into: Cluster[]): void {
    const { style } = this.#list[run.from].span;
    const spaced = this.#list[run.from].span.style.letterSpacing !== 0 && !isJoined(run.script);
    const features: Record<string, boolean> = { ...style.features, ...(spaced ? noLigatures : {}) };
    if (style.smallCaps) features.smcp = true;
    let clusters = this.#clusters(run, features);
    const torn = clusters.some(({ head, end, span }) => {
      for (let i = head + 1; i < end; i++) {
        const c = this.#list[i];
        if (!extendsPrevious(c.text) && (c.apart || c.span !== span)) return true;
      }
      return false;
    });
    if (torn) clusters = this.#clusters(run, { ...features, ...noLigatures });
    for (const cluster of clusters) {
      this.#checkOutlines(cluster);
      into.push(cluster);
    }
  }

  /** A cluster of visible characters must have an outline: fonts of pictures have glyphs without. */
  #checkOutlines({ head, end, span, glyphs, typeface }: Cluster): void {
    if (!typeface || glyphs.some(({ id }) => typeface.outline(id).length > 0)) return;
    for (let i = head; i < end; i++) {
      const { text } = this.#list[i];
      if (!isUnseen(text)) this.#choice.lacks(text, span);
    }
  }

  #entries({ from, to, typeface, level }: Run): Entry[] {
    const entries: Entry[] = [];
    for (let i = from; i < to; i++) {
      const text = mirrored(this.#list[i].text, level, this.#bidi);
      const codePoint = text.codePointAt(0) as number;
      const last = entries.at(-1);
      const composed =
        last && extendsPrevious(text) ? (String.fromCodePoint(last.codePoint) + text).normalize("NFC") : "";
      const whole = composed.codePointAt(0) ?? 0;
      if (last && composed.length > 0 && [...composed].length === 1 && typeface.has(whole)) {
        entries[entries.length - 1] = { codePoint: whole, index: last.index };
      } else if (typeface.has(codePoint)) {
        entries.push({ codePoint, index: i });
        if (codePoint === shadda) shaddaFirst(entries);
      } else
        for (const part of text.normalize("NFD"))
          entries.push({ codePoint: part.codePointAt(0) as number, index: i });
    }
    return entries;
  }

  #clusters(run: Run, features: Record<string, boolean>): Cluster[] {
    const { typeface, level } = run;
    const rtl = level % 2 === 1;
    const entries = this.#entries(run);
    const text = entries.map((e) => String.fromCodePoint(e.codePoint)).join("");
    const shaped = typeface.shape(text, features, rtl);
    const size = this.#list[run.from].span.entered.frame.style.fontSize;
    const groups = group(rtl ? shaped.toReversed() : shaped, entries, this.#list);
    return groups.map(({ glyphs, head }, k) => {
      const end = groups[k + 1]?.head ?? run.to;
      const placed: PlacedGlyph[] = [];
      let pen = 0;
      for (const glyph of rtl ? glyphs.toReversed() : glyphs) {
        placed.push({ id: glyph.id, x: pen + glyph.x, y: glyph.y });
        pen += glyph.advance;
      }
      const first = k === 0 ? run.from : head;
      const { span } = this.#list[first];
      return {
        head: first,
        end,
        span,
        level,
        typeface,
        glyphs: placed,
        advance: pen * size,
        script: run.script,
      };
    });
  }
}

/** A shadda stands next to its letter, before the vowel marks typed before it (UTR 53, "Arabic mark transient reordering"). */
function shaddaFirst(entries: Entry[]): void {
  for (let k = entries.length - 1; k > 0; k--) {
    const before = entries[k - 1];
    if (before.codePoint < 0x64b || before.codePoint > 0x652 || before.codePoint === shadda) return;
    entries[k - 1] = entries[k];
    entries[k] = before;
  }
}

interface Group {
  head: number;
  last: number;
  glyphs: ShapedGlyph[];
}

/** Glyphs in logical order, gathered so that no two groups share or cross characters. */
function group(
  glyphs: readonly ShapedGlyph[],
  entries: readonly Entry[],
  list: readonly Character[],
): Group[] {
  const used = new Uint8Array(entries.length);
  let firstFree = 0;
  const take = (codePoint: number): number | null => {
    while (firstFree < entries.length && used[firstFree]) firstFree++;
    // fontkit puts the glyph of the space in place of what is not to be seen.
    const hidden =
      codePoint === 0x20 &&
      firstFree < entries.length &&
      isIgnorable(String.fromCodePoint(entries[firstFree].codePoint));
    if (hidden) {
      used[firstFree] = 1;
      return entries[firstFree].index;
    }
    for (let k = firstFree; k < Math.min(entries.length, firstFree + reorderReach); k++) {
      if (used[k] || entries[k].codePoint !== codePoint) continue;
      used[k] = 1;
      return entries[k].index;
    }
    return null;
  };
  const groups: Group[] = [];
  for (const glyph of glyphs) {
    const from = glyph.codePoints.map(take).filter((index) => index !== null);
    const last = groups.at(-1);
    const head = from.length > 0 ? Math.min(...from) : null;
    const end = from.length > 0 ? Math.max(...from) : null;
    if (head === null || end === null) {
      if (last) last.glyphs.push(glyph);
      else groups.push({ head: entries[0].index, last: entries[0].index, glyphs: [glyph] });
      continue;
    }
    if (!last || (head > last.last && !extendsPrevious(list[head].text))) {
      groups.push({ head, last: end, glyphs: [glyph] });
      continue;
    }
    last.glyphs.push(glyph);
    last.head = Math.min(last.head, head);
    last.last = Math.max(last.last, end);
    mergeCrossing(groups);
  }
  return groups;
}

function mergeCrossing(groups: Group[]): void {
  for (;;) {
    const top = groups.at(-1);
    const below = groups.at(-2);
    if (!top || !below || below.last < top.head) return;
    groups.pop();
    below.glyphs.push(...top.glyphs);
    below.head = Math.min(below.head, top.head);
    below.last = Math.max(below.last, top.last);
  }
}
