import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { findingTable } from '../../../src/core/kit/findingTable.ts';

const readme = readFileSync(join(import.meta.dirname, '../../../README.md'), 'utf8');
const words = { error: 'Error', warning: 'Warning', info: 'Info' } as const;

it('explains every finding under a heading of its code, and no other', () => {
  const headings = [...readme.matchAll(/^### `([a-z-]+)`$/gm)].map((match) => match[1]!);
  expect([...headings].sort()).toEqual(Object.keys(findingTable).sort());
});

it.each(Object.entries(findingTable))('says how grave %s is and what to do', (code, { severity }) => {
  const section = readme.split(`### \`${code}\`\n`)[1]!.split(/\n##/)[0]!;
  expect(section).toMatch(new RegExp(`^\\n\\*${words[severity]}\\.\\* `));
  expect(section).toContain('- What to do: ');
  expect(section).toContain('- Basis: ');
});
