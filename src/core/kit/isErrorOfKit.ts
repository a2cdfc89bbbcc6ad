import type { Finding } from './finding.ts';

/** An error that no part has, and no plate: what is wrong with a plate holds back that plate alone. */
export const isErrorOfKit = ({ part, severity, code }: Finding): boolean =>
  part === null && severity === 'error' && !code.startsWith('plate-');
