/**
 * The cautions that stand wherever someone is told what to do: short texts, as a function of the wavelength (nm).
 *
 * Sources: class 4, harmful by direct and scattered beam, fire: IEC 60825-1; isopropyl alcohol, flash point 12 °C and
 * explosive from 2 % in air: NIOSH Pocket Guide to Chemical Hazards; coats in contact with food must be a continuous
 * film: 21 CFR 175.300; benzene and toluene from cut PVC: Rockwell et al., 1976, its hydrogen chloride: from memory.
 */

export const cautions = (wavelengthNm: number): readonly string[] => [
  `Class 4 laser: its direct and its scattered beam harm eyes and skin and can start a fire. Closed, interlocked enclosure; eyewear rated for ${wavelengthNm} nm.`,
  "Curved bright steel reflects in all directions.",
  "Extract and filter the fumes. Know the coating before it is marked; never mark chlorinated plastics such as PVC.",
  "Let solvent vapour clear fully before the beam is on.",
  "Keep artwork off the lip and the inside: a coating in contact with food must stay whole.",
  "The laser safety officer, local codes and the makers' data go first. No exposure limits are computed here.",
];

/** The same in two lines, for the end of a summary on a screen. */
export const shortCautions = (wavelengthNm: number): readonly [string, string] => [
  `class 4 laser on bright curved metal: closed enclosure, eyewear for ${wavelengthNm} nm, extraction;`,
  "local codes, the laser safety officer and the makers' data go first",
];

/** Cleaning once the mark is made; a solvent's vapour and the beam must never meet. */
export const cleaning: readonly string[] = [
  "Wipe the residue off with a soft cloth, with mild soap and water or the coating maker's cleaner.",
  "Any solvent only away from the laser: isopropyl alcohol flashes at 12 °C and is explosive from 2 % in air. Let it evaporate fully, and put bottle and cloths away, before the beam is on again.",
];
