import { describe, expect, it } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { type FixRequest, fixesFor } from '../../../src/core/kit/fixes.ts';
import { numberFindings } from '../../../src/core/kit/numberFindings.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { partOffScale, unitsDoubtful } from '../../../src/core/kit/rules/bodySizes.ts';
import { bodyPieceOfName } from '../../../src/core/scale/bodyPieces.ts';
import { soundFacts } from '../kit/soundFacts.ts';

/** A part of that height in source units. */
function sized(z: number): PartFacts {
  const facts = soundFacts();
  const topology = {
    ...facts.mesh.topology,
    bounds: { min: [0, 0, 5], max: [z / 3, z / 2, 5 + z] } as const,
  };
  return { ...facts, mesh: { ...facts.mesh, topology } };
}

function parts(names: readonly string[], scale: string, z: number, more = '') {
  const listed = names.map((name) => `  ${name}: { file: ${name}.stl${more} }`).join('\n');
  const manifest = parseManifest(`scale: ${scale}\nparts:\n${listed}\n`).manifest!;
  const facts = new Map(names.map((name) => [name, sized(z)]));
  return {
    whole: unitsDoubtful({ manifest, facts, plates: new Map(), joints: [], swallowed: [], assembled: null }),
    first: partOffScale({ manifest, part: manifest.parts[0]!, facts: facts.get(names[0]!)! }),
  };
}

const three = ['torso', 'arm', 'leg'];

describe('units-doubtful', () => {
  it.each([
    ['metres', 1.768, 250],
    ['centimetres', 176.8, 2.5],
    ['inches', 69.606, 6.35],
  ])('a life-size figure in %s at 1:4 is told with the factor that fits', (unit, z, factor) => {
    const { whole } = parts(three, '{ finished: "1:4", factor: 0.25 }', z);
    expect(whole).toEqual([expect.objectContaining({ code: 'units-doubtful', path: ['scale', 'factor'] })]);
    expect(whole[0]!.message).toContain(`its STL is in ${unit}`);
    expect(whole[0]!.message).toContain(`factor: ${factor} would fit`);
    expect(whole[0]!.measured).toBeCloseTo(z, 9);
  });

  it('the other way about: 3300 mm of print where 1:4 wants 330', () => {
    const { whole } = parts(three, '{ finished: "1:4", factor: 10 }', 440);
    expect(whole[0]!.message).toContain('its STL is in millimetres and the scale takes it for centimetres');
  });

  it.each([
    ['the right size', three, '{ finished: "1:4", factor: 0.25 }', 1768],
    ['no size that other units would explain', three, '{ finished: "1:4", factor: 0.25 }', 600],
    ['a figure of its own proportions', three, '{ finished: "1:4", factor: 0.25, stylised: yes }', 176.8],
    ['no scale to judge by', three, '{ factor: 0.25 }', 176.8],
    ['a single prop', ['crate'], '{ finished: "1:4", factor: 1 }', 40],
  ])('is silent about %s', (_, names, scale, z) => {
    expect(parts(names, scale, z).whole).toEqual([]);
  });

  it('a single part is told where nobody prints so small', () => {
    expect(parts(['figure'], '{ finished: "1:4", factor: 0.25 }', 69.6).whole).toHaveLength(1);
  });
});

it('a light bulb gives the factor that fits, or says that the figure or the part is otherwise', () => {
  const text = 'scale: { finished: "1:4", factor: 0.25 }   # life size\nparts: { head: { file: h.stl } }\n';
  const { whole } = parts(three, '{ finished: "1:4", factor: 0.25 }', 69.606);
  const places = { file: 'kit.yaml', placeOf: parseManifest(text).placeOf, toSource: () => null as never };
  const [told] = numberFindings(whole, places);
  const offset = text.indexOf('factor');
  const fixes = (request: Omit<FixRequest, 'offset'>, at: number) =>
    fixesFor(text, { ...request, offset: at }, { files: [] }).map(({ title, edits }) => [
      title,
      applyEdits(text, edits),
    ]);
  expect(fixes({ code: 'units-doubtful', part: null, remedies: told!.remedies }, offset)).toEqual([
    ['Print the kit at a factor of 6.35', text.replace('0.25', '6.35')],
    ['It has proportions of its own: stylised: yes', text.replace('0.25', '0.25, stylised: yes')],
  ]);
  expect(fixes({ code: 'part-off-scale', part: 'head' }, text.indexOf('head'))[0]).toEqual([
    'head is none: body: none',
    text.replace('h.stl', 'h.stl, body: none'),
  ]);
});

describe('part-off-scale', () => {
  const scale = '{ finished: "1:4", factor: 0.25 }';
  it.each([
    ['left-hand', 190, 0],
    ['left-hand', 120, 0],
    ['left-hand', 60, 1],
    ['head', 250, 0],
    ['head', 130, 1],
    ['foot', 270, 0],
    ['foot', 500, 1],
    ['handle', 20, 0],
    ['torso', 20, 0],
  ])('%s of %d mm on the subject: %d findings', (name, z, count) => {
    expect(parts([name], scale, z).first).toHaveLength(count);
  });

  it('guesses the unit, and says how to silence it', () => {
    const [told] = parts(['head'], scale, 23).first;
    expect(told!.message).toContain('its STL is in centimetres');
    expect(told!.message).toContain('stylised: yes');
  });

  it.each([
    ['stylised', '{ finished: "1:4", factor: 0.25, stylised: yes }', ''],
    ['no head', scale, ', body: none'],
    ['half a head', scale, ', cut: { seam: front }'],
  ])('is silent about %s', (_, at, more) => {
    expect(parts(['head'], at, 60, more).first).toEqual([]);
  });

  it('takes what the manifest says before the name', () => {
    expect(parts(['head'], scale, 260, ', body: hand').first).toEqual([]);
    expect(parts(['head'], scale, 390, ', body: hand').first).toHaveLength(1);
  });

  it('reads whole words of a name', () => {
    expect(['Head', 'left hand', 'foot_2', 'handrail', 'forehead'].map(bodyPieceOfName)).toEqual([
      'head',
      'hand',
      'foot',
      null,
      null,
    ]);
  });
});
