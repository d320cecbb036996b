/**
 * Colours of the pictures: viridis for falloff, and the zones' styles.
 *
 * Viridis: N. Smith, S. van der Walt, E. Firing, the perceptually uniform default map of matplotlib (CC0),
 * 256 entries; even steps look even, and it stays readable in grey and with colour-blind eyes.
 */
import type { Outcome } from "../plan/process/process.ts";
import type { Zone } from "../plan/zones.ts";

/** The zones of the limits, and what the process likely makes of the ink within them. */
export type DrawnZone = Zone | Exclude<Outcome, "clean">;

/** Writes the colour of a value from 0 to 1 into out[at..at+2]; values outside take the end's colour. */
export function viridis(value: number, out: Uint8Array, at = 0): void {
  const i = 3 * viridisIndex(value);
  out[at] = table[i]!;
  out[at + 1] = table[i + 1]!;
  out[at + 2] = table[i + 2]!;
}

/** The table's entry for a value from 0 to 1: 256 equal steps. */
export const viridisIndex = (value: number): number =>
  value > 0 ? Math.min(255, Math.floor(value * 256)) : 0;

/** The table's entry as `#rrggbb`. */
export const viridisHex = (index: number): string => `#${hex.slice(6 * index, 6 * index + 6)}`;

/** How a zone is told apart: by its hatch and its word as well as by its shade. */
export interface ZoneStyle {
  readonly word: string;
  readonly shade: string;
  readonly shadeOpacity: number;
  /** Angles of the hatch lines in degrees clockwise from the horizontal; empty for none. */
  readonly hatch: readonly number[];
  /** Distance between lines, in steps of the picture's own hatch distance. */
  readonly gap: number;
}

export const zoneStyles: Readonly<Record<DrawnZone, ZoneStyle>> = {
  usable: { word: "usable", shade: "#ffffff", shadeOpacity: 0, hatch: [], gap: 1 },
  residue: { word: "residue", shade: "#005f8a", shadeOpacity: 0.1, hatch: [20], gap: 1.6 },
  metal: { word: "metal at risk", shade: "#a3005f", shadeOpacity: 0.08, hatch: [0], gap: 2.4 },
  oblique: { word: "oblique", shade: "#8a5a00", shadeOpacity: 0.1, hatch: [45], gap: 1 },
  "out-of-depth": { word: "out of depth", shade: "#9c2f1c", shadeOpacity: 0.14, hatch: [-45], gap: 1 },
  blocked: { word: "blocked", shade: "#5b3d2e", shadeOpacity: 0.2, hatch: [60, -60], gap: 1.2 },
  "off-field": { word: "off field", shade: "#4a3a8c", shadeOpacity: 0.18, hatch: [0, 90], gap: 1.4 },
  hidden: { word: "hidden", shade: "#1c1c1c", shadeOpacity: 0.3, hatch: [45, -45], gap: 0.8 },
};

const hex =
  "44015444025645045745055946075a46085c460a5d460b5e470d60470e61471063471164471365481467481668481769" +
  "48186a481a6c481b6d481c6e481d6f481f70482071482173482374482475482576482677482878482979472a7a472c7a" +
  "472d7b472e7c472f7d46307e46327e46337f463480453581453781453882443983443a83443b84433d84433e85423f85" +
  "4240864241864142874144874045884046883f47883f48893e49893e4a893e4c8a3d4d8a3d4e8a3c4f8a3c508b3b518b" +
  "3b528b3a538b3a548c39558c39568c38588c38598c375a8c375b8d365c8d365d8d355e8d355f8d34608d34618d33628d" +
  "33638d32648e32658e31668e31678e31688e30698e306a8e2f6b8e2f6c8e2e6d8e2e6e8e2e6f8e2d708e2d718e2c718e" +
  "2c728e2c738e2b748e2b758e2a768e2a778e2a788e29798e297a8e297b8e287c8e287d8e277e8e277f8e27808e26818e" +
  "26828e26828e25838e25848e25858e24868e24878e23888e23898e238a8d228b8d228c8d228d8d218e8d218f8d21908d" +
  "21918c20928c20928c20938c1f948c1f958b1f968b1f978b1f988b1f998a1f9a8a1e9b8a1e9c891e9d891f9e891f9f88" +
  "1fa0881fa1881fa1871fa28720a38620a48621a58521a68522a78522a88423a98324aa8325ab8225ac8226ad8127ad81" +
  "28ae8029af7f2ab07f2cb17e2db27d2eb37c2fb47c31b57b32b67a34b67935b77937b87838b9773aba763bbb753dbc74" +
  "3fbc7340bd7242be7144bf7046c06f48c16e4ac16d4cc26c4ec36b50c46a52c56954c56856c66758c7655ac8645cc863" +
  "5ec96260ca6063cb5f65cb5e67cc5c69cd5b6ccd5a6ece5870cf5773d05675d05477d1537ad1517cd2507fd34e81d34d" +
  "84d44b86d54989d5488bd6468ed64590d74393d74195d84098d83e9bd93c9dd93ba0da39a2da37a5db36a8db34aadc32" +
  "addc30b0dd2fb2dd2db5de2bb8de29bade28bddf26c0df25c2df23c5e021c8e020cae11fcde11dd0e11cd2e21bd5e21a" +
  "d8e219dae319dde318dfe318e2e418e5e419e7e419eae51aece51befe51cf1e51df4e61ef6e620f8e621fbe723fde725";

const table = Uint8Array.from({ length: 768 }, (_, i) => Number.parseInt(hex.slice(2 * i, 2 * i + 2), 16));
