import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { angleOf, cosine, sine } from '../../../src/lamplighter/arithmetic.ts';
import { kitParts } from '../../../src/lamplighter/kitParts.ts';

const folder = new URL('../../../sample-workspace/parts/', import.meta.url);

describe('the demo kit', () => {
  test('has every committed file in the generator and the other way round', () => {
    expect(readdirSync(folder).sort()).toEqual(Object.keys(kitParts).sort());
  });

  test.each(['satchel.stl', 'oil-can.stl', 'cap.stl'])('%s comes out byte for byte as committed', (name) => {
    const committed = readFileSync(new URL(name, folder));
    expect(Buffer.compare(Buffer.from(kitParts[name]!()), committed)).toBe(0);
  });
});

describe('arithmetic', () => {
  test('agrees with Math within its stated errors', () => {
    for (let n = -400; n <= 400; n++) {
      const angle = n * 0.071;
      expect(Math.abs(sine(angle) - Math.sin(angle))).toBeLessThan(4e-6);
      expect(Math.abs(cosine(angle) - Math.cos(angle))).toBeLessThan(4e-6);
      const [x, y] = [Math.cos(angle), Math.sin(angle)];
      const apart = Math.abs(angleOf(x, y) - Math.atan2(y, x));
      expect(Math.min(apart, 2 * Math.PI - apart)).toBeLessThan(2e-5);
    }
  });
});
