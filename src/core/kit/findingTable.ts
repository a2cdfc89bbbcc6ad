import type { Severity } from './finding.ts';

/**
 * Every finding Kitwright can make: its severity, one line on what it means, and where its limit
 * comes from. Codes are stable. README.md has a section of the same name for each (a test keeps it).
 */
export interface FindingEntry {
  readonly severity: Severity;
  readonly title: string;
  readonly basis: string;
}

export const findingTable = {
  'file-missing': {
    severity: 'error',
    title: 'The part’s STL file is not there.',
    basis: 'the kit folder',
  },
} as const satisfies Record<string, FindingEntry>;

export type FindingCode = keyof typeof findingTable;
