import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import type { FindingCode } from '../../../src/core/kit/findingTable.ts';
import { nextSupportStep, type SupportStep } from '../../../src/core/supports/nextSupportStep.ts';
import type { SupportDecision } from '../../../src/core/supports/supportDecision.ts';
import { supportStepEdits } from '../../../src/core/supports/supportStepEdits.ts';
import { decision } from './supported.ts';

const next = (
  raise: number,
  supports: SupportDecision | null,
  ...faults: readonly (readonly [FindingCode, number?])[]
) =>
  nextSupportStep(
    { raise, supports },
    faults.map(([code, measured]) => ({ code, measured: measured ?? null })),
  );

describe('nextSupportStep', () => {
  test('what hangs in air asks for supports, what stands asks for nothing', () => {
    expect(next(0, null)).toBeNull();
    expect(next(0, null, ['too-tall'])).toBeNull();
    expect(next(5, null, ['needs-supports'], ['starts-in-air'])).toMatchObject({
      key: 'supports',
      value: 'planned',
    });
  });

  test('room under the part is the raft’s thickness and the tips’ height', () => {
    expect(next(1, decision, ['raft-meets-part'])).toMatchObject({ key: 'raise', was: 1, value: 3.2 });
    expect(next(0, decision, ['hold-weak', 0.01])).toMatchObject({ key: 'raise', was: 0, value: 3.2 });
    expect(next(0, { ...decision, raft: 2 }, ['island-unheld'])).toMatchObject({ value: 4 });
    // A plate that lets go of a part that has the room is not helped by more of it.
    expect(next(3.2, decision, ['hold-weak', 0.5])).toBeNull();
  });

  test('tips are widened by the cube root of what they lack, a tenth at least and 2 mm at most', () => {
    const width = (raise: number, widestTip: number, reserve: number) =>
      next(raise, { ...decision, widestTip }, ['tip-overloaded', reserve]);
    expect(width(5, 1, 1 / 1.728)).toMatchObject({ key: 'widest-tip', was: 1, value: 1.2 });
    expect(width(5, 1.2, 0.999)).toMatchObject({ value: 1.3 });
    expect(width(5, 1.2, 0.01)).toMatchObject({ value: 2 });
    // Told rounded, it may read as 1.
    expect(width(5, 1.2, 1)).toMatchObject({ value: 1.3 });
    expect(width(5, 2, 0.9)).toBeNull();
    // On the plate, where no tip of that width would do, the part is lifted first.
    expect(width(0, 1.2, 0.01)).toMatchObject({ key: 'raise', value: 3.2 });
    expect(width(0, 1.2, 0.8)).toMatchObject({ key: 'widest-tip' });
  });

  test('whatever the faults, the steps come to an end', () => {
    let part: { raise: number; supports: SupportDecision | null } = { raise: 0, supports: null };
    const codes = ['starts-in-air', 'hold-weak', 'raft-meets-part', 'tip-overloaded'] as const;
    const faults = codes.map((code) => ({ code, measured: 0.99 }));
    let count = 0;
    for (let step = nextSupportStep(part, faults); step !== null; step = nextSupportStep(part, faults)) {
      if (step.key === 'supports') part = { ...part, supports: decision };
      if (step.key === 'raise') part = { ...part, raise: step.value };
      if (step.key === 'widest-tip')
        part = { ...part, supports: { ...part.supports!, widestTip: step.value } };
      expect(++count).toBeLessThan(20);
    }
    expect(part).toMatchObject({ raise: 3.2, supports: { widestTip: 2 } });
  });
});

describe('supportStepEdits', () => {
  const edited = (text: string, step: SupportStep) => applyEdits(text, supportStepEdits(text, 'head', step)!);
  const why = 'it must';

  test('each step is one edit, comments and order kept', () => {
    const text = 'parts:\n  head:            # his own\n    file: head.stl\n    raise: 1 # mm\n';
    const planned = edited(text, { key: 'supports', value: 'planned', why });
    expect(planned).toBe(`${text}    supports: planned\n`);
    const raised = edited(planned, { key: 'raise', was: 1, value: 3.2, why });
    expect(raised).toContain('    raise: 3.2 # mm\n');
    const wider = edited(raised, { key: 'widest-tip', was: 1.2, value: 1.3, why });
    expect(wider).not.toContain('planned');
    expect(wider).toMatch(/ {4}supports:\s*(\{ )?widest-tip: 1\.3/);
    expect(wider).toContain('# his own');
    expect(edited(wider, { key: 'widest-tip', was: 1.3, value: 1.4, why })).toContain('widest-tip: 1.4');
  });

  test('of a part that keeps the kit’s supports only the width is its own', () => {
    const text = 'supports: planned\nparts:\n  head: { file: head.stl }\n';
    expect(edited(text, { key: 'widest-tip', was: 1.2, value: 1.3, why })).toBe(
      'supports: planned\nparts:\n  head: { file: head.stl, supports: { widest-tip: 1.3 } }\n',
    );
  });
});
