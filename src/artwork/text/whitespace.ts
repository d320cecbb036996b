/** White space and case: SVG 2, 11.4 (CSS Text 3, 4.1.1), `text-transform`. */

/** Reads text nodes one after another, over the bounds of elements. */
export class Blanks {
  /** The last character read is a blank that the next one, or the end, swallows. */
  #pending = true;
  #any = false;
  #inWord = false;

  /** True if the last character handed out is a collapsible blank. */
  get endsInBlank(): boolean {
    return this.#any && this.#pending;
  }

  /** The characters that are left of a text node. Kept line breaks and tabs become blanks. */
  read(value: string, preserve: boolean, transform: string): string[] {
    const out: string[] = [];
    for (const character of value) {
      if (!/[ \t\n\r\f]/.test(character)) {
        for (const cased of this.#cased(character, transform)) out.push(cased);
        this.#pending = false;
        this.#any = true;
        continue;
      }
      this.#inWord = false;
      if (!preserve && this.#pending) continue;
      out.push(" ");
      this.#any = true;
      this.#pending = !preserve;
    }
    return out;
  }

  #cased(character: string, transform: string): string {
    const first = !this.#inWord;
    this.#inWord = /[\p{L}\p{N}\p{M}'’]/u.test(character);
    if (transform === "uppercase") return character.toUpperCase();
    if (transform === "lowercase") return character.toLowerCase();
    return transform === "capitalize" && first ? character.toUpperCase() : character;
  }
}
