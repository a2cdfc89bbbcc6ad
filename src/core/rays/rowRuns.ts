/**
 * The solid of one row as runs: crossings i of from … to − 1, sorted. Writes ends from `at` on (an
 * even index) and returns where they stop. For the rules see `solidRuns`.
 */
export function solidOfRow(
  x: Float32Array,
  jump: Int8Array,
  from: number,
  to: number,
  ends: Float32Array,
  at: number,
): number {
  let written = at;
  let winding = 0;
  let begun = 0;
  for (let i = from; i < to; i++) {
    const before = winding;
    winding += jump[i]!;
    if (before < 1 && winding >= 1) begun = x[i]!;
    else if (before >= 1 && winding < 1 && x[i]! > begun) {
      if (written > at && ends[written - 1]! >= begun) {
        ends[written - 1] = x[i]!;
      } else {
        ends[written] = begun;
        ends[written + 1] = x[i]!;
        written += 2;
      }
    }
  }
  return written;
}

/**
 * The chambers of one row as labelled runs from run `at` on; returns where they stop. For the rules
 * see `labelledRuns`.
 */
export function chambersOfRow(
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array,
  facetChamber: Uint32Array,
  from: number,
  to: number,
  ends: Float32Array,
  label: Uint32Array,
  at: number,
): number {
  let runs = at;
  let winding = 0;
  let entry = 0;
  for (let i = from; i < to; i++) {
    const before = winding;
    winding += jump[i]!;
    if (before < 1 && winding >= 1) entry = i;
    else if (before >= 1 && winding < 1 && x[i]! > x[entry]!) {
      const chamber = facetChamber[facet[entry]!]!;
      if (runs > at && label[runs - 1] === chamber && ends[2 * runs - 1]! >= x[entry]!) {
        ends[2 * runs - 1] = x[i]!;
        continue;
      }
      ends[2 * runs] = x[entry]!;
      ends[2 * runs + 1] = x[i]!;
      label[runs++] = chamber;
    }
  }
  return runs;
}

/**
 * One row of `combineRuns`: merges ends a … lastA of `first` with b … lastB of `second` (a and b
 * even), keeps what `keep` says, writes ends from `at` on (even) and returns where they stop.
 */
export function combineRow(
  first: Float32Array,
  a: number,
  lastA: number,
  second: Float32Array,
  b: number,
  lastB: number,
  keep: number,
  ends: Float32Array,
  at: number,
): number {
  let written = at;
  let i = a;
  let j = b;
  // An odd index is the end of a run that has begun: its parity is the membership.
  while (i < lastA || j < lastB) {
    const nextA = i < lastA ? first[i]! : Number.POSITIVE_INFINITY;
    const nextB = j < lastB ? second[j]! : Number.POSITIVE_INFINITY;
    const x = Math.min(nextA, nextB);
    if (nextA === x) i++;
    if (nextB === x) j++;
    const kept = ((keep >> ((i & 1) | ((j & 1) << 1))) & 1) === 1;
    if (kept === ((written & 1) === 1)) continue;
    // Opening where the last piece closed joins them; closing where it opened leaves nothing.
    if (written > at && ends[written - 1] === x) written--;
    else ends[written++] = x;
  }
  return written;
}

/**
 * Ends a … lastA of `outer` less ends b … lastB of `inner` where every inner run lies strictly within
 * an outer one and apart from the next, as a hollow does: what `combineRow` gives, without weighing
 * every end. Returns where the ends written stop, or −1 when the runs do not lie so.
 */
export function takeOutNested(
  outer: Float32Array,
  a: number,
  lastA: number,
  inner: Float32Array,
  b: number,
  lastB: number,
  ends: Float32Array,
  at: number,
): number {
  let written = at;
  let next = b;
  for (let i = a; i < lastA; i += 2) {
    const high = outer[i + 1]!;
    let before = outer[i]!;
    ends[written++] = before;
    while (next < lastB && inner[next]! < high) {
      if (inner[next]! <= before || inner[next + 1]! >= high) return -1;
      before = inner[next + 1]!;
      ends[written++] = inner[next]!;
      ends[written++] = before;
      next += 2;
    }
    ends[written++] = high;
  }
  return next === lastB ? written : -1;
}
