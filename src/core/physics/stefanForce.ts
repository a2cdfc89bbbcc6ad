/** A liquid film between rigid parallel plates that part. SI units. */
export interface ParallelGap {
  /** Pa·s. */
  readonly viscosity: number;
  /** m/s at the interface, which a flexing film makes slower than the motor. */
  readonly speed: number;
  /** m. */
  readonly gap: number;
}

/**
 * Stefan adhesion of a plate of torsion constant `torsion` (m⁴): F = 3·µ·v·J/h³ in N, which for a
 * disc is 3·π·µ·v·R⁴/(2·h³).
 *
 * Source: Stefan 1874; the torsion analogy for other shapes. Validity: Newtonian, rigid parallel
 * plates, gap ≪ size, ρ·v·h/µ ≪ 1, no cavitation: the result often exceeds what the atmosphere can
 * supply and must then be capped (`atmosphericCap.ts`). At a gap of one layer it is a scaling law,
 * not a prediction.
 */
export function stefanForce(torsion: number, film: ParallelGap): number {
  return (3 * film.viscosity * film.speed * torsion) / film.gap ** 3;
}
