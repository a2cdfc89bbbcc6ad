/**
 * How a part hangs together as it grows from the plate up, whatever holds it. What happens in one layer stands in
 * lists, those of layer n from `…Offsets[n]` to `…Offsets[n + 1]`, in this order: bodies become one, those that begin
 * in air grow large enough to count, the film pulls on all.
 */
export interface PartGrowth {
  readonly bodies: number;
  /** mm; the height of a layer. */
  readonly layerHeight: number;
  /** True where the first layer is printed on the plate itself. */
  readonly onPlate: boolean;
  /** By body: the layer that it begins in, and a place there, three numbers each; print frame, mm. The plate holds what begins in layer 0. */
  readonly startLayer: Uint32Array;
  readonly startAt: Float64Array;
  /** Pairs: the body that goes on, which is the lower number, and the one that has become part of it. */
  readonly mergeOffsets: Uint32Array;
  readonly merges: Uint32Array;
  /** Bodies that begin in air, in the first layer in which a piece of them is as large as the least region that counts. */
  readonly countOffsets: Uint32Array;
  readonly counts: Uint32Array;
  /** Solid of a layer that hangs together with what is printed below it: its body, then its area in mm² and the middle of that, three numbers each. */
  readonly loadOffsets: Uint32Array;
  readonly loadBody: Uint32Array;
  readonly loads: Float64Array;
  /** The body of each piece of a layer, as `labelIntervals` numbers them. */
  readonly pieceOffsets: Uint32Array;
  readonly pieceBody: Uint32Array;
}
