/** One stage timed once, or what several rounds of it came to. */
export interface Timed {
  readonly stage: string;
  readonly ms: number;
  /** Processor time of its process, which a busy machine disturbs less than the clock; null likewise. */
  readonly cpuMs: number | null;
  /** Peak resident memory of its process so far, MiB; null where the work is another process's. */
  readonly peakMiB: number | null;
}

/** Runs and times stages one after the other, each once, as a worker does. */
export class Stopwatch {
  readonly timed: Timed[] = [];

  run<T>(stage: string, work: () => T): T {
    const start = startOf();
    const value = work();
    this.note(stage, start);
    return value;
  }

  private note(stage: string, start: Start): void {
    const { user, system } = process.cpuUsage(start.cpu);
    const peakMiB = process.resourceUsage().maxRSS / 1024;
    this.timed.push({
      stage,
      ms: performance.now() - start.clock,
      cpuMs: (user + system) / 1000,
      peakMiB,
    });
  }
}

interface Start {
  readonly clock: number;
  readonly cpu: NodeJS.CpuUsage;
}

const startOf = (): Start => ({ clock: performance.now(), cpu: process.cpuUsage() });

export interface Summary {
  readonly stage: string;
  readonly medianMs: number;
  readonly leastMs: number;
  readonly mostMs: number;
  /** Median of the processor time; null where the work is another process's. */
  readonly cpuMs: number | null;
  readonly peakMiB: number | null;
}

/** Rounds of the same stages, stage by stage. */
export function summarise(rounds: readonly (readonly Timed[])[]): Summary[] {
  return rounds[0]!.map(({ stage, cpuMs, peakMiB }, i) => {
    const times = sorted(rounds.map((round) => round[i]!.ms));
    return {
      stage,
      medianMs: middle(times),
      leastMs: times[0]!,
      mostMs: times[times.length - 1]!,
      cpuMs: cpuMs === null ? null : middle(sorted(rounds.map((round) => round[i]!.cpuMs!))),
      peakMiB: peakMiB === null ? null : Math.max(...rounds.map((round) => round[i]!.peakMiB!)),
    };
  });
}

const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const middle = (values: readonly number[]): number => values[values.length >> 1]!;
