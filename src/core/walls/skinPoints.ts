/** Points on the skin of a solid with what is known of the skin there, mm. Parallel arrays. */
export interface SkinPoints {
  /** x, y, z of each point. */
  readonly points: Float32Array;
  /** Unit normal out of the solid; 0, 0, 0 where there is none. */
  readonly normals: Float32Array;
  /** Skin that each point stands for. */
  readonly areaMm2: Float32Array;
}
