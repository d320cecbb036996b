/** CSS text read for its comments, strings and blocks only, in one pass: CSS Syntax 3, 4.3.2 and 4.3.5. */

const plain = /[^"'{}/]+/y;

/** The end of the comment or string that begins at i; unclosed ones end with the text. */
function endOf(text: string, i: number): number {
  if (text[i] === "/") {
    const end = text.indexOf("*/", i + 2);
    return end < 0 ? text.length : end + 2;
  }
  const quote = text[i] as string;
  for (let k = i + 1; k < text.length; k++) {
    if (text[k] === "\\") k++;
    else if (text[k] === quote) return k + 1;
  }
  return text.length;
}

/** Hands over every run of plain text, comment, string, brace or slash, in order. */
function tokens(text: string, take: (from: number, to: number, first: string) => void): void {
  for (let i = 0; i < text.length; ) {
    plain.lastIndex = i;
    const run = plain.exec(text)?.[0].length ?? 0;
    if (run > 0) {
      take(i, i + run, "");
      i += run;
      continue;
    }
    const c = text[i] as string;
    const comment = c === "/" && text[i + 1] === "*";
    const to = comment || c === '"' || c === "'" ? endOf(text, i) : i + 1;
    take(i, to, comment ? "/*" : c);
    i = to;
  }
}

/** How many blocks stand within each other at most. */
export function nestingOf(text: string): number {
  let depth = 0;
  let most = 0;
  tokens(text, (_from, _to, first) => {
    if (first === "{") most = Math.max(most, ++depth);
    else if (first === "}") depth = Math.max(0, depth - 1);
  });
  return most;
}

/** The text with a blank in the place of each comment. */
export function withoutComments(text: string): string {
  if (!text.includes("/*")) return text;
  const parts: string[] = [];
  tokens(text, (from, to, first) => parts.push(first === "/*" ? " " : text.slice(from, to)));
  return parts.join("");
}
