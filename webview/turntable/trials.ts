import type { OpeningCandidate, OpeningTrial } from '../../src/protocol/openingTrial.ts';

/** Asks what a candidate would change, one question at a time: of those that come meanwhile only the newest is asked. */
export interface Trials {
  ask(candidate: OpeningCandidate): void;
  /** Forgets what waits; an answer on its way is dropped. */
  drop(): void;
}

export function createTrials(
  ask: (candidate: OpeningCandidate) => Promise<OpeningTrial>,
  onAnswer: (candidate: OpeningCandidate, trial: OpeningTrial) => void,
  onFailure: (error: unknown) => void,
): Trials {
  let waiting: OpeningCandidate | null = null;
  let running = false;
  let round = 0;

  async function run(): Promise<void> {
    if (running) return;
    running = true;
    while (waiting !== null) {
      const candidate: OpeningCandidate = waiting;
      const asked = round;
      waiting = null;
      try {
        const trial = await ask(candidate);
        if (asked === round) onAnswer(candidate, trial);
      } catch (error) {
        if (asked === round) onFailure(error);
      }
    }
    running = false;
  }

  return {
    ask(candidate) {
      waiting = candidate;
      void run();
    },
    drop() {
      waiting = null;
      round++;
    },
  };
}
