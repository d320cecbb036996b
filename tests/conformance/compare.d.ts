import type { Artwork } from "../../src/artwork/types.ts";

export interface Result {
  readonly outcome: "compared" | "empty" | "refused" | "failed" | "unrendered";
  readonly share?: number;
  readonly crispShare?: number;
  readonly byRule?: boolean;
  readonly codes?: readonly string[];
  readonly why?: string;
  readonly found: readonly string[];
}
export const within: number;
export function featuresOf(text: string): string[];
export function compareText(
  text: string,
  readInk: (text: string) => Promise<Artwork> | Artwork,
): Promise<Result>;
export function isWithin(result: Result): boolean;
export function isEdgesOnly(result: Result): boolean;
export function reasonOf(result: Result): string;
