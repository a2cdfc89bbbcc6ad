/** A material that a chamber is filled with after printing. */
export interface Fill {
  readonly name: string;
  /** g/ml as set. */
  readonly density: number;
  /** Share of each chamber's volume, poured as the figure stands (the sculpt's z up). */
  readonly level: number;
}

/** A material that lines the walls of a chamber. */
export interface Coat {
  readonly name: string;
  readonly density: number;
  /** mm. */
  readonly thickness: number;
}
