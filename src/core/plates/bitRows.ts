/** Rows of bits, 32 a word. */
export interface BitRows {
  readonly rows: number;
  readonly words: number;
  readonly bits: Uint32Array;
}

export const bitRows = (columns: number, rows: number): BitRows => {
  const words = Math.ceil(columns / 32);
  return { rows, words, bits: new Uint32Array(words * rows) };
};

/** Sets the bits from … to − 1 of a row; what lies outside of it is left out. */
export function setBits({ rows, words, bits }: BitRows, row: number, from: number, to: number): void {
  if (row < 0 || row >= rows) return;
  const end = Math.min(to, 32 * words);
  for (let at = Math.max(0, from); at < end; ) {
    const bit = at & 31;
    const count = Math.min(32 - bit, end - at);
    bits[row * words + (at >> 5)]! |= (count === 32 ? -1 : (1 << count) - 1) << bit;
    at += count;
  }
}

/** Whether any set bit of `mask`, moved by (column, row), meets one of `taken`, inside which the mask must lie. */
export function bitsMeet(taken: BitRows, mask: BitRows, column: number, row: number): boolean {
  const shift = column & 31;
  const firstWord = column >> 5;
  for (let r = 0; r < mask.rows; r++) {
    const base = (row + r) * taken.words + firstWord;
    const from = r * mask.words;
    for (let word = 0; word < mask.words; word++) {
      const bits = mask.bits[from + word]!;
      if (bits === 0) continue;
      if ((taken.bits[base + word]! & (bits << shift)) !== 0) return true;
      const over = shift === 0 ? 0 : bits >>> (32 - shift);
      if (over !== 0 && (taken.bits[base + word + 1]! & over) !== 0) return true;
    }
  }
  return false;
}
