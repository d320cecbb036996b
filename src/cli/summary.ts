/** The short plain summary: verdict first, then width against reach, focus, falloff, what to do. */
import { join } from "node:path";
import type { Report } from "../plan/report.ts";
import type { Plan } from "../plan/types.ts";

const SHOWN = 12;

export function summary(plan: Plan, report: Report, folder: string | null, genericLens: boolean): string {
  const { artwork, vessel, reach, focus, falloff, spot, fit, box, head } = report;
  const f = (v: number, digits = 1): string => v.toFixed(digits);
  const percent = (v: number): string => `${(100 * v).toFixed(0)} %`;
  const wide = vessel.fidelity === "girth" ? "around" : "across, as seen";
  const lines = [
    `${report.verdict.toUpperCase()}`,
    row(
      "width",
      `${f(artwork.widthMm)} mm ${wide}, ${f(artwork.heightMm)} mm along; the reach is ${f(reach.aroundMm)} mm (limited by ${reach.limitedBy})`,
    ),
    row(
      "vessel",
      `${f(vessel.diameterMm, 2)} mm diameter, ${f(vessel.girthMm)} mm around, axis along the bed's ${vessel.axis}`,
    ),
    row(
      "focus",
      `${f(focus.belowCrownMm, 2)} mm below the crown line${focus.fractionOfDrop === null || focus.fractionOfDrop < 0 || focus.fractionOfDrop > 2 ? "" : ` (${percent(focus.fractionOfDrop)} of the ink's drop)`}: lens reference ${f(focus.lensToCrownMm, 2)} mm above the crown`,
    ),
    row(
      "lens",
      `${head.lens}, f = ${head.focalLengthMm} mm${genericLens ? ": the profile's figures are generic, give your lens's own" : ""}`,
    ),
    row(
      "spot",
      `${f(1000 * spot.waistDiameterMm, 0)} µm at the waist, usable ${f(spot.usableDepthMm, 2)} mm either side of the focal plane`,
    ),
    row(
      "falloff",
      `relative fluence ${f(falloff.min, 2)} to ${f(falloff.max, 2)} over the ink: the weakest gets ${percent(falloff.ratio)} of the strongest`,
    ),
    row(
      "curves",
      `${fit.segmentsIn} segments in, ${fit.segmentsOut} out, within ${fit.certifiedErrorMm.toFixed(5)} mm on the vessel (asked ${fit.toleranceMm} mm)`,
    ),
  ];
  const beyond = report.zones.filter((z) => z.zone !== "usable" && z.share > 0);
  if (beyond.length > 0)
    lines.push(row("zones", beyond.map((z) => `${z.zone} ${f(100 * z.share)} %`).join(", ")));
  for (const reason of report.reasons.slice(0, SHOWN)) {
    const { element, id, line } = reason.where ?? {};
    const at = [element, id && `“${id}”`, line && `line ${line}`].filter(Boolean).join(" ");
    const known = !id || reason.message.includes(id);
    lines.push(
      row(reason.severity, `${reason.message}${at && !known ? ` (${at})` : line ? ` (line ${line})` : ""}`),
    );
    lines.push(row("", `→ ${reason.hint}`));
  }
  if (report.reasons.length > SHOWN)
    lines.push(row("", `and ${report.reasons.length - SHOWN} more in the report`));
  if (folder !== null) {
    const load = report.files.find((file) => file.kind === "warped");
    if (load && box) {
      const [x, y] = box.centreMm;
      const note = report.verdict === "stop" ? "do not mark it as it is; " : "";
      lines.push(
        row(
          "load",
          `${note}${join(folder, load.path)}, box centre at ${x.toFixed(4)}, ${y.toFixed(4)} mm from the optical axis`,
        ),
      );
      if (beyond.length > 0 && box.usable) {
        const [ux, uy] = box.usable.centreMm;
        lines.push(row("", `its group usable alone: box centre at ${ux.toFixed(4)}, ${uy.toFixed(4)} mm`));
      }
    }
    lines.push(row("files", `${report.files.length + 1} in ${folder}`));
  }
  lines.push(
    row(
      "take care",
      `class 4 laser on bright curved metal: closed enclosure, eyewear for ${plan.job.source.wavelengthNm} nm, extraction;`,
    ),
    row("", "local codes, the laser safety officer and the makers' data go first"),
  );
  return `${lines.join("\n")}\n`;
}

const row = (name: string, text: string): string => `  ${name.padEnd(10)} ${text}`;
