/** Where layers lie on the strata's horizontal axis: plate at `left`, top of the part at the right end. */
export interface LayerAxis {
  readonly left: number;
  readonly width: number;
  readonly layers: number;
}

/** Pixel at the middle of a layer. */
export function layerToPixel(axis: LayerAxis, layer: number): number {
  return axis.left + ((layer + 0.5) / axis.layers) * axis.width;
}

/** The layer under a pixel; beyond an end, the last one there. */
export function pixelToLayer(axis: LayerAxis, pixel: number): number {
  const layer = Math.floor(((pixel - axis.left) / axis.width) * axis.layers);
  return clampLayer(layer, axis.layers);
}

export function clampLayer(layer: number, layers: number): number {
  return Math.max(0, Math.min(layers - 1, layer));
}

/** What a key does to the cut; null when the key is not ours. Up and right lead away from the plate. */
export function layerForKey(
  key: string,
  shift: boolean,
  layer: number,
  layers: number,
  layersPerPage: number,
): number | null {
  const step = shift ? 10 : 1;
  const target: Record<string, number> = {
    ArrowRight: layer + step,
    ArrowUp: layer + step,
    ArrowLeft: layer - step,
    ArrowDown: layer - step,
    PageUp: layer + layersPerPage,
    PageDown: layer - layersPerPage,
    Home: 0,
    End: layers - 1,
  };
  const next = target[key];
  return next === undefined ? null : clampLayer(next, layers);
}
