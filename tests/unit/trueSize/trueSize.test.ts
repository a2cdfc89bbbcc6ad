import { describe, expect, it } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { coupon } from '../../../src/core/trueSize/coupon.ts';
import { couponEdits } from '../../../src/core/trueSize/couponEdits.ts';
import { drawnLarger } from '../../../src/core/trueSize/drawnLarger.ts';
import { drawnOtherwise } from '../../../src/core/trueSize/drawnOtherwise.ts';
import { exportScale } from '../../../src/core/trueSize/exportScale.ts';
import { parseCouponMeasures } from '../../../src/core/trueSize/parseCouponMeasures.ts';
import { readCoupon } from '../../../src/core/trueSize/readCoupon.ts';
import { asDrawn } from '../../../src/core/trueSize/trueSize.ts';
import { box, volumeOf } from '../../shapes.ts';

function read(text: string) {
  const measures = parseCouponMeasures(text);
  if (!measures.ok) throw new Error(measures.error.message);
  const reading = readCoupon(measures.value);
  if (!reading.ok) throw new Error(reading.error.message);
  return reading.value;
}

describe('a part drawn larger', () => {
  it('shrinks to its size along each axis, about the middle of the plate', () => {
    const shrinkage = [0.004, 0.006, 0.01] as const;
    const mesh = box([60, 40, 30]);
    const drawn = drawnLarger({ mesh, volume: 72_000 }, { shrinkage });
    const printed = drawn.mesh.positions.map((value, at) => value * (1 - shrinkage[at % 3]!));
    for (const [at, value] of printed.entries()) expect(value).toBeCloseTo(mesh.positions[at]!, 4);
    expect(drawn.volume).toBeCloseTo(72_000 / (0.996 * 0.994 * 0.99), 6);
    expect(volumeOf(drawn.mesh)).toBeCloseTo(drawn.volume, 0);
    expect(exportScale({ shrinkage: [0.2, 0, 0] })).toEqual([1.25, 1, 1]);
  });

  it('is the same to the bit where nothing shrinks, and says nothing', () => {
    const solid = { mesh: box(10), volume: 1000 };
    expect(drawnLarger(solid, asDrawn)).toBe(solid);
    expect(drawnOtherwise(asDrawn)).toEqual([]);
    expect(drawnOtherwise({ shrinkage: [0.2, 0, 0], spreadMm: 0.1, boreLossMm: 0.12 })).toEqual([
      'Drawn larger by 25 % in x, 0 % in y and 0 % in z, its bores 0.12 mm wider, its base layers 0.1 mm narrower all round, to come out as decided.',
    ]);
  });
});

describe('a coupon that was measured', () => {
  it('gives back what it was printed with', () => {
    // 60 mm arms, a 30 mm post, 8 mm holes: shrunk by 0.5, 0.3 and 1 %, 0.1 mm of spread, bores 0.12 mm narrower.
    const hole = coupon.holeMm * (1 - 0.004) - 0.12;
    const reading = read(`x=59.7, y=59.82, z=29.7, foot=59.9, hole=${hole}`);
    expect(reading).toMatchObject({ shrinkage: [0.5, 0.3, 1], spread: 0.1, boreLoss: 0.12 });
    expect(reading.notes).toHaveLength(1);
  });

  it('takes the mean for what was not measured, and says so', () => {
    const reading = read('x=59.7,y=59.82');
    expect(reading).toMatchObject({ shrinkage: [0.5, 0.3, 0.4], spread: null, boreLoss: null });
    expect(reading.notes[0]).toBe('Not measured: z; the others stand for it.');
    expect(read('foot=60.2').notes[0]).toBe('Without x the foot tells no spread.');
    expect(read('hole=7.9')).toMatchObject({ shrinkage: null, boreLoss: null });
  });

  it('does not let a part grow: what comes out larger than drawn is taken as 0 and told', () => {
    const reading = read('x=60.3,y=59.7,z=30,foot=60.3');
    expect(reading.shrinkage).toEqual([0, 0.5, 0]);
    expect(reading.notes[0]).toBe('The shrinkage along x comes out below 0; taken as 0.');
  });

  it('refuses lengths that cannot be of it, and texts that are none', () => {
    expect(readCoupon({ x: 2.36, y: null, z: null, foot: null, hole: null })).toMatchObject({
      ok: false,
      error: { code: 'coupon-unlikely' },
    });
    for (const text of [
      '',
      'x',
      'x=',
      'x=a',
      'x=-1',
      'x=1=2',
      'x=59,x=60',
      'w=3',
      'x=59,,y=3',
      'x=Infinityy',
    ]) {
      expect(parseCouponMeasures(text).ok, text).toBe(false);
    }
  });

  it('is written to its resin as one edit that reads back', () => {
    const text =
      'scale: { factor: 1 }\nresins:\n  slate: { density: 1.2 }   # mine\nparts: { a: { file: a.stl } }\n';
    const edits = couponEdits(text, 'slate', read('x=59.7,y=59.82,z=29.7,foot=59.9,hole=7.85'))!;
    expect(edits).toHaveLength(1);
    const after = applyEdits(text, edits);
    expect(after).toContain('# mine');
    const { trueSize } = parseManifest(after).manifest!.resins.get('slate')!;
    expect(trueSize.shrinkage[2]).toBeCloseTo(0.01, 9);
    expect([trueSize.spreadMm, trueSize.boreLossMm]).toEqual([0.1, 0.118]);
  });
});

it('shrinkage is one figure, or one for each axis', () => {
  const of = (value: string) =>
    parseManifest(
      `scale: { factor: 1 }\nresins: { slate: { shrinkage: ${value} } }\nparts: { a: { file: a.stl } }\n`,
    );
  const shares = (value: string) => of(value).manifest!.resins.get('slate')!.trueSize.shrinkage;
  expect(shares('0.5')).toEqual([0.005, 0.005, 0.005]);
  expect(shares('[0.5, 0, 1]')).toEqual([0.005, 0, 0.01]);
  expect(
    of('[1, 2]')
      .findings.map(({ message }) => message)
      .join(),
  ).toContain('must be a number (%) or a list of 3, not');
  expect(of('25').findings.map(({ code }) => code)).toEqual(['value-out-of-range']);
});
