/** What each kind is called, how even it comes out, and why one is not there. */
import { spreadWords as percentWords } from "../../plan/figures.ts";
import { isAlong } from "../../plan/fill/lie.ts";
import type { Fill, ProofKind } from "../../plan/fill/types.ts";
import { plain } from "../ticks.ts";

export const isAskedFor = ({ asked }: Fill, kind: ProofKind): boolean =>
  kind === "bands" ? asked.bands !== undefined : asked.lines === kind;

export function nameWords(fill: Fill, kind: ProofKind): string {
  if (kind === "plain") return "plain: the pitch asked for";
  if (kind === "bands") {
    const count = fill.bands?.bands.length;
    return `${count === undefined ? "bands" : count === 1 ? "1 band" : `${count} bands`}, filled at the station`;
  }
  const along = fill.sets.filter((set) => isAlong(set.angleDeg) && set.pitchMaxMm > 0);
  if (!isAskedFor(fill, kind) || along.length === 0) return "even: denser where less comes off";
  const least = Math.min(...along.map((set) => set.pitchMinMm));
  const most = Math.max(...along.map((set) => set.pitchMaxMm));
  const decimals = least < 0.01 ? 4 : 3;
  const [from, to] = [least.toFixed(decimals), most.toFixed(decimals)];
  return `even: pitch ${from === to ? to : `${from} to ${to}`} mm`;
}

/** To a tenth of a percent where it is small. */
export function spreadWords(fill: Fill, kind: ProofKind): string {
  const spread = fill.spread[kind];
  if (fill.proof.some((turn) => turn && !turn.maps[kind])) return "not to be had";
  if (!spread) return fill.neverClears ? "nothing removed" : "spread not known";
  return `spread ${percentWords(spread.spread)}`;
}

/** What the spread is. */
export const spreadMeans = (fill: Fill): string =>
  `simulated; spread: the 5th to the 95th percentile over the mean, of ink a spot inside its edges${fill.proof.length > 1 ? ", over all turns" : ""}${fill.stationSpread ? `; the station's own fill of the outlines: ${percentWords(fill.stationSpread.spread)}` : ""}`;

/** Why a kind has no map. */
export function missingWords(fill: Fill, kind: ProofKind): string {
  if (kind === "even" && !fill.asked.anglesDeg.some(isAlong)) {
    const angles = fill.asked.anglesDeg.map((angle) => `${plain(angle, 1)}°`).join(", ");
    return `no lines run along the axis (90°), only at ${angles}`;
  }
  if (fill.neverClears) return "the settings remove nothing anywhere";
  return kind === "bands"
    ? "the ink has no bands of different falloff"
    : "such lines cannot be laid on this ink";
}

export const unevenWords = { "below-threshold": "below the threshold", "smallest-pitch": "smallest pitch" };
