/** The few parts of fontkit that pictures use: its published types lean on Node's, which this room must not see. */
declare module "fontkit" {
  export interface PathCommand {
    readonly command: "moveTo" | "lineTo" | "quadraticCurveTo" | "bezierCurveTo" | "closePath";
    readonly args: readonly number[];
  }
  export interface Font {
    readonly unitsPerEm: number;
    hasGlyphForCodePoint(codePoint: number): boolean;
    layout(text: string): {
      readonly glyphs: readonly { readonly path: { readonly commands: readonly PathCommand[] } }[];
      readonly positions: readonly {
        readonly xAdvance: number;
        readonly xOffset: number;
        readonly yOffset: number;
      }[];
    };
  }
  export function create(bytes: Uint8Array): Font;
}
