/** What is to be said of the fill: problems with computed hints. Nothing here stops a job. */
import { caution, note, type Problem } from "../../problem.ts";
import { percent, somePercent } from "../figures.ts";
import { coatingLabel } from "../process/label.ts";
import type { Plan } from "../types.ts";
import { bandRows } from "./section.ts";
import type { Fill } from "./types.ts";

type Known = Pick<Plan, "job" | "spot" | "fill" | "ink" | "zones">;

/** Below this share of the speed a band is not to be trusted (our own choice). */
const SLOW = 0.1;
/** Less of the ink than this is not worth a word. */
const SHARE = 0.001;
/** Parts of the ink smaller than this (mm²) lose no outline that would be seen (our own choice). */
const CRUMB = 0.01;
/** More places than this are told by the first and the last alone. */
const PLACES = 3;
/** Cells are as high as this, nearly (mm): of what goes so far all along the ink nothing is said. */
const SOME = 3;
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
    ...coarse(known, fill),
    ...empty(fill),
    ...clearing(known, fill),
    ...blind(fill),
    ...uneven(known, fill),
    ...outline(fill),
    ...fill.problems,
    ...bands(known, fill),
  ];
}

/** Ink beyond the limits is in the marks' file, greyed, but no lines are laid over it. */
function beyond({ zones }: Known): Problem[] {
  const share = zones.reduce((sum, z) => (z.zone === "usable" ? sum : sum + z.share), 0);
  return share > 0
    ? [
        caution(
          "fill-within-limits",
          `lines and bands cover the ink within the limits alone: ${somePercent(share)} of the ink is left without`,
          "make the artwork fit first",
        ),
      ]
    : [];
}

/** What is wider than the spot: the pitch asked for (with settings the process says so itself), or what of it is laid. */
function coarse({ job, spot }: Known, fill: Fill): Problem[] {
  const { pitchMm } = job.fill!;
  const wide = spot.waistDiameterMm;
  const most = Math.max(pitchMm, ...fill.sets.map((set) => set.pitchMaxMm));
  if (most <= wide || (job.settings && pitchMm > wide)) return [];
  const laid = most > pitchMm * (1 + 1e-9);
  return [
    caution(
      "pitch-beyond-spot",
      laid
        ? `lines lie up to ${most.toFixed(3)} mm apart on the vessel, more than the spot of ${wide.toFixed(3)} mm in focus: expect stripes`
        : `the pitch of ${pitchMm} mm is wider than the spot of ${wide.toFixed(3)} mm in focus: expect stripes`,
      laid && job.fill!.pitchLimitsMm[1] > wide
        ? `let the largest of --pitch-limits be ${(wide / 2).toFixed(3)} or less`
        : `give --pitch ${((wide / 2) * (pitchMm / most)).toFixed(3)} or less`,
    ),
  ];
}

/** Ink between two rows of a set has no line of it. */
function empty({ asked, sets, missed }: Fill): Problem[] {
  const none = sets.filter((set) => set.lines === 0);
  const list: Problem[] = [];
  if (none.length > 0) {
    list.push(
      caution(
        "fill-no-lines",
        `the ink lies between two lines of the set at ${none.map((set) => `${set.angleDeg}°`).join(", at ")}, ${asked.pitchMm} mm apart: nothing is laid there`,
        "give a smaller --pitch",
      ),
    );
  }
  const [first] = missed;
  if (first) {
    list.push({
      ...caution(
        "fill-misses",
        `${missed.length} ${missed.length === 1 ? "part of the ink is" : "parts of the ink are"} smaller than the pitch and ${missed.length === 1 ? "lies" : "lie"} between the lines of every set: nothing of ${missed.length === 1 ? "it" : "them"} is marked`,
        asked.outlinePass
          ? "give a smaller --pitch, or make the artwork larger"
          : "give a smaller --pitch or an --outline-pass, or make the artwork larger",
      ),
      where: { ...first.where, id: first.id },
    });
  }
  return list;
}

/** What is even by fluence alone need not be even by what comes off. */
function blind({ asked, removal }: Fill): Problem[] {
  return asked.lines === "even" && !removal
    ? [
        caution(
          "evened-by-falloff",
          "without settings and a coating the lines are evened by relative fluence alone: on a real coating less or more may come off where it is weak, even the reverse",
          "give --power, --speed, --frequency and --coating, or mark a test on a spare cup first",
        ),
      ]
    : [];
}

function clearing({ job }: Known, fill: Fill): Problem[] {
  return fill.neverClears
    ? [
        caution(
          "coating-never-cleared",
          `${coatingLabel(job)}by the middle figures no pulse reaches the coating's threshold anywhere on the ink: no pitch clears it, and nothing is evened`,
          "give more --power or a lower --frequency, so that each pulse is stronger; see the window in check",
        ),
      ]
    : [];
}

function uneven({ job, ink: { box } }: Known, fill: Fill): Problem[] {
  if (fill.asked.lines !== "even" || fill.neverClears) return [];
  const list: Problem[] = [];
  for (const reason of ["below-threshold", "smallest-pitch"] as const) {
    const where = fill.uneven.filter((u) => u.reason === reason);
    const share = where.reduce((sum, u) => sum + u.share, 0);
    if (share <= SHARE) continue;
    const [near, far] = [Math.min(...where.map((u) => u.fromMm)), Math.max(...where.map((u) => u.toMm))];
    const places =
      where.length > PLACES
        ? `in places ${near.toFixed(1)} to ${far.toFixed(1)}`
        : where.map((u) => `${u.fromMm.toFixed(1)} to ${u.toMm.toFixed(1)}`).join(", ");
    const [top, bottom] = [
      Math.min(...where.map((u) => u.alongMm[0])),
      Math.max(...where.map((u) => u.alongMm[1])),
    ];
    const rows = box.minY + SOME < top || box.maxY - SOME > bottom;
    const along = rows ? `, ${top.toFixed(1)} to ${bottom.toFixed(1)} mm below the placement point` : "";
    const at = `${somePercent(share)} of the ink, ${places} mm from the crown line${along}`;
    list.push(
      reason === "below-threshold"
        ? caution(
            "fill-below-threshold",
            `${coatingLabel(job)}on ${at}, the pulses stay below the coating's threshold: no pitch evens that`,
            "give more power, a longer lens or a narrower artwork",
          )
        : caution(
            "fill-smallest-pitch",
            `on ${at}, evenness would need a pitch below ${fill.asked.pitchLimitsMm[0]} mm: it stays weaker there`,
            fill.asked.pitchLimitsMm[0] > 0.99 * fill.asked.pitchMm
              ? "give a wider --pitch, so that there is room for a smaller one, or a smaller least one with --pitch-limits"
              : "make the pulses there stronger (more power, a lower --frequency, a longer lens), give a narrower artwork, or leave the sets around out (--angles 90); a smaller least pitch (--pitch-limits) only heats the cup more",
          ),
    );
  }
  const { plain, even } = fill.spread;
  if (list.length === 0 && plain && even && even.spread > 0.02 && even.spread > HELPED * plain.spread) {
    list.push(
      note(
        "fill-hardly-evens",
        `even fill spreads ${percent(even.spread)} where plain fill spreads ${percent(plain.spread)}`,
        "see in the picture of the evenness where: what fades along the axis too (a vessel that tapers, curves or lies aslant) stays, and a pitch near the spot leaves stripes",
      ),
    );
  }
  return list;
}

function outline({ lostOutlineMm2 }: Fill): Problem[] {
  return lostOutlineMm2 > CRUMB
    ? [
        note(
          "outline-lost",
          `${lostOutlineMm2.toFixed(2)} mm² of the ink is narrower than the spot and has no outline inside it`,
          "leave the outline pass out, or make the artwork larger",
        ),
      ]
    : [];
}

/** A band is no help where nothing clears it, where it would take ages, or where the source does not give the power. */
function bands({ job }: Known, fill: Fill): Problem[] {
  const { bands: wanted, bandsBy } = fill.asked;
  if (wanted === undefined) return [];
  const { source } = job;
  const rows = bandRows(fill, job);
  if (rows.length === 0) {
    return [
      caution(
        "bands-nothing",
        `${coatingLabel(job)}bands are asked for, but no pulse reaches the coating's threshold: there is nothing to part, and no bands are written`,
        "give more --power or a lower --frequency, so that each pulse is stronger",
      ),
    ];
  }
  const numbers = (list: readonly { readonly band: number }[]): string =>
    list.map((row) => row.band).join(", ");
  const list: Problem[] = [];
  const dead = rows.filter((row) => row.belowThreshold > SHARE);
  if (dead.length > 0) {
    const share = dead.reduce((sum, row) => sum + row.belowThreshold, 0);
    list.push(
      caution(
        "band-below-threshold",
        `${coatingLabel(job)}${somePercent(share)} of the ink, in band ${numbers(dead)}, stays below the coating's threshold: no speed clears it`,
        "give more power, a longer lens or a narrower artwork",
      ),
    );
  }
  const slow = rows.filter((row) => row.speedFactor !== null && row.speedFactor < SLOW);
  if (slow.length > 0) {
    list.push(
      caution(
        "band-very-weak",
        `band ${numbers(slow)} would need down to ${somePercent(slow.at(-1)!.speedFactor!)} of the speed: so near the threshold no factor can be trusted, and the heat builds up`,
        "give more power, a longer lens or a narrower artwork",
      ),
    );
  }
  const most = source.meanPowerW;
  const above = rows.filter((row) => most !== undefined && row.powerW !== null && row.powerW > most);
  if (bandsBy === "power" && above.length > 0) {
    list.push(
      caution(
        "band-power-beyond-source",
        `band ${numbers(above)} would need up to ${Math.ceil(Math.max(...above.map((row) => row.powerW!)))} W, more than the ${most} W of the source ${source.id}`,
        "use the speed factors instead (--bands-by speed)",
      ),
    );
  }
  if (rows.length < wanted) {
    list.push(
      note(
        "bands-fewer",
        `${rows.length} ${rows.length === 1 ? "band does" : "bands do"}: of the ${wanted} asked for the others would hold no ink, or less than a spot's width of it`,
        "give fewer --bands",
      ),
    );
  }
  return list;
}
