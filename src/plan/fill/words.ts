/** What is to be said of the fill: problems with computed hints. Nothing here stops a job. */
import type { Problem } from "../../problem.ts";
import { percent } from "../figures.ts";
import type { Plan } from "../types.ts";
import { bandRows } from "./section.ts";
import type { Fill } from "./types.ts";

type Known = Pick<Plan, "job" | "spot" | "fill" | "ink" | "zones">;

/** Less of the ink than this is not worth a word. */
const SHARE = 0.001;
/** Parts of the ink smaller than this (mm²) lose no outline that would be seen (our own choice). */
const CRUMB = 0.01;
/** More of what plain fill spreads than this is not evened (our own choice). */
const HELPED = 0.5;

export function fillProblems(known: Known): Problem[] {
  const { job, fill } = known;
  const asked = job.fill;
  if (!asked) return [];
  if (!fill) {
    return [
      caution(
        "fill-nothing",
        "a fill is asked for, but there is no filled ink within the limits: no lines are laid",
        "single lines are marked as they are; else make the ink fit the limits first",
      ),
    ];
  }
  return [
    ...beyond(known),
    ...coarse(known),
    ...clearing(fill),
    ...uneven(fill),
    ...outline(fill),
    ...fill.problems,
    ...bands(known, fill),
  ];
}

const caution = (code: string, message: string, hint: string): Problem => ({
  code,
  severity: "caution",
  message,
  hint,
});

/** Ink beyond the limits is in the marks' file, greyed, but no lines are laid over it. */
function beyond({ zones }: Known): Problem[] {
  const share = zones.reduce((sum, z) => (z.zone === "usable" ? sum : sum + z.share), 0);
  return share > 0
    ? [
        caution(
          "fill-within-limits",
          `lines and bands cover the ink within the limits alone: ${percent(share)} of the ink is left without`,
          "make the artwork fit first",
        ),
      ]
    : [];
}

/** With settings the process says so itself. */
function coarse({ job, spot }: Known): Problem[] {
  const { pitchMm } = job.fill!;
  const wide = spot.waistDiameterMm;
  if (job.settings || pitchMm <= wide) return [];
  return [
    caution(
      "pitch-beyond-spot",
      `the pitch of ${pitchMm} mm is wider than the spot of ${wide.toFixed(3)} mm in focus: expect stripes`,
      `give --pitch ${(wide / 2).toFixed(3)} or less`,
    ),
  ];
}

function clearing(fill: Fill): Problem[] {
  return fill.neverClears
    ? [
        caution(
          "coating-never-cleared",
          "uncalibrated: by the middle figures no pulse reaches the coating's threshold anywhere on the ink: no pitch clears it, and nothing is evened",
          "give more --power or a lower --frequency, so that each pulse is stronger; see the window in check",
        ),
      ]
    : [];
}

function uneven(fill: Fill): Problem[] {
  if (fill.asked.lines !== "even" || fill.neverClears) return [];
  const list: Problem[] = [];
  for (const reason of ["below-threshold", "smallest-pitch"] as const) {
    const where = fill.uneven.filter((u) => u.reason === reason);
    const share = where.reduce((sum, u) => sum + u.share, 0);
    if (share <= SHARE) continue;
    const places = where.map((u) => `${u.fromMm.toFixed(1)} to ${u.toMm.toFixed(1)}`).join(", ");
    const at = `${percent(share)} of the ink, ${places} mm from the crown line`;
    list.push(
      reason === "below-threshold"
        ? caution(
            "fill-below-threshold",
            `uncalibrated: on ${at}, the pulses stay below the coating's threshold: no pitch evens that, the lines there keep the pitch asked for`,
            "give more power, a longer lens or a narrower artwork",
          )
        : caution(
            "fill-smallest-pitch",
            `on ${at}, evenness would need a pitch below ${fill.asked.pitchLimitsMm[0]} mm: it stays weaker there`,
            "let the smallest pitch be less with --pitch-limits, leave the sets around out (--angles 90), or give a narrower artwork",
          ),
    );
  }
  const { plain, even } = fill.spread;
  if (list.length === 0 && plain && even && even.spread > 0.02 && even.spread > HELPED * plain.spread) {
    list.push({
      code: "fill-hardly-evens",
      severity: "note",
      message: `even fill spreads ${percent(even.spread)} where plain fill spreads ${percent(plain.spread)}: the falloff here is not one across the vessel alone`,
      hint: "a vessel that tapers or lies aslant fades along its axis too: see the picture of the evenness",
    });
  }
  return list;
}

function outline({ lostOutlineMm2 }: Fill): Problem[] {
  return lostOutlineMm2 > CRUMB
    ? [
        {
          code: "outline-lost",
          severity: "note",
          message: `${lostOutlineMm2.toFixed(2)} mm² of the ink is narrower than the spot and has no outline inside it: its lines alone are marked`,
          hint: "leave the outline pass out, or make the artwork larger",
        },
      ]
    : [];
}

/** A band's factor is no help where the source does not give the power. */
function bands({ job }: Known, fill: Fill): Problem[] {
  const { source } = job;
  if (fill.asked.bands === undefined) return [];
  const rows = bandRows(fill, job);
  const dead = rows.filter((row) => row.speedFactor === null);
  const list: Problem[] = [];
  if (dead.length > 0 && !fill.neverClears) {
    list.push(
      caution(
        "band-never-clears",
        `uncalibrated: band ${dead.map((row) => row.band).join(", ")} stays below the coating's threshold: no speed clears it`,
        "give more power, a longer lens or a narrower artwork",
      ),
    );
  }
  const most = source.meanPowerW;
  const above = rows.filter((row) => most !== undefined && row.powerW !== null && row.powerW > most);
  if (fill.asked.bandsBy === "power" && above.length > 0) {
    list.push(
      caution(
        "band-power-beyond-source",
        `band ${above.map((row) => row.band).join(", ")} would need up to ${Math.ceil(Math.max(...above.map((row) => row.powerW!)))} W, more than the ${most} W of the source ${source.id}`,
        "use the speed factors instead (--bands-by speed)",
      ),
    );
  }
  return list;
}
