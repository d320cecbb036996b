/** Glyphs in logical order, gathered so that each group stands for the whole of some characters. */

interface Group<G> {
  readonly text: string;
  readonly glyphs: readonly G[];
}

/**
 * A group ends where its glyphs stand for just the characters passed, in any order, and no glyph without characters
 * of its own follows. What a font tells wrongly thus ends in one large group, never in lost text.
 */
export function gathered<G extends { readonly codePoints: readonly number[] }>(
  glyphs: readonly G[],
  characters: readonly { readonly shown: string; readonly given: string }[],
): Group<G>[] {
  const groups: Group<G>[] = [];
  let open: G[] = [];
  let at = 0;
  for (const glyph of glyphs) {
    const end = open.length > 0 && glyph.codePoints.length > 0 ? endOf(open, characters, at) : null;
    if (end !== null) {
      groups.push({ text: textOf(characters.slice(at, end)), glyphs: open });
      open = [];
      at = end;
    }
    open.push(glyph);
  }
  if (open.length > 0) groups.push({ text: textOf(characters.slice(at)), glyphs: open });
  return groups;
}

/** The end of the characters from `at` that the glyphs stand for, or null where the two do not match. */
function endOf(
  glyphs: readonly { readonly codePoints: readonly number[] }[],
  characters: readonly { readonly shown: string }[],
  at: number,
): number | null {
  const told = glyphs.flatMap((glyph) => partsOf(String.fromCodePoint(...glyph.codePoints)));
  const met: string[] = [];
  let end = at;
  while (met.length < told.length && end < characters.length) met.push(...partsOf(characters[end++]!.shown));
  if (told.length === 0 || end >= characters.length) return null;
  return told.sort().join() === met.sort().join() ? end : null;
}

/** Canonical parts; fontkit puts the glyph of the space in place of a joiner. */
const partsOf = (text: string): string[] => [...text.normalize("NFD").replace(/[\u200c\u200d]/gu, " ")];

const textOf = (characters: readonly { readonly given: string }[]): string =>
  characters.map((c) => c.given).join("");
