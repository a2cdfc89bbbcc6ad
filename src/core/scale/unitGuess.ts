/** What an STL, which has no units, may have been written in. */
const units = [
  { name: 'metres', mm: 1000 },
  { name: 'inches', mm: 25.4 },
  { name: 'centimetres', mm: 10 },
] as const;

export interface UnitGuess {
  /** What the STL is in, where the scale takes it for millimetres, or the other way about. */
  readonly words: string;
  /** By which the factor is to be multiplied. */
  readonly times: number;
}

/** The mistaken units that would explain a length outside the range; neighbouring guesses are 2.54 apart. */
export function unitGuess(mm: number, [least, most]: readonly [number, number]): UnitGuess | null {
  if (mm >= least && mm <= most) return null;
  const guesses = units.flatMap(({ name, mm: unit }): UnitGuess[] => [
    { words: `its STL is in ${name} and the scale takes it for millimetres`, times: unit },
    { words: `its STL is in millimetres and the scale takes it for ${name}`, times: 1 / unit },
  ]);
  return guesses.find(({ times }) => mm * times >= least && mm * times <= most) ?? null;
}
