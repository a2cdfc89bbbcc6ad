import type { Runs } from '../rays/runs.ts';
import type { RunsByLayer } from '../rays/runsByLayer.ts';

/**
 * The voids of a part, openings left uncut, as a graph: one region per connected void of a layer
 * (joined by face overlap within the layer), one contact per pair of regions of neighbouring layers
 * that overlap. Regions are numbered layer by layer from the plate up; `regionStart[k] …
 * regionStart[k+1]` are those of layer k, `contactStart[k] … contactStart[k+1]` the contacts
 * between layers k−1 and k. Openings are added as links (`openingLinks.ts`), so that an edit of one
 * re-walks the graph and not the mesh.
 */
export interface VoidGraph {
  readonly layers: number;
  readonly layerHeight: number;
  readonly regionStart: Uint32Array;
  readonly contactStart: Uint32Array;
  /** mm² per region. */
  readonly area: Float64Array;
  /** 1 where the region does not reach the outside within its layer: it is part of a cup. */
  readonly enclosed: Uint8Array;
  /** Centroid x,y per region, mm, print frame. */
  readonly centroid: Float32Array;
  /** Rows each region spans: under 3 it is narrower than the lattice resolves. */
  readonly rowSpan: Uint32Array;
  /** Chamber number per region, −1 where the void is not one of the hollow's chambers. */
  readonly chamber: Int32Array;
  /** Region of layer k−1, region of layer k, and their overlap in mm², per contact. */
  readonly contactBelow: Uint32Array;
  readonly contactAbove: Uint32Array;
  readonly contactArea: Float64Array;
}

/**
 * What it takes to tell the region of any void run: the solid it lies between. Labels of a layer are
 * made again where an opening asks for them (`labelIntervals`, always the same), since few layers
 * are asked for and the labels of all would be the largest array of a part.
 */
export interface LabelledVoid {
  readonly solid: Runs | RunsByLayer;
  readonly regionStart: Uint32Array;
  /** The x bounds of the void. */
  readonly xLow: number;
  readonly xHigh: number;
}
