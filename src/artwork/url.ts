/** `url(…)` at the start of a value: CSS Values 4, 4.5, read in one pass however long the value is. */

export interface UrlValue {
  /** What is between the brackets, without quotes. */
  readonly url: string;
  /** What follows the closing bracket, trimmed. */
  readonly rest: string;
}

/** Null where the value does not begin with a whole `url(…)`. */
export function parseUrl(value: string): UrlValue | null {
  const text = value.trim();
  if (!/^url\(/i.test(text)) return null;
  const inner = text.slice(4).trimStart();
  const quote = inner[0];
  if (quote !== '"' && quote !== "'") {
    const close = inner.indexOf(")");
    return close < 0 ? null : { url: inner.slice(0, close).trim(), rest: inner.slice(close + 1).trim() };
  }
  const end = inner.indexOf(quote, 1);
  const after = inner.slice(end + 1).trimStart();
  if (end < 0 || after[0] !== ")") return null;
  return { url: inner.slice(1, end), rest: after.slice(1).trim() };
}
