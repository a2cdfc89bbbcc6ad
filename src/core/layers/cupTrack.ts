/**
 * One connected void that was a cup at some layer (see `VoidGraph.enclosed`), followed from its
 * first layer to its last. At a merge the track with the lowest first layer goes on and takes the
 * other's states with it, so a layer may hold several states of one track: the limbs of a hollow
 * before they meet. Physics-free: areas mm², volumes mm³.
 */
export interface CupTrack {
  readonly fromLayer: number;
  readonly toLayer: number;
  readonly states: readonly CupState[];
  /** The sculpt opens it in the layer after its last: its void reaches the outside there. */
  readonly opensAfter: boolean;
  readonly chamber: number | null;
  /** Centroid of its region in its first layer, print frame, mm. */
  readonly at: readonly [number, number, number];
}

/** One connected cup in the print as far as layer `layer`: the void it holds and what it joins. */
export interface CupState {
  readonly layer: number;
  /** First region of its void in the graph (`Limbs.fromPlate`). */
  readonly limb: number;
  /** Area of its enclosed regions in this layer, openings left uncut. */
  readonly areaMm2: number;
  /** Void printed so far that is connected with it without passing an opening or the outside. */
  readonly volumeMm3: number;
  /** Part of `volumeMm3` in each layer is not kept; this is the lowest layer of that void. */
  readonly floorLayer: number;
  /** Centroid of the void in that layer, print frame, mm. */
  readonly floorAt: readonly [number, number, number];
  /** It joins the outside in the layers printed so far, openings cut. */
  readonly joined: boolean;
  /** Indices of the openings that touch its void and join it to the outside so far. */
  readonly openings: readonly number[];
  /** mm² through which the sculpt itself joins it to the outside so far (0 when it does not). */
  readonly sculptedMm2: number;
}
