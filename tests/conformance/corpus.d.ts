export interface CorpusSet {
  readonly name: string;
  readonly stress: string;
  list(): string[];
  text(file: string): string;
}
export const sets: readonly CorpusSet[];
export function setNamed(name: string): CorpusSet;
export function chosen<T>(list: readonly T[], count: number, seed: number): T[];
export function sampleOverSets(count: number, seed: number): { set: string; file: string }[];
