/**
 * What one opening touches, layer by layer, from its lowest layer to its highest. In layer
 * `firstLayer + i` its cross-section meets the void regions `regions[regionStart[i] …
 * regionStart[i+1]]`. The opening's own void in neighbouring layers
 * is connected, since a cylinder's cross-sections overlap from layer to layer.
 */
export interface OpeningLink {
  readonly firstLayer: number;
  readonly regionStart: Uint32Array;
  readonly regions: Uint32Array;
  /** True when its mouth lies above the last layer: the way out is open once the part is finished. */
  readonly opensAbove?: boolean;
}
