/** The fill in the report: its sets, its bands, and what the simulation says. */
import { z } from "zod";
import { box, boxFacts, mm, neat, six } from "../reportparts.ts";
import type { Plan } from "../types.ts";
import { boxOfLines } from "./loaded.ts";
import type { Spread } from "./removalmap.ts";
import type { Band, Fill, Lengths, SetFacts } from "./types.ts";

const number = z.number();
const lengths = {
  lines: z.int(),
  jumpLengthMm: mm.describe("in the command plane, one pass"),
};
const share = number.nullable();

export const fillSchema = z
  .object({
    lines: z.enum(["even", "plain"]).nullable().describe("null where only bands are asked for"),
    evened: z
      .enum(["removal", "falloff"])
      .describe("removal depth, by the middle figures; without a coating areal falloff"),
    pitchMm: mm.describe("as asked for"),
    passes: z.int(),
    sets: z
      .array(
        z.object({
          angleDeg: number.describe("90 along the axis, 0 around"),
          ...lengths,
          markLengthMm: mm.describe("of all lines on the vessel, one pass"),
          commandLengthMm: mm.describe("the same as the head runs it: what the time is from"),
          pitchMinMm: mm.describe("on the vessel, over the ink"),
          pitchMaxMm: mm,
          speedMinMmS: number.nullable().describe("on the vessel, over the ink; null without settings"),
          speedMaxMmS: number.nullable(),
        }),
      )
      .describe("in marking order, over all turns; empty where only bands are asked for"),
    boxes: z
      .array(box.nullable())
      .describe("around each turn's lines, as in its file; empty where only bands are asked for"),
    outline: z
      .object({ ...lengths, commandLengthMm: mm })
      .nullable()
      .describe("the outline pass; null where none is asked for"),
    timeS: number
      .nullable()
      .describe(
        "all that is marked, all passes; of bands alone as the station fills them; null without settings",
      ),
    spread: z
      .object({ plain: share, even: share, bands: share, station: share })
      .describe(
        "`station`: its own fill of the outlines; 5th to 95th percentile over mean, simulated, a spot inside the ink's edges; null where it cannot be laid or too few cells lie inside",
      ),
    mean: z
      .object({ plain: share, even: share, bands: share, station: share })
      .describe("mean removal depth in mm; without a coating the mean areal falloff, in 1/mm"),
    uneven: z
      .array(
        z.object({
          fromMm: mm.describe("from the crown line on the flat, to both sides"),
          toMm: mm,
          alongMm: z.tuple([mm, mm]).describe("along the axis, from the placement point"),
          reason: z.enum(["below-threshold", "smallest-pitch"]),
          share: number.describe("of the usable ink"),
        }),
      )
      .describe("where the falloff cannot be evened"),
    bandsInProof: z.int().describe("how many bands the simulation is of"),
    bandsBy: z.enum(["speed", "power"]),
    bands: z
      .array(
        z.object({
          band: z.int(),
          intervalsDeg: z
            .array(z.tuple([number, number]))
            .describe("around from the crown line, to both sides as far as there is ink"),
          share: number.describe("of the usable ink"),
          belowThreshold: number.describe(
            "of the usable ink: what in the band is below the coating's threshold",
          ),
          falloff: number.describe("mean of what the station's own fill leaves, over the strongest band's"),
          speedFactor: number.nullable().describe("what to multiply the speed by"),
          speedMmS: number.nullable().describe("null without settings"),
          powerFactor: number.nullable().describe("or what to multiply the power by"),
          powerW: number.nullable(),
        }),
      )
      .nullable()
      .describe(
        "from the strongest to the weakest; null where none are asked for, none where no pulse clears anything",
      ),
  })
  .describe(
    "lines laid for the station, and bands; null where none are asked for or no filled ink is usable",
  );
export type FillSection = z.infer<typeof fillSchema>;

export function fillSection({ fill, forecast, job, turns }: Plan): FillSection | null {
  if (!fill) return null;
  const { asked } = fill;
  const mean = (spread: Spread | null): number | null => spread && six(spread.mean);
  const { plain, even, bands } = fill.spread;
  const station = fill.stationSpread;
  return {
    lines: asked.lines ?? null,
    evened: fill.removal ? "removal" : "falloff",
    pitchMm: asked.pitchMm,
    passes: asked.passes,
    sets: fill.sets.map((set) => setOf(set, job.settings?.speedMmS)),
    boxes: asked.lines
      ? turns.map((turn, i) => {
          const around = boxOfLines(turn, fill.turns[i]!);
          return around && boxFacts(around);
        })
      : [],
    outline: fill.outline && lengthsOf(fill.outline),
    timeS: forecast && six(forecast.time.seconds),
    spread: { plain: share4(plain), even: share4(even), bands: share4(bands), station: share4(station) },
    mean: { plain: mean(plain), even: mean(even), bands: mean(bands), station: mean(station) },
    uneven: fill.uneven.map((u) => ({
      ...u,
      fromMm: neat(u.fromMm),
      toMm: neat(u.toMm),
      alongMm: [neat(u.alongMm[0]), neat(u.alongMm[1])],
      share: six(u.share),
    })),
    bandsInProof: fill.bands?.bands.length ?? 0,
    bandsBy: asked.bandsBy,
    bands: asked.bands === undefined ? null : bandRows(fill, job),
  };
}

/** The bands with what to set. */
export const bandRows = (
  { bands }: Pick<Fill, "bands">,
  job: Plan["job"],
): NonNullable<FillSection["bands"]> => (bands?.bands ?? []).map((band, i) => bandRow(band, i, job));

function bandRow(
  { intervalsDeg, share: part, dead, falloff, speedFactor, powerFactor }: Band,
  i: number,
  { settings }: Plan["job"],
): NonNullable<FillSection["bands"]>[number] {
  const times = (factor: number | null, value: number | undefined): number | null =>
    factor === null || value === undefined ? null : six(factor * value);
  return {
    band: i + 1,
    intervalsDeg: intervalsDeg.map(([from, to]) => [neat(from), neat(to)]),
    share: six(part),
    belowThreshold: six(dead),
    falloff: six(falloff),
    speedFactor: speedFactor === null ? null : six(speedFactor),
    speedMmS: times(speedFactor, settings?.speedMmS),
    powerFactor: powerFactor === null ? null : six(powerFactor),
    powerW: times(powerFactor, settings?.powerW),
  };
}

const lengthsOf = ({
  lines,
  commandLengthMm,
  jumpLengthMm,
}: Lengths): NonNullable<FillSection["outline"]> => ({
  lines,
  commandLengthMm: neat(commandLengthMm),
  jumpLengthMm: neat(jumpLengthMm),
});

const setOf = (set: SetFacts, speedMmS: number | undefined): FillSection["sets"][number] => ({
  angleDeg: set.angleDeg,
  ...lengthsOf(set),
  markLengthMm: neat(set.markLengthMm),
  pitchMinMm: neat(set.pitchMinMm),
  pitchMaxMm: neat(set.pitchMaxMm),
  speedMinMmS: speedMmS === undefined ? null : six(set.slowest * speedMmS),
  speedMaxMmS: speedMmS === undefined ? null : six(set.fastest * speedMmS),
});

const share4 = (spread: Spread | null): number | null => spread && six(spread.spread);
