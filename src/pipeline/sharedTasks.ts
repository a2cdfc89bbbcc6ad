import { castSurface } from './castSurface.ts';

/** Every task that a job may share with an idle thread (`Hands`), by name. */
export const sharedTasks = {
  castSurface,
};

export type SharedTasks = typeof sharedTasks;
