/**
 * The job: everything that is asked for, with units in the names. `JobFile` is what a person writes (any part
 * may be missing); `Job` is resolved, every number present, and repeats a run by itself.
 *
 * Precedence: option > calibration > job file > profile > default. An option that names another lens than the job
 * file's leaves that lens's figures behind, so that they never linger. Bounds are wide: they keep slips of the keyboard
 * out.
 */
import { z } from "zod";
import type { Calibrated } from "./calibrated.ts";
import {
  colour,
  day,
  figure,
  fluence,
  incubation,
  length,
  micrometres,
  pivot,
  rayleigh,
  span,
  words,
} from "./parts.ts";

/** No vessel is smaller and no ink can be: a tenth of a millimetre is about one spot. */
const size = z.number().min(0.1).max(2000);
const place = z.number().min(-2000).max(2000);

const across = z.number().min(1).max(2000);
const around = z.number().min(3).max(6284);
const measure = z.strictObject({
  heightMm: z.number().min(0).max(2000),
  diameterMm: across.optional(),
  circumferenceMm: around.optional(),
});
const blocked = z.strictObject({
  name: words,
  aroundDeg: z.tuple([z.number().min(-360).max(360), z.number().min(-360).max(360)]),
  belowRimMm: z.tuple([z.number().min(-2000).max(2000), z.number().min(-2000).max(2000)]).optional(),
});
const vessel = z.strictObject({
  id: z.string().optional(),
  diameterMm: across.optional(),
  circumferenceMm: around.optional(),
  taperMm: z.tuple([across, across, across]).optional(),
  sphereMm: across.optional(),
  profile: z.array(measure).max(5000).optional(),
  name: words.optional(),
  heightMm: z.number().min(1).max(2000).optional(),
  belowRimMm: z.number().min(0).max(2000).optional(),
  handleDeg: z.number().min(-360).max(360).optional(),
  seamDeg: z.number().min(-360).max(360).optional(),
  blocked: z.array(blocked).max(100).optional(),
  colour: colour.optional(),
  gloss: z.number().min(0).max(100).optional(),
});
const order = z.strictObject({
  name: words.optional(),
  customer: words.optional(),
  revision: words.optional(),
  quantity: z.int().min(1).max(1_000_000).optional(),
  date: day.optional(),
});
const placement = z.strictObject({
  widthMm: size.optional(),
  heightMm: size.optional(),
  rotateDeg: z.number().min(-3600).max(3600).optional(),
  atMm: z.tuple([place, place]).optional(),
  fidelity: z.enum(["girth", "true-width", "sheet", "sight"]).optional(),
  viewingDistanceMm: z.union([z.number().min(50).max(1_000_000), z.literal("far")]).optional(),
});
const lens = z.strictObject({
  id: z.string().optional(),
  focalLengthMm: length.optional(),
  fieldMm: z.number().min(1).max(2000).optional(),
  workingDistanceMm: length.optional(),
  pivotMm: z.union([z.tuple([pivot, pivot]), pivot]).optional(),
  spotUm: figure(micrometres).optional(),
  rayleighMm: figure(rayleigh).optional(),
});
const nanoseconds = z.number().min(1e-6).max(1e7);
const kilohertz = z.number().min(1e-3).max(1e6);
const watts = z.number().min(0.001).max(100_000);
const source = z.strictObject({
  id: z.string().optional(),
  beamDiameterMm: figure(z.number().min(0.1).max(200)).optional(),
  m2: figure(z.number().min(1).max(1000)).optional(),
  wavelengthNm: z.number().min(100).max(20_000).optional(),
  meanPowerW: watts.optional(),
  pulseNs: span(nanoseconds).optional(),
  repetitionKHz: span(kilohertz).optional(),
  maxPulseEnergyMj: z.number().min(1e-6).max(1e6).optional(),
});
const pitch = z.number().min(0.001).max(10);
const settings = z.strictObject({
  powerW: watts.optional(),
  powerPercent: z.number().positive().max(100).optional(),
  speedMmS: z.number().min(0.1).max(100_000).optional(),
  frequencyKHz: kilohertz.optional(),
  pitchMm: pitch.optional(),
  anglesDeg: z.array(z.number().min(-360).max(360)).min(1).max(12).optional(),
  passes: z.int().min(1).max(1000).optional(),
  jumpSpeedMmS: z.number().min(1).max(100_000).optional(),
});
const fill = z.strictObject({
  lines: z.enum(["even", "plain"]).optional(),
  pitchMm: pitch.optional(),
  anglesDeg: z.array(z.number().min(-360).max(360)).min(1).max(12).optional(),
  passes: z.int().min(1).max(1000).optional(),
  pitchLimitsMm: z.tuple([pitch, pitch]).optional(),
  travel: z.enum(["both-ways", "one-way"]).optional(),
  outlinePass: z.enum(["before", "after"]).optional(),
  trimEnds: z.boolean().optional(),
  form: z.enum(["curves", "polyline"]).optional(),
  files: z.enum(["one", "each"]).optional(),
  dxf: z.boolean().optional(),
  bands: z.int().min(2).max(32).optional(),
  bandsBy: z.enum(["speed", "power"]).optional(),
});
const coating = z.strictObject({
  id: z.string().optional(),
  thicknessUm: figure(micrometres).optional(),
  thresholdJPerCm2: figure(fluence).optional(),
  depthUm: figure(micrometres).optional(),
  pulseNs: span(nanoseconds).optional(),
});
const metal = z.strictObject({
  id: z.string().optional(),
  grain: z.enum(["around", "along"]).optional(),
  thresholdJPerCm2: figure(fluence).optional(),
  incubation: figure(incubation).optional(),
  pulseNs: span(nanoseconds).optional(),
});
const column = z.strictObject({
  travelMm: z.number().min(1).max(100_000).optional(),
  restHeightMm: z.number().min(0).max(10_000).optional(),
});
const limits = z.strictObject({
  usableDepthMm: z.union([z.number().min(0.001).max(1000), z.literal("rayleigh")]).optional(),
  maxIncidenceDeg: z.number().positive().lt(90).optional(),
});
const ink = z.strictObject({
  from: z.enum(["dark", "light", "any"]).optional(),
  below: z.number().min(0).max(1).optional(),
  colours: z.array(z.string()).optional(),
  strokes: z.enum(["outline", "centre-line"]).optional(),
  keepShapes: z.boolean().optional(),
  trace: z.boolean().optional(),
  fonts: z.array(z.string()).optional(),
  allow: z.array(z.string()).optional(),
});

/** What of a calibration the job's own figures may stand in place of. `spot`: the beam that makes it. */
const ownParts = ["workingDistanceMm", "pivotMm", "spot", "coating", "metal"] as const;
export type OwnPart = (typeof ownParts)[number];
const calibration = z.union([
  z.string(),
  z.strictObject({
    path: z.string(),
    sha256: z.string().optional(),
    own: z.array(z.enum(ownParts)).optional(),
  }),
]);

export const jobFileSchema = z.strictObject({
  $schema: z.string().optional(),
  schema: z.literal("fallaway-job-1").optional(),
  artwork: z.strictObject({ path: z.string(), sha256: z.string().optional() }).optional(),
  order: order.optional(),
  ink: ink.optional(),
  vessel: vessel.optional(),
  placement: placement.optional(),
  pose: z.union([z.enum(["levelled", "axis", "lying"]), z.number().min(-80).max(80)]).optional(),
  turns: z.union([z.literal("auto"), z.int().min(1).max(64)]).optional(),
  witnessMarks: z.boolean().optional(),
  lens: lens.optional(),
  source: source.optional(),
  settings: settings.optional(),
  fill: fill.optional(),
  coating: coating.optional(),
  metal: metal.optional(),
  column: column.optional(),
  limits: limits.optional(),
  focus: z.union([z.enum(["best", "crown"]), z.number().min(-1000).max(1000)]).optional(),
  axis: z.enum(["x", "y"]).optional(),
  layer: z.enum(["falloff", "dose", "removal", "metal"]).optional(),
  toleranceMm: z.number().min(1e-6).max(1).optional(),
  calibration: calibration.optional(),
});

export type JobFile = z.infer<typeof jobFileSchema>;
export type Pivot = z.infer<typeof pivot>;

/** What of the artwork is ink, and how it is made. */
export interface InkAsked {
  readonly from: "dark" | "light" | "any";
  /** Relative luminance, 0…1. */
  readonly below: number;
  /** `#rrggbb` each; where there are any, they alone are ink. */
  readonly colours: readonly string[];
  readonly strokes: "outline" | "centre-line";
  readonly keepShapes: boolean;
  readonly trace: boolean;
  /** Font files and folders, from where the job file is. */
  readonly fonts: readonly string[];
  /** Codes of problems let pass as cautions. */
  readonly allow: readonly string[];
}

/** A figure and the range that it may lie in, low ≤ value ≤ high; all equal where it is known. */
export interface Figure {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}
export type Span = readonly [number, number];

export interface Source {
  readonly id: string;
  readonly beamDiameterMm: Figure;
  readonly m2: Figure;
  readonly wavelengthNm: number;
  /** Largest mean power, where it is known. */
  readonly meanPowerW?: number;
  readonly pulseNs: Span;
  readonly repetitionKHz: Span;
  readonly maxPulseEnergyMj: number;
}

/** As commanded, in the command plane. */
export interface Settings {
  readonly powerW: number;
  readonly speedMmS: number;
  readonly frequencyKHz: number;
  /** Distance between the lines of a set. */
  readonly pitchMm: number;
  /** One set of lines each, in this order: 90 along the vessel's axis, 0 around it. */
  readonly anglesDeg: readonly number[];
  /** How often all sets are marked. */
  readonly passes: number;
  readonly jumpSpeedMmS: number;
}

/** Lines laid for the station, and bands; at least one of `lines` and `bands` is there. */
export interface Fill {
  /** Pitch that follows the falloff, or the same everywhere; left out where no lines are asked for. */
  readonly lines?: "even" | "plain";
  /** On the vessel; `even`: the widest along the axis, unless there are limits. Those of the settings, where there are some. */
  readonly pitchMm: number;
  readonly anglesDeg: readonly number[];
  readonly passes: number;
  /** Smallest and largest pitch of lines that are evened. */
  readonly pitchLimitsMm: readonly [number, number];
  readonly travel: "both-ways" | "one-way";
  /** When the outline is marked too, half a spot inside the ink's edge. */
  readonly outlinePass?: "before" | "after";
  /** Lines end the spot's radius inside the ink's edge. */
  readonly trimEnds: boolean;
  readonly form: "curves" | "polyline";
  /** All sets in one file, or a file for each. */
  readonly files: "one" | "each";
  readonly dxf: boolean;
  readonly bands?: number;
  /** What a band's factor is of in the file; the report has both. */
  readonly bandsBy: "speed" | "power";
}

export interface Coating {
  readonly id: string;
  readonly thicknessUm: Figure;
  readonly thresholdJPerCm2: Figure;
  readonly depthUm: Figure;
  readonly pulseNs: Span;
}

export interface Metal {
  readonly id: string;
  readonly grain: "around" | "along";
  readonly thresholdJPerCm2: Figure;
  readonly incubation: Figure;
  readonly pulseNs: Span;
}

/** What the customer ordered; each part only where it was given. */
export interface Order {
  readonly name?: string;
  readonly customer?: string;
  readonly revision?: string;
  readonly quantity?: number;
  /** YYYY-MM-DD. */
  readonly date?: string;
}

/** The outer diameter at a height above the base. */
export interface Measure {
  readonly heightMm: number;
  readonly diameterMm: number;
}

/** What stands in the way on the vessel: as an interval around and along. */
export interface Blocked {
  readonly name: string;
  /** From and to, around from the crown line: to the right, seen from the lens; the way between them goes to the right. */
  readonly aroundDeg: readonly [number, number];
  /** From and to below the rim, along the axis; all along where left out. */
  readonly belowRimMm?: readonly [number, number];
}

/** The vessel: exactly one of the four shapes; the rest only where it is known. */
export interface Vessel {
  /** The stored profile that the shape is from. */
  readonly id?: string;
  /** Of a cylinder. */
  readonly diameterMm?: number;
  /** Of a cone: diameters at rim and base, and the height between them. */
  readonly taperMm?: readonly [number, number, number];
  /** Diameter of a sphere. */
  readonly sphereMm?: number;
  /** Measured, from the base up. */
  readonly profile?: readonly Measure[];
  readonly name?: string;
  /** Rim to base. */
  readonly heightMm?: number;
  /** The placement point below the rim. */
  readonly belowRimMm?: number;
  /** Middle of the handle and of the seam, around from the crown line: to the right, seen from the lens, −180…180. */
  readonly handleDeg?: number;
  readonly seamDeg?: number;
  readonly blocked?: readonly Blocked[];
  /** The coating as it looks: `#rrggbb`, and gloss units at 60° (ISO 2813). */
  readonly colour?: string;
  readonly gloss?: number;
}

export interface Job {
  readonly schema: "fallaway-job-1";
  readonly artwork?: { readonly path: string; readonly sha256?: string | undefined };
  readonly order: Order;
  readonly ink: InkAsked;
  readonly vessel: Vessel;
  readonly placement: {
    /** Size of the ink around and along; left out where the artwork's own size or proportions stand. */
    readonly widthMm?: number;
    readonly heightMm?: number;
    readonly rotateDeg: number;
    /** Where the ink's centre lands, from the crown line and the placement point. */
    readonly atMm: readonly [number, number];
    readonly fidelity: "girth" | "true-width" | "sheet" | "sight";
    /** For `sight`: from the crown line at the placement point to the eye. */
    readonly viewingDistanceMm: number | "far";
  };
  /** How the vessel lies; a number is the tilt of its axis in degrees, positive with the rim lifted. */
  readonly pose: "levelled" | "axis" | "lying" | number;
  /** Turns of the vessel that the artwork is marked in. */
  readonly turns: "auto" | number;
  /** Small marks near the base to index by eye. */
  readonly witnessMarks: boolean;
  readonly lens: {
    readonly id: string;
    readonly focalLengthMm: number;
    readonly fieldMm: number;
    readonly workingDistanceMm: number;
    /** Of the deflection along the bed's x and y. */
    readonly pivotMm: readonly [Pivot, Pivot];
    /** As measured, with the job's source: 1/e² diameter of the waist, and the Rayleigh range. */
    readonly spot?: { readonly diameterUm: Figure; readonly rayleighMm: Figure };
  };
  readonly source: Source;
  /** How the fill is marked; left out where nothing is asked of the process. */
  readonly settings?: Settings;
  readonly fill?: Fill;
  readonly coating?: Coating;
  readonly metal: Metal;
  readonly column: {
    /** Largest height of the lens reference above the bed. */
    readonly travelMm?: number;
    /** Height of the vessel's lowest line above the bed. */
    readonly restHeightMm: number;
  };
  readonly limits: { readonly usableDepthMm: number | "rayleigh"; readonly maxIncidenceDeg: number };
  readonly focus: "best" | "crown" | number;
  readonly axis: "x" | "y";
  /** What the heat map shows. */
  readonly layer: "falloff" | "dose" | "removal" | "metal";
  readonly toleranceMm: number;
  readonly calibration?: Calibrated;
}
