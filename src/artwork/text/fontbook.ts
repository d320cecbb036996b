/** The fonts the user gives: opened once, found by family, weight and style. */
import type { Bidi } from "bidi-js";
import type { Collection, Font } from "fontkit";
import type { Problem } from "../../problem.ts";
import type { Settings, Wanted } from "./face.ts";
import { Face } from "./face.ts";
import { cutShort, notAFont } from "./fontfile.ts";
import { bestFaces } from "./fontmatch.ts";
import { nameKey } from "./fontnames.ts";

export interface FontFile {
  /** Said in problems; a path or a plain name. */
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** A face that was found for a family, and what it is to be drawn with. */
export interface Found {
  readonly face: Face;
  readonly wanted: Wanted;
  /** The family asked for is the name of this very face: it need not be of normal weight, width and slant. */
  readonly byName: boolean;
}

export class FontBook {
  /** Files and faces that cannot be drawn with, as cautions `font-unreadable`. */
  readonly problems: readonly Problem[];
  /** By file name: why nothing of the file can be drawn with. */
  readonly unread: ReadonlyMap<string, string>;
  readonly faces: readonly Face[];
  /** The Unicode Bidirectional Algorithm (UAX 9). */
  readonly bidi: Bidi;

  constructor(
    faces: readonly Face[],
    problems: readonly Problem[],
    unread: ReadonlyMap<string, string>,
    bidi: Bidi,
  ) {
    this.faces = faces;
    this.problems = problems;
    this.unread = unread;
    this.bidi = bidi;
  }

  /** The names of the families given, each once; those that begin most like `asked` come first. */
  families(asked: string): readonly string[] {
    const names = [...new Set(this.faces.map((face) => face.label))];
    const alike = (name: string): number => {
      const [a, b] = [nameKey(name), nameKey(asked)];
      let n = 0;
      while (n < a.length && a[n] === b[n]) n++;
      return n;
    };
    return names.sort((a, b) => alike(b) - alike(a));
  }

  /** The faces of a family that match best, or those whose own name it is; empty where it was not given. */
  find(family: string, wanted: Wanted): readonly Found[] {
    const ofFamily = this.faces.filter((face) => face.isOf(family));
    if (ofFamily.length > 0) {
      return bestFaces(ofFamily, wanted).map((face) => ({
        face,
        wanted,
        byName: face.named(family) !== null,
      }));
    }
    return this.faces.flatMap((face) => {
      const named = face.named(family);
      return named ? [{ face, wanted: withName(wanted, named), byName: true }] : [];
    });
  }

  /** What stands in for a family that was not given: the best faces of the first family given. */
  standIn(wanted: Wanted): readonly Face[] {
    const [first] = this.faces;
    if (!first) return [];
    return bestFaces(
      this.faces.filter((face) => face.label === first.label),
      wanted,
    );
  }
}

/** What the name of a face says holds where the style asks for nothing but the normal. */
function withName(wanted: Wanted, named: Settings): Wanted {
  const { weight, slant, stretch, settings } = wanted;
  const asked = new Set<string>();
  if (weight !== 400) asked.add("wght");
  if (stretch !== 100) asked.add("wdth");
  if (slant !== "normal") asked.add("ital").add("slnt");
  const kept = Object.fromEntries(Object.entries(named).filter(([tag]) => !asked.has(tag)));
  return { ...wanted, settings: { ...kept, ...settings } };
}

const unreadable = (name: string, why: string): Problem => ({
  code: "font-unreadable",
  severity: "caution",
  message: `the font file “${name.slice(-60)}” was left out: ${why}`,
  hint: "give TrueType, OpenType, WOFF or WOFF2 files",
});

/** What keeps a face from being drawn, or null. */
function flawOf(font: Font): string | null {
  const { tables } = font.directory;
  if (tables.hmtx?.transformed) return "its widths are packed in a way that is not read";
  if (!tables.cmap || !tables.head || !tables.hmtx || !(font.unitsPerEm > 0))
    return "a part of it is missing";
  return tables.glyf || tables["CFF "] || tables.CFF2 ? null : "it holds no outlines";
}

/** Opens TrueType, OpenType, WOFF and WOFF2 files and collections, in the order given. */
export async function openFonts(files: readonly FontFile[]): Promise<FontBook> {
  const { create } = await import("fontkit");
  // Its types are written for bundlers: at run time the factory itself is the default export.
  const openBidi = (await import("bidi-js")).default as unknown as () => Bidi;
  const faces: Face[] = [];
  const problems: Problem[] = [];
  const unread = new Map<string, string>();
  for (const { name, bytes } of files) {
    const flaws: string[] = [];
    const before = faces.length;
    const short = cutShort(bytes);
    if (short) flaws.push(short);
    else {
      try {
        const opened = create(bytes) as Font | Collection;
        const fonts = "fonts" in opened ? opened.fonts : [opened];
        fonts.forEach((font, i) => {
          const flaw = flawOf(font);
          if (flaw) {
            flaws.push(flaw);
            return;
          }
          const reopen = (plain: Uint8Array | null): Font => {
            const again = create(plain ?? bytes) as Font | Collection;
            return "fonts" in again ? again.fonts[i] : again;
          };
          faces.push(new Face(font, name, reopen));
        });
      } catch {
        flaws.push(notAFont(bytes) ?? "its tables are broken");
      }
    }
    for (const flaw of flaws) problems.push(unreadable(name, flaw));
    if (faces.length === before) unread.set(name, flaws[0] ?? "it holds no fonts");
  }
  return new FontBook(faces, problems, unread, openBidi());
}
