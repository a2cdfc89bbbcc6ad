/** One stage timed once, or what several rounds of it came to. */
export interface Timed {
  readonly stage: string;
  readonly ms: number;
  /** Peak resident memory of its process so far, MiB; null where it is another process's. */
  readonly peakMiB: number | null;
}

/** Runs and times stages one after the other, each once, as a worker does. */
export class Stopwatch {
  readonly timed: Timed[] = [];

  run<T>(stage: string, work: () => T): T {
    const start = performance.now();
    const value = work();
    this.note(stage, start);
    return value;
  }

  async wait<T>(stage: string, work: () => Promise<T>): Promise<T> {
    const start = performance.now();
    const value = await work();
    this.note(stage, start);
    return value;
  }

  private note(stage: string, start: number): void {
    const peakMiB = process.resourceUsage().maxRSS / 1024;
    this.timed.push({ stage, ms: performance.now() - start, peakMiB });
  }
}

export interface Summary {
  readonly stage: string;
  readonly medianMs: number;
  readonly leastMs: number;
  readonly mostMs: number;
  readonly peakMiB: number | null;
}

/** Rounds of the same stages, stage by stage. */
export function summarise(rounds: readonly (readonly Timed[])[]): Summary[] {
  return rounds[0]!.map(({ stage }, i) => {
    const times = rounds.map((round) => round[i]!.ms).sort((a, b) => a - b);
    return {
      stage,
      medianMs: times[times.length >> 1]!,
      leastMs: times[0]!,
      mostMs: times[times.length - 1]!,
      peakMiB:
        rounds[0]![i]!.peakMiB === null ? null : Math.max(...rounds.map((round) => round[i]!.peakMiB!)),
    };
  });
}
