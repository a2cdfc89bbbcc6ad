/** Numbers keys 0, 1, 2 … in the order in which they are first asked for: an open-addressed table that grows. */
export interface KeyNumbers {
  /** The number of a key ≥ 0, a new one where it has none yet. */
  numberOf(key: number): number;
  readonly count: number;
}

const FIRST_SLOTS = 1 << 12;

export function keyNumbers(): KeyNumbers {
  let keys = new Float64Array(FIRST_SLOTS).fill(-1);
  let numbers = new Int32Array(FIRST_SLOTS);
  let count = 0;
  const widen = (): void => {
    const oldKeys = keys;
    const oldNumbers = numbers;
    keys = new Float64Array(2 * oldKeys.length).fill(-1);
    numbers = new Int32Array(keys.length);
    for (let slot = 0; slot < oldKeys.length; slot++) {
      if (oldKeys[slot] === -1) continue;
      const to = slotOf(keys, oldKeys[slot]!);
      keys[to] = oldKeys[slot]!;
      numbers[to] = oldNumbers[slot]!;
    }
  };
  return {
    numberOf(key) {
      const slot = slotOf(keys, key);
      if (keys[slot] === key) return numbers[slot]!;
      keys[slot] = key;
      numbers[slot] = count++;
      if (2 * count >= keys.length) widen();
      return count - 1;
    },
    get count() {
      return count;
    },
  };
}

/** Slot of a key, or the free one where it would stand. */
function slotOf(keys: Float64Array, key: number): number {
  const mask = keys.length - 1;
  const high = Math.floor(key / 0x100000000);
  let slot = (Math.imul((key | 0) ^ Math.imul(high, 0x85ebca6b), 0x9e3779b1) >>> 7) & mask;
  while (keys[slot] !== -1 && keys[slot] !== key) slot = (slot + 1) & mask;
  return slot;
}
