import type { LayerRows } from '../rays/runsByLayer.ts';

/**
 * Everything `measureLayerRange` finds out about the layers from … to − 1: typed arrays only, so
 * that it crosses threads by transfer (`sliceBuffers`) or structured clone; its longest buffers are
 * larger than what is used of them, in room that was never touched. Joined by `joinLayerSlices`.
 *
 * Arrays "by layer" have to − from entries. Pieces (of solid) and regions (of void) are numbered
 * within the slice, layer by layer; in contacts and starts they are numbered within their own layer,
 * since the lower one may belong to the slice below.
 */
export interface LayerSlice {
  readonly from: number;
  readonly to: number;
  /** The x bounds of the void (`voidBounds`), the same in all slices of a part. */
  readonly xLow: number;
  readonly xHigh: number;
  readonly areas: AreasByLayer;
  /** The solid's rows of layer `from`; those of the next layers follow on them. */
  readonly rows: LayerRows;
  readonly regions: RegionColumns;
  readonly regionContacts: ContactColumns;
  readonly pieces: PieceColumns;
  readonly pieceContacts: ContactColumns;
  readonly starts: StartColumns;
  readonly ceilings: CeilingColumns;
}

/** mm² by layer. */
export interface AreasByLayer {
  /** The skin, hollow filled; 0 when the slice was made from runs. */
  readonly skin: Float64Array;
  readonly chambers: Float64Array;
  readonly solid: Float64Array;
  readonly overhang: Float64Array;
}

export interface RegionColumns {
  /** How many come before each layer, and in all. */
  readonly start: Uint32Array;
  readonly area: Float64Array;
  readonly enclosed: Uint8Array;
  readonly centroid: Float32Array;
  readonly rowSpan: Uint32Array;
  readonly chamber: Int32Array;
}

export interface PieceColumns {
  readonly start: Uint32Array;
  readonly area: Float64Array;
  readonly centroidX: Float64Array;
  readonly centroidY: Float64Array;
  readonly rowSpan: Uint32Array;
}

/** Contacts with the layer below; `start` by layer and in all. */
export interface ContactColumns {
  readonly start: Uint32Array;
  readonly below: Uint32Array;
  readonly above: Uint32Array;
  readonly area: Float64Array;
}

/** A point of solid and what lies just below it. */
export interface PointColumns {
  readonly layer: Uint32Array;
  readonly row: Uint32Array;
  readonly x: Float64Array;
  /** 1 where the point below lies in a chamber. */
  readonly inChamber: Uint8Array;
  /** Its region there, within its layer; −1 for none. */
  readonly regionBelow: Int32Array;
}

/** Pieces with no solid below them, in layers above the first, with a point of each. */
export interface StartColumns extends PointColumns {
  readonly piece: Uint32Array;
}

/** Overhanging pieces above the limits (see `ceilings.ts`), with the middle of their widest disc. */
export interface CeilingColumns extends PointColumns {
  readonly areaMm2: Float64Array;
  readonly spanMm: Float64Array;
  /** The runs of each: `runStart[i] … runStart[i + 1]`, by row. */
  readonly runStart: Uint32Array;
  readonly runRow: Uint32Array;
  readonly runEnds: Float32Array;
}

/** The buffers of a slice, to be handed over to another thread without a copy. */
export function sliceBuffers(slice: LayerSlice): ArrayBuffer[] {
  const buffers = new Set<ArrayBuffer>();
  for (const part of [slice, ...Object.values(slice)]) {
    for (const column of Object.values(part as object)) {
      if (ArrayBuffer.isView(column) && column.buffer instanceof ArrayBuffer) buffers.add(column.buffer);
    }
  }
  return [...buffers];
}
