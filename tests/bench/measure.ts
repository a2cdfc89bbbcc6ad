export interface Row {
  readonly name: string;
  readonly medianMs: number;
  readonly leastMs: number;
  readonly mostMs: number;
  /** Median over the reference's median, when there is one. */
  readonly ratio: number | null;
  /** Peak resident memory of the process so far. */
  readonly peakMiB: number;
}

/** Runs `work` a few times and keeps its last value. */
export function bench<T>(
  name: string,
  rounds: number,
  work: () => T,
  reference: Row | undefined,
): { readonly row: Row; readonly value: T } {
  const times: number[] = [];
  let value = undefined as T;
  for (let round = 0; round < rounds; round++) {
    const start = performance.now();
    value = work();
    times.push(performance.now() - start);
  }
  times.sort((a, b) => a - b);
  const medianMs = times[times.length >> 1]!;
  const row: Row = {
    name,
    medianMs,
    leastMs: times[0]!,
    mostMs: times.at(-1)!,
    ratio: reference === undefined ? null : medianMs / reference.medianMs,
    peakMiB: process.resourceUsage().maxRSS / 1024,
  };
  return { row, value };
}

/** Rows as Markdown. */
export function table(rows: readonly Row[]): string {
  const seconds = (ms: number): string => (ms / 1000).toFixed(2);
  const lines = rows.map(
    ({ name, medianMs, leastMs, mostMs, ratio, peakMiB }) =>
      `| ${name} | ${seconds(medianMs)} | ${seconds(leastMs)} – ${seconds(mostMs)} | ${ratio === null ? '' : ratio.toFixed(2)} | ${peakMiB.toFixed(0)} |`,
  );
  return [
    '| stage | median s | range s | × reference | peak MiB so far |',
    '|---|---|---|---|---|',
    ...lines,
  ].join('\n');
}
