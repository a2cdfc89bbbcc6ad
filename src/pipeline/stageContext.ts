import type { Interrupter } from '../core/interrupter.ts';
import type { Hands } from './hands.ts';

/** Given to every stage: names the work for the progress line, lets it be cancelled, and finds it helpers. */
export interface StageContext {
  stage(name: string): Interrupter;
  readonly hands: Hands;
}
