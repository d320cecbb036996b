/** What fontkit's fonts need before they are used for shaping. */

interface Glyphs<G> {
  getGlyph(id: number, codePoints?: readonly number[]): G | null;
}

/**
 * fontkit keeps a glyph with the characters it first stood for; from here on each shaping tells those of its own.
 * The font is changed and given back.
 */
export function withOwnCharacters<G extends object, F extends Glyphs<G>>(font: F): F {
  const plain = font.getGlyph.bind(font);
  font.getGlyph = (id, codePoints = []) => {
    const glyph = plain(id);
    return glyph && (Object.create(glyph, { codePoints: { value: codePoints } }) as G);
  };
  return font;
}
