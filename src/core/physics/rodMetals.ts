/** Yield strengths of rods in the state they are usually sold in, MPa. Your rod’s data sheet is better (`pin.yield`). */
export const rodMetals = {
  stainless: { yieldMpa: 205, basis: '304 stainless, annealed, least value; from memory' },
  steel: { yieldMpa: 250, basis: 'A36 structural steel, a published table of strengths (not for design)' },
  brass: { yieldMpa: 310, basis: 'C36000 free-cutting brass, half hard; from memory' },
  aluminium: {
    yieldMpa: 270,
    basis: '6061-T6, a published table of strengths (not for design)',
  },
} as const;

export type RodMetal = keyof typeof rodMetals;
export const rodMetalNames = Object.keys(rodMetals) as readonly RodMetal[];
