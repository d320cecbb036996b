/** What people write in a job: one line of text, the same whichever way it was typed. */

/** Characters that show nothing by themselves; joiners among them, which some scripts need between letters. */
const unseen = /^[\p{Cf}\s]*$/u;

/**
 * In Unicode's normal form C; line breaks, control characters, halves of characters and runs of blanks are one blank
 * each, none at either end. Empty where there is nothing to see.
 */
export function oneLine(text: string): string {
  const line = text
    .replace(/[\p{Cc}\p{Cs}\s]+/gu, " ")
    .trim()
    .normalize("NFC");
  return unseen.test(line) ? "" : line;
}
