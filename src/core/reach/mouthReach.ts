/** What one mouth of a chamber reaches, by node of the chamber's blocks. */
export interface MouthReach {
  /** Length of the shortest way from it, mm; Infinity where there is none. */
  readonly wayMm: Float64Array;
  /** 1 where a rinse that comes in by it gets to. */
  readonly rinsed: Uint8Array;
  /** 1 where a lamp at it shines. */
  readonly lit: Uint8Array;
}
