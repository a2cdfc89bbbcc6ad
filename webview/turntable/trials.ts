/** Asks what a candidate would change, one question at a time: of those that come meanwhile only the newest is asked. */
export interface Trials<Candidate> {
  ask(candidate: Candidate): void;
  /** Forgets what waits; an answer on its way is dropped. */
  drop(): void;
}

export function createTrials<Candidate, Answer>(
  ask: (candidate: Candidate) => Promise<Answer>,
  onAnswer: (candidate: Candidate, answer: Answer) => void,
  onFailure: (error: unknown) => void,
): Trials<Candidate> {
  let waiting: { readonly candidate: Candidate } | null = null;
  let running = false;
  let round = 0;

  async function run(): Promise<void> {
    if (running) return;
    running = true;
    while (waiting !== null) {
      const { candidate }: { readonly candidate: Candidate } = waiting;
      const asked = round;
      waiting = null;
      try {
        const answer = await ask(candidate);
        if (asked === round) onAnswer(candidate, answer);
      } catch (error) {
        if (asked === round) onFailure(error);
      }
    }
    running = false;
  }

  return {
    ask(candidate) {
      waiting = { candidate };
      void run();
    },
    drop() {
      waiting = null;
      round++;
    },
  };
}
