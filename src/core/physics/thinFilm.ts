/**
 * A thin film of liquid between a floor and a film that parts from it, cut into nodes. Node n has links
 * start[n] … start[n + 1] − 1: to `other`, with the conductance d³ times width over length of the way between
 * them, m³ (each link given from both its ends). `other` below 0 is a mouth: −1 − its number.
 */
export interface ThinFilm {
  readonly start: Uint32Array;
  readonly other: Int32Array;
  readonly conductance: Float64Array;
  /** m² of each node over which the film parts. */
  readonly area: Float64Array;
  /** m² of the film over each mouth, through which liquid comes in. */
  readonly mouthArea: Float64Array;
  /** m³ between mouths that lie side by side, row by row, as a conductance like the links; symmetric. */
  readonly between: Float64Array;
}
