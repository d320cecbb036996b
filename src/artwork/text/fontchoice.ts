/** Which typeface draws which character; what is missing or stood in for is reported, once per element. */

import { isIgnorable, isUnseen } from "../../script/scripts.ts";
import type { Document } from "../document.ts";
import type { Character, Span } from "./characters.ts";
import type { Wanted } from "./face.ts";
import type { FontBook, Found } from "./fontbook.ts";
import type { Typeface } from "./typeface.ts";

const convert = "or convert the text to outlines";
const quote = (text: string): string => `“${text}”`;

/** The first words of a text, at most 40 characters. */
export const opening = (text: string): string => {
  const characters = [...text.replace(/\s+/gu, " ").trim()];
  return characters.length <= 40 ? characters.join("") : `${characters.slice(0, 39).join("")}…`;
};

const wantedOf = ({ style }: Span): Wanted => {
  const { weight, slant, stretch, settings } = style;
  return { weight, slant, stretch, settings };
};

export class FontChoice {
  readonly #document: Document;
  readonly #book: FontBook | null;
  readonly #substitute: boolean;
  readonly #typefaces = new Map<Span, readonly Typeface[]>();
  readonly #words = new Map<Span, string>();
  readonly #lacking = new Map<Span, Set<string>>();

  constructor(document: Document, book: FontBook | null, substitute: boolean, list: readonly Character[]) {
    this.#document = document;
    this.#book = book;
    this.#substitute = substitute;
    for (const { span, text } of list) this.#words.set(span, (this.#words.get(span) ?? "") + text);
  }

  /** The typeface an element's metrics are taken from; null where none of its fonts is given. */
  first(span: Span): Typeface | null {
    return this.#of(span)[0] ?? null;
  }

  /** The first typeface in the element's list that has the character; `before` goes on for unseen ones. */
  pick(text: string, span: Span, before: Typeface | null): Typeface | null {
    const list = this.#of(span);
    const codePoint = text.codePointAt(0) as number;
    if (isIgnorable(text)) return before ?? list[0] ?? null;
    const found = list.find((typeface) => hasCharacter(typeface, codePoint));
    if (found) return found;
    if (list.length === 0) return null;
    const other = this.#substitute ? this.#anyWith(codePoint, span) : null;
    if (other) {
      this.#standsIn(span, other.label, span.style.families[0]?.name ?? "");
      return other;
    }
    if (isUnseen(text)) return list[0];
    this.lacks(text, span);
    return null;
  }

  /** Notes a character that is asked for and has no outline. */
  lacks(text: string, span: Span): void {
    if (span.shown) this.#lacking.set(span, (this.#lacking.get(span) ?? new Set()).add(text));
  }

  /** Reports the characters that no font has. */
  settle(): void {
    for (const [span, characters] of this.#lacking) {
      const shown = [...characters].slice(0, 4).map((c) => {
        const code = (c.codePointAt(0) as number).toString(16).toUpperCase().padStart(4, "0");
        return `${c} (U+${code})`;
      });
      const more = characters.size > shown.length ? ` and ${characters.size - shown.length} more` : "";
      const message = `no font given has an outline for ${shown.join(", ")}${more}`;
      const hint = `give a font that has them with --fonts and name it in the text's font list, ${convert}`;
      this.#document.report.add("error", "glyph-missing", span.node, message, hint);
    }
  }

  #of(span: Span): readonly Typeface[] {
    let list = this.#typefaces.get(span);
    if (!list) {
      list = this.#find(span);
      this.#typefaces.set(span, list);
    }
    return list;
  }

  #find(span: Span): readonly Typeface[] {
    const wanted = wantedOf(span);
    const book = this.#book;
    const { families } = span.style;
    // A generic family ends the list: whatever it stands for on another machine has every usual character.
    const end = families.findIndex((family) => family.generic);
    const named = end < 0 ? families : families.slice(0, end);
    const found = named.map(({ name }) => ({ name, faces: book?.find(name, wanted) ?? [] }));
    const given = found.filter(({ faces }) => faces.length > 0);
    const asked = families[0]?.name ?? "";
    const [first] = given;
    if (first) {
      if (first !== found[0]) this.#nextInList(span, asked, first.name);
      this.#judge(span, first.faces[0]);
      return given.flatMap(({ faces }) => faces.map((found) => found.face.at(found.wanted)));
    }
    const standIn = this.#substitute ? (book?.standIn(wanted) ?? []) : [];
    if (standIn.length > 0) {
      this.#standsIn(span, standIn[0].label, asked);
      return standIn.map((face) => face.at(wanted));
    }
    this.#missing(span, asked);
    return [];
  }

  #anyWith(codePoint: number, span: Span): Typeface | null {
    const wanted = wantedOf(span);
    for (const face of this.#book?.faces ?? []) {
      const typeface = face.at(wanted);
      if (typeface.has(codePoint)) return typeface;
    }
    return null;
  }

  /** True where something is to be seen that a problem can speak of. */
  #speaks(span: Span): boolean {
    return span.shown && [...(this.#words.get(span) ?? "")].some((c) => !isUnseen(c));
  }

  #missing(span: Span, asked: string): void {
    if (!this.#speaks(span)) return;
    const font = asked === "" ? "no font is named" : `the font ${quote(opening(asked))} is not given`;
    this.#document.report.add(
      "error",
      "font-missing",
      span.node,
      `${font}: ${quote(opening(this.#words.get(span) ?? ""))}`,
      this.#remedy(asked),
    );
  }

  #remedy(asked: string): string {
    const given = this.#given(asked);
    if (given === "") {
      return this.#substitute
        ? `--allow font-substitute needs a font that can stand in: give one with --fonts as well, ${convert}`
        : `give the font with --fonts, ${convert}, or give another with --fonts and --allow font-substitute`;
    }
    const mend = asked === "" ? "name one in the artwork" : "correct the name, give the font with --fonts";
    return `${given}: ${mend}, ${convert}, or allow another face with --allow font-substitute`;
  }

  /** The families given, at most six by name; "" for none. */
  #given(asked: string): string {
    const all = this.#book?.families(asked) ?? [];
    const names = all.slice(0, 6).map((name) => quote(opening(name)));
    if (all.length > names.length)
      return `given are ${names.join(", ")} and ${all.length - names.length} more`;
    const last = names.pop();
    if (last === undefined) return "";
    return names.length === 0 ? `given is ${last}` : `given are ${names.join(", ")} and ${last}`;
  }

  #standsIn(span: Span, used: string, asked: string): void {
    if (!this.#speaks(span)) return;
    const what = asked === "" ? "no font is named" : `the font ${quote(opening(asked))}`;
    this.#document.report.add(
      "caution",
      "font-substitute",
      span.node,
      asked === "" ? `${what}: drawn in ${quote(used)}` : `${quote(opening(used))} stands in for ${what}`,
      `compare the picture with the customer's, or give the font with --fonts`,
    );
  }

  #nextInList(span: Span, asked: string, used: string): void {
    if (!this.#speaks(span)) return;
    this.#document.report.add(
      "caution",
      "font-next-in-list",
      span.node,
      `the font ${quote(opening(asked))} is not given: ${quote(opening(used))}, later in the list, is used`,
      `${this.#given(asked)}: compare the picture with the customer's, or give the font with --fonts`,
    );
  }

  /** A face that is not as bold or as slanted as asked is drawn as it is: nothing is made bold or slanted. */
  #judge(span: Span, { face, wanted: { weight, slant }, byName }: Found): void {
    if (!this.#speaks(span)) return;
    const { weight: range, slants } = face.traits;
    const nearest = weight < range[0] ? range[0] : weight > range[1] ? range[1] : weight;
    const off = byName && weight === 400 ? weight : nearest;
    const slanted = slants.some((s) => s !== "normal");
    const wrongSlant = slant === "normal" ? !byName && !slants.includes("normal") : !slanted;
    if (off === weight && !wrongSlant) return;
    // CSS calls weights from 600 on bold; across that line a browser would draw a made-up bold.
    const grave = wrongSlant || weight >= 600 !== off >= 600;
    const hint = `give that face of the font with --fonts, ${convert}`;
    const name = quote(opening(face.label));
    const drawn = wrongSlant
      ? `${name} is given without its ${slant === "normal" ? "upright" : slant} face: drawn as it is`
      : `${name} is not given in weight ${weight}: drawn in ${off}`;
    const severity = grave && !this.#substitute ? "error" : "caution";
    this.#document.report.add(
      severity,
      grave ? "font-style-missing" : "font-weight-nearest",
      span.node,
      drawn,
      hint,
    );
  }
}

/** Whether a font has a character, or the parts it is made of. */
export const hasCharacter = (typeface: Typeface, codePoint: number): boolean => {
  if (typeface.has(codePoint)) return true;
  const parts = [...String.fromCodePoint(codePoint).normalize("NFD")];
  return parts.length > 1 && parts.every((part) => typeface.has(part.codePointAt(0) as number));
};
