/** What is said of lines and gaps that are thinner than the spot. */
import type { Problem } from "../../problem.ts";
import type { Thin, ThinKind, ThinPlaces, ThinWidth } from "./thin.ts";

const kinds: Readonly<
  Record<ThinKind, { code: string; what: string; than: string; fate: string; cure: string }>
> = {
  line: {
    code: "line-thinner-than-spot",
    what: "lines",
    than: "thinner",
    fate: "they may come out wider, or not at all",
    cure: "thicken them",
  },
  gap: {
    code: "gap-thinner-than-spot",
    what: "gaps",
    than: "narrower",
    fate: "they may close",
    cure: "open them",
  },
};

export function thinProblems(thin: Thin): Problem[] {
  if (!thin.compared) {
    return [
      {
        code: "detail-not-compared",
        severity: "note",
        message:
          "too many shapes overlap or crowd each other for lines and gaps to be compared with the spot",
        hint: "leave --keep-shapes out, so that overlapping shapes become one, or simplify the artwork",
      },
    ];
  }
  return (["line", "gap"] as const).flatMap((kind) => {
    const { worst } = thin[kind];
    return worst ? [caution(kind, thin[kind], worst)] : [];
  });
}

function caution(kind: ThinKind, found: ThinPlaces, worst: ThinWidth): Problem {
  const { code, what, than, fate, cure } = kinds[kind];
  const { places, lengthMm } = found;
  const many = `${places} ${places === 1 ? "place" : "places"}`;
  const long =
    lengthMm >= 0.05 ? `, ${lengthMm < 10 ? lengthMm.toFixed(1) : lengthMm.toFixed(0)} mm in all` : "";
  const [a, b] = worst.atMm.map((v) => v.toFixed(1).replace(/^-0\.0$/, "0.0"));
  return {
    code,
    severity: "caution",
    message: `${what} down to ${size(worst.widthMm)} are ${than} than the spot of ${size(worst.spotMm)}: ${many}${long}, the worst at ${a},${b} mm`,
    hint: `${fate}: ${cure} to ${size(worst.spotMm, Math.ceil)} or more, or use a lens with a smaller spot`,
  };
}

/** A width in µm, in mm from a millimetre on. */
function size(mm: number, round: (v: number) => number = Math.round): string {
  if (mm >= 1) return `${(round(mm * 100) / 100).toFixed(2)} mm`;
  return mm < 0.001 ? "under 1 µm" : `${round(mm * 1000)} µm`;
}
