/**
 * How large the vessel is drawn. ISO 5455 has 1:1, 1:2, 1:5 and their tenfold; the steps between, which it allows where
 * they are needed, fill the page better, since the picture is looked at and not measured with a rule.
 */
const scales = [20, 10, 5, 2, 1, 1 / 1.5, 1 / 2, 1 / 2.5, 1 / 3, 1 / 4, 1 / 5, 1 / 7.5] as const;
const small = [1 / 10, 1 / 15, 1 / 20, 1 / 30, 1 / 50] as const;

/** mm on the page for one of the vessel, so that width × height goes into the room; the last where none does. */
export const scaleFor = (width: number, height: number, room: { width: number; height: number }): number =>
  [...scales, ...small].find((k) => width * k <= room.width && height * k <= room.height) ?? small.at(-1)!;

/** "1:2", "5:1". */
export const scaleWords = (scale: number): string =>
  scale >= 1 ? `${scale}:1` : `1:${Number((1 / scale).toFixed(1))}`;
