import { expect, it } from 'vitest';
import type { Finding } from '../../../src/core/kit/finding.ts';
import { withPartFindings } from '../../../src/features/liveCheck/partFindings.ts';
import { shownFromReport } from '../../../src/host/shownFinding.ts';

const finding = (number: number, part: string, message: string): Finding => ({
  number,
  code: 'sealed-cup',
  severity: 'error',
  part,
  message,
  file: 'kit.yaml',
  line: number,
  column: 1,
  end_line: number,
  end_column: 5,
  layer: null,
  at: null,
  at_source: null,
  measured: null,
  limit: null,
  unit: null,
  opening: null,
  remedies: [],
});
const before = [
  finding(1, 'torso', 'first cup'),
  finding(2, 'torso', 'second cup'),
  finding(3, 'cap', 'cup of the cap'),
].map(shownFromReport);
const brief = (findings: ReturnType<typeof withPartFindings>) =>
  findings.map(({ number, message }) => [number, message]);

it('replaces what is said of the part, keeps the numbers of what is said again, and leaves the others', () => {
  const found = [finding(1, 'torso', 'a new cup'), finding(2, 'torso', 'second cup')];
  expect(brief(withPartFindings(before, 'torso', found, []))).toEqual([
    [3, 'cup of the cap'],
    [null, 'a new cup'],
    [2, 'second cup'],
  ]);
});

it('gives no number twice', () => {
  const found = [finding(1, 'torso', 'second cup'), finding(2, 'torso', 'second cup')];
  expect(brief(withPartFindings(before, 'torso', found, []))).toEqual([
    [3, 'cup of the cap'],
    [2, 'second cup'],
    [null, 'second cup'],
  ]);
});

it('does not repeat what the text alone tells', () => {
  const found = [finding(1, 'torso', 'second cup')];
  const text = found.map((one) => ({ ...shownFromReport(one), number: null }));
  expect(brief(withPartFindings(before, 'torso', found, text))).toEqual([[3, 'cup of the cap']]);
});
