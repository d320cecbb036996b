/** The table that a bench prints: what, its figure, what is aimed at. */
const rows = [];

export const report = (what, figure, aim) => rows.push([what, figure, aim]);

export function printReport(title) {
  const widths = [0, 1, 2].map((i) => Math.max(...rows.map((r) => r[i].length)));
  const lines = rows.map((r) =>
    r
      .map((cell, i) => cell.padEnd(widths[i]))
      .join("  ")
      .trimEnd(),
  );
  process.stdout.write(`${[title, ...lines].join("\n")}\n`);
}
