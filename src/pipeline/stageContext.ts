import type { Interrupter } from '../core/interrupter.ts';

/** Given to every stage: names the work for the progress line and lets it be cancelled. */
export interface StageContext {
  stage(name: string): Interrupter;
}
