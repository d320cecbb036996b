/** Rows of a summary: a name, then what is said; and the cautions that stand under each. */
export const row = (name: string, text: string): string => `  ${name.padEnd(10)} ${text}`;

/** Wherever someone is told what to do. */
export const careRows = (wavelengthNm: number): string[] => [
  row(
    "take care",
    `class 4 laser on bright curved metal: closed enclosure, eyewear for ${wavelengthNm} nm, extraction;`,
  ),
  row("", "local codes, the laser safety officer and the makers' data go first"),
];
