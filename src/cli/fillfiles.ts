/** The files of lines and bands: for each turn one or a few, each written as a stream. */
import { bandsSvg } from "../picture/bandssvg.ts";
import { fillDxf } from "../picture/filldxf.ts";
import { fillSvg } from "../picture/fillsvg.ts";
import type { Plan } from "../plan/types.ts";
import type { KindOutput } from "./prepare.ts";

/** `plan`: of the turn alone; `index`: the turn's, from 0; `part`: what the names begin with. Empty where none are asked for. */
export function fillFiles(plan: Plan, index: number, part: string): KindOutput[] {
  const { fill } = plan;
  const turn = fill?.turns[index];
  if (!fill || !turn) return [];
  const { lines, files, dxf } = fill.asked;
  const sets = files === "one" ? [null] : turn.sets.map((_, i) => i);
  const laid = lines
    ? sets.flatMap((which): KindOutput[] => {
        const name = which === null ? `${part}.fill` : `${part}.fill.set-${which + 1}`;
        return [
          { kind: "fill", name: `${name}.svg`, data: fillSvg(plan, turn, which) },
          ...(dxf ? [{ kind: "fill" as const, name: `${name}.dxf`, data: fillDxf(plan, turn, which) }] : []),
        ];
      })
    : [];
  return [
    ...laid,
    ...(turn.bands
      ? [{ kind: "bands" as const, name: `${part}.bands.svg`, data: bandsSvg(plan, turn.bands, fill) }]
      : []),
  ];
}
