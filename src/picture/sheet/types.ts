/** The station sheet as data: what it says, in order, before it is laid out on a page or written as HTML. */
import type { Paper } from "../page/page.ts";

/** The marks of one turn. */
export interface TurnFile {
  readonly name: string;
  /** 64 hexadecimal digits. */
  readonly sha256: string;
}

/** What the plan does not know of the run that writes the sheet. */
export interface SheetFacts {
  /** The artwork's file name. */
  readonly title: string;
  /** Names of the files that lie beside the sheet; with several turns `marks` names them all in short. */
  readonly marks: string;
  readonly align: string;
  readonly html: string;
  /** Of the marks, with several turns of their list (`fileList`): 64 hexadecimal digits. */
  readonly sha256: string;
  /** With several turns: the marks of each, in their order. */
  readonly turnFiles?: readonly TurnFile[];
  /** YYYY-MM-DD. */
  readonly date: string;
  readonly paper: Paper;
}

/** What is hashed where there are several files: for each a line of its SHA-256, two blanks and its name. */
export const fileList = (files: readonly TurnFile[]): string =>
  files.map(({ name, sha256 }) => `${sha256}  ${name}\n`).join("");

/** A name and what is said of it; null is a line to write on, `after` follows it. */
export interface Row {
  readonly name: string;
  readonly value: string | null;
  readonly after?: string;
  readonly strong?: boolean;
}

export type Block =
  | { readonly kind: "rows"; readonly rows: readonly Row[] }
  /**
   * An empty cell is a box to write in; `kept`: never shortened; `instead`: what stands
   * there where a page has no room for the table.
   */
  | {
      readonly kind: "table";
      readonly kept?: true;
      readonly instead?: string;
      readonly head: readonly string[];
      readonly rows: readonly (readonly string[])[];
    }
  /** Each with a box to tick. */
  | { readonly kind: "steps"; readonly steps: readonly string[] }
  | { readonly kind: "words"; readonly words: string; readonly strong?: boolean }
  /** `instead`: what stands there where a page has no room for it. */
  | { readonly kind: "schematic"; readonly instead: string };

export interface Section {
  readonly title: string;
  /** As wide as the page; others stand in two columns where there is room. */
  readonly wide: boolean;
  readonly blocks: readonly Block[];
}

export interface Reason {
  readonly words: string;
  readonly hint: string;
}

/** The numbers of the schematic, as text. */
export interface SchematicWords {
  readonly stick: string;
  readonly workingDistance: string;
  readonly focus: string;
  readonly diameter: string;
  /** Of the focal plane against the crown line. */
  readonly side: "above" | "on" | "below";
}

export interface Sheet {
  readonly name: string;
  readonly facts: SheetFacts;
  readonly head: readonly Row[];
  readonly verdict: { readonly words: string; readonly stop: boolean; readonly reasons: readonly Reason[] };
  readonly sections: readonly Section[];
  readonly schematic: SchematicWords;
  /** `facts.sha256` in groups of eight digits, and what it is of. */
  readonly hash: string;
  readonly hashOf: string;
  /** What the QR code holds, and what stands below it. */
  readonly code: string;
  readonly codeWords: string;
}
