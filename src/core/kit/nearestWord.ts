/** The known word a mistyped one most likely stands for, or null when none is near. */
export function nearestWord(word: string, known: readonly string[]): string | null {
  const plain = plainForm(word);
  let best: string | null = null;
  let bestDistance = Math.min(3, Math.floor(plain.length / 3) + 1) + 0.5;
  for (const candidate of known) {
    const distance = editDistance(plain, plainForm(candidate));
    if (distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/** Letter case and word separators are what is most often mistaken: `onHand`, `on_hand`. */
function plainForm(word: string): string {
  return word
    .slice(0, 64)
    .replace(/[-_\s]/g, '')
    .toLowerCase();
}

/** Levenshtein's distance, with a swap of neighbours as one step (optimal string alignment). */
function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(above[j]! + 1, row[j - 1]! + 1, above[j - 1]! + change);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) least = Math.min(least, before[j - 2]! + 1);
      row.push(least);
    }
    before = above;
    above = row;
  }
  return above[b.length]!;
}
