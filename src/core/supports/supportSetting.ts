/** What supports are planned by. Lengths mm. */
export interface SupportSetting {
  /** Least and greatest width of a tip where it touches the part. */
  readonly tipMm: number;
  readonly widestTipMm: number;
  /** Tips under an overhang stand at most this far from each other. */
  readonly spacingMm: number;
  /** Least width of a strut. */
  readonly strutMm: number;
  /** Degrees from the plate at which a slope carries itself. */
  readonly selfSupportDeg: number;
  /** Solid regions below this that start in air are left out, mm². */
  readonly leastMm2: number;
  /** kPa by which solid is held back by the film. */
  readonly peel: number;
  /** kPa that the plate holds of what is printed on it. */
  readonly plateHold: number;
  /** MPa as printed. */
  readonly greenStrength: number;
  readonly greenModulus: number;
  /** What is held must be able to take this many times its load. */
  readonly safety: number;
  /** g/ml cured. */
  readonly density: number;
}
