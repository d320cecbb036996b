/**
 * The focused beam (ISO 11146: w is the 1/e² radius, M² the beam quality).
 *
 *   d₀ = 4 M² λ f / (π D)        waist diameter behind a lens of focal length f, beam diameter D (1/e²) entering
 *   z_R = π d₀² / (4 M² λ)       Rayleigh range
 *   w(z) = w₀ √(1 + (z/z_R)²)    z along the beam
 *   φ = (w₀²/w²) cos i           relative fluence: 1 in focus at normal incidence
 *
 * No truncation at an aperture is counted. Caustic and M²: ISO 11146-1; the waist behind a lens is its diffraction
 * limit 4λf/(πD) times M² (from memory: any textbook on Gaussian beams; checked in tests/reference). Lengths mm.
 */
export interface Beam {
  /** Wavelength in nm. */
  readonly wavelengthNm: number;
  /** 1/e² diameter of the collimated beam that enters the lens. */
  readonly beamDiameterMm: number;
  /** Beam quality, ≥ 1. */
  readonly m2: number;
}

export interface Spot {
  /** d₀, 1/e² diameter at the waist. */
  readonly waistDiameterMm: number;
  /** z_R, half the depth of focus of the standard. */
  readonly rayleighMm: number;
}

export function focusedSpot(beam: Beam, focalLengthMm: number): Spot {
  const lambda = beam.wavelengthNm * 1e-6;
  const waistDiameterMm = (4 * beam.m2 * lambda * focalLengthMm) / (Math.PI * beam.beamDiameterMm);
  return { waistDiameterMm, rayleighMm: (Math.PI * waistDiameterMm ** 2) / (4 * beam.m2 * lambda) };
}

/** w(z)/w₀ at a distance z along the beam from the waist. */
export const spotGrowth = (alongMm: number, spot: Spot): number =>
  Math.sqrt(1 + (alongMm / spot.rayleighMm) ** 2);

/**
 * φ at a point that the beam meets: `defocusMm` is its depth below the focal plane, `slant` the beam's length
 * per mm of depth, `cosIncidence` the cosine of the angle to the surface's normal. 0 past the horizon.
 */
export function relativeFluence(
  meeting: { defocus: number; slant: number; cosIncidence: number },
  spot: Spot,
): number {
  if (!(meeting.cosIncidence > 0)) return 0;
  const q = (meeting.defocus * meeting.slant) / spot.rayleighMm;
  return meeting.cosIncidence / (1 + q * q);
}
