/** The stored profiles: read from shared/, listed as a table or JSON. */
import { readFileSync } from "node:fs";
import { nearest } from "../job/nearest.ts";
import { type Profiles, readProfiles } from "../job/profiles.ts";
import { JobError } from "../problem.ts";

const shared = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../shared/${name}`, import.meta.url), "utf8"));

export const loadProfiles = (): Profiles => readProfiles(shared("lenses.json"), shared("sources.json"));

export function listProfiles(kind: string | undefined, json: boolean): void {
  const profiles = loadProfiles();
  if (kind !== undefined && kind !== "lenses" && kind !== "sources") {
    const near = nearest(kind, ["lenses", "sources"]);
    throw new JobError(
      "profiles-kind",
      `there are no profiles called "${kind}"`,
      `give lenses or sources${near[0] ? ` (did you mean ${near[0]}?)` : ""}`,
    );
  }
  if (json) {
    const chosen = kind === undefined ? profiles : profiles[kind];
    process.stdout.write(`${JSON.stringify(chosen, null, 2)}\n`);
    return;
  }
  const text: string[] = [];
  if (kind !== "sources") {
    text.push(
      table([
        ["lens", "focal length", "field", "working distance", "pivots x, y"],
        ...profiles.lenses.map((l) => [
          l.id,
          `${l.focalLengthMm.value} mm`,
          `${l.fieldMm.value} mm`,
          `${l.workingDistanceMm.value} mm`,
          `${l.pivotMm.value.join(", ")} mm`,
        ]),
      ]),
    );
  }
  if (kind !== "lenses") {
    text.push(
      table([
        ["source", "wavelength", "M²", "beam diameter"],
        ...profiles.sources.map((s) => [
          s.id,
          `${s.wavelengthNm.value} nm`,
          `${s.m2.value}`,
          `${s.beamDiameterMm.value} mm`,
        ]),
      ]),
    );
  }
  text.push(
    "Generic figures; --json gives where each comes from. Use your own lens's and source's data where you have it.\n",
  );
  process.stdout.write(text.join("\n"));
}

function table(rows: readonly string[][]): string {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((r) => r[i]!.length)));
  return rows
    .map(
      (r) =>
        `${r
          .map((cell, i) => cell.padEnd(widths[i]!))
          .join("  ")
          .trimEnd()}\n`,
    )
    .join("");
}
