/** What the hostile files are made of. */
import { page } from "./helpers.ts";

export interface Hostile {
  readonly name: string;
  readonly make: () => string | Uint8Array;
  /** What the error must name; left out where either the right ink or a clear error will do. */
  readonly error?: RegExp;
  /** The artwork is good in spite of all: this must be its ink's box in mm, as width × height. */
  readonly ink?: readonly [number, number];
}

export const square = '<rect id="ink" x="40" y="40" width="20" height="20"/>';
export const xlink = 'xmlns:xlink="http://www.w3.org/1999/xlink"';
export const many = (n: number, text: (i: number) => string): string =>
  Array.from({ length: n }, (_, i) => text(i)).join("");
export const path = (d: string): string => page(`<path d="${d}"/>`);
export const file = (name: string, content: () => string, rest: Partial<Hostile> = {}): Hostile => ({
  name,
  make: () => page(content()),
  ...rest,
});
export const raw = (name: string, make: Hostile["make"], rest: Partial<Hostile> = {}): Hostile => ({
  name,
  make,
  ...rest,
});
export const ok = { ink: [20, 20] } as const;
export const doctype = (declarations: string, content: string): string =>
  `<!DOCTYPE svg [${declarations}]>${page(content)}`;
export const lineAt = 'fill="none" stroke="black" d="M10 10L50 50L90 10"';
