/** A list parted where something is missing. */
export function runsOf<T>(list: readonly (T | null)[]): T[][] {
  const runs: T[][] = [];
  let whole = false;
  for (const one of list) {
    if (one !== null && whole) runs.at(-1)!.push(one);
    else if (one !== null) runs.push([one]);
    whole = one !== null;
  }
  return runs;
}
