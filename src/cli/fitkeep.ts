/** What a fit writes may stand where an earlier fit wrote, not over a file that is none of its own. */
import { readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { JobError } from "../problem.ts";
import type { Output } from "./files.ts";

export function keepForeign(folder: string, name: string, outputs: readonly Output[]): void {
  for (const output of outputs) {
    const place = join(folder, output.name);
    if (!statSync(place, { throwIfNoEntry: false })?.isFile() || ours(folder, name, output.name)) continue;
    throw new JobError(
      "file-not-ours",
      `${place} would be written over, and no earlier fit has written it`,
      "move or rename it, or choose another folder with --out",
    );
  }
}

/** A calibration and the figures say so themselves; the plot belongs to the figures beside it. */
function ours(folder: string, name: string, entry: string): boolean {
  const calibration = entry.endsWith(".calibration.json");
  try {
    const value = JSON.parse(readFileSync(join(folder, calibration ? entry : `${name}.fit.json`), "utf8"));
    return calibration
      ? value.schema === "fallaway-calibration-1"
      : ["estimates", "residuals", "rms"].every((key) => key in value);
  } catch {
    return false;
  }
}
