/** One face of a font file: its names, what it can be, and its typefaces, one for each setting of the axes. */
import type { Font } from "fontkit";
import { reading } from "./brokenfont.ts";
import { familiesOf, nameKey, ownNamesOf } from "./fontnames.ts";
import { unpackFont } from "./sfnt.ts";
import { Typeface } from "./typeface.ts";

export type Slant = "normal" | "italic" | "oblique";

/** Axis tags and values. */
export type Settings = Readonly<Record<string, number>>;

/** What CSS asks of a font. `stretch` in percent. */
export interface Wanted {
  readonly weight: number;
  readonly slant: Slant;
  readonly stretch: number;
  /** `font-variation-settings`. */
  readonly settings: Settings;
}

type Range = readonly [number, number];

export interface Traits {
  readonly weight: Range;
  readonly stretch: Range;
  readonly slants: readonly Slant[];
}

/** usWidthClass 1…9 in percent: OpenType, "OS/2". */
const widths = [50, 62.5, 75, 87.5, 100, 112.5, 125, 150, 200];

export class Face {
  readonly label: string;
  readonly #families: ReadonlySet<string>;
  /** Full and PostScript names of the face and of the named settings of its axes, each with the axes' values. */
  readonly #ownNames: ReadonlyMap<string, Settings>;
  readonly traits: Traits;
  readonly #file: string;
  readonly #axes: NonNullable<Font["fvar"]>["axis"];
  readonly #open: () => Font;
  readonly #typefaces = new Map<string, Typeface>();

  /** `reopen` opens the face again from its file, or from a plain copy of it. */
  constructor(font: Font, fileName: string, reopen: (plain: Uint8Array | null) => Font) {
    const families = familiesOf(font);
    this.#file = fileName;
    this.label = families[0] ?? fileName;
    this.#families = new Set(families.map(nameKey));
    this.#axes = font.fvar?.axis ?? [];
    this.#ownNames = ownNamesOf(font);
    this.traits = traitsOf(font);
    let plain: Uint8Array | null = null;
    this.#open = () => {
      if (font.type !== "TTF" && this.#axes.length > 0) plain ??= unpackFont(font);
      return reopen(plain);
    };
  }

  /** By family name (name IDs 1 and 16). */
  isOf(family: string): boolean {
    return this.#families.has(nameKey(family));
  }

  /**
   * By the full or PostScript name of the face or of a named setting of its axes, which drawing programs write as
   * a family: the axes' values that the name stands for, null where it is not one of them.
   */
  named(name: string): Settings | null {
    return this.#ownNames.get(nameKey(name)) ?? null;
  }

  at(wanted: Wanted): Typeface {
    const given: Record<string, number> = {
      wght: wanted.weight,
      wdth: wanted.stretch,
      ital: wanted.slant === "italic" ? 1 : 0,
      slnt: wanted.slant === "oblique" ? -14 : 0,
      ...wanted.settings,
    };
    const coords = this.#axes.map((axis) => {
      const value = given[axis.axisTag.trim()] ?? axis.defaultValue;
      return Math.min(axis.maxValue, Math.max(axis.minValue, value));
    });
    const key = coords.join(" ");
    let typeface = this.#typefaces.get(key);
    if (!typeface) {
      typeface = reading(this.#file, () => {
        const font = this.#open();
        if (coords.length > 0) font.variationCoords = coords;
        return new Typeface(font, this.label, this.#file);
      });
      this.#typefaces.set(key, typeface);
    }
    return typeface;
  }
}

function traitsOf(font: Font): Traits {
  const os2 = font["OS/2"];
  const { macStyle } = font.head;
  const axes = new Map(
    (font.fvar?.axis ?? []).map((a) => [a.axisTag.trim(), [a.minValue, a.maxValue] as Range]),
  );
  const weight = os2 && os2.usWeightClass > 0 ? os2.usWeightClass : macStyle.bold ? 700 : 400;
  const stretch = widths[(os2?.usWidthClass ?? 5) - 1] ?? 100;
  const italic = os2?.fsSelection.italic || macStyle.italic;
  const own: Slant = os2?.fsSelection.oblique ? "oblique" : italic ? "italic" : "normal";
  const slants = new Set<Slant>([own]);
  if (axes.has("ital")) slants.add("normal").add("italic");
  if (axes.has("slnt")) slants.add("normal").add("oblique");
  return {
    weight: axes.get("wght") ?? [weight, weight],
    stretch: axes.get("wdth") ?? [stretch, stretch],
    slants: [...slants],
  };
}
