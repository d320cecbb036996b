/** The table of results and the list of what is not within. */
import { isEdgesOnly, isWithin, reasonOf } from "./compare.js";

const percent = (share) => (share === undefined ? "–" : `${(100 * share).toFixed(3)}`);
const at = (sorted, part) => sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))];

/** Per cent, rounded down: 98.999 is not 99. */
const part = (some, all) => (all === 0 ? "–" : (Math.floor((1e4 * some) / all) / 100).toFixed(2));

const same = (result) => isWithin(result) || isEdgesOnly(result);

/** One row: how many files, how many within, the differences (in % of the pixels), and what was not compared. */
function rowOf(name, results) {
  const count = (test) => results.filter(test).length;
  const shares = results
    .map((r) => r.share)
    .filter((share) => share !== undefined)
    .sort((a, b) => a - b);
  const inside = count(isWithin);
  const seen = (name) => count((r) => r.outcome === name);
  return [
    name,
    String(results.length),
    String(inside),
    part(inside, results.length),
    part(count(same), results.length),
    part(
      count((r) => same(r) && !r.byRule),
      count((r) => !r.byRule),
    ),
    percent(at(shares, 0.5)),
    percent(at(shares, 0.95)),
    percent(shares.at(-1)),
    String(count(isEdgesOnly)),
    String(seen("refused")),
    String(seen("failed")),
    String(seen("unrendered")),
  ];
}

const head = [
  "set",
  "files",
  "within",
  "%",
  "% without edges",
  "% of one tone",
  "median",
  "95th",
  "most",
  "edges only",
  "refused",
  "failed",
  "unrendered",
];

function aligned(rows) {
  const widths = rows[0].map((_, i) => Math.max(...rows.map((row) => row[i].length)));
  const line = (row) =>
    row.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i]))).join("  ");
  return rows.map(line).join("\n");
}

/** The table, one row a set and one for all. `files` and `results` go together. */
export function tableOf(files, results) {
  const names = [...new Set(files.map((file) => file.set))];
  const rows = names.map((name) =>
    rowOf(
      name,
      results.filter((_, i) => files[i].set === name),
    ),
  );
  if (names.length > 1) rows.push(rowOf("all", results));
  return aligned([head, ...rows]);
}

/** Every file that is not within, with its reason, `limit` for each set. */
export function restOf(files, results, limit) {
  const lines = [];
  for (const name of new Set(files.map((file) => file.set))) {
    const rest = files
      .map((file, i) => ({ ...file, result: results[i] }))
      .filter(({ set, result }) => set === name && !isWithin(result))
      .sort((a, b) => (b.result.share ?? 2) - (a.result.share ?? 2));
    for (const { file, result } of rest.slice(0, limit)) lines.push(`${name} ${file}: ${reasonOf(result)}`);
    if (rest.length > limit) lines.push(`${name}: ${rest.length - limit} more, see --list`);
  }
  return lines.join("\n");
}

function kindOf(result) {
  const { outcome, codes, found, byRule } = result;
  if (outcome === "refused") return `refused: ${codes.join(", ")}`;
  if (outcome !== "compared") return outcome;
  if (isEdgesOnly(result)) return "edges only";
  if (byRule) return "areas, a gradient as one tone";
  return `areas${found.length > 0 ? ` with ${found.join(", ")}` : ""}`;
}

/** How often each reason stands in the way, without its figures. */
export function reasonsOf(results) {
  const counts = new Map();
  for (const result of results.filter((r) => !isWithin(r))) {
    const kind = kindOf(result);
    counts.set(kind, (counts.get(kind) ?? 0) + 1);
  }
  return [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([kind, count]) => `${String(count).padStart(6)}  ${kind}`)
    .join("\n");
}
