/** The job's options on the command line, each with the place in the job that it overrides, in the order of --help. */
import { fillSpecs } from "./fillspecs.ts";
import {
  angles,
  area,
  colour,
  degrees,
  mm,
  number,
  pair,
  power,
  triple,
  whole,
  word,
} from "./optionreaders.ts";

export interface OptionSpec {
  readonly flags: string;
  readonly help: string;
  /** Path in the job file. */
  readonly path: readonly [string, ...string[]];
  /** Another place that a text of this form goes to. */
  readonly also?: { readonly path: readonly [string, string]; readonly form: RegExp };
  /** Left out for a switch that is on or off. */
  readonly read?: (text: string, name: string) => unknown;
}

/** What the ink is. */
export const inkSpecs: readonly OptionSpec[] = [
  {
    flags: "--ink <WHICH>",
    help: "which paint is ink: dark, light or any (default dark)",
    path: ["ink", "from"],
    read: word,
  },
  {
    flags: "--ink-below <N>",
    help: "the relative luminance, 0 to 1, that parts dark from light (default 0.5)",
    path: ["ink", "below"],
    read: number(""),
  },
  {
    flags: "--ink-colour <#RRGGBB...>",
    help: "only paint of these colours is ink",
    path: ["ink", "colours"],
    read: colour,
  },
  {
    flags: "--strokes <HOW>",
    help: "outline: as wide as drawn; centre-line: single lines (default outline)",
    path: ["ink", "strokes"],
    read: word,
  },
  {
    flags: "--keep-shapes",
    help: "leave overlapping shapes apart, each with its id",
    path: ["ink", "keepShapes"],
  },
  {
    flags: "--fonts <PATH...>",
    help: "font files, or folders of them, that text is drawn with",
    path: ["ink", "fonts"],
    read: word,
  },
  { flags: "--trace", help: "trace embedded pictures to outlines", path: ["ink", "trace"] },
  {
    flags: "--allow <CODE...>",
    help: "let problems of these codes pass as cautions",
    path: ["ink", "allow"],
    read: word,
  },
];

/** All that a job says but for its ink. */
export const specs: readonly OptionSpec[] = [
  {
    flags: "--diameter <MM>",
    help: "the vessel's outer diameter where the artwork goes",
    path: ["vessel", "diameterMm"],
    read: mm,
  },
  {
    flags: "--circumference <MM>",
    help: "or the way around it, by tape",
    path: ["vessel", "circumferenceMm"],
    read: mm,
  },
  {
    flags: "--taper <TOP,BOTTOM,HEIGHT>",
    help: "or a tapered cup: diameters at rim and base and the height between them, mm",
    path: ["vessel", "taperMm"],
    read: triple,
  },
  { flags: "--sphere <MM>", help: "or a ball of this diameter", path: ["vessel", "sphereMm"], read: mm },
  {
    flags: "--profile <FILE>",
    help: "or a measured outline: heights and diameters (or circumferences), CSV or JSON",
    path: ["vessel", "profile"],
  },
  {
    flags: "--vessel <ID>",
    help: "or a stored vessel, see: fallaway profiles vessels",
    path: ["vessel", "id"],
    read: word,
  },
  {
    flags: "--vessel-height <MM>",
    help: "rim to base, along the axis; ink beyond them is a stop",
    path: ["vessel", "heightMm"],
    read: mm,
  },
  {
    flags: "--below-rim <MM>",
    help: "how far the placement point lies below the rim",
    path: ["vessel", "belowRimMm"],
    read: mm,
  },
  {
    flags: "--handle-at <DEG>",
    help: "the handle's middle, degrees around from the crown line; positive to the right, seen from the lens",
    path: ["vessel", "handleDeg"],
    read: degrees,
  },
  {
    flags: "--seam-at <DEG>",
    help: "the seam's middle, likewise",
    path: ["vessel", "seamDeg"],
    read: degrees,
  },
  {
    flags: "--blocked <AREA...>",
    help: "what is in the way, as NAME,FROM,TO in degrees to the right of the crown line, or NAME,FROM,TO,UPPER,LOWER with mm below the rim",
    path: ["vessel", "blocked"],
    read: area,
  },
  {
    flags: "--pose <HOW>",
    help: "how it lies: levelled (crown line level), axis (axis level), lying (on its side), or degrees, the rim lifted",
    path: ["pose"],
    read: number("degrees", "levelled", "axis", "lying"),
  },
  {
    flags: "--turns <N|auto>",
    help: "mark it in several turns of the vessel (default 1)",
    path: ["turns"],
    read: number("turns", "auto"),
  },
  {
    flags: "--witness-marks",
    help: "with turns: small marks near the base to index by eye",
    path: ["witnessMarks"],
  },
  {
    flags: "--width <MM>",
    help: "the ink's size around the vessel; alone it keeps the proportions (default: as drawn)",
    path: ["placement", "widthMm"],
    read: mm,
  },
  {
    flags: "--height <MM>",
    help: "the ink's size along the vessel; with --width it stretches",
    path: ["placement", "heightMm"],
    read: mm,
  },
  {
    flags: "--rotate <DEG>",
    help: "turn the artwork first, clockwise (lettering up the length: 90 reads downward, -90 upward)",
    path: ["placement", "rotateDeg"],
    read: degrees,
  },
  {
    flags: "--at <A,B>",
    help: "where the ink's centre lands, mm right of the crown line and below the placement point (default 0,0)",
    path: ["placement", "atMm"],
    read: pair(mm, false),
  },
  {
    flags: "--fidelity <RULE>",
    help: "girth: true around where it is placed; true-width: area and every width; sheet: as a sticker; sight: undistorted from the front (default girth)",
    path: ["placement", "fidelity"],
    read: word,
  },
  {
    flags: "--viewing-distance <MM>",
    help: "for sight: from the crown line to the eye, or far (default far)",
    path: ["placement", "viewingDistanceMm"],
    read: number("millimetres", "far"),
  },
  {
    flags: "--lens <ID>",
    help: "lens profile, see: fallaway profiles lenses (default field-300)",
    path: ["lens", "id"],
    read: word,
  },
  {
    flags: "--focal-length <MM>",
    help: "focal length (this and what follows: default from the profile)",
    path: ["lens", "focalLengthMm"],
    read: mm,
  },
  { flags: "--field <MM>", help: "side of the lens's square field", path: ["lens", "fieldMm"], read: mm },
  {
    flags: "--working-distance <MM>",
    help: "lens reference to focal plane",
    path: ["lens", "workingDistanceMm"],
    read: mm,
  },
  {
    flags: "--pivot <MM[,MM]>",
    help: "deflection pivots above the focal plane, bed x and y; or telecentric",
    path: ["lens", "pivotMm"],
    read: pair(number("millimetres", "telecentric"), true),
  },
  {
    flags: "--source <ID|60W>",
    help: "source profile or its mean power, see: fallaway profiles sources (default pulsed-fibre)",
    path: ["source", "id"],
    read: word,
  },
  {
    flags: "--beam-diameter <MM>",
    help: "1/e² diameter entering the lens",
    path: ["source", "beamDiameterMm"],
    read: mm,
  },
  { flags: "--m2 <N>", help: "beam quality M²", path: ["source", "m2"], read: number("") },
  {
    flags: "--wavelength <NM>",
    help: "wavelength in nanometres",
    path: ["source", "wavelengthNm"],
    read: number("nanometres"),
  },
  {
    flags: "--power <27W|45%>",
    help: "mean power, or its share of the source's",
    path: ["settings", "powerW"],
    also: { path: ["settings", "powerPercent"], form: /%\s*$/ },
    read: power,
  },
  {
    flags: "--speed <MM/S>",
    help: "marking speed, as commanded",
    path: ["settings", "speedMmS"],
    read: number("millimetres a second"),
  },
  {
    flags: "--frequency <KHZ>",
    help: "repetition rate of the pulses",
    path: ["settings", "frequencyKHz"],
    read: number("kilohertz"),
  },
  {
    flags: "--pitch <MM>",
    help: "distance between the lines of the fill, at most the spot",
    path: ["settings", "pitchMm"],
    read: mm,
  },
  {
    flags: "--angles <DEG,...>",
    help: "sets of lines in their order, 90 along the axis, 0 around (default: across the metal's grain, then along it)",
    path: ["settings", "anglesDeg"],
    read: angles,
  },
  {
    flags: "--passes <N>",
    help: "how often all sets are marked (default 1)",
    path: ["settings", "passes"],
    read: number(""),
  },
  {
    flags: "--jump-speed <MM/S>",
    help: "speed between lines, for the time (default 3000)",
    path: ["settings", "jumpSpeedMmS"],
    read: number("millimetres a second"),
  },
  ...fillSpecs,
  {
    flags: "--coating <ID>",
    help: "coating profile, see: fallaway profiles coatings",
    path: ["coating", "id"],
    read: word,
  },
  {
    flags: "--coating-thickness <UM>",
    help: "its thickness in micrometres, where it was measured",
    path: ["coating", "thicknessUm"],
    read: number("micrometres"),
  },
  {
    flags: "--metal <ID>",
    help: "metal below the coating, see: fallaway profiles metals (default steel-brushed)",
    path: ["metal", "id"],
    read: word,
  },
  {
    flags: "--column-travel <MM>",
    help: "largest height of the lens reference above the bed",
    path: ["column", "travelMm"],
    read: mm,
  },
  {
    flags: "--rest-height <MM>",
    help: "height of the vessel's lowest line above the bed, in its rest or jig (default 0)",
    path: ["column", "restHeightMm"],
    read: mm,
  },
  {
    flags: "--usable-depth <MM>",
    help: "usable depth either side of the focal plane (default: the Rayleigh range)",
    path: ["limits", "usableDepthMm"],
    read: number("millimetres", "rayleigh"),
  },
  {
    flags: "--max-incidence <DEG>",
    help: "steepest angle to the surface's normal (default 60)",
    path: ["limits", "maxIncidenceDeg"],
    read: degrees,
  },
  {
    flags: "--focus <WHERE>",
    help: "best, crown, or mm below the crown line (default best)",
    path: ["focus"],
    read: number("millimetres", "best", "crown"),
  },
  {
    flags: "--axis <x|y>",
    help: "how the vessel lies on the bed; x: its top toward +x (default y)",
    path: ["axis"],
    read: word,
  },
  {
    flags: "--layer <LAYER>",
    help: "what prepare's heat map shows: falloff, dose, removal or metal (default falloff)",
    path: ["layer"],
    read: word,
  },
  {
    flags: "--tolerance <MM>",
    help: "largest error of the bent curves, on the vessel (default 0.002)",
    path: ["toleranceMm"],
    read: mm,
  },
  {
    flags: "--calibration <FILE>",
    help: "what test marks told of this lens, source, coating and metal: taken in place of the profiles' figures",
    path: ["calibration"],
    read: word,
  },
  {
    flags: "--vessel-name <TEXT>",
    help: "the vessel in words, for proof and station sheet",
    path: ["vessel", "name"],
    read: word,
  },
  {
    flags: "--coating-colour <#RRGGBB>",
    help: "the coating's colour in the proof, in quotes (default: from the coating profile)",
    path: ["vessel", "colour"],
    read: colour,
  },
  {
    flags: "--gloss <GU>",
    help: "the coating's gloss at 60 degrees, 0 to 100 (default: from the coating profile)",
    path: ["vessel", "gloss"],
    read: number("gloss units"),
  },
  {
    flags: "--job-name <TEXT>",
    help: "the job's name on proof and station sheet (default: the artwork's)",
    path: ["order", "name"],
    read: word,
  },
  { flags: "--customer <TEXT>", help: "the customer's name", path: ["order", "customer"], read: word },
  { flags: "--revision <TEXT>", help: "the proof's revision", path: ["order", "revision"], read: word },
  {
    flags: "--quantity <N>",
    help: "how many vessels",
    path: ["order", "quantity"],
    read: whole,
  },
  {
    flags: "--date <YYYY-MM-DD>",
    help: "the day on proof and station sheet (default: today)",
    path: ["order", "date"],
    read: word,
  },
];
