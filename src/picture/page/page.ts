/**
 * A page as a list of what stands on it, in mm from its top left corner, y down. PDF, SVG and PNG are written from it.
 * Text stays text, so that a PDF holds words; each writer brings the fonts.
 */
import type { Weight } from "../lettering.ts";

export interface Page {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Painted in this order. */
  readonly items: readonly PageItem[];
}

/** Colours are "#rrggbb" or "none"; ink (picture/parts.ts) unless told. */
export type PageItem = PageText | PageLine | PagePath | PageImage;

/** One line of text. */
export interface PageText {
  readonly kind: "text";
  readonly words: string;
  readonly x: number;
  /** The baseline. */
  readonly y: number;
  /** Height of the em. */
  readonly size: number;
  /** `regular` and `start` unless told. */
  readonly weight?: Weight;
  readonly anchor?: "start" | "middle" | "end";
  readonly fill?: string;
  /** Degrees clockwise around (x, y). */
  readonly rotate?: number;
}

export interface PageLine {
  readonly kind: "line";
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly width: number;
  readonly stroke?: string;
  readonly dash?: readonly number[];
}

/** SVG path data in mm on the page; filled nonzero unless told. */
export interface PagePath {
  readonly kind: "path";
  readonly d: string;
  /** Ink unless told, but nothing where only a stroke is told. */
  readonly fill?: string;
  readonly rule?: "nonzero" | "evenodd";
  readonly stroke?: string;
  /** 0.25 unless told. */
  readonly width?: number;
  readonly dash?: readonly number[];
}

/** A picture that the writer is handed by its name. */
export interface PageImage {
  readonly kind: "image";
  readonly name: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Sheets of paper, upright: A4 of ISO 216, Letter of ANSI/ASME Y14.1 (8.5 × 11 in). */
export const papers = {
  a4: { widthMm: 210, heightMm: 297 },
  letter: { widthMm: 215.9, heightMm: 279.4 },
} as const;
export type Paper = keyof typeof papers;
