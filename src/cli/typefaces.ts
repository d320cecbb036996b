/** The fonts that ship, in the order in which they are tried, and those of the user after them. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { type Collection, create, type Font } from "fontkit";
import { unpackFont } from "../artwork/text/sfnt.ts";
import type { FontFile } from "../artwork/text.ts";
import { type FontSource, Lettering } from "../picture/lettering.ts";

/** Subsets of Noto Sans itself; Latin first, so that figures and signs are the same in every script. */
const sans = ["latin", "latin-ext", "greek", "cyrillic", "vietnamese", "greek-ext", "cyrillic-ext"];
/** Each script's own package. */
const others = ["devanagari", "bengali", "tamil", "thai", "arabic", "hebrew", "georgian", "armenian"];

/** Text from the fonts that ship and then from those given. No file is read before a character asks for it. */
export function lettering(extra: readonly FontFile[] = []): Lettering {
  const given = facesOf(extra);
  const after = (weight: number): FontSource[] => {
    const far = (face: Face): number => Math.abs(face.weight - weight) + (face.slanted ? 1000 : 0);
    return given.toSorted((a, b) => far(a) - far(b)).map((face) => face.bytes);
  };
  return new Lettering({ regular: [...ours(400), ...after(400)], bold: [...ours(700), ...after(700)] });
}

function ours(weight: 400 | 700): FontSource[] {
  const { resolve } = createRequire(import.meta.url);
  return [
    ...sans.map((name) => `noto-sans/files/noto-sans-${name}`),
    ...others.map((name) => `noto-sans-${name}/files/noto-sans-${name}-${name}`),
  ].map((file) => () => readFileSync(resolve(`@fontsource/${file}-${weight}-normal.woff2`)));
}

interface Face {
  readonly bytes: Uint8Array;
  /** From 1 to 1000 (OpenType 1.9, "OS/2", usWeightClass). */
  readonly weight: number;
  readonly slanted: boolean;
}

/** The faces of the files; a face of a collection as a file of its own. */
function facesOf(files: readonly FontFile[]): Face[] {
  return files.flatMap(({ bytes }) => {
    try {
      const opened = create(bytes) as Font | Collection;
      const faces = "fonts" in opened ? opened.fonts : [opened];
      return faces.filter(isWhole).map((font) => ({
        bytes: "fonts" in opened ? unpackFont(font) : bytes,
        weight: font["OS/2"]?.usWeightClass ?? (font.head.macStyle.bold ? 700 : 400),
        slanted: font.head.macStyle.italic,
      }));
    } catch {
      // The files were opened before, and what cannot be drawn with was told then.
      return [];
    }
  });
}

/** Widths that are packed are not read. */
const isWhole = ({ directory: { tables } }: Font): boolean =>
  Boolean(tables.cmap && tables.head && tables.hmtx && !tables.hmtx.transformed);
