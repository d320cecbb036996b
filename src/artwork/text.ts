/** Text as outlines: the door to the folder beside. */
export type { PutText, TextContext } from "./text/draw.ts";
export { drawText } from "./text/draw.ts";
export type { FontFile } from "./text/fontbook.ts";
export { FontBook, openFonts } from "./text/fontbook.ts";
