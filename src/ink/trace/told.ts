/** What is said of a traced bitmap: that it is no drawing, that nothing or all of it is ink, what was lost. */
import type { Rgba } from "../../artwork/types.ts";
import type { Affine } from "../../geometry/affine.ts";
import type { Problem, Where } from "../../problem.ts";
import type { InkField } from "./field.ts";
import { isDots, isShaded } from "./shares.ts";

/** An even colour of the picture as it is seen. */
export interface Tone {
  readonly colour: Rgba;
  /** Relative luminance over the page, 0…1. */
  readonly luminance: number;
  readonly isInk: boolean;
}

export interface Traced extends Pick<InkField, "offTone" | "busy" | "faint"> {
  readonly width: number;
  readonly height: number;
  /** Pixels that are ink. */
  readonly inkPixels: number;
  /** The commonest first; with opacity alone, those of an opaque picture. */
  readonly tones: readonly Tone[];
  /** What was asked: ink darker or lighter than a limit, of chosen colours, or all that is painted. */
  readonly by: "dark" | "light" | "colours" | "any";
  readonly below: number;
  /** Pixels → the page, mm. */
  readonly place: Affine;
}

/** More of other tones than this is said. */
const someOffTone = 0.02;
/** So many colours are named. */
const named = 4;

export function toldOf(traced: Traced, where: Where): Problem[] {
  const worst = shaded(traced) ?? oneSided(traced);
  const all = worst ? [worst] : [moreTones(traced), lost(traced)];
  return all.flatMap((one) => (one ? [{ ...one, where }] : []));
}

type Told = Omit<Problem, "where">;

const error = (code: string, message: string, hint: string): Told => ({
  code,
  severity: "error",
  message: `an embedded picture ${message}`,
  hint,
});

function shaded({ offTone, busy, width, height }: Traced): Told | null {
  const code = "picture-not-one-colour";
  const hint = "draw it in one colour, or trace it by hand";
  if (isShaded(offTone))
    return error(
      code,
      `is shaded like a photograph over ${percent(offTone)} of it, not drawn in even colours`,
      hint,
    );
  if (isDots(busy, width, height)) return error(code, "is all dots or noise, no drawing in areas", hint);
  return null;
}

/** Nothing is ink though something is drawn, or all is. */
function oneSided(traced: Traced): Told | null {
  const { inkPixels, width, height, tones, faint, by, below } = traced;
  const drawn = tones.length > (by === "colours" ? 0 : 1);
  if (inkPixels === width * height && tones.length > 1 && by !== "colours") return allInk(traced);
  if (inkPixels > 0 || !drawn) return null;
  if (tones.some(({ isInk }) => isInk) || (by === "any" && faint.length > 0)) {
    const hint = "embed it with more pixels, or draw it";
    return error(
      "picture-no-ink",
      "has no ink that covers half a pixel anywhere: it is too thin or too pale",
      hint,
    );
  }
  if (by === "colours") {
    const message = "has no area in a colour of --ink-colour";
    return error("picture-no-ink", message, `the picture has ${hexes(tones)}`);
  }
  // Ink by the limit would be the darkest of these tones, or the lightest.
  const [end, next] = ends(tones, by === "light");
  const [tone, past] = by === "light" ? ["lighter", "below"] : ["darker", "above"];
  const message = `has no ink: its ${tone} tone ${hex(end.colour)} (luminance ${two(end.luminance)}) is ${past} the limit of ${below}`;
  return error("picture-no-ink", message, `${limitBetween(end, next)} to have that tone marked`);
}

function allInk({ tones, by, below }: Traced): Told {
  const code = "picture-all-ink";
  if (by === "any") {
    const message = `is painted all over: an opaque picture is all ink with --ink any (${hexes(tones)})`;
    return error(code, message, "give --ink dark or --ink light, or embed it with a transparent ground");
  }
  const [end, next] = ends(tones, by === "dark");
  const [tone, past] = by === "dark" ? ["lighter", "below"] : ["darker", "above"];
  const message = `is all ink: its ${tone} tone ${hex(end.colour)} (luminance ${two(end.luminance)}), too, is ${past} the limit of ${below}`;
  return error(code, message, `${limitBetween(end, next)} to part it from the rest`);
}

/** The darkest and the next, or from the lightest. */
function ends(tones: readonly Tone[], lightest: boolean): [Tone, Tone] {
  const sign = lightest ? -1 : 1;
  const [end, next] = [...tones].sort((a, b) => sign * (a.luminance - b.luminance)) as [Tone, Tone];
  return [end, next];
}

/**
 * The option that parts two tones: a limit between their luminances, as short and as near their middle as can be,
 * or, where they have the same, the first one's colour.
 */
function limitBetween({ luminance: a, colour }: Tone, { luminance: b }: Tone): string {
  for (let digits = 1; digits < 5; digits++) {
    const text = ((a + b) / 2).toFixed(digits);
    if (Number(text) > Math.min(a, b) && Number(text) < Math.max(a, b)) return `give --ink-below ${text}`;
  }
  return `give --ink-colour '${hex(colour)}'`;
}

function moreTones({ tones, offTone, by }: Traced): Told | null {
  const code = "picture-not-one-colour";
  if (tones.length > 2 && (by === "dark" || by === "light")) {
    const [ink, rest] = [true, false].map((is) => tones.filter(({ isInk }) => isInk === is));
    const marked = [
      ink!.length > 0 ? `${hexes(ink!)} marked alike` : "",
      rest!.length > 0 ? `${hexes(rest!)} not` : "",
    ];
    const message = `an embedded picture has ${tones.length} tones: ${marked.filter(Boolean).join(", ")}`;
    const severity = rest!.length > 1 ? "caution" : "note";
    return { code, severity, message, hint: "choose among them with --ink-below or --ink-colour" };
  }
  if (offTone <= someOffTone) return null;
  const message = `an embedded picture is shaded or blurred over ${percent(offTone)} of it: traced where ink covers half`;
  return {
    code,
    severity: "caution",
    message,
    hint: "embed it sharper, in even colours, or trace it by hand",
  };
}

function lost({ faint, place }: Traced): Told | null {
  const [largest] = faint;
  if (!largest) return null;
  const perPixel = Math.abs(place.a * place.d - place.b * place.c);
  const area = faint.reduce((sum, part) => sum + part.area, 0) * perPixel;
  const size = `${area < 0.01 ? "less than 0.01" : area.toPrecision(2)} mm²`;
  const x = place.a * largest.x + place.c * largest.y + place.e;
  const y = place.b * largest.x + place.d * largest.y + place.f;
  const at = `about ${mm(x)} right and ${mm(y)} below the page's corner`;
  const parts =
    faint.length === 1
      ? `a faint line or spot of ${size}, ${at}, nowhere covers`
      : `${faint.length} faint lines or spots, ${size} in all, the largest ${at}, nowhere cover`;
  return {
    code: "picture-faint",
    severity: "caution",
    message: `not all of an embedded picture is marked: ${parts} half a pixel`,
    hint: "embed the picture with more pixels, or draw the lines, to have them marked",
  };
}

const mm = (v: number): string => `${v.toFixed(1)} mm`;
const percent = (share: number): string => `${Math.round(100 * share)} %`;
const two = (v: number): string => v.toFixed(2);
const hexes = (tones: readonly Tone[]): string => {
  const list = [...new Set(tones.map(({ colour }) => hex(colour)))];
  const more = list.length > named ? ` and ${list.length - named} more` : "";
  return list.slice(0, named).join(" ") + more;
};

function hex({ r, g, b }: Rgba): string {
  const byte = (v: number): string =>
    Math.round(255 * v)
      .toString(16)
      .padStart(2, "0");
  return `#${byte(r)}${byte(g)}${byte(b)}`;
}
