import { describe, expect, it } from 'vitest';
import type { FindingCode } from '../../../src/core/kit/findingTable.ts';
import { findingTable } from '../../../src/core/kit/findingTable.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { partState, type StateInput, worstFinding } from '../../../src/core/kit/partState.ts';
import { printedParts } from '../../../src/core/kit/printedParts.ts';

const { tree } = parseManifest(
  `parts:
  head: { file: head.stl, wall: 2 }
  satchel: { file: satchel.stl, resin: slate }
`,
);

const told = (code: FindingCode, part: string | null = 'head') => ({
  code,
  severity: findingTable[code].severity,
  part,
});

const stateOf = (input: Partial<StateInput>): string => {
  const { kind, words } = partState({
    tree,
    part: 'head',
    findings: [],
    measured: 'done',
    printed: false,
    ...input,
  });
  return `${kind}: ${words}`;
};

describe('the state of a part', () => {
  const table: [string, Partial<StateInput>, string][] = [
    ['nothing told', {}, 'ready: ready'],
    ['only infos', { findings: [told('resin-trapped'), told('mesh-repaired')] }, 'ready: ready'],
    ['a warning', { findings: [told('large-ceiling')] }, 'warnings: 1 warning'],
    [
      'errors',
      { findings: [told('sealed-cup'), told('large-ceiling'), told('pull-high')] },
      'errors: 2 errors',
    ],
    ['another part’s error', { findings: [told('sealed-cup', 'cap')] }, 'ready: ready'],
    ['not measured', { measured: 'not' }, 'unchecked: not checked'],
    [
      'not measured, but the text is wrong',
      { measured: 'not', findings: [told('value-out-of-range')] },
      'errors: 1 error',
    ],
    ['being measured', { measured: 'now', findings: [told('sealed-cup')] }, 'checking: being checked'],
    ['printed', { printed: true, findings: [told('sealed-cup')] }, 'printed: printed'],
    [
      'an open question',
      { findings: [told('chamber-without-opening'), told('sealed-cup')] },
      'decision: needs a decision: openings for its hollow; 1 other error',
    ],
    [
      'the same question twice',
      { findings: [told('starts-in-air'), told('needs-supports')] },
      'decision: needs a decision: how it is held',
    ],
    ['nothing decided', { part: 'satchel' }, 'decision: needs a decision: wall, openings and pose'],
    [
      'no scale',
      { measured: 'not', findings: [told('scale-missing', null)] },
      'decision: needs a decision: how large it is printed',
    ],
    [
      'a finding of the kit that is no question to its parts',
      { findings: [told('resin-short', null)] },
      'ready: ready',
    ],
    [
      'nothing decided, and no file',
      { part: 'satchel', measured: 'not', findings: [told('file-missing', 'satchel')] },
      'errors: 1 error',
    ],
  ];
  it.each(table)('%s', (_, input, expected) => {
    expect(stateOf(input)).toBe(expected);
  });

  it('tells the worst finding', () => {
    const findings = [
      told('mesh-repaired'),
      told('large-ceiling'),
      told('sealed-cup'),
      told('pull-high', 'cap'),
    ];
    expect(worstFinding(findings, 'head')?.code).toBe('sealed-cup');
    expect(worstFinding(findings.slice(0, 2), 'head')?.code).toBe('large-ceiling');
    expect(worstFinding(findings.slice(0, 1), 'head')).toBeNull();
  });
});

describe('printed parts of a journal', () => {
  it('are those with a good print, in a list or under a key', () => {
    const list =
      '- part: head\n  result: good\n- { part: cap, result: failed }\n- { part: cap, result: good }\n- note\n';
    expect([...printedParts(list)]).toEqual(['head', 'cap']);
    expect([...printedParts(`journal: 1\nprints:\n${list.replace(/^/gm, '  ')}`)]).toEqual(['head', 'cap']);
  });

  it.each([
    '',
    '- [',
    '&a [*a]',
    'part: head',
    '- { part: 3, result: good }',
    '- { part: [head], result: good }',
    'null',
  ])('are none in %j', (text) => {
    expect(printedParts(text).size).toBe(0);
  });
});
