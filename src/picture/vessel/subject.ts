/** What the vessel's page shows, and its outline in points; lengths in mm of the vessel, y down from the placement point. */
import type { Job } from "../../job/job.ts";
import type { VesselStudy } from "../../plan/vesseltable.ts";
import type { ZoneRow } from "../../plan/vesselzone.ts";

export interface Subject {
  readonly study: VesselStudy;
  readonly pose: Job["pose"];
  /** Its id, as "field-300". */
  readonly lens: string;
  /** Of the vessel, as it is called. */
  readonly name: string;
  /** Its shape in words. */
  readonly shape: string;
}

/** A row of the zone with its place along the axis. */
export interface DrawnRow extends ZoneRow {
  readonly y: number;
}

export interface Drawn {
  /** From the rim down; of a vessel that is not known to end as much as shows what it is. */
  readonly rows: readonly DrawnRow[];
  /** False where the vessel goes on. */
  readonly endsAbove: boolean;
  readonly endsBelow: boolean;
}

/** So much is shown of a vessel that is not known to end, either side of the placement point, in diameters. */
const SHOWN = 0.75;

export function drawnOf({ study: { body, zone, ends } }: Subject): Drawn {
  const { meridian } = body.warp.surface;
  const endless = meridian.kind === "cylinder" && !Number.isFinite(meridian.from);
  const endsAbove = !endless || ends.rimY !== null;
  const endsBelow = !endless || ends.baseY !== null;
  const far = 2 * SHOWN * meridian.radius;
  const o = new Float64Array(4);
  const rows = zone
    .filter(({ m }) => (endsAbove || m >= -far) && (endsBelow || m <= far))
    .map((row) => {
      meridian.at(row.m, o);
      return { ...row, y: o[1]! };
    });
  return { rows, endsAbove, endsBelow };
}

/** The largest radius drawn. */
export const widestOf = (rows: readonly DrawnRow[]): number =>
  rows.reduce((most, { radius }) => Math.max(most, radius), 0);
