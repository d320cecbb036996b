/** Names a person may have meant: within a few slips of the one given, or holding it. Nearest first, three at most. */
export function nearest(given: string, known: readonly string[]): string[] {
  const wanted = given.toLowerCase();
  return known
    .map((name) => ({ name, slips: slips(wanted, name.toLowerCase()) }))
    .filter(
      ({ name, slips }) =>
        slips <= Math.max(2, name.length / 2) || (wanted && name.toLowerCase().includes(wanted)),
    )
    .sort((a, b) => a.slips - b.slips)
    .slice(0, 3)
    .map(({ name }) => name);
}

/** Levenshtein's edit distance, one row at a time. */
function slips(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next[j] = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1));
    }
    row = next;
  }
  return row[b.length]!;
}
