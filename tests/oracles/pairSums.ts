/**
 * A growing table of sums keyed by two numbers: entry i of the three arrays is the i-th pair met,
 * in order of first meeting. Plain typed arrays with open addressing, for loops over millions of
 * runs that meet few distinct pairs.
 */
export interface PairSums {
  count: number;
  first: Uint32Array;
  second: Uint32Array;
  sum: Float64Array;
  /** Entry + 1 per hash slot, 0 = free; always at least twice as many slots as entries. */
  slots: Uint32Array;
}

export function createPairSums(): PairSums {
  return {
    count: 0,
    first: new Uint32Array(512),
    second: new Uint32Array(512),
    sum: new Float64Array(512),
    slots: new Uint32Array(1024),
  };
}

/** Adds `amount` to the pair's sum, entering the pair when it is new. */
export function addToPair(table: PairSums, first: number, second: number, amount: number): void {
  const mask = table.slots.length - 1;
  let slot = hash(first, second) & mask;
  for (;;) {
    const entry = table.slots[slot]! - 1;
    if (entry < 0) break;
    if (table.first[entry] === first && table.second[entry] === second) {
      table.sum[entry]! += amount;
      return;
    }
    slot = (slot + 1) & mask;
  }
  if (table.count === table.first.length) {
    grow(table);
    addToPair(table, first, second, amount);
    return;
  }
  const entry = table.count++;
  table.first[entry] = first;
  table.second[entry] = second;
  table.sum[entry] = amount;
  table.slots[slot] = entry + 1;
}

function hash(first: number, second: number): number {
  const mixed = Math.imul(first, 0x9e3779b1) ^ Math.imul(second, 0x85ebca6b);
  return (mixed ^ (mixed >>> 15)) >>> 0;
}

function grow(table: PairSums): void {
  const capacity = table.first.length * 2;
  const first = new Uint32Array(capacity);
  const second = new Uint32Array(capacity);
  const sum = new Float64Array(capacity);
  first.set(table.first);
  second.set(table.second);
  sum.set(table.sum);
  const slots = new Uint32Array(capacity * 2);
  const mask = slots.length - 1;
  for (let entry = 0; entry < table.count; entry++) {
    let slot = hash(first[entry]!, second[entry]!) & mask;
    while (slots[slot] !== 0) slot = (slot + 1) & mask;
    slots[slot] = entry + 1;
  }
  Object.assign(table, { first, second, sum, slots });
}
