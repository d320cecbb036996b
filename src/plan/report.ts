/** The report: the plan's findings as plain data. Its JSON Schema is shared/report.schema.json. */
import { z } from "zod";
import { calibrationSchema, calibrationSection } from "./calibrationsection.ts";
import { falloffProfile } from "./falloff.ts";
import { fillSchema, fillSection } from "./fill/section.ts";
import { outcomes, zonesWithOutcome } from "./process/outcome.ts";
import { processSchema, processSection } from "./process/section.ts";
import { box, boxFacts, mm, neat, point } from "./reportparts.ts";
import type { ThinPlaces } from "./thin/thin.ts";
import { turnsSchemas, turnsSections } from "./turns/section.ts";
import type { Plan } from "./types.ts";
import { vesselSchemas, vesselSections } from "./vesselsection.ts";
import { zoneNames } from "./zones.ts";

const where = z.object({
  element: z.string().optional(),
  id: z.string().optional(),
  line: z.number().int().optional(),
  column: z.number().int().optional(),
});
const width = z
  .object({
    widthMm: mm.describe("on the vessel"),
    atMm: point.describe("its middle on the flat: right of the crown line, below the placement point"),
    spotMm: mm.describe("how far the spot reaches there in the direction of the width"),
  })
  .nullable();
const detail = z.object({
  narrowest: width.describe("null where none is narrower than `searchedMm`"),
  worst: width.describe("of those less than the spot, the smallest for its spot; null where there is none"),
  thinLengthMm: mm.describe("how much of it, along it, is less than the spot"),
  places: z.number().int().describe("places less than the spot; those about a spot apart are one"),
});

export const reportSchema = z.object({
  schema: z.literal("fallaway-report-1"),
  verdict: z.enum(["ready", "caution", "stop"]),
  reasons: z.array(
    z.object({
      code: z.string(),
      severity: z.enum(["error", "stop", "caution", "note"]),
      message: z.string(),
      where: where.optional(),
      hint: z.string(),
    }),
  ),
  artwork: z.object({
    widthMm: mm.describe("the ink's size around the vessel"),
    heightMm: mm.describe("the ink's size along the vessel"),
    segments: z.number().int(),
    inkAreaMm2: z.number().describe("sum over the shapes; overlaps count for each"),
    lineLengthMm: mm.describe("length of all centre lines"),
    pageMm: point.describe("the artwork's own page"),
    aroundMm: point.describe("leftmost and rightmost ink from the crown line"),
    alongMm: point.describe("topmost and lowest ink from the placement point"),
  }),
  ...vesselSchemas,
  ...turnsSchemas,
  head: z.object({
    lens: z.string(),
    focalLengthMm: mm,
    fieldMm: mm,
    workingDistanceMm: mm,
    pivotMm: z.tuple([z.union([mm, z.literal("telecentric")]), z.union([mm, z.literal("telecentric")])]),
    maxIncidenceDeg: z.number(),
    wavelengthNm: z.number(),
    m2: z.number(),
    beamDiameterMm: mm.describe("1/e², entering the lens"),
  }),
  focus: z.object({
    belowCrownMm: mm.describe("δ: the focal plane below the crown line, as wanted"),
    plannedMm: mm.describe(
      "δ that all else is worked out for: the same, but where the column is too short its stop",
    ),
    fractionOfDrop: z
      .number()
      .nullable()
      .describe("δ over the largest drop of the ink; null where the ink has no drop"),
    lensToCrownMm: mm.describe(
      "working distance − the δ that is planned: how far to set the lens above the crown line",
    ),
    bestMm: mm.describe("δ of the best focus"),
  }),
  reach: z.object({
    aroundMm: mm.describe("widest artwork centred on the crown line, in the artwork's own width"),
    limitedBy: z.enum(["depth", "incidence", "field", "vessel"]),
  }),
  column: z
    .object({
      neededMm: mm.describe(
        "lens reference above the bed for the focus wanted: working distance + crown height − δ",
      ),
      travelMm: mm.nullable().describe("the largest height it has; null where it is not given"),
      shortMm: mm.nullable().describe("what is missing; 0 where it is tall enough"),
      crownHeightMm: mm.describe("crown line above the bed"),
      atStop: z
        .object({
          belowCrownMm: mm.describe("the focal plane below the crown line"),
          crownDefocusMm: mm.describe("what remains at the crown line: d, positive below the focal plane"),
          edgeDefocusMm: mm.describe("and at the ink's lowest point"),
          usable: z.boolean().describe("all ink within the limits"),
          falloffRatio: z.number().describe("weakest over strongest relative fluence"),
        })
        .nullable()
        .describe("with the head run to its stop, where the column is too short: what is planned for"),
    })
    .describe("the column that carries the head"),
  changes: z
    .object({
      widthMm: mm.nullable().describe("largest width that is ready"),
      focusMm: mm.nullable().describe("δ that alone would do"),
      lens: z
        .object({ id: z.string(), focusMm: mm, ratio: z.number() })
        .nullable()
        .describe("lens profile that would do"),
      lensAndWidth: z
        .object({ id: z.string(), widthMm: mm })
        .nullable()
        .describe("where no lens would do: the one that lets it be widest"),
      turns: z.number().int().nullable().describe("turns of the vessel that it could be marked in"),
      lensesTried: z.boolean(),
    })
    .nullable()
    .describe("what would help, each worked out for this job; null where the ink fits"),
  process: processSchema.nullable(),
  calibration: calibrationSchema,
  fill: fillSchema.nullable(),
  spot: z.object({ waistDiameterMm: mm, rayleighMm: mm, usableDepthMm: mm }),
  falloff: z.object({
    min: z.number().describe("smallest relative fluence over the ink that the beam meets"),
    max: z.number(),
    ratio: z.number().describe("min / max"),
    profile: z.array(
      z.object({
        aroundMm: mm,
        angleDeg: z.number(),
        dropMm: mm,
        defocusMm: mm.describe("d: positive below the focal plane"),
        incidenceDeg: z.number(),
        relativeFluence: z.number(),
        areaRatio: z.number().describe("area in the command plane per area on the vessel"),
      }),
    ),
  }),
  detail: z
    .object({
      line: detail.describe("ink between two outlines; usable ink only, centre lines left out"),
      gap: detail.describe("between ink and ink"),
      searchedMm: mm.describe("widths on the flat looked for"),
      stepMm: mm.describe("distance of the samples along the outlines; shorter necks may be missed"),
    })
    .nullable()
    .describe("line and gap widths against the spot; null where too many shapes overlap"),
  zones: z.array(
    z.object({
      zone: z
        .enum([...zoneNames, ...outcomes])
        .describe(
          "with settings and a coating `usable` is parted into residue, metal and clean: the likeliest",
        ),
      areaMm2: z.number(),
      share: z.number().describe("of the inked area; of the line length where the ink is lines only"),
      lineLengthMm: mm,
    }),
  ),
  fit: z.object({
    toleranceMm: mm.describe("on the vessel"),
    certifiedErrorMm: mm.describe(
      "on the vessel, over the usable ink, on the numbers as written; past an incidence of about 84° in the command plane times 10",
    ),
    segmentsIn: z.number().int(),
    segmentsOut: z.number().int(),
  }),
  box: z
    .object({
      centreMm: point.describe("of all marks, from the optical axis; x to the right, y down, as in the file"),
      sizeMm: point,
      usable: box.nullable().describe("the same for the group `usable` alone"),
    })
    .nullable()
    .describe("null where nothing can be marked"),
  files: z.array(
    z.object({
      kind: z.enum([
        ...["warped", "fill", "bands", "heatmap", "layers", "zones", "evenness", "turns"],
        ...["job", "proof", "alignment", "sheet"],
      ] as const),
      path: z.string().describe("name beside the report"),
      bytes: z.number().int(),
      sha256: z.string(),
    }),
  ),
});

export type Report = z.infer<typeof reportSchema>;
export type FileEntry = Report["files"][number];

/** `turnFiles`: names of each turn's files, in the turns' order. */
export function reportOf(
  plan: Plan,
  files: readonly FileEntry[] = [],
  turnFiles: readonly (readonly string[])[] = [],
): Report {
  const { job, ink, focus, falloff, fit } = plan;
  const { all, usable } = plan.box;
  const profile = falloffProfile(plan);
  return {
    schema: "fallaway-report-1",
    verdict: plan.verdict,
    reasons: plan.reasons.map((r) => ({ ...r, where: r.where && { ...r.where } })),
    artwork: {
      widthMm: neat(ink.box.maxX - ink.box.minX),
      heightMm: neat(ink.box.maxY - ink.box.minY),
      segments: ink.segments,
      inkAreaMm2: neat(ink.areaMm2),
      lineLengthMm: neat(ink.lengthMm),
      pageMm: [neat(plan.page.widthMm), neat(plan.page.heightMm)],
      aroundMm: [neat(ink.box.minX), neat(ink.box.maxX)],
      alongMm: [neat(ink.box.minY), neat(ink.box.maxY)],
    },
    ...vesselSections(plan),
    ...turnsSections(plan, turnFiles),
    head: {
      lens: job.lens.id,
      focalLengthMm: job.lens.focalLengthMm,
      fieldMm: job.lens.fieldMm,
      workingDistanceMm: job.lens.workingDistanceMm,
      pivotMm: [...job.lens.pivotMm],
      maxIncidenceDeg: job.limits.maxIncidenceDeg,
      wavelengthNm: job.source.wavelengthNm,
      m2: job.source.m2.value,
      beamDiameterMm: job.source.beamDiameterMm.value,
    },
    focus: {
      belowCrownMm: focus.wantedMm,
      plannedMm: focus.belowCrownMm,
      fractionOfDrop: focus.dropMm > 1e-6 ? focus.wantedMm / focus.dropMm : null,
      lensToCrownMm: job.lens.workingDistanceMm - focus.belowCrownMm,
      bestMm: focus.bestMm,
    },
    reach: { ...plan.reach },
    column: {
      ...plan.column,
      neededMm: neat(plan.column.neededMm),
      shortMm: plan.column.shortMm === null ? null : neat(plan.column.shortMm),
    },
    changes: plan.changes,
    // Every fourth point of the falloff's own profile.
    process: processSection(
      plan,
      profile.filter((_, i) => i % 4 === 0).map((p) => [p.aroundMm, 0] as const),
    ),
    calibration: calibrationSection(job),
    fill: fillSection(plan),
    spot: { ...plan.spot, usableDepthMm: plan.limits.usableDepthMm },
    falloff: {
      ...falloff,
      ratio: falloff.max > 0 ? falloff.min / falloff.max : 0,
      profile,
    },
    detail: plan.thin.compared
      ? {
          line: detailOf(plan.thin.line),
          gap: detailOf(plan.thin.gap),
          searchedMm: neat(plan.thin.searchedMm),
          stepMm: neat(plan.thin.stepMm),
        }
      : null,
    zones: zonesWithOutcome(plan.zones, plan.forecast?.outcome ?? null),
    fit: { toleranceMm: job.toleranceMm, ...fit },
    box: all && { ...boxFacts(all), usable: usable && boxFacts(usable) },
    files: [...files],
  };
}

function detailOf({ narrowest, worst, lengthMm, places }: ThinPlaces): z.infer<typeof detail> {
  const facts = (w: ThinPlaces["worst"]): z.infer<typeof width> =>
    w && {
      widthMm: neat(w.widthMm),
      atMm: [neat(w.atMm[0]), neat(w.atMm[1])],
      spotMm: neat(w.spotMm),
    };
  return { narrowest: facts(narrowest), worst: facts(worst), thinLengthMm: neat(lengthMm), places };
}
