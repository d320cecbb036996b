/** How sure what is said of removal and metal is: by profiles alone, or calibrated by test marks. */

/** A job, or a report. */
export interface Labelled {
  readonly calibration?:
    | { readonly date: string; readonly coating: boolean; readonly metal: boolean }
    | null
    | undefined;
}

const WORDS = "uncalibrated: ";

export const coatingCalibrated = ({ calibration }: Labelled): boolean => calibration?.coating === true;
/** When the metal is bare, and so what harms it, hangs on the coating too. */
export const metalCalibrated = ({ calibration }: Labelled): boolean =>
  calibration?.coating === true && calibration.metal;

/** Before what is said of the coating, and before what is said of the metal. */
export const coatingLabel = (of: Labelled): string => (coatingCalibrated(of) ? "" : WORDS);
export const metalLabel = (of: Labelled): string => (metalCalibrated(of) ? "" : WORDS);

/** Whose middle figures a picture or a number is by. */
export const middleWords = (of: Labelled): string =>
  `the ${coatingCalibrated(of) ? "calibration's" : "profiles'"} middle figures`;

/** Whose ranges the cases are drawn from. */
export const casesWords = (of: Labelled): string =>
  coatingCalibrated(of)
    ? "the cases that calibration and profiles allow"
    : "the cases that the profiles allow";

/** A sentence of its own, where the coating is calibrated and where it is not. */
export const calibratedOn = (of: Labelled, otherwise: string): string =>
  coatingCalibrated(of) ? `Calibrated ${of.calibration!.date} on this coating.` : otherwise;
