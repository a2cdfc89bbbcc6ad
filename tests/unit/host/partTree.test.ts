import { describe, expect, it } from 'vitest';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import {
  type PartInput,
  partDescription,
  partLabel,
  partTooltip,
} from '../../../src/features/parts/partLook.ts';
import { kitNodes, platedNodes, plateNodes, rootNodes } from '../../../src/features/parts/partNodes.ts';
import type { Kit } from '../../../src/host/kits.ts';

const kitOf = (text: string, folder = '/kits/lamplighter'): Kit => {
  const parsed = parseManifest(text);
  return {
    uri: { toString: () => `file://${folder}/kit.yaml` },
    dir: folder,
    parsed,
    parts: parsed.manifest?.parts ?? [],
  } as unknown as Kit;
};
const names = (nodes: ReturnType<typeof kitNodes>) =>
  nodes.map(({ kind, part, plate }) => [kind, part ?? plate].filter((text) => text !== null).join(' '));

describe('the rows of the view “Parts”', () => {
  const kit = kitOf(`parts:
  torso: { file: a.stl }
  head: { file: b.stl }
plates:
  evening: { parts: [head, head, gone] }
`);

  it('are every part in order before anything is measured, then the plates', () => {
    expect(names(kitNodes(kit))).toEqual(['part torso', 'part head', 'plates']);
    expect(names(plateNodes(kit))).toEqual(['plate evening']);
    expect(names(platedNodes(kit, 'evening'))).toEqual(['plated head']);
  });

  it('are the parts of the only kit, or the kits', () => {
    expect(names(rootNodes([kit]))).toEqual(names(kitNodes(kit)));
    expect(names(rootNodes([kit, kitOf('', '/kits/other')]))).toEqual(['kit', 'kit']);
    expect(rootNodes([])).toEqual([]);
  });

  it('have ids of their own that stay', () => {
    const all = () =>
      [...kitNodes(kit), ...plateNodes(kit), ...platedNodes(kit, 'evening')].map(({ id }) => id);
    expect(new Set(all()).size).toBe(all().length);
    expect(all()).toEqual(all());
  });

  it.each(['', 'kit: Empty\n', '- a list', 'parts: {}'])('are a note where there is no part: %j', (text) => {
    expect(names(kitNodes(kitOf(text)))).toEqual(['note']);
  });
});

describe('the words of a row', () => {
  const input: PartInput = {
    name: 'head',
    state: { kind: 'errors', words: '1 error' },
    report: {
      mesh: { size_mm: [84.3, 61.6, 71] },
      print: { liquid_ml: 96.04, mass_g: 110, hours: 9.5, peak_pull_n: 41 },
    } as unknown as PartInput['report'],
    resin: 'slate',
    copies: 2,
    worst: { code: 'sealed-cup' } as PartInput['worst'],
    findings: Array.from({ length: 10 }, (_, n) => ({
      severity: 'error',
      code: 'sealed-cup',
      message: `cup ${n} *here*`,
    })) as unknown as PartInput['findings'],
  };

  it('tell state, worst finding, size and resin', () => {
    expect(partDescription(input)).toBe('× 2 · 1 error, sealed-cup · 84 × 62 × 71 mm · 96 ml slate');
    expect(partLabel(input)).toBe('head: × 2, 1 error, sealed-cup, 84 × 62 × 71 mm, 96 ml slate');
  });

  it('tell the state alone before it is measured', () => {
    const words = partDescription({
      ...input,
      state: { kind: 'unchecked', words: 'not checked' },
      report: null,
      copies: 1,
      worst: null,
    });
    expect(words).toBe('not checked');
  });

  it('tell a few findings when pointed at, and how many more there are', () => {
    const text = partTooltip(input, (plain) => plain.replaceAll('*', '\\*'));
    expect(text.match(/^- error `sealed-cup`: cup \d \\\*here\\\*$/gm)).toHaveLength(8);
    expect(text).toContain('- and 2 more');
  });
});
